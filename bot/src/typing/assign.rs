//! The pieces of a message go to the options of a command.
//!
//! From the surest to the loosest: names of the pack, the command's own phrases, `2 of 5`, values beside a word
//! that says whose they are, and then values that nothing was said of.
use super::fillers::is_filler;
use super::names::{self, Found};
use super::piece::{Piece, What};
use super::value::{Arg, Read, Value};
use super::{Pieces, scan::folded, sides};
use crate::client::index::{NameKind, PackIndex};
use crate::commands::{Command, Kind, Opt, Share};

mod particular;

/// Reads a message as this command would; one about another question as the command of that question fits best.
pub fn assign(text: &str, said: &Pieces, command: &'static Command, index: Option<&PackIndex>) -> Read {
    // A repair is spoken of in its own words: numbers alone are none.
    let mends = |piece: &Piece| {
        let repair = &crate::commands::repair::REPAIR;
        piece.word().is_some_and(|word| repair.words.contains(&word) || ["restored", "back", "mended"].contains(&word))
    };
    let spoken = |about: &&'static Command| about.name != "repair" || said.pieces.iter().any(mends);
    let reads = command.about().filter(spoken).map(|about| assign_about(text, said, command, Some(about), index));
    let best = reads.min_by_key(|read| super::choose::misfit(said, command, read));
    best.unwrap_or_else(|| assign_about(text, said, command, None, index))
}

/// Reads a message as this command would, about a question of that one.
pub fn assign_about(
    text: &str,
    said: &Pieces,
    command: &'static Command,
    about: Option<&'static Command>,
    index: Option<&PackIndex>,
) -> Read {
    let mut desk = Desk::new(text, &said.pieces, command, about);
    desk.lines();
    // Several words are surer than a name: `swap sides` names no side.
    desk.phrases(2);
    desk.places();
    desk.names(index);
    desk.phrases(1);
    desk.command();
    desk.shares();
    desk.beside_cues();
    desk.bare();
    desk.rest();
    desk.args.sort_by_key(|arg| arg.span.start);
    let unread =
        (0..said.pieces.len()).filter(|&at| desk.is_unread(at)).map(|at| said.pieces[at].span.clone()).collect();
    Read { args: desk.args, unread, guessed: desk.guessed, corrected: said.corrected.clone(), about, by_command: false }
}

/// The pieces on the desk, some of them given away already.
pub(super) struct Desk<'a> {
    text: &'a str,
    pub(super) pieces: &'a [Piece],
    command: &'static Command,
    about: Option<&'static Command>,
    /// Its options, with those of the question that it is about.
    pub(super) options: Vec<&'static Opt>,
    taken: Vec<bool>,
    args: Vec<Arg>,
    guessed: usize,
}

impl<'a> Desk<'a> {
    fn new(text: &'a str, pieces: &'a [Piece], command: &'static Command, about: Option<&'static Command>) -> Self {
        let own = command.options.iter();
        let options = own.chain(about.iter().flat_map(|about| about.options)).collect();
        Self { text, pieces, command, about, options, taken: vec![false; pieces.len()], args: Vec::new(), guessed: 0 }
    }

