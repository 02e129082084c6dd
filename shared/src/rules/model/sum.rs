//! Sums of stats, charts and numbers, and what a roll needs by them.
use super::stat::Scope;
use crate::odds::{dice::Dice, roll::Needs};

/// Terms that are added up. At most one of them holds dice.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sum(pub Vec<Term>);

/// One of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Term {
    /// Taken off instead of added.
    pub minus: bool,
    /// What.
    pub source: Source,
}

/// Where a number comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// Written there.
    Number(i32),
    /// Dice written there.
    Dice(Dice),
    /// A stat, by its index.
    Stat(Scope, usize),
    /// A chart, by its index.
    Chart(usize),
    /// How many models the attacker (or the target) has.
    Models(Side),
    /// Points of structure or health that the first of the target's units or models misses.
    Hurt,
    /// The number that the person asked about: `/check charge 9`.
    Asked,
}

/// One of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// The attacker.
    Attacker,
    /// The target.
    Target,
}

/// What a roll needs, and where that comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NeedsFrom {
    /// Written there.
    Fixed(Needs),
    /// A stat that holds a need.
    Stat(Scope, usize),
    /// A chart that gives a need.
    Chart(usize),
    /// A total of at least this.
    AtLeast(Sum),
    /// A total of at most this.
    AtMost(Sum),
}

impl Sum {
    /// A plain number.
    pub fn number(number: i32) -> Self {
        Self(vec![Term { minus: false, source: Source::Number(number) }])
    }

    /// The number, where nothing has to be looked up.
    pub fn as_number(&self) -> Option<i32> {
        match self.0.as_slice() {
            [] => Some(0),
            [Term { minus, source: Source::Number(number) }] => Some(if *minus { -number } else { *number }),
            _ => None,
        }
    }
}
