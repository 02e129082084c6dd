//! Clauses and people that have nothing to do with the game: `no commentary from Dunc`.
use super::super::lexicon::Class;
use super::super::message::ParsedMessage;
use super::super::names::Sort;
use super::super::reading::Reading;
use super::{MOVES, QUANTITIES};
use crate::typing::token::TokenKind;

/// What a word of a clause weighs that names nothing of the game.
pub(super) const ASIDE: f64 = 0.15;

/// Which words stand in a clause that names nothing of the game and gives no condition, while another clause does.
pub(super) fn asides(message: &ParsedMessage<'_>, used: &[bool]) -> Vec<bool> {
    let mut aside = vec![false; message.tokens.len()];
    let mut from = 0;
    while from < message.tokens.len() {
        let to = (from..message.tokens.len()).find(|at| message.is_end(*at)).unwrap_or(message.tokens.len());
        let words = || from..to;
        let told = words().any(|at| used.get(at).copied().unwrap_or(false))
            || words().any(|at| !matches!(message.tokens[at].kind, TokenKind::Word(_)))
            || words().any(|at| {
                message.mentions.iter().any(|one| one.sort != Sort::Term && one.at <= at && at < one.at + one.len)
            })
            || words().any(|at| CONDITIONS.iter().any(|class| message.is(at, *class)))
            || words().any(|at| message.any(at, MOVES) || message.any(at, STATES) || message.any(at, QUANTITIES))
            || words()
                .any(|at| message.any(at, &["it", "its", "they", "theyre", "them", "hes", "he"]) && to - from > 2);
        if !told && (from > 0 || to < message.tokens.len()) {
            aside[from..to].fill(true);
        }
        from = to + 1;
    }
    aside
}

/// Classes of words that may say how things stand on the table.
const CONDITIONS: &[Class] = &[
    Class::ArcFront,
    Class::ArcSide,
    Class::ArcRear,
    Class::NearBand,
    Class::MidBand,
    Class::FarBand,
    Class::ContactBand,
    Class::CoverSome,
    Class::CoverHard,
    Class::CoverSoft,
    Class::CoverNone,
    Class::Contact,
    Class::Charged,
    Class::Moved,
    Class::Still,
    Class::Uphill,
    Class::Fog,
    Class::Lost,
    Class::Left,
    Class::DownTo,
    Class::Half,
    Class::Double,
    Class::MoreOne,
    Class::LessOne,
    Class::Near,
    Class::With,
    Class::Cond,
    Class::Only,
    Class::Repair,
    Class::Run,
];

/// Words of how a unit is, which a pack may know by other names.
const STATES: &[&str] = &[
    "prone",
    "hidden",
    "night",
    "dark",
    "rain",
    "raining",
    "snow",
    "snowing",
    "wind",
    "windy",
    "braced",
    "settled",
    "elevated",
    "high",
    "higher",
    "low",
    "lower",
    "hill",
    "ditch",
    "trench",
    "building",
    "house",
    "woods",
    "forest",
    "tired",
    "exhausted",
    "suppressed",
    "pinned",
    "panicked",
    "drunk",
    "veteran",
    "veterans",
    "elite",
    "rookies",
];

/// A name in capitals that the game does not know, within a sentence: whoever is spoken of.
pub(super) fn is_person(message: &ParsedMessage<'_>, at: usize) -> bool {
    let token = &message.tokens[at];
    let mut letters = message.text.get(token.span.clone()).unwrap_or_default().chars();
    let proper =
        letters.next().is_some_and(char::is_uppercase) && letters.all(|letter| letter.is_lowercase() || letter == '\'');
    let first = at == 0 || message.is_end(at - 1) && !message.text[..token.span.start].trim_end().ends_with(',');
    proper && !first && token.classes.is_empty() && token.word.len() > 1
}

/// `the reeve's boat`: something of a unit's that nobody knows is not the unit.
pub(super) fn owned_unknown(message: &ParsedMessage<'_>, reading: &Reading, at: usize) -> bool {
    const FOUGHT: &[&str] = &["matchup", "needed", "luck", "duel", "compare", "repair", "points"];
    let owner = message.mentions.iter().any(|one| {
        one.sort == Sort::Unit
            && one.at + one.len == at
            && message.tokens[at - 1].owns
            && reading.used.get(one.at).copied().unwrap_or(false)
    });
    owner
        && message.tokens[at].classes.is_empty()
        && !message.any(at, &["armour", "armor", "plating", "skin"])
        && FOUGHT.contains(&reading.command.name)
}
