//! Finding the rule that a text speaks of: by its name, a close spelling, or the words of its text.
use super::model::Pack;
use super::model::condition::{Condition, Trait};
use super::names::{is_slip, plain};

/// Words that say nothing about which rule is meant.
const IDLE: &[&str] = &[
    "a", "about", "after", "again", "against", "all", "an", "and", "any", "are", "at", "be", "been", "before", "but",
    "by", "can", "could", "did", "do", "doe", "does", "ever", "for", "from", "get", "ha", "had", "have", "help", "how",
    "i", "if", "in", "is", "it", "matter", "may", "me", "mean", "must", "my", "no", "not", "of", "on", "or", "our",
    "out", "please", "rule", "say", "shall", "should", "so", "still", "tell", "text", "that", "the", "their", "them",
    "then", "there", "they", "thi", "to", "up", "us", "wa", "we", "what", "when", "where", "which", "while", "who",
    "why", "will", "with", "without", "work", "would", "you", "your", "apply", "count", "act",
];

/// Whether a word says nothing about what is meant.
pub fn is_idle(word: &str) -> bool {
    IDLE.contains(&word)
}

/// What a hit counts: a word of the name, one like it, a word of the text, and the whole name as it stands.
const NAMED: u32 = 10;
const SLIPPED: u32 = 8;
const TOLD: u32 = 1;
const WHOLE: u32 = 20;

/// A rule that was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Found {
    /// Which, by index.
    pub rule: usize,
    /// Whether its name was said, and not only what its text speaks of.
    pub by_name: bool,
    score: u32,
    first: usize,
}

/// The rules that a text finds, best first; all for an empty text, none where no rule speaks of it.
pub fn search(pack: &Pack, text: &str) -> Vec<usize> {
    if plain(text).is_empty() {
        return (0..pack.rules.len()).collect();
    }
    find(pack, text).into_iter().take(20).map(|found| found.rule).collect()
}

/// The rules that a text speaks of, best first.
pub fn find(pack: &Pack, text: &str) -> Vec<Found> {
    let wanted = plain(text);
    let mut words: Vec<&str> = wanted.split(' ').filter(|word| !IDLE.contains(word)).collect();
    if words.is_empty() {
        // A name may be made of such words alone.
        words = wanted.split(' ').collect();
    }
    let places = places(pack);
    let score = |rule: usize| score(pack, rule, &wanted, &words, &places);
    let mut found: Vec<Found> = (0..pack.rules.len()).filter_map(score).collect();
    // Of several rules the one that is spoken of first.
    found.sort_by_key(|found| (std::cmp::Reverse(found.score), found.first, found.rule));
    found
}

/// The names of arcs and range bands.
fn places(pack: &Pack) -> Vec<String> {
    let arcs = pack.situations.arcs.iter().map(|word| &word.named);
    let named = arcs.chain(pack.situations.ranges.iter().map(|band| &band.word.named));
    named.flat_map(|named| std::iter::once(&named.label).chain(&named.also)).map(|name| plain(name)).collect()
}

fn score(pack: &Pack, rule: usize, wanted: &str, words: &[&str], places: &[String]) -> Option<Found> {
    let named = &pack.rules[rule].named;
    let names: Vec<String> = std::iter::once(&named.label).chain(&named.also).map(|name| plain(name)).collect();
    let body = plain(&named.text);
    let has = |text: &str, test: &dyn Fn(&str) -> bool| text.split(' ').any(test);
    let (mut score, mut told, mut by_name, mut first) = (0, 0, false, usize::MAX);
    for (at, word) in words.iter().enumerate() {
        let in_name = |test: &dyn Fn(&str) -> bool| names.iter().any(|name| has(name, test));
        // Where a shot comes from is no rule's name: `from behind`.
        let place = places.iter().any(|place| place == word);
        let points = if place && in_name(&|other| same(word, other)) {
            told += 1;
            TOLD
        } else if in_name(&|other| same(word, other)) {
            (by_name, told) = (true, told + 1);
            NAMED
        } else if !place && !crate::english::is_word_or_stem(word) && in_name(&|other| is_slip(other, word)) {
            (by_name, told) = (true, told + 1);
            SLIPPED
        } else if has(&body, &|other| same(word, other)) {
            told += 1;
            TOLD
        } else {
            continue;
        };
        score += points;
        first = first.min(at);
    }
    let padded = format!(" {wanted} ");
    if plain(&named.id) == wanted || names.iter().any(|name| padded.contains(&format!(" {name} "))) {
        (score, by_name, first) = (score + WHOLE, true, first.min(words.len()));
    }
    // A word in passing is not yet what a rule speaks of.
    let speaks = by_name || told * 2 > words.len();
    speaks.then_some(Found { rule, by_name, score, first })
}

/// Whether two words are one but for their endings: `moving` and `moved`.
pub(super) fn same(word: &str, other: &str) -> bool {
    word == other || (stem(word).len() > 2 && stem(word) == stem(other))
}

fn stem(word: &str) -> &str {
    ["ing", "ed", "e"].iter().find_map(|end| word.strip_suffix(end).filter(|stem| stem.len() > 2)).unwrap_or(word)
}

/// The rules that ask whether somebody carries this one.
pub fn asked_by(pack: &Pack, rule: usize) -> Vec<usize> {
    let asks = |at: &usize| {
        let other = &pack.rules[*at];
        std::iter::once(&other.when)
            .chain(other.changes.iter().map(|change| &change.when))
            .any(|when| names(when, rule))
    };
    (0..pack.rules.len()).filter(asks).collect()
}

fn names(condition: &Condition, rule: usize) -> bool {
    match condition {
        Condition::All(parts) | Condition::Any(parts) => parts.iter().any(|part| names(part, rule)),
        Condition::Not(inner) => names(inner, rule),
        Condition::Is(_, traits) => traits.contains(&Trait::Rule(rule)),
        _ => false,
    }
}
