//! Suggestions while a field is typed, from the names of the pack.
use super::payload::{CHOICES, Choice};
use super::text::{Text, length};
use crate::client::index::{NameKind, PackIndex, name_words};
use crate::commands::{Kind, Opt};
use crate::typing::scan::folded;

/// Names that are less alike than this are not meant.
const ALIKE: f64 = 0.8;

/// What may be meant by what was typed so far. There is always something: an empty answer looks like a fault.
pub fn suggest(option: Option<&Opt>, typed: &str, index: Option<&PackIndex>) -> Vec<Choice> {
    let names: Vec<&str> = match (option, index) {
        (Some(option), Some(index)) => {
            kinds(option.kind).iter().flat_map(|kind| index.names(*kind)).map(|(_, name)| name).collect()
        }
        _ => Vec::new(),
    };
    let mut found = endings(typed, &names);
    if found.is_empty() {
        found = alike(typed, &names);
    }
    let typed = typed.trim();
    if found.is_empty() {
        found.push(if typed.is_empty() { "no names known: type it".to_owned() } else { typed.to_owned() });
    }
    found.dedup();
    // What would be cut would no longer be the name.
    found.retain(|name| length(name) <= 100);
    found.into_iter().take(CHOICES).map(|name| Choice { name: Text::plain(&name), value: Text::plain(&name) }).collect()
}

/// The kinds of names that a field takes.
fn kinds(kind: Kind) -> Vec<NameKind> {
    match kind {
        Kind::Side => vec![NameKind::Unit, NameKind::Extra],
        Kind::Name(kind) => vec![kind],
        _ => Vec::new(),
    }
}

/// Whether a field is typed with suggestions.
pub fn has_names(kind: Kind) -> bool {
    !kinds(kind).is_empty()
}

/// Names that complete the last words, with what was typed before them: `3 reed b` becomes `3 Reed Barge`.
fn endings(typed: &str, names: &[&str]) -> Vec<String> {
    let words: Vec<&str> = typed.split_whitespace().collect();
    for at in 0..=words.len() {
        let (before, begun) = (words[..at].join(" "), folded(&words[at..].join(" ")));
        // A name is known from its beginning, or from the beginning of one of its words.
        let fits = |name: &&&str| {
            folded(name).starts_with(&begun) || name_words(name).iter().any(|word| word.starts_with(&begun))
        };
        let found: Vec<String> =
            names.iter().filter(fits).map(|name| format!("{before} {name}").trim().into()).collect();
        if !found.is_empty() && words[..at].iter().all(|word| may_stand_before(word, names)) {
            return found;
        }
    }
    Vec::new()
}

/// A number of models, a word that joins, or a word of a name.
fn may_stand_before(word: &str, names: &[&str]) -> bool {
    let number = word.chars().all(|c| c.is_ascii_digit() || c == 'x' || c == '+');
    let word = folded(word);
    number || matches!(word.as_str(), "with" | "and") || names.iter().any(|name| name_words(name).contains(&word))
}

/// Names that look like what was typed, the most alike first.
fn alike(typed: &str, names: &[&str]) -> Vec<String> {
    let typed = folded(typed.trim_start_matches(|c: char| c.is_ascii_digit() || c.is_whitespace()));
    let likeness = |name: &str| {
        let whole = strsim::jaro_winkler(&typed, &folded(name));
        name_words(name).iter().map(|word| strsim::jaro_winkler(&typed, word)).fold(whole, f64::max)
    };
    let mut rated: Vec<(f64, &str)> = names.iter().map(|name| (likeness(name), *name)).collect();
    rated.retain(|(likeness, _)| *likeness >= ALIKE);
    rated.sort_by(|a, b| b.0.total_cmp(&a.0));
    rated.into_iter().map(|(_, name)| name.to_owned()).collect()
}
