//! Ordinary words that are names of a place only where they stand so: `back`, `right`, `close`, `long`, `open`.
use super::lexicon::{BEFORE_PLACE, is_in};
use super::spots::{Sort, Spot};
use super::words::Word;

/// Words after which a place is not a place: `as long as`, `so far`, `how close`.
const MEASURES: &[&str] = &["as", "so", "how", "too", "all", "very"];
/// What `near` and `close` are near to.
const NEIGHBOURS: &[&str] = &[
    "it", "him", "them", "her", "the", "a", "an", "hi", "his", "my", "their", "to", "by", "that", "another", "us",
    "me", "one", "our",
];

/// Whether a name that was spotted can mean what it names where it stands.
pub(super) fn stands(words: &[Word], spot: &Spot) -> bool {
    if spot.to != spot.from + 1 {
        return true;
    }
    let word = words[spot.from].plain.as_str();
    let before = spot.from.checked_sub(1).map(|at| words[at].plain.as_str()).filter(|_| !words[spot.from].breaks);
    let after = words.get(spot.to).filter(|word| !word.breaks).map(|word| word.plain.as_str());
    let ends = after.is_none();
    match spot.sort {
        Sort::Arc => match word {
            "right" | "left" => {
                before.is_some_and(|word| BEFORE_PLACE.contains(&word))
                    && (ends || matches!(after, Some("side" | "flank" | "hand")))
            }
            "back" | "nose" | "tail" => before.is_some_and(|word| BEFORE_PLACE.contains(&word)) || after == Some("arc"),
            "behind" => {
                before == Some("from") || ends || matches!(after, Some("it" | "them" | "him" | "her" | "me" | "us"))
            }
            _ => true,
        },
        Sort::Range => match word {
            "near" | "close" => {
                !before.is_some_and(|word| MEASURES.contains(&word))
                    && (before == Some("at") || !after.is_some_and(|word| NEIGHBOURS.contains(&word)))
            }
            "far" | "long" | "short" => !before.is_some_and(|word| MEASURES.contains(&word)) && after != Some("a"),
            "touch" => before == Some("in") || ends,
            _ => true,
        },
        Sort::Cover => match word {
            "open" => before.is_some_and(|word| matches!(word, "the" | "in" | "out" | "on")),
            "none" => false,
            _ => true,
        },
        // What moves is moved, and nothing is called so: `what happens if I charge`.
        Sort::Status | Sort::Topic | Sort::Option => !is_in(super::lexicon::ASKING, word),
        Sort::Flag | Sort::Rule | Sort::Unit | Sort::Weapon | Sort::Kind => true,
    }
}
