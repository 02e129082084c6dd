//! Arc, range, cover, flags and whether the attacker moved, as a question says them.
use super::super::model::Pack;
use super::lexicon::{self, is_in};
use super::said::Reading;
use super::spots::{Sort, Spot};

/// Reads all of them into what was said.
pub(super) fn read(pack: &Pack, reading: &mut Reading) {
    let table = &pack.situations;
    let arcs = among(reading, Sort::Arc, table.arcs.len());
    let covers = among(reading, Sort::Cover, table.covers.len());
    let mut ranges = among(reading, Sort::Range, table.ranges.len());
    if let Some((found, distance)) = distance(pack, reading) {
        (ranges, reading.said.distance) = (found, distance);
    }
    let mut said = |found: &[usize], label: &dyn Fn(usize) -> String| {
        let names: Vec<String> = found.iter().map(|at| label(*at)).collect();
        reading.said.understood.extend((!names.is_empty()).then(|| names.join(" or ")));
    };
    said(&arcs, &|at| table.arcs[at].named.label.clone());
    said(&ranges, &|at| table.ranges[at].word.named.label.clone());
    said(&covers, &|at| table.covers[at].named.label.clone());
    let spoken = &mut reading.said.spoken;
    (spoken.arc, spoken.range, spoken.cover) = (!arcs.is_empty(), !ranges.is_empty(), !covers.is_empty());
    let or_all = |can: Vec<usize>, count: usize| if can.is_empty() { (0..count).collect() } else { can };
    reading.said.arcs = or_all(arcs, table.arcs.len());
    reading.said.ranges = or_all(ranges, table.ranges.len());
    reading.said.covers = or_all(covers, table.covers.len());
    for spot in reading.spots.clone().iter().filter(|spot| spot.sort == Sort::Flag) {
        let set = !reading.is_denied(spot.from);
        let label = &table.flags[spot.at].label;
        if reading.said.flags[spot.at].is_none() {
            reading.said.flags[spot.at] = Some(set);
            reading.said.understood.push(if set { label.clone() } else { format!("no {label}") });
        }
    }
    reading.said.moved = moved(reading);
    reading
        .said
        .understood
        .extend(reading.said.moved.map(|moved| if moved { "moved" } else { "not moved" }.to_owned()));
}

/// The words of an axis that a question leaves possible; none where it says nothing of it.
fn among(reading: &Reading, sort: Sort, count: usize) -> Vec<usize> {
    let mut can: Vec<usize> = Vec::new();
    for spot in reading.spots.iter().filter(|spot| spot.sort == sort) {
        if sort == Sort::Arc && is_of_cover(reading, spot) {
            continue;
        }
        let bound = if sort == Sort::Range { bound(reading, spot.from) } else { None };
        let denied = reading.is_denied(spot.from);
        let meant = |at: usize| match bound {
            Some(Bound::Beyond) => at > spot.at,
            Some(Bound::Within) => at <= spot.at,
            None => (at == spot.at) != denied,
        };
        can.extend((0..count).filter(|at| meant(*at) && !can.contains(at)).collect::<Vec<_>>());
    }
    can.sort_unstable();
    can
}

/// `behind the reeds` is a cover and no arc.
fn is_of_cover(reading: &Reading, spot: &Spot) -> bool {
    let follows = |other: &Spot| {
        other.sort == Sort::Cover
            && other.from >= spot.to
            && (spot.to..other.from).all(|at| lexicon::SMALL.contains(&reading.word(at)))
    };
    reading.spots.iter().any(follows)
}

/// How a distance bounds what is meant.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Bound {
    Beyond,
    Within,
}

/// `beyond near range`, `no further off than a stone's throw`: looked for in the few words before.
fn bound(reading: &Reading, at: usize) -> Option<Bound> {
    let start = at.saturating_sub(4);
    for back in (start..at).rev() {
        if reading.words[back + 1].breaks {
            return None;
        }
        let word = reading.word(back);
        let denied = back > 0 && matches!(reading.word(back - 1), "no" | "not");
        let compared = |word: &str| {
            (back + 1..at).any(|at| reading.word(at) == "than")
                || matches!(word, "beyond" | "outside" | "past" | "over")
        };
        if is_in(lexicon::BEYOND, word) && compared(word) {
            return Some(if denied { Bound::Within } else { Bound::Beyond });
        }
        let inside = matches!(word, "within" | "inside" | "under" | "upto")
            || (word == "to" && back > 0 && reading.word(back - 1) == "up");
        if inside || (is_in(lexicon::WITHIN, word) && compared("")) {
            return Some(Bound::Within);
        }
    }
    None
}

/// The bands that a distance leaves, and the distance where it is just one; `at a distance` is any but the nearest.
fn distance(pack: &Pack, reading: &Reading) -> Option<(Vec<usize>, Option<u32>)> {
    let table = &pack.situations;
    for (at, word) in reading.words.iter().enumerate() {
        let bare = word.number.filter(|number| {
            let before = if at > 0 { reading.word(at - 1) } else { "" };
            let after = reading.words.get(at + 1);
            *number > 9 && matches!(before, "at" | "from") && after.is_none_or(|after| after.breaks)
        });
        if let Some(inches) = word.inches.or(bare.map(f64::from)) {
            let whole = inches.ceil().clamp(0.0, 1e6) as u32;
            let band = table.band(whole);
            return Some(match bound(reading, at) {
                // Past the end of a band lies the next.
                Some(Bound::Beyond) => (table.band(inches.floor() as u32 + 1)..table.ranges.len(), None),
                Some(Bound::Within) => (0..band + 1, None),
                None => (band..band + 1, Some(whole)),
            })
            .map(|(bands, distance)| (bands.collect(), distance));
        }
        let far = matches!(word.plain.as_str(), "range" | "distance")
            && at > 0
            && matches!(reading.word(at - 1), "at" | "a" | "from")
            && !reading.taken[at]
            && !reading.spots.iter().any(|spot| spot.sort == Sort::Range);
        if far && table.ranges.len() > 1 {
            return Some(((1..table.ranges.len()).collect(), None));
        }
    }
    None
}

/// Whether the attacker moved, by the last word that says so.
fn moved(reading: &Reading) -> Option<bool> {
    let named = |at: usize| {
        let covers = |spot: &&Spot| (spot.from..spot.to).contains(&at);
        reading
            .spots
            .iter()
            .filter(covers)
            .any(|spot| matches!(spot.sort, Sort::Rule | Sort::Unit | Sort::Weapon | Sort::Topic))
    };
    (0..reading.words.len()).find_map(|at| {
        let word = reading.word(at);
        let before = if at > 0 { reading.word(at - 1) } else { "" };
        let after = reading.word(at + 1);
        match word {
            _ if named(at) => None,
            // `stood still`; `is it still` asks something else.
            "still" if is_in(lexicon::STOOD, before) => Some(reading.is_denied(at - 1)),
            "put" if is_in(lexicon::STOOD, before) => Some(reading.is_denied(at - 1)),
            "speed" if !matches!(before, "at" | "full") => None,
            "move" if matches!(before, "the" | "my" | "his") && !after.is_empty() => None,
            _ if is_in(lexicon::STILL, word) => Some(false),
            _ if is_in(lexicon::MOVED, word) => Some(!reading.is_denied(at)),
            _ => None,
        }
    })
}
