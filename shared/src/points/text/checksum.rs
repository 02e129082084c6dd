//! What a list says that it comes to, held against what was read of it.
use super::super::{List, total};
use super::amount::digits;
use super::{Pasted, remark};
use crate::rules::model::Pack;

/// The fewest units for which a sum says something.
const FEWEST: usize = 2;

/// The fewest points of a sum that says something.
const LEAST: u32 = 50;

fn cost(pack: &Pack, pasted: &Pasted) -> u64 {
    total(pack, &List { limit: 0, lines: pasted.lines.clone() })
}

/// Whether a text has a number that may be what a list comes to.
pub(super) fn says_any(text: &str) -> bool {
    text.lines().any(|line| numbers(line).iter().any(|(_, number)| *number >= LEAST))
}

/// Whether a number of the text is just what was read comes to: then nothing of it was a unit that could not be read.
pub(super) fn holds(pack: &Pack, text: &str, pasted: &Pasted) -> bool {
    let cost = cost(pack, pasted);
    let lines = pasted.lines.len() >= FEWEST;
    let limit = pasted.limit.map_or(0, u64::from);
    let says = |line: &str| {
        let words = remark::words(line);
        let left = words
            .iter()
            .any(|word| ["left", "spare", "under", "unspent", "remaining", "room"].contains(&word.as_str()));
        // `126 left over` of a limit.
        let is_sum = |number: u64| number == cost || left && number > 0 && limit.checked_sub(number) == Some(cost);
        numbers(line).iter().any(|(_, number)| is_sum(u64::from(*number)))
    };
    // Beside a unit stands what the list comes to as far as there.
    let one = pasted.lines.iter().all(|line| line.number == pasted.lines[0].number);
    let runs = |number: u32| !one && pasted.lines.iter().any(|line| line.number == number);
    lines && cost >= u64::from(LEAST) && text.lines().zip(1_u32..).any(|(line, number)| !runs(number) && says(line))
}

/// The numbers of a text that may be what it all comes to: its largest few.
pub(super) fn candidates(text: &str) -> Vec<u32> {
    const MOST: usize = 4;
    let mut all: Vec<u32> =
        text.lines().flat_map(numbers).map(|(_, number)| number).filter(|number| *number >= 100).collect();
    all.sort_unstable_by(|a, b| b.cmp(a));
    all.dedup();
    all.truncate(MOST);
    all
}

/// The limit of a list that was read whole: what a line for it says, or what stands behind what it comes to.
pub(super) fn told(pack: &Pack, text: &str, pasted: &Pasted) -> Option<u32> {
    let beside = || limit(pack, text, pasted);
    match pasted.limit {
        // `264 points` in a title is a limit where something says so.
        Some(limit) if u64::from(limit) == cost(pack, pasted) => {
            let of_limit =
                |line: &str| remark::says_limit(line) && numbers(line).iter().any(|(_, number)| *number == limit);
            let round = limit % 50 == 0;
            beside().or(pasted.limit.filter(|_| round || text.lines().any(of_limit)))
        }
        Some(limit) => Some(limit),
        None => beside(),
    }
}

/// The limit that the text tells: behind what it comes to (`580 of our 650`), or behind a word for it (`we said 750`).
pub(super) fn limit(pack: &Pack, text: &str, pasted: &Pasted) -> Option<u32> {
    const OF: &[&str] = &[
        "of", "out", "limit", "max", "under", "below", "said", "cap", "agreed", "game", "playing", "play", "von",
        "for", "my", "maximum", "fits", "within",
    ];
    let cost = cost(pack, pasted);
    text.lines().find_map(|line| {
        let words = remark::words(line);
        let numbers = numbers(line);
        numbers.iter().enumerate().find_map(|(at, (place, number))| {
            let near = words[place.saturating_sub(2)..*place].iter().any(|word| OF.contains(&word.as_str()));
            let next = words.iter().skip(place + 1).take(3).enumerate();
            let behind = next.into_iter().any(|(far, word)| {
                ["cap", "limit", "max", "maximum", "allowed", "spend"].contains(&word.as_str())
                    || far == 0 && word == "game"
            });
            // `limit was 300`
            let named = words[place.saturating_sub(2)..*place].iter().any(|word| word == "limit");
            let follows = at > 0 && u64::from(numbers[at - 1].1) == cost && numbers[at - 1].0 + 1 == *place;
            (u64::from(*number) > cost && (near || behind || follows) || u64::from(*number) == cost && named)
                .then_some(*number)
        })
    })
}

/// The numbers of a line with their places among its words.
fn numbers(line: &str) -> Vec<(usize, u32)> {
    let words = remark::words(line);
    let number = |word: &String| digits(word.trim_end_matches(char::is_alphabetic));
    words.iter().enumerate().filter_map(|(at, word)| Some((at, number(word)?))).collect()
}
