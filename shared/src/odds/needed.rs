//! The smallest number of attackers, or of tries, that reaches a wanted chance.
use super::cancellation::{CancellationToken, Cancelled};
use super::chain::{Chain, Goal};
use super::check::{Check, pass_and_fail};
use super::number::Number;
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// A chance that falls short by no more than this share of what may be missing counts as reached: it is what rounding may
/// take off. Of certainty nothing may be missing.
const SLACK: f64 = 1e-12;

/// The largest double below certainty.
const BELOW_CERTAINTY: f64 = 1.0 - f64::EPSILON / 2.0;

/// How many numbers on either side of the answer are worked out with it.
pub const NEIGHBOURS: u32 = 3;

/// The numbers that are shown where none is enough.
pub const LADDER: [u32; 4] = [1, 10, 100, 1_000];

/// The chances that were worked out, and the smallest number that reaches what is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Needed {
    /// The number; nothing where not even the largest reaches it.
    pub number: Option<u32>,
    /// The chance of each number that was looked at, the neighbourhood of the answer and the largest among them.
    pub chances: BTreeMap<u32, f64>,
}

/// The smallest number of attackers of a chain, from 0 to `most`.
///
/// # Errors
/// [`Cancelled`] where it was cancelled meanwhile.
pub fn attackers(
    chain: &Chain,
    goal: Goal,
    want: f64,
    most: u32,
    token: &CancellationToken,
) -> Result<Needed, Cancelled> {
    if !chain.is_one_by_one() {
        return bisect(want, most, |attackers| chance(&chain.with_attackers(attackers), goal, token));
    }
    let mut walk = Walk::new(0, want);
    if want < 1.0 {
        chain.climb(goal, most, token, |chance| walk.see(chance))?;
        return Ok(walk.done());
    }
    let certain = chain.certain_from(goal, most, token)?;
    chain.climb(goal, most, token, |chance: f64| {
        let is_certain = certain.is_some_and(|from| walk.next >= from);
        walk.see(if is_certain { 1.0 } else { chance.min(BELOW_CERTAINTY) })
    })?;
    Ok(walk.done())
}

/// The chance that a chain meets its goal; where it can miss, below 1, however many nines it has.
///
/// # Errors
/// [`Cancelled`] where it was cancelled meanwhile.
pub fn chance(chain: &Chain, goal: Goal, token: &CancellationToken) -> Result<f64, Cancelled> {
    let chance: f64 = chain.reaches(goal, token)?;
    if chance < 1.0 - SLACK {
        return Ok(chance);
    }
    Ok(if chain.can_miss(goal, token)? { chance.min(BELOW_CERTAINTY) } else { 1.0 })
}

/// The smallest number of tries, from 1 to `most`, in which at least `passes` come.
///
/// # Errors
/// [`Cancelled`] where it was cancelled meanwhile.
///
/// # Formula
/// The state is the re-rolls left of the budget and the passes so far; enough passes are the end.
pub fn tries(check: &Check, passes: u32, want: f64, most: u32, token: &CancellationToken) -> Result<Needed, Cancelled> {
    let (pass, fail) = pass_and_fail::<f64>(check.roll());
    let budget = check.given_budget().min(most) as usize;
    let wanted = passes as usize;
    let mut left = vec![vec![0.0; wanted + 1]; budget + 1];
    left[budget][0] = 1.0;
    let mut walk = Walk::new(1, want);
    for attempt in 0..most {
        if attempt % 64 == 0 {
            token.check()?;
        }
        // With fewer re-rolls left come those who had more, so the rows are overwritten from the lowest up.
        for rerolls in 0..=budget {
            let (below, from) = left.split_at_mut(rerolls);
            let row = &mut from[0];
            let mut next = vec![0.0; wanted + 1];
            next[wanted] = row[wanted];
            f64::add_scaled(&mut next[1..], &pass, &row[..wanted]);
            match below.last_mut() {
                None => f64::add_scaled(&mut next, &fail, &row[..wanted]),
                Some(fewer) => {
                    f64::add_scaled(&mut fewer[1..], &(fail * pass), &row[..wanted]);
                    f64::add_scaled(fewer, &(fail * fail), &row[..wanted]);
                }
            }
            *row = next;
        }
        let chance: f64 = left.iter().map(|row| row[wanted]).sum();
        if walk.see(if fail > 0.0 { chance.min(BELOW_CERTAINTY) } else { chance }).is_break() {
            break;
        }
    }
    Ok(walk.done())
}

/// Collects chances of one number after another until the neighbourhood of the answer is known.
struct Walk {
    next: u32,
    want: f64,
    needed: Needed,
}

impl Walk {
    fn new(lowest: u32, want: f64) -> Self {
        Self { next: lowest, want, needed: Needed { number: None, chances: BTreeMap::new() } }
    }

    fn see(&mut self, chance: f64) -> ControlFlow<()> {
        let number = self.next;
        self.next += 1;
        self.needed.chances.insert(number, chance);
        if self.needed.number.is_none() && reached(chance, self.want) {
            self.needed.number = Some(number);
        }
        match self.needed.number {
            Some(found) if number >= found + NEIGHBOURS => ControlFlow::Break(()),
            _ => ControlFlow::Continue(()),
        }
    }

    fn done(self) -> Needed {
        self.needed
    }
}

fn reached(chance: f64, want: f64) -> bool {
    chance >= want - SLACK * (1.0 - want)
}

/// Doubles the number until the chance is reached, then halves the gap.
///
/// # Cost
/// The chances of at most `2 log2(most)` numbers, and of the neighbourhood.
///
/// # Errors
/// [`Cancelled`] where `chance` is.
pub fn bisect(
    want: f64,
    most: u32,
    mut chance: impl FnMut(u32) -> Result<f64, Cancelled>,
) -> Result<Needed, Cancelled> {
    let mut chances = BTreeMap::new();
    let mut look = |number: u32| -> Result<bool, Cancelled> {
        let chance = match chances.get(&number) {
            Some(known) => *known,
            None => chance(number)?,
        };
        chances.insert(number, chance);
        Ok(reached(chance, want))
    };
    let number = first(most, &mut look)?;
    if let Some(number) = number {
        for near in number.saturating_sub(NEIGHBOURS)..=number.saturating_add(NEIGHBOURS).min(most) {
            look(near)?;
        }
    } else {
        for rung in LADDER.into_iter().filter(|rung| *rung < most) {
            look(rung)?;
        }
    }
    Ok(Needed { number, chances })
}

fn first(most: u32, reached: &mut impl FnMut(u32) -> Result<bool, Cancelled>) -> Result<Option<u32>, Cancelled> {
    if reached(0)? {
        return Ok(Some(0));
    }
    let (mut below, mut step) = (0, 1);
    let mut enough = loop {
        let next = (below + step).min(most);
        if reached(next)? {
            break next;
        }
        if next == most {
            return Ok(None);
        }
        (below, step) = (next, step * 2);
    };
    while enough - below > 1 {
        let middle = below + (enough - below) / 2;
        if reached(middle)? { enough = middle } else { below = middle }
    }
    Ok(Some(enough))
}