    /// The commands whose words count.
    fn commands(&self) -> impl Iterator<Item = &'static Command> + use<> {
        std::iter::once(self.command).chain(self.about)
    }

    fn knows(&self, word: &str) -> bool {
        self.commands().any(|command| command.knows(word))
    }

    /// Gives `length` pieces from `at` to an option.
    pub(super) fn give(&mut self, option: &'static str, value: Value, at: usize, length: usize) {
        let span = self.pieces[at].span.start..self.pieces[at + length - 1].span.end;
        let alternative = self.before(at).is_some_and(|at| matches!(self.pieces[at].what, What::Or | What::Versus));
        self.taken[at..at + length].fill(true);
        self.args.push(Arg { option, value, span, alternative });
    }

    /// Takes a piece away without giving it to an option: it was said with another.
    pub(super) fn take(&mut self, at: usize) {
        self.taken[at] = true;
    }

    pub(super) fn is_free(&self, at: usize) -> bool {
        self.taken.get(at).is_some_and(|taken| !taken)
    }

    fn said(&self, at: usize) -> String {
        self.pieces[at].word().map_or_else(|| folded(&self.text[self.pieces[at].span.clone()]), str::to_owned)
    }

    fn wants(&self, option: &Opt) -> bool {
        option.many || self.args.iter().all(|arg| arg.option != option.name)
    }

    /// The piece before, over words that say nothing.
    pub(super) fn before(&self, at: usize) -> Option<usize> {
        (0..at).rev().find(|&at| !self.is_nothing(at))
    }

    /// The piece behind, over words that say nothing.
    pub(super) fn behind(&self, at: usize) -> Option<usize> {
        (at + 1..self.pieces.len()).find(|&at| !self.is_nothing(at))
    }

    fn is_nothing(&self, at: usize) -> bool {
        matches!(self.pieces[at].what, What::Colon)
            || self.pieces[at].word().is_some_and(|word| is_filler(word) && !self.knows(word))
    }

    /// A list pasted below the first line, or behind it where there is one line only.
    fn lines(&mut self) {
        let Some(option) = self.options.iter().find(|option| option.kind == Kind::Lines).copied() else { return };
        let Some(first) = self.pieces.iter().position(|piece| piece.what == What::Line) else { return };
        let text = self.text[self.pieces[first].span.end..].to_owned();
        let length = self.pieces.len() - first;
        self.give(option.name, Value::Text(text), first, length);
    }

    fn names(&mut self, index: Option<&PackIndex>) {
        let Some(index) = index else { return };
        let mut kinds: Vec<NameKind> = Vec::new();
        for option in &self.options {
            match option.kind {
                Kind::Name(kind) => kinds.push(kind),
                Kind::Side => kinds.extend([NameKind::Unit, NameKind::Extra]),
                _ => {}
            }
        }
        kinds.sort_unstable();
        kinds.dedup();
        let commands: Vec<_> = self.commands().collect();
        let reserved = |word: &str, kind| commands.iter().any(|command| command.knows_but(word, kind));
        let mut found = names::find(self.pieces, index, &kinds, &reserved, &|at| self.is_label(at));
        found.retain(|found| self.is_free(found.at));
        self.denied(index, &reserved, &mut found);
        self.behind_cover(&mut found);
        // A unit takes a check only where the check is named; else the message is about something else.
        let checks = self.options.iter().any(|option| option.kind == Kind::Name(NameKind::Check));
        if checks && !found.iter().any(|found| found.kind == NameKind::Check) {
            found.retain(|found| found.kind != NameKind::Unit);
        }
        sides::seat(self, &found);
        for Found { kind, name, at, length } in found {
            let fits = |option: &&'static Opt| option.kind == Kind::Name(kind) && self.wants(option);
            let fitting: Vec<&'static Opt> = self.options.iter().copied().filter(fits).collect();
            // `with` and `without` take the same names: the word right before tells them apart.
            let said = self.lead(at);
            let named =
                fitting.iter().find(|option| Some(option.name) == said || said.is_some_and(|said| option.is_cue(said)));
            if self.is_free(at)
                && let Some(option) = named.or(fitting.iter().find(|option| option.name != "near")).copied()
            {
                self.give(option.name, Value::Name(name), at, length);
            }
        }
    }

    /// The word right before a name, over its article.
    fn lead(&self, at: usize) -> Option<&'a str> {
        let word = |at: usize| self.pieces.get(at)?.word();
        let mut before = at.checked_sub(1)?;
        if self.pieces[before].what == What::Colon {
            before = before.checked_sub(1)?;
        }
        match word(before)? {
            "the" | "its" | "their" | "a" | "an" | "any" => word(before.checked_sub(1)?),
            word => Some(word),
        }
    }

    /// Phrases of so many words or more.
    fn phrases(&mut self, least: usize) {
        let mut phrases: Vec<(&'static Opt, Option<&'static str>, Vec<&'static str>)> = Vec::new();
        for option in self.options.iter().copied() {
            let said = option.phrases().into_iter();
            phrases.extend(said.map(|(choice, phrase)| (option, choice, phrase.split(' ').collect())));
        }
        phrases.retain(|(_, _, words)| words.len() >= least);
        phrases.sort_by_key(|(_, _, words)| std::cmp::Reverse(words.len()));
        for (option, choice, words) in phrases {
            for at in 0..(self.pieces.len() + 1).saturating_sub(words.len()) {
                let here = (0..words.len()).all(|i| self.is_free(at + i) && self.said(at + i) == words[i]);
                if here && self.wants(option) {
                    self.give(option.name, choice.map_or(Value::Flag, Value::Choice), at, words.len());
                }
            }
        }
    }

    fn shares(&mut self) {
        for at in 0..self.pieces.len() {
            let What::Share { part, whole, .. } = self.pieces[at].what else { continue };
            let shares: Vec<&'static Share> = self.commands().flat_map(|command| command.shares).collect();
            // `2 of 5 left` and `failed 2 of 5`: the word behind is asked first.
            let beside = [self.behind(at), self.before(at)].into_iter().flatten().filter(|&cue| self.is_free(cue));
            let told = beside.filter_map(|cue| {
                let word = self.pieces[cue].word()?;
                shares.iter().find(|share| share.cues.contains(&word)).map(|share| (*share, Some(cue)))
            });
            let told: Vec<_> = told.take(1).collect();
            let silent = shares.iter().find(|share| share.cues.is_empty()).map(|share| (*share, None));
            let Some((share, cue)) = told.first().copied().or(silent).filter(|_| self.is_free(at)) else { continue };
            if let Some(cue) = cue {
                self.take(cue);
            }
            self.give(share.part, Value::Number(part), at, 1);
            self.give(share.whole, Value::Number(whole), at, 1);
        }
    }

    /// Values with a word beside them that says whose they are. Each such word serves one value; the one before
    /// a value is asked first, so that both `hit on 3s, wound on 4s` and `3s to hit, 4s to wound` are read.
    fn beside_cues(&mut self) {
        let mut used = vec![false; self.pieces.len()];
        for at in 0..self.pieces.len() {
            if !self.is_free(at) {
                continue;
            }
            let (before, behind) = (self.before(at), self.behind(at));
            if let Some((cue, option, value)) = self.lives(at, before, behind) {
                used[cue] = true;
                self.give(option, value, at, 1);
                continue;
            }
            // In a pasted list most numbers are of its lines.
            let before = before.filter(|_| !self.is_of_line(at));
            let versus = before.is_some_and(|at| self.pieces[at].what == What::Versus);
            let beside = if versus { [behind, before] } else { [before, behind] };
            let found = beside.into_iter().flatten().find_map(|cue| {
                if cue > at && !versus && self.is_of_next(cue, at) {
                    return None;
                }
                let word =
                    if self.pieces[cue].what == What::Versus { Some("against") } else { self.pieces[cue].word() };
                let word = word.filter(|_| !used[cue] && self.is_free(cue))?;
                let mut cued = self.options.iter().filter(|option| self.wants(option) && option.is_cue(word));
                cued.find_map(|option| Some((cue, option, value_of(option.kind, &self.pieces[at].what, true)?)))
            });
            if let Some((cue, option, value)) = found {
                used[cue] = true;
                self.give(option.name, value, at, 1);
            }
        }
        for (at, used) in used.into_iter().enumerate() {
            if used {
                self.take(at);
            }
        }
    }

    /// `5 models with 2 wounds each`: behind models, a bare number of wounds is what each of them has, and no roll.
    fn lives(&self, at: usize, before: Option<usize>, behind: Option<usize>) -> Option<(usize, &'static str, Value)> {
        let option = self.options.iter().find(|option| option.name == "health" && self.wants(option))?;
        let cue = behind.filter(|cue| {
            let lives = matches!(self.pieces[*cue].word(), Some("wound" | "wounds" | "hp" | "life" | "lives"));
            lives && self.is_free(*cue)
        })?;
        let word = |at: usize| self.pieces.get(at).and_then(|piece| piece.word()).unwrap_or_default();
        let people = |word: &str| {
            matches!(
                word,
                "guys" | "men" | "people" | "soldiers" | "figures" | "bodies" | "troops" | "models" | "model"
            )
        };
        let against = before.is_some_and(|at| self.pieces[at].what == What::Versus);
        let of_models = before
            .is_some_and(|at| matches!(word(at), "with" | "of" | "having" | "target") || people(word(at)))
            || against
            || matches!(word(cue + 1), "each" | "apiece" | "per");
        let number = matches!(self.pieces[at].what, What::Number(_)).then_some(&self.pieces[at].what)?;
        of_models.then(|| Some((cue, option.name, value_of(option.kind, number, true)?))).flatten()
    }

    /// Values that nothing was said of, first where they fit exactly, then where they can be meant.
    fn bare(&mut self) {
        for loosely in [false, true] {
            for at in 0..self.pieces.len() {
                if !self.is_free(at) || self.is_of_line(at) {
                    continue;
                }
                let what = &self.pieces[at].what;
                // A modifier has its sign, and a distance its unit, or a word that says so.
                let sure = |kind: Kind| !loosely || !matches!(kind, Kind::Modifier | Kind::Distance);
                let mut fitting =
                    self.options.iter().filter(|option| option.bare && self.wants(option) && sure(option.kind));
                let found = fitting.find_map(|option| {
                    // A number that nothing was said of becomes a need only where there is no clearer one.
                    let late = loosely && option.many && self.args.iter().any(|arg| arg.option == option.name);
                    if late { None } else { value_of(option.kind, what, loosely).map(|value| (option, value)) }
                });
                if let Some((option, value)) = found {
                    self.give(option.name, value, at, 1);
                    self.guessed += usize::from(loosely);
                }
            }
        }
    }

    /// Free text takes all that is left, from its first telling word on.
    fn rest(&mut self) {
        let text = self.options.iter().find(|option| matches!(option.kind, Kind::Text | Kind::Lines));
        let Some(option) = text.copied() else { return };
        let left = |at: &usize| self.is_free(*at) && !self.pieces[*at].is_mark() && !self.is_own(*at);
        let Some(first) = (0..self.pieces.len()).find(left).filter(|_| self.wants(option)) else { return };
        let last = (first..self.pieces.len()).rev().find(left).unwrap_or(first);
        let span = self.pieces[first].span.start..self.pieces[last].span.end;
        self.give(option.name, Value::Text(self.text[span].trim().to_owned()), first, last + 1 - first);
    }

    /// A small word, or one that chose the command.
    fn is_own(&self, at: usize) -> bool {
        self.pieces[at].word().is_some_and(|word| {
            let own = self.commands().any(|command| command.words.contains(&word) || command.name == word);
            is_filler(word) || own
        })
    }

    fn is_unread(&self, at: usize) -> bool {
        if !self.is_free(at) || self.pieces[at].is_mark() {
            return false;
        }
        match &self.pieces[at].what {
            What::Or | What::Versus => false,
            What::Number(one) if *one == 1.0 => self.said(at) != "one",
            What::Word(word) => !is_filler(word) && !self.knows(word),
            _ => true,
        }
    }
}

