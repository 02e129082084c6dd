//! How sentences speak of the appraised unit: as one or as several, and of others of its own sort as others.
use super::answer::AppraisalAnswer;
use super::review::TogetherRow;
use crate::report::saying::{another_unit, at_range, count, is_several, mean_of, percent, plural, the_unit, verb};

/// The appraised unit in a sentence.
#[derive(Clone, Copy)]
pub(super) struct Voice {
    several: bool,
    /// `it` or `they`.
    pub(super) they: &'static str,
    /// `it` or `them`.
    pub(super) them: &'static str,
    /// `its` or `their`.
    pub(super) their: &'static str,
    /// Of several the last one: as long as it lives, the unit does.
    pub(super) last: &'static str,
}

impl Voice {
    pub(super) fn of(of: &AppraisalAnswer) -> Self {
        Self::counted(&of.counted)
    }

    /// Of a unit as people count it.
    pub(super) fn counted(counted: &str) -> Self {
        if is_several(counted) {
            Self { several: true, they: "they", them: "them", their: "their", last: "the last of them" }
        } else {
            Self { several: false, they: "it", them: "it", their: "its", last: "it" }
        }
    }

    /// `destroys`, `destroy`.
    pub(super) fn verb(self, base: &str) -> String {
        verb(base, self.several)
    }

    /// `it destroys`, `they destroy`.
    pub(super) fn does(self, base: &str) -> String {
        format!("{} {}", self.they, self.verb(base))
    }

    /// `it doesn't`, `they don't`.
    pub(super) fn does_not(self) -> String {
        format!("{} {}", self.they, if self.several { "don't" } else { "doesn't" })
    }
}

/// Another unit as people count it; one of the unit's own sort is another.
pub(super) fn other(of: &AppraisalAnswer, name: &str, counted: &str) -> String {
    if name == of.name { another_unit(counted) } else { the_unit(counted) }
}

/// How a sentence says that something happens at a range.
pub(super) fn at(of: &AppraisalAnswer, range: &str) -> String {
    of.at_ranges.get(range).cloned().unwrap_or_else(|| at_range(range))
}

pub(super) fn turns(turns: u32) -> String {
    count(u64::from(turns), "turn", "turns")
}

/// How long the unit lives where it stands at the end of so many turns on average: `it survives 4.6 of 6 turns`. Nobody
/// survives a fifth of a turn.
pub(super) fn survives(of: &AppraisalAnswer, said: &str, (stood, standing): (f64, &[f64])) -> String {
    let voice = Voice::of(of);
    let first = standing.first().copied().unwrap_or(0.0);
    let is = if voice.several { "are" } else { "is" };
    let they = voice.they;
    if first <= 0.0 {
        return format!("{they} {is} gone in the first turn");
    }
    if of.turns == 1 {
        return format!("{} lives through the turn {} of the time", voice.last, percent(first));
    }
    if stood < 1.0 && first < 0.5 {
        return format!("{they} {is} usually gone in the first turn ({} to live through it)", percent(first));
    }
    if stood < 1.0 {
        return format!("{} survives less than one of {} on average", voice.last, turns(of.turns));
    }
    // The whole game only where that is certain.
    let whole = said == of.turns.to_string() && standing.last().is_some_and(|last| *last < 1.0);
    let bound = if whole { mean_of(stood, u64::from(of.turns), false) } else { said.to_owned() };
    format!("{} survives {bound} of {}", voice.last, turns(of.turns))
}

/// Whether the unit does it as it was asked for, without an option that it could still take.
pub(super) fn as_asked(of: &AppraisalAnswer, row: &TogetherRow) -> bool {
    added(of, row).is_none()
}

/// The option that it would have to take for it.
pub(super) fn added<'a>(of: &AppraisalAnswer, row: &'a TogetherRow) -> Option<&'a str> {
    let options: Vec<&str> = row.near.strip_prefix(of.name.as_str())?.split(" + ").skip(1).collect();
    (options.len() > of.taken.len()).then(|| options.last().copied()).flatten()
}

/// Something that is taken: `a Signal mast`, but `Flensing hooks`.
pub(super) fn a(label: &str) -> String {
    if plural(label) == label { label.to_owned() } else { crate::report::saying::one(label) }
}
