//! Rules whose text speaks of an arc, a range or a number that their data does not have.
use super::super::fault::Fault;
use super::super::model::Pack;
use super::super::model::change::{Rule, RuleScope};
use super::super::model::condition::Condition;
use super::super::model::situation::Word;
use super::places::{Places, Spot};
use std::collections::BTreeSet;

pub(super) fn find(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    let words = &pack.situations;
    let arcs: Vec<&Word> = words.arcs.iter().collect();
    let ranges: Vec<&Word> = words.ranges.iter().map(|band| &band.word).collect();
    for rule in pack.rules.iter().filter(|rule| !rule.changes.is_empty() || rule.repair.is_some()) {
        let place = places.of("rule", &rule.named.id);
        let text = spoken(&rule.named.text);
        let near = [RuleScope::NearAttacker, RuleScope::NearTarget];
        let nearby = near.contains(&rule.side) || rule.changes.iter().any(|change| near.contains(&change.side));
        for (what, named, asks) in [("an arc", &arcs, asks_arc as fn(_) -> _), ("a range", &ranges, asks_range)] {
            // Units near another are no range.
            let said = named.iter().find(|word| says(&text, word) && !(nearby && word.named.id == "near"));
            if let Some(word) = said.filter(|_| !conditions(rule).any(asks)) {
                let label = &word.named.label;
                let message = format!("the text speaks of {label:?}, and no part of the rule asks for {what}");
                faults.push(
                    place.under("text").warning(message, "ask for it with when = { … }, or leave it out of the text"),
                );
            }
        }
        numbers(&text, &place, faults);
    }
}

fn conditions(rule: &Rule) -> impl Iterator<Item = &Condition> {
    std::iter::once(&rule.when).chain(rule.changes.iter().map(|change| &change.when))
}

fn asks_arc(condition: &Condition) -> bool {
    asks(condition, |one| matches!(one, Condition::Arc(_)))
}

fn asks_range(condition: &Condition) -> bool {
    asks(condition, |one| matches!(one, Condition::Range(_)))
}

fn asks(condition: &Condition, what: fn(&Condition) -> bool) -> bool {
    match condition {
        Condition::All(parts) | Condition::Any(parts) => parts.iter().any(|part| asks(part, what)),
        Condition::Not(inner) => asks(inner, what),
        one => what(one),
    }
}

/// The words of a text in small letters.
fn spoken(text: &str) -> Vec<String> {
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '\'').filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect()
}

/// Whether the text has the label of an arc or a range, word for word.
fn says(text: &[String], word: &Word) -> bool {
    let label = spoken(&word.named.label);
    !label.is_empty() && text.windows(label.len()).any(|part| part == label)
}

const NUMBERS: [(&str, i64); 9] = [
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("five", 5),
    ("six", 6),
    ("seven", 7),
    ("eight", 8),
    ("nine", 9),
    ("ten", 10),
];

/// Numbers from two up: `one` is a pronoun as often as a number. One more than a number of the data may be meant: a
/// further hit makes two.
fn numbers(text: &[String], place: &Spot<'_>, faults: &mut Vec<Fault>) {
    let mut known = BTreeSet::new();
    place.numbers(&mut known);
    for word in text {
        let named = NUMBERS.iter().find(|(name, _)| name == word).map(|(_, number)| *number);
        let number = named.or_else(|| word.trim_start_matches('d').parse::<i64>().ok()).filter(|number| *number > 1);
        if let Some(number) = number.filter(|number| !known.contains(number) && !known.contains(&(number - 1))) {
            let message = format!("the text says {word}, and the rule has no {number}");
            faults.push(place.under("text").warning(message, "let the text and the data say the same"));
        }
    }
}
