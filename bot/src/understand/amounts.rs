//! Numbers that say what is lost and what is left: `2 down`, `lost 2`, `on its last point`, `3 of 5 left`.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;
use super::sides::Side;
use crate::typing::token::TokenKind;

/// What a number says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Says {
    /// So much is gone already, or was lost.
    Lost,
    /// So much is left.
    Left,
}

/// One such number.
#[derive(Clone, Debug)]
pub struct Amount {
    /// How much.
    pub value: u64,
    /// Of how much, where it was said.
    pub of: Option<u64>,
    /// What it says.
    pub says: Says,
    /// Whether a word of killing says it: it happened, or is wanted.
    pub killed: bool,
    /// The words that say it.
    pub from: usize,
    /// Where they end.
    pub to: usize,
    /// The side that it is said of.
    pub side: Option<usize>,
}

/// Whether a word is one of structure in this pack.
pub fn is_structure(message: &ParsedMessage<'_>, at: usize) -> bool {
    let word = message.word(at);
    if word.is_empty() {
        return false;
    }
    let single = crate::typing::fillers::singular(word);
    let own = message
        .index
        .labels
        .values()
        .any(|label| label.split(' ').any(|part| crate::typing::fillers::singular(part) == single));
    own || message.is(at, Class::Structure) || message.named_at(Sort::Stat, at).is_some()
}

/// Finds them among what is not used yet.
pub fn amounts(message: &ParsedMessage<'_>, sides: &[Side], used: &[bool]) -> Vec<Amount> {
    let mut found: Vec<Amount> = Vec::new();
    for at in 0..message.tokens.len() {
        // `one fewer` changes how many there are.
        let relative = [Class::MoreOne, Class::LessOne]
            .iter()
            .any(|class| message.spans(*class).any(|(from, len)| from <= at && at < from + len));
        if used[at] || relative {
            continue;
        }
        // `of the seven ribs three are broken`: the first number says of how many.
        if of_many(message, at).is_some_and(|part| !used[part]) {
            continue;
        }
        let whole = (0..at).rev().take(6).find(|before| of_many(message, *before) == Some(at));
        let (value, of) = match message.tokens[at].kind {
            TokenKind::Number(_) => match message.number(at) {
                Some(value) => (value, whole.and_then(|whole| message.number(whole))),
                None => continue,
            },
            TokenKind::Share { part, whole, .. } => (part, Some(whole)),
            _ => {
                if let Some((from, to)) = last_point(message, at).or_else(|| single_point(message, at)) {
                    found.push(Amount {
                        value: 1,
                        of: None,
                        says: Says::Left,
                        killed: false,
                        from,
                        to,
                        side: side_of(sides, from),
                    });
                }
                continue;
            }
        };
        let mut next = at + 1;
        let mut of = of;
        if message.any(next, &["of", "out"]) && of.is_none() {
            let skip = if message.any(next, &["out"]) { 2 } else { 1 };
            let number = (next + skip..next + skip + 2).find(|at| message.number(*at).is_some());
            if let Some(number) = number.filter(|number| !used[*number]) {
                of = message.number(number);
                next = number + 1;
            } else if number.is_none()
                && message.any(next, &["of"])
                && message.any(next + 1, &["them", "em", "these", "those"])
            {
                next += 2;
            }
        }
        // `3 times in 4`, `9 in 10`: how often, and nothing lost.
        let often = next + usize::from(message.any(next, &["times", "time"]));
        if message.is(next, Class::Turn)
            || message.any(often, &["in", "outta"]) && message.number(often + 1).is_some()
            || often > next && message.any(often, &["out"])
        {
            continue;
        }
        let structure = is_structure(message, next);
        if structure {
            next += 1;
            if message.any(next, &["of"]) && is_structure(message, next + 1) {
                next += 2;
            }
            // `four spars of its seven`, `last point of frame (out of 4)`
            let whole = next + 1 + usize::from(message.any(next + 1, &["its", "his", "their", "my", "the"]));
            if message.any(next, &["of"])
                && of.is_none()
                && let Some(number) = message.number(whole).filter(|_| !used[whole])
            {
                of = Some(number);
                next = whole + 1;
            }
        }
        while message.any(
            next,
            &[
                "already", "still", "r", "now", "is", "are", "have", "has", "been", "were", "was", "just", "of",
                "them", "em", "to",
            ],
        ) && next < at + 6
        {
            next += 1;
        }
        // `with 1 model left`, `one man left`
        let people = message.any(next, &["model", "models", "man", "men", "guy", "guys", "crewman", "crewmen"]);
        if people && message.is(next + 1, Class::Left) && !message.any(next + 1, &["still", "remain"]) {
            next += 1;
        }
        let (mut says, mut from, mut to, mut killed) = (None, at, next, false);
        if message.is(next, Class::Left) && !message.any(next, &["still", "remain"]) {
            (says, to) = (Some(Says::Left), next + message.begins(Class::Left, next).unwrap_or(1));
        } else if message.is(next, Class::Lost)
            && !used[next]
            && (!message.any(next, &["off", "damage", "hurt", "short"])
                || message.any(next, &["hurt"]) && message.is_end(next + 1))
        {
            (says, to) = (Some(Says::Lost), next + message.begins(Class::Lost, next).unwrap_or(1));
            // `2 already dead` tells how it stands; `kill 2` what is wished or was done.
            killed = false;
        }
        if says.is_none() {
            let mut before = at;
            while before > 0
                && message.any(
                    before - 1,
                    &[
                        "already", "only", "another", "at", "least", "about", "its", "his", "their", "the", "a", "my",
                        "just", "all", "alas", "sadly", "some",
                    ],
                )
            {
                before -= 1;
            }
            let ends = |class: Class, before: usize| message.ends(class, before).map(|len| before - len);
            let downto = ends(Class::DownTo, at)
                .or_else(|| ends(Class::DownTo, before))
                .filter(|start| !message.any(*start, &["just", "with"]) || structure);
            let on = before > 1
                && message.any(before - 1, &["on", "at"])
                && (message.any(
                    before - 2,
                    &["hes", "its", "theyre", "is", "shes", "are", "was", "hes", "im", "sitting", "itself", "now"],
                ) || structure)
                && (message.is_end(next) || structure);
            if let Some(start) = downto {
                (says, from, to) = (Some(Says::Left), start, next);
            } else if before > 0
                && message.any(before - 1, &["on", "at"])
                && message.is_end(next)
                && sides.iter().any(|side| {
                    side.end() == before - 1
                        && side.unit().and_then(|id| message.index.unit(id)).is_some_and(|unit| unit.armoured)
                })
            {
                // `heron on 2, …`
                (says, from, to) = (Some(Says::Left), before - 1, next);
            } else if on {
                (says, from, to) = (Some(Says::Left), before - 1, next);
            } else if before > 0
                && !used[before - 1]
                && message.is(before - 1, Class::Lost)
                && !message.any(before - 1, &["off", "short", "dead", "fewer", "gone", "hurt"])
            {
                (says, from, to) = (Some(Says::Lost), before - 1, next);
                killed = message.is(before - 1, Class::Kill);
            } else if before > 0 && message.is(before - 1, Class::Kill) {
                (says, from, to, killed) = (Some(Says::Lost), before - 1, next, true);
            } else if structure && next > at + 1 && message.any(next, &["down", "gone", "off"]) {
                (says, to) = (Some(Says::Lost), next + 1);
            } else if structure && message.any(next, &["short"]) || whole.is_some() && message.any(next, BROKEN) {
                (says, to) = (Some(Says::Lost), next + 1);
                // `five spars short out of nine`
                let out = if message.any(to, &["out"]) { to + 2 } else { to + 1 };
                if of.is_none() && message.any(out - 1, &["of"]) && message.number(out).is_some() {
                    (of, to) = (message.number(out), out + 1);
                }
            }
        }
        if let Some(whole) = whole {
            from = from.min(whole - 1);
        }
        if let Some(says) = says {
            found.push(Amount {
                value,
                of,
                says,
                killed,
                from,
                to: to.min(message.tokens.len()),
                side: side_of(sides, from),
            });
        }
    }
    found
}

