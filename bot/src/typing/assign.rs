//! The tokens of a message go to the options of a command.
//!
//! From the surest to the loosest: names of the pack, the command's own phrases, `2 of 5`, values beside a word
//! that says whose they are, and then values that nothing was said of.
use super::fillers::is_filler;
use super::names::{self, Found};
use super::token::{Token, TokenKind};
use super::value::{Arg, Read, Value};
use super::{Tokens, scan::folded, sides};
use crate::client::index::{NameKind, PackIndex};
use crate::commands::{Command, Kind, Opt, Share};

mod particular;
mod values;

pub use values::value_of;

/// Reads a message as this command would; one about another question as the command of that question fits best.
pub fn assign(text: &str, said: &Tokens, command: &'static Command, index: Option<&PackIndex>) -> Read {
    // A repair is spoken of in its own words: numbers alone are none.
    let mends = |token: &Token| {
        let repair = &crate::commands::repair::REPAIR;
        token.word().is_some_and(|word| repair.words.contains(&word) || ["restored", "back", "mended"].contains(&word))
    };
    let spoken = |about: &&'static Command| about.name != "repair" || said.tokens.iter().any(mends);
    let reads = command.about().filter(spoken).map(|about| assign_about(text, said, command, Some(about), index));
    let best = reads.min_by_key(|read| super::choose::misfit(said, command, read));
    best.unwrap_or_else(|| assign_about(text, said, command, None, index))
}

/// Reads a message as this command would, about a question of that one.
pub fn assign_about(
    text: &str,
    said: &Tokens,
    command: &'static Command,
    about: Option<&'static Command>,
    index: Option<&PackIndex>,
) -> Read {
    let mut assigner = ArgumentAssigner::new(text, &said.tokens, command, about);
    assigner.lines();
    // Several words are surer than a name: `swap sides` names no side.
    assigner.phrases(2);
    assigner.places();
    assigner.names(index);
    assigner.phrases(1);
    assigner.command();
    assigner.shares();
    assigner.beside_cues();
    assigner.bare();
    assigner.rest();
    assigner.args.sort_by_key(|arg| arg.span.start);
    let unread =
        (0..said.tokens.len()).filter(|&at| assigner.is_unread(at)).map(|at| said.tokens[at].span.clone()).collect();
    Read {
        args: assigner.args,
        unread,
        guessed: assigner.guessed,
        corrected: said.corrected.clone(),
        about,
        by_command: false,
    }
}

/// The tokens of a message, some of them given away already.
pub(super) struct ArgumentAssigner<'a> {
    text: &'a str,
    pub(super) tokens: &'a [Token],
    command: &'static Command,
    about: Option<&'static Command>,
    /// Its options, with those of the question that it is about.
    pub(super) options: Vec<&'static Opt>,
    taken: Vec<bool>,
    args: Vec<Arg>,
    guessed: usize,
}

impl<'a> ArgumentAssigner<'a> {
    fn new(text: &'a str, tokens: &'a [Token], command: &'static Command, about: Option<&'static Command>) -> Self {
        let own = command.options.iter();
        let options = own.chain(about.iter().flat_map(|about| about.options)).collect();
        Self { text, tokens, command, about, options, taken: vec![false; tokens.len()], args: Vec::new(), guessed: 0 }
    }

