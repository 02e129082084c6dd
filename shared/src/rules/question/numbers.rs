//! What the numbers of a question are: faces of dice, models, needs; distances are read elsewhere.
use super::lexicon::{AMOUNTS, BODIES, is_in};
use super::said::Reading;
use super::spots::Sort;

/// Sorts them into what was said.
pub(super) fn read(reading: &mut Reading) {
    reading.said.missed = (1..reading.words.len()).any(|at| {
        let missed = matches!(reading.word(at), "miss" | "mis" | "missed" | "misse");
        let told = matches!(reading.word(at - 1), "a" | "on" | "that" | "it" | "he" | "she" | "i" | "they" | "shot");
        missed && told && !reading.taken[at] && !reading.words[at].breaks
    });
    for at in 0..reading.words.len() {
        let word = &reading.words[at];
        let Some(number) = word.number else { continue };
        if reading.taken[at] {
            continue;
        }
        if word.need {
            reading.said.needs.push(number);
            continue;
        }
        let before = if at > 0 && !word.breaks { reading.word(at - 1) } else { "" };
        let next = reading.words.get(at + 1).filter(|next| !next.breaks);
        let after = next.map_or("", |next| next.plain.as_str());
        let unit = |from: usize| {
            let counted = |sort: Sort| matches!(sort, Sort::Unit | Sort::Kind | Sort::Weapon);
            next.is_some() && reading.spots.iter().any(|spot| spot.from == from && counted(spot.sort))
        };
        let on_dice = (after == "on" && matches!(reading.word(at + 2), "the" | "a"))
            || (after == "to" && reading.word(at + 2) == "hit" && matches!(before, "a" | "on"));
        let rolled = matches!(
            before,
            "on" | "a" | "an" | "roll" | "rolled" | "show" | "showing" | "throw" | "threw" | "up" | "natural" | "with"
        ) && !(before == "with" && unit(at + 1));
        if on_dice || (rolled && !is_in(AMOUNTS, after)) {
            reading.said.faces.push(number);
        } else if is_in(BODIES, after) || unit(at + 1) || unit(at + 2) || matches!(before, "exactly" | "only") {
            reading.said.counts.push(number);
        } else if !is_in(AMOUNTS, after) {
            reading.said.numbers.push(number);
        }
    }
}
