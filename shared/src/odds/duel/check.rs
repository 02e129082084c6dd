//! What the parts of a duel must keep to among each other.
use super::{Side, TimedAftermath, is_seen};
use crate::odds::blast::Under;
use crate::odds::chain::{Aftermath, Attacks, Chain, ChainError, check_roll, unattacked};

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
    /// The same of a roll afterwards.
    #[error("turns are the first and the last, from 1 up")]
    AfterWindow(usize),
    /// Attackers by how many stand, out of range.
    #[error("served has up to 1000 numbers of attackers, each at most 10000")]
    AttackersBySurvivors(usize),
    /// Something without bases that is to be laid on those that stand.
    #[error("thinned goes with the attacks of a blast on bases")]
    NoBases(usize),
    /// A row of a volley that reads a counter which its side does not have.
    #[error("the own side has no counter called {2:?}")]
    NoOwnCounter(usize, usize, String),
    /// An order out of range.
    #[error("an order is a number from -1000 to 1000")]
    Order(usize),
    /// Something wrong with what a side takes off its counters.
    #[error("a side sheds at most 10 times, each time a counter that it has")]
    Sheds,
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
        let counters = side.target.counters();
        let known = |shed: &super::Shed| {
            counters.position(&shed.counter).is_some()
                && shed.amount.as_ref().is_none_or(|amount| amount.highest() <= 10_000)
                && check_roll(&shed.roll).is_empty()
        };
        if side.sheds.len() > 10 || !side.sheds.iter().all(known) {
            add(DuelFault::Sheds);
        }
        for (index, timed) in side.attack.iter().enumerate() {
            if backwards(timed.turns) {
                add(DuelFault::Window(index));
            }
            if timed.order.unsigned_abs() > 1_000 {
                add(DuelFault::Order(index));
            }
            for (at, row) in timed.volley.by_counter.iter().enumerate().filter(|(_, row)| row.own) {
                if counters.position(&row.counter).is_none() {
                    add(DuelFault::NoOwnCounter(index, at, row.counter.clone()));
                }
            }
            if timed.attackers_by_survivors.len() > 1_000
                || timed.attackers_by_survivors.iter().any(|attackers_by_survivors| *attackers_by_survivors > 10_000)
            {
                add(DuelFault::AttackersBySurvivors(index));
            }
            if timed.bases_follow_survivors && !is_on_bases(&timed.volley.attacks) {
                add(DuelFault::NoBases(index));
            }
        }
        for (index, after) in side.aftermath.iter().enumerate() {
            if !is_seen(&after.aftermath) {
                add(DuelFault::NotSeen(index));
            }
            if backwards(after.turns) {
                add(DuelFault::AfterWindow(index));
            }
        }
        let rolled = apart(&side.aftermath);
        let volleys = side.attack.iter().map(|timed| timed.volley.clone()).collect::<Vec<_>>();
        // A side may stand there and do nothing; a chain has at least one volley.
        let faults = match volleys.is_empty() {
            true => unattacked(&other.target, &rolled),
            false => Chain::new(volleys, other.target.clone(), rolled).err().unwrap_or_default(),
        };
        faults.into_iter().for_each(|fault| add(DuelFault::Chain(fault)));
    }
    errors
}

fn backwards(turns: Option<(u32, u32)>) -> bool {
    turns.is_some_and(|(first, last)| first == 0 || last < first)
}

/// The rolls afterwards as those of one chain. Of rolls in different turns, several may have one effect: for the chain's
/// sake they are told apart.
fn apart(rolls: &[TimedAftermath]) -> Vec<Aftermath> {
    let mut apart: Vec<Aftermath> = Vec::with_capacity(rolls.len());
    for (index, after) in rolls.iter().enumerate() {
        let meets = |other: &TimedAftermath| match (after.turns, other.turns) {
            (Some((first, last)), Some((from, to))) => first <= to && from <= last,
            _ => true,
        };
        let alike = |other: &&TimedAftermath| other.aftermath.effect == after.aftermath.effect;
        let mut earlier = rolls[..index].iter().filter(alike).peekable();
        let mut roll = after.aftermath.clone();
        if earlier.peek().is_some() && !earlier.any(meets) {
            roll.effect = format!("{index}");
        }
        apart.push(roll);
    }
    apart
}

fn is_on_bases(attacks: &Attacks) -> bool {
    matches!(attacks, Attacks::Blast(blast) if matches!(blast.under, Under::Bases(..)))
}