    /// The commands whose words count.
    fn commands(&self) -> impl Iterator<Item = &'static Command> + use<> {
        std::iter::once(self.command).chain(self.about)
    }

    fn knows(&self, word: &str) -> bool {
        self.commands().any(|command| command.knows(word))
    }

    /// Gives `length` tokens from `at` to an option.
    pub(super) fn give(&mut self, option: &'static str, value: Value, at: usize, length: usize) {
        let span = self.tokens[at].span.start..self.tokens[at + length - 1].span.end;
        let alternative =
            self.before(at).is_some_and(|at| matches!(self.tokens[at].kind, TokenKind::Or | TokenKind::Versus));
        self.taken[at..at + length].fill(true);
        self.args.push(Arg { option, value, span, alternative });
    }

    /// Takes a token away without giving it to an option: it was said with another.
    pub(super) fn take(&mut self, at: usize) {
        self.taken[at] = true;
    }

    pub(super) fn is_free(&self, at: usize) -> bool {
        self.taken.get(at).is_some_and(|taken| !taken)
    }

    fn said(&self, at: usize) -> String {
        self.tokens[at].word().map_or_else(|| folded(&self.text[self.tokens[at].span.clone()]), str::to_owned)
    }

    fn wants(&self, option: &Opt) -> bool {
        option.many || self.args.iter().all(|arg| arg.option != option.name)
    }

    /// The token before, over words that say nothing.
    pub(super) fn before(&self, at: usize) -> Option<usize> {
        (0..at).rev().find(|&at| !self.is_nothing(at))
    }

    /// The token behind, over words that say nothing.
    pub(super) fn behind(&self, at: usize) -> Option<usize> {
        (at + 1..self.tokens.len()).find(|&at| !self.is_nothing(at))
    }

    fn is_nothing(&self, at: usize) -> bool {
        matches!(self.tokens[at].kind, TokenKind::Colon)
            || self.tokens[at].word().is_some_and(|word| is_filler(word) && !self.knows(word))
    }

    /// A list pasted below the first line, or behind it where there is one line only.
    fn lines(&mut self) {
        let Some(option) = self.options.iter().find(|option| option.kind == Kind::Lines).copied() else { return };
        let Some(first) = self.tokens.iter().position(|token| token.kind == TokenKind::Line) else { return };
        let text = self.text[self.tokens[first].span.end..].to_owned();
        let length = self.tokens.len() - first;
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
        let mut found = names::find(self.tokens, index, &kinds, &reserved, &|at| self.is_label(at));
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
        let word = |at: usize| self.tokens.get(at)?.word();
        let mut before = at.checked_sub(1)?;
        if self.tokens[before].kind == TokenKind::Colon {
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
            for at in 0..(self.tokens.len() + 1).saturating_sub(words.len()) {
                let here = (0..words.len()).all(|i| self.is_free(at + i) && self.said(at + i) == words[i]);
                if here && self.wants(option) {
                    self.give(option.name, choice.map_or(Value::Flag, Value::Choice), at, words.len());
                }
            }
        }
    }

    fn shares(&mut self) {
        for at in 0..self.tokens.len() {
            let TokenKind::Share { part, whole, .. } = self.tokens[at].kind else { continue };
            let shares: Vec<&'static Share> = self.commands().flat_map(|command| command.shares).collect();
            // `2 of 5 left` and `failed 2 of 5`: the word behind is asked first.
            let beside = [self.behind(at), self.before(at)].into_iter().flatten().filter(|&cue| self.is_free(cue));
            let told = beside.filter_map(|cue| {
                let word = self.tokens[cue].word()?;
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
        let mut used = vec![false; self.tokens.len()];
        for at in 0..self.tokens.len() {
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
            let versus = before.is_some_and(|at| self.tokens[at].kind == TokenKind::Versus);
            let beside = if versus { [behind, before] } else { [before, behind] };
            let found = beside.into_iter().flatten().find_map(|cue| {
                if cue > at && !versus && self.is_of_next(cue, at) {
                    return None;
                }
                let word =
                    if self.tokens[cue].kind == TokenKind::Versus { Some("against") } else { self.tokens[cue].word() };
                let word = word.filter(|_| !used[cue] && self.is_free(cue))?;
                let mut cued = self.options.iter().filter(|option| self.wants(option) && option.is_cue(word));
                cued.find_map(|option| Some((cue, option, value_of(option.kind, &self.tokens[at].kind, true)?)))
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
            let lives = matches!(self.tokens[*cue].word(), Some("wound" | "wounds" | "hp" | "life" | "lives"));
            lives && self.is_free(*cue)
        })?;
        let word = |at: usize| self.tokens.get(at).and_then(|token| token.word()).unwrap_or_default();
        let people = |word: &str| {
            matches!(
                word,
                "guys" | "men" | "people" | "soldiers" | "figures" | "bodies" | "troops" | "models" | "model"
            )
        };
        let against = before.is_some_and(|at| self.tokens[at].kind == TokenKind::Versus);
        let of_models = before
            .is_some_and(|at| matches!(word(at), "with" | "of" | "having" | "target") || people(word(at)))
            || against
            || matches!(word(cue + 1), "each" | "apiece" | "per");
        let number = matches!(self.tokens[at].kind, TokenKind::Number(_)).then_some(&self.tokens[at].kind)?;
        of_models.then(|| Some((cue, option.name, value_of(option.kind, number, true)?))).flatten()
    }

    /// Values that nothing was said of, first where they fit exactly, then where they can be meant.
    fn bare(&mut self) {
        for loosely in [false, true] {
            for at in 0..self.tokens.len() {
                if !self.is_free(at) || self.is_of_line(at) {
                    continue;
                }
                let token_kind = &self.tokens[at].kind;
                // A modifier has its sign, and a distance its unit, or a word that says so.
                let sure = |kind: Kind| !loosely || !matches!(kind, Kind::Modifier | Kind::Distance);
                let mut fitting =
                    self.options.iter().filter(|option| option.bare && self.wants(option) && sure(option.kind));
                let found = fitting.find_map(|option| {
                    // A number that nothing was said of becomes a need only where there is no clearer one.
                    let late = loosely && option.many && self.args.iter().any(|arg| arg.option == option.name);
                    if late { None } else { value_of(option.kind, token_kind, loosely).map(|value| (option, value)) }
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
        let left = |at: &usize| self.is_free(*at) && !self.tokens[*at].is_mark() && !self.is_own(*at);
        let Some(first) = (0..self.tokens.len()).find(left).filter(|_| self.wants(option)) else { return };
        let last = (first..self.tokens.len()).rev().find(left).unwrap_or(first);
        let span = self.tokens[first].span.start..self.tokens[last].span.end;
        self.give(option.name, Value::Text(self.text[span].trim().to_owned()), first, last + 1 - first);
    }

    /// A small word, or one that chose the command.
    fn is_own(&self, at: usize) -> bool {
        self.tokens[at].word().is_some_and(|word| {
            let own = self.commands().any(|command| command.words.contains(&word) || command.name == word);
            is_filler(word) || own
        })
    }

    fn is_unread(&self, at: usize) -> bool {
        if !self.is_free(at) || self.tokens[at].is_mark() {
            return false;
        }
        match &self.tokens[at].kind {
            TokenKind::Or | TokenKind::Versus => false,
            TokenKind::Number(one) if *one == 1.0 => self.said(at) != "one",
            TokenKind::Word(word) => !is_filler(word) && !self.knows(word),
            _ => true,
        }
    }
}
