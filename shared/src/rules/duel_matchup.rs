//! What is asked of the compiler for a duel: two units that attack each other over several turns.
use super::matchup::{Situation, UnitInstance};
use super::model::Pack;
use std::sync::Arc;

/// Two units, and how each attacks in which turns.
#[derive(Clone, Debug)]
pub struct DuelMatchup {
    /// The pack that both are of.
    pub pack: Arc<Pack>,
    /// The two sides.
    pub sides: [UnitInstance; 2],
    /// For each side, the situations of its attacks, each with its first and its last turn, in order.
    pub turn_ranges: [Vec<TurnRange>; 2],
    /// Rules, by index, that act as if they were carried.
    pub with: Vec<usize>,
    /// Rules, by index, that do not act.
    pub without: Vec<usize>,
}

/// Turns that are alike for an attack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TurnRange {
    /// What the table adds.
    pub situation: Situation,
    /// The first and the last turn, from 1.
    pub turns: (u32, u32),
}