/// What is broken is lost.
const BROKEN: &[&str] = &["away", "broken", "burst", "sprung", "out", "off", "smashed", "cracked", "short", "holed"];

/// `of the seven ribs three are broken`, `from 7 ribs are 4 away`: the place of the part, for that of the whole.
fn of_many(message: &ParsedMessage<'_>, whole: usize) -> Option<usize> {
    message.number(whole)?;
    let led = (whole.saturating_sub(2)..whole).find(|at| message.any(*at, &["of", "from"]))?;
    let plain = (led + 1..whole).all(|at| message.any(at, &["the", "its", "his", "my", "her", "their"]));
    let from = whole + 1 + usize::from(is_structure(message, whole + 1));
    let part = (from..from + 3).find(|at| message.number(*at).is_some())?;
    let between = (from..part).all(|at| message.any(at, &["are", "is", "have", "has"]) || message.is_end(at));
    (plain && from > whole + 1 && between).then_some(part)
}

/// `on its last point`.
fn last_point(message: &ParsedMessage<'_>, at: usize) -> Option<(usize, usize)> {
    let len = message.begins(Class::DownTo, at).filter(|len| message.any(at + len - 1, &["last"]) && *len > 1)?;
    let mut to = at + len + 1;
    if message.any(to, &["of"]) && is_structure(message, to + 1) {
        to += 2;
    }
    // `(out of 4)`: what it has anyway.
    let out = (to..to + 2)
        .find(|at| message.any(*at, &["out"]) && message.any(*at + 1, &["of"]) && message.number(*at + 2).is_some());
    to = out.map_or(to, |out| out + 3);
    is_structure(message, at + len).then_some((at, to))
}

/// `has a single frame left`.
fn single_point(message: &ParsedMessage<'_>, at: usize) -> Option<(usize, usize)> {
    let to = at + 2 + message.begins(Class::Left, at + 2)?;
    (message.any(at, &["single"]) && is_structure(message, at + 1)).then_some((at, to))
}

/// The side that stands before, or else the one behind.
fn side_of(sides: &[Side], at: usize) -> Option<usize> {
    let before = sides.iter().rposition(|side| !side.helper && side.start <= at);
    before.or_else(|| sides.iter().position(|side| !side.helper))
}
