//! What the table adds to a matchup: arcs, range bands, covers and the pack's own flags.
use super::{Named, stat::Profile};
use crate::report::saying::at_range;

/// The words of the situation. None of the first three lists is empty.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Situations {
    /// Sides that can be hit, front to rear.
    pub arcs: Vec<Word>,
    /// Where each of them lies.
    pub sectors: Vec<Sector>,
    /// Distances, nearest first.
    pub ranges: Vec<Band>,
    /// What the target stands behind.
    pub covers: Vec<Word>,
    /// Things that are so or not.
    pub flags: Vec<Named>,
    /// How a sentence says of each flag that it is so, and that it is not: `there is mist`, `there is no mist`.
    pub flags_said: Vec<Option<(String, String)>>,
    /// The arc, range band and cover that stand where nobody says.
    pub usual: (usize, usize, usize),
}

/// One arc or cover.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Word {
    /// What it is called.
    pub named: Named,
    /// Its own numbers.
    pub profile: Profile,
}

/// Where an arc lies around a hull.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sector {
    /// Where it ends, from straight ahead on either hand.
    pub to: Option<Border>,
    /// The only hand that it is on.
    pub hand: Option<Hand>,
}

/// Where an arc ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Border {
    /// At so many degrees from straight ahead.
    Degrees(u32),
    /// On the line through a front corner of the hull.
    FrontCorner,
    /// On the line through a rear corner of the hull.
    RearCorner,
}

/// One side of a hull, seen from within.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Border {
    /// Whether it depends on the hull.
    pub fn is_corner(self) -> bool {
        !matches!(self, Self::Degrees(_))
    }
}

/// One range band.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Band {
    /// What it is called, and its own numbers.
    pub word: Word,
    /// The largest distance that belongs to it; the last band has none.
    pub to: Option<u32>,
    /// How a sentence says that something happens there, where the pack says it: `in contact`.
    pub at: Option<String>,
}

impl Band {
    /// How a sentence says that something happens there.
    pub fn said(&self) -> String {
        self.at.clone().unwrap_or_else(|| at_range(&self.word.named.label))
    }
}

impl Situations {
    /// The band that a distance falls into.
    pub fn band(&self, distance: u32) -> usize {
        let fits = |band: &Band| band.to.is_none_or(|to| distance <= to);
        self.ranges.iter().position(fits).unwrap_or(self.ranges.len().saturating_sub(1))
    }

    /// The smallest distance of a band: what lies beyond the band before it.
    pub fn from(&self, band: usize) -> u32 {
        match band.checked_sub(1).and_then(|before| self.ranges.get(before)) {
            Some(before) => before.to.map_or(0, |to| to + 1),
            None => 0,
        }
    }
}