/// Inches in millimetres; multiplied first, so that no decimal is lost.
fn inches(inches: f64) -> f64 {
    inches * 254.0 / 10.0
}

/// The value that a piece is to an option, if it is one; `loosely` where a word beside it says so, or nothing else fits.
pub fn value_of(kind: Kind, what: &What, loosely: bool) -> Option<Value> {
    use super::piece::whole;
    Some(match (kind, what) {
        (Kind::Times, What::Times(number)) => Value::Number(*number),
        (Kind::Number, What::Number(number)) => Value::Number(whole(*number)?),
        (Kind::Times, What::Number(number)) if loosely => Value::Number(whole(*number)?),
        (Kind::Number, What::Times(number)) if loosely => Value::Number(*number),
        (Kind::Number | Kind::Times, What::Pool(number) | What::AtLeast(number) | What::Inches(number)) if loosely => {
            Value::Number(*number)
        }
        (Kind::Amount, What::Number(number)) => Value::Dice(whole(*number)?.to_string()),
        (Kind::Amount, What::Times(number)) => Value::Dice(number.to_string()),
        (Kind::Amount, What::Pool(number)) if loosely => Value::Dice(number.to_string()),
        (Kind::Amount | Kind::Dice, What::Dice(dice)) => Value::Dice(dice.clone()),
        (Kind::Dice, What::Pool(number)) if loosely => Value::Dice(format!("{number}d")),
        (Kind::Modifier, What::Signed(modifier)) => Value::Modifier(*modifier),
        (Kind::Modifier, What::Number(number)) if loosely => Value::Modifier(i64::try_from(whole(*number)?).ok()?),
        (Kind::Chance, What::Percent(percent)) => Value::Chance(percent / 100.0),
        (Kind::Chance, What::Number(number)) if *number > 0.0 && *number < 1.0 => Value::Chance(*number),
        (Kind::Chance, What::Number(number)) if loosely && (1.0..=100.0).contains(number) => {
            Value::Chance(number / 100.0)
        }
        (Kind::Chance, What::AtLeast(number)) if loosely && *number <= 100 => {
            Value::Chance(f64::from(u32::try_from(*number).ok()?) / 100.0)
        }
        (Kind::Distance, What::Inches(number)) => Value::Number(*number),
        (Kind::Distance, What::Number(number)) if loosely => Value::Number(whole(*number)?),
        (Kind::Angle, What::Number(number)) if loosely && *number <= 360.0 => Value::Angle(*number),
        (Kind::Angle, What::Signed(number)) => Value::Angle(f64::from(i32::try_from(*number).ok()?)),
        (Kind::Length, What::Inches(number)) => Value::Length(inches(f64::from(u32::try_from(*number).ok()?))),
        (Kind::Length, What::Millimetres(mm)) => Value::Length(*mm),
        // Nobody has a base of 2 mm or a template of 60 inches.
        (Kind::Length, What::Number(number)) if loosely && *number > 0.0 => {
            Value::Length(if *number <= 12.0 { inches(*number) } else { *number })
        }
        (Kind::Needs, What::Needs(needs)) => Value::Needs(needs.clone()),
        (Kind::Needs, What::Faces(least) | What::AtLeast(least)) => Value::Needs(format!("{least}+")),
        (Kind::Needs, What::AtMost(most)) => Value::Needs(format!("{most}-")),
        (Kind::Needs, What::Number(number)) if loosely => {
            Value::Needs(format!("{}+", whole(*number).filter(|n| *n > 0)?))
        }
        (Kind::Reroll, What::Reroll(reroll)) => Value::Reroll(reroll),
        (Kind::Budget, What::Rerolls(budget)) => Value::Number(*budget),
        (Kind::Keep, What::Keep { highest, kept, of }) => Value::Keep { highest: *highest, kept: *kept, of: *of },
        _ => return None,
    })
}
