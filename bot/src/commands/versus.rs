//! `/versus`: two whole lists against each other.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::link::Link;
use pipwright_shared::cards;
use pipwright_shared::wire::compare_lists::CompareListsAnswer;
use serde_json::json;

/// The definition.
pub const VERSUS: Command = Command {
    name: "versus",
    about: "Two whole lists against each other: what each destroys in a game, and what it can hardly destroy",
    words: &[],
    options: &[Opt::new("lists", Kind::Lines, "One list, a unit a line, then a line with v, then the other list")
        .required("Which lists? Paste one below the command, a unit a line, then a line with v, then the other.")],
    shares: &[],
    examples: &[],
    path: Some("/v1/compare-lists"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

/// A list has not more lines.
const MOST: usize = 100;
/// Addresses longer than this are cut somewhere.
const LONGEST: usize = 1_800;

/// The two lists of a text: parted by a line that says so, or on one line by the word.
pub fn two_lists(text: &str) -> Option<(Vec<&str>, Vec<&str>)> {
    let lines: Vec<&str> = text.split(['\n', ';']).map(str::trim).filter(|line| !line.is_empty()).collect();
    let parts = |line: &&str| {
        let line = line.trim_matches(['-', '=', '*', '_', '.', ':', ' ']);
        ["v", "vs", "versus", "against"].iter().any(|word| line.eq_ignore_ascii_case(word))
    };
    let at = lines.iter().position(parts)?;
    let (a, b) = (&lines[..at], &lines[at + 1..]);
    (!a.is_empty() && !b.is_empty() && !b.iter().any(parts)).then(|| (a.to_vec(), b.to_vec()))
}

/// What stands before a list and says whose it is, with a colon behind it.
const OURS: &[&str] = &["mine", "ours", "my list", "our list", "me", "us", "list 1", "list a"];
/// The same of the other list.
const THEIRS: &[&str] = &[
    "theirs",
    "his",
    "hers",
    "their list",
    "his list",
    "her list",
    "them",
    "him",
    "her",
    "enemy",
    "opponent",
    "list 2",
    "list b",
];

/// The two lists of a text that says whose they are: `mine: 3 barges; theirs: heron`. Ours is the first, wherever it stands;
/// of the one that comes first it need not be said.
fn owned_lists(text: &str) -> Option<(Vec<&str>, Vec<&str>)> {
    let lower = text.to_ascii_lowercase();
    let label = |names: &[&str]| {
        let begins = |at: usize| {
            lower[..at].trim_end_matches([' ', '\t']).chars().next_back().is_none_or(|c| ";,\n.".contains(c))
        };
        let found = |name: &&str| -> Option<(usize, usize)> {
            let with = format!("{name}:");
            lower.match_indices(&with).map(|(at, _)| at).find(|at| begins(*at)).map(|at| (at, at + with.len()))
        };
        names.iter().filter_map(found).min()
    };
    let units = |text: &str| text.chars().any(char::is_alphanumeric);
    let split = |(at, end): (usize, usize)| (&text[..at], &text[end..]);
    let (ours, theirs) = match (label(OURS), label(THEIRS)) {
        (Some(ours), Some(theirs)) if ours < theirs => (&text[ours.1..theirs.0], &text[theirs.1..]),
        (Some(ours), Some(theirs)) => (&text[ours.1..], &text[theirs.1..ours.0]),
        (None, Some(theirs)) => split(theirs),
        (Some(ours), None) => {
            let (theirs, ours) = split(ours);
            (ours, theirs)
        }
        (None, None) => return None,
    };
    (units(ours) && units(theirs)).then(|| (each_unit(ours), each_unit(theirs)))
}

/// The units of a list on one line or several.
fn each_unit(text: &str) -> Vec<&str> {
    let parts = text.split(['\n', ';', ',']).map(|unit| unit.trim().trim_end_matches('.'));
    parts.filter(|unit| !unit.is_empty() && !["v", "vs", "against", "and"].contains(unit)).collect()
}

/// The same where a list may stand on one line, its units parted by commas.
fn lists(text: &str) -> Option<(Vec<&str>, Vec<&str>)> {
    if let Some(found) = owned_lists(text).or_else(|| two_lists(text)) {
        return Some(found);
    }
    if text.trim().contains('\n') {
        return None;
    }
    let (at, length) = [" v ", " vs ", " versus ", " against "]
        .into_iter()
        .filter_map(|word| Some((text.to_ascii_lowercase().find(word)?, word.len())))
        .min()?;
    let (one, other) = (&text[..at], &text[at + length..]);
    let a: Vec<&str> = one.split(',').map(str::trim).filter(|unit| !unit.is_empty()).collect();
    let b: Vec<&str> = other.split(',').map(str::trim).filter(|unit| !unit.is_empty()).collect();
    (!a.is_empty() && !b.is_empty()).then_some((a, b))
}

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    let text = asked.attached.or(asked.read.text("lists")).ok_or_else(|| asked.lacks("lists", Vec::new()))?;
    let Some((a, b)) = lists(text) else {
        let unit = |at: usize| names.units.get(at).map_or("one unit", |unit| unit.name.as_str()).to_lowercase();
        let example = format!("{}, {} v {}", unit(0), unit(1), unit(2));
        return Err(Halt::Say(format!("Which is whose? Put `v` between your list and theirs, like `{example}`.")));
    };
    if a.len() > MOST || b.len() > MOST {
        let sentence = format!("These lists have {} and {} lines; up to {MOST} are read of each.", a.len(), b.len());
        return Err(Halt::Say(sentence));
    }
    let question = json!({"pack": names.id, "a": {"lines": a}, "b": {"lines": b}});
    let answer: CompareListsAnswer = asked.api.ask("/v1/compare-lists", &question).await?;
    let mut card = cards::versus::card(&answer);
    card.link = Some(Link::new("/v1/compare-lists", question)).filter(|link| link.to_string().len() <= LONGEST);
    Ok(card)
}

#[cfg(test)]
mod tests {
    use super::lists;

    #[test]
    fn lists_say_whose_they_are() {
        let two = Some((vec!["3 barges", "crew"], vec!["heron"]));
        for text in [
            "mine: 3 barges, crew; theirs: heron",
            "theirs: heron; mine: 3 barges, crew",
            "3 barges, crew; theirs: heron.",
            "My list:\n3 barges\ncrew\nHis list:\nheron",
            "3 barges, crew v heron",
            "3 barges\ncrew\n--- v ---\nheron",
        ] {
            assert_eq!(lists(text), two, "{text}");
        }
        // One list, and a word that only ends like a label.
        for text in ["3 barges, crew; heron", "mine: 3 barges, crew", "some: 3 barges; heron"] {
            assert_eq!(lists(text), None, "{text}");
        }
    }
}
