//! What the parts of a duel must keep to among each other.
use super::{Side, is_seen};
use crate::odds::chain::{Chain, ChainError};

/// A mistake of a duel.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{fault}")]
pub struct DuelError {
    /// Of side a (or of the whole duel) or of side b.
    pub of_b: bool,
    /// What.
    pub fault: DuelFault,
}

/// What can be wrong with a duel.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DuelFault {
    /// A side's attack does not fit what it attacks.
    #[error("{0}")]
    Chain(ChainError),
    /// Too many turns.
    #[error("1 to 20 turns")]
    Turns,
    /// A window of turns that runs backwards or begins before the first.
    #[error("turns are the first and the last, from 1 up")]
    Window(usize),
    /// A count that is not seen in what is left.
    #[error("in a duel, what ends a side counts models or health, not a step that was passed")]
    NotSeen(usize),
}

pub(super) fn errors(a: &Side, b: &Side, turns: u32) -> Vec<DuelError> {
    let mut errors = Vec::new();
    if !(1..=20).contains(&turns) {
        errors.push(DuelError { of_b: false, fault: DuelFault::Turns });
    }
    for (side, other, of_b) in [(a, b, false), (b, a, true)] {
        let mut add = |fault| errors.push(DuelError { of_b, fault });
        for (index, timed) in side.attack.iter().enumerate() {
            if timed.turns.is_some_and(|(first, last)| first == 0 || last < first) {
                add(DuelFault::Window(index));
            }
        }
        for (index, after) in side.aftermath.iter().enumerate() {
            if !is_seen(after) {
                add(DuelFault::NotSeen(index));
            }
        }
        let volleys = side.attack.iter().map(|timed| timed.volley.clone()).collect::<Vec<_>>();
        // A side may stand there and do nothing; a chain has at least one volley.
        if !volleys.is_empty()
            && let Err(faults) = Chain::new(volleys, other.target.clone(), side.aftermath.clone())
        {
            faults.into_iter().for_each(|fault| add(DuelFault::Chain(fault)));
        }
    }
    errors
}
