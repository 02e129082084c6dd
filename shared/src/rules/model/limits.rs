//! What a list must keep to, and the board that units are measured against.
use super::Named;

/// What units count as.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Role {
    /// What it is called.
    pub named: Named,
    /// The fewest slots of it that a list fills.
    pub least: u32,
    /// The most slots of it.
    pub most: Option<u32>,
    /// The largest share of the points limit, in percent.
    pub most_share: Option<u32>,
    /// The smallest share of the points limit, in percent.
    pub least_share: Option<u32>,
}

/// What the whole list keeps to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Limits {
    /// The points limit where nobody says.
    pub points: u32,
    /// The fewest units.
    pub least_units: u32,
    /// The most units.
    pub most_units: Option<u32>,
    /// How many of one unit, unless it says so itself.
    pub most_alike: Option<u32>,
    /// The largest share of the points limit that one unit may cost, in percent.
    pub most_share_of_unit: Option<u32>,
}

/// Units that others are measured against.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Board {
    /// Targets, lightest first.
    pub targets: Vec<BoardUnit>,
    /// Attackers, lightest first.
    pub attackers: Vec<BoardUnit>,
    /// How many turns a game has.
    pub turns: u32,
    /// How attackers come on: where each of them stands in the first turn, in the second and so on; the last place holds
    /// until the end of the game. Nothing where the pack does not say.
    pub approach: Vec<Place>,
}

/// Where an attacker stands in one turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The range band, by index.
    pub range: usize,
    /// The arc that it hits, by index.
    pub arc: usize,
}

/// One of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoardUnit {
    /// The unit, by index.
    pub unit: usize,
    /// How many models.
    pub models: u32,
    /// Its options, by index.
    pub options: Vec<usize>,
}
