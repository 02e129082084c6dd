//! Two lists against each other: what each unit of one takes from the other in a game, and what a list has no answer to.
use super::evaluator::{Evaluator, Pair};
use super::league::{Effect, effect};
use crate::odds::cancellation::Cancelled;
use crate::rules::matchup::UnitInstance;

/// A line of a list: equal units.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// One of them.
    pub unit: UnitInstance,
    /// How many.
    pub count: u32,
    /// What one of them costs.
    pub points: u64,
}

impl Row {
    fn cost(&self) -> f64 {
        f64::from(self.count) * self.points as f64
    }
}

/// A list as it does against the other one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Showing {
    /// Points that it takes in a game.
    pub takes: f64,
    /// Its rows, in their order.
    pub rows: Vec<RowShowing>,
    /// For each row of the other list, the share of one of its units that all of this list together would remove in a
    /// turn; above 1 where that is more than one.
    pub answers: Vec<f64>,
}

/// What the units of a row do.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RowShowing {
    /// Points that all of them take in a game, the mean of the other list by its points.
    pub takes: f64,
    /// Turns in which the mean of the other list wears one of them down, no more than the game has.
    pub survival: f64,
    /// For each row of the other list, the points that all of them would take from such units alone in a game.
    pub from: Vec<f64>,
}

/// How two lists do against each other.
///
/// # Formula
/// A unit takes `points * removed` in a turn from a unit that costs `points`, and does so in as many turns as it stands
/// under the same one's attacks: `min(turns, 1 / lost)`. What it takes from a list is the mean of that over the list's
/// points.
///
/// # Errors
/// [`Cancelled`] where the token was called meanwhile.
///
/// # Cost
/// For each pair of rows, either way: one attack at each range and one game.
pub fn compare(evaluator: &Evaluator<'_>, lists: [&[Row]; 2]) -> Result<[Showing; 2], Cancelled> {
    let [a, b] = lists;
    evaluator.token.expect(a.len() as u64 * b.len() as u64);
    let mut pairs: Vec<(Effect, Effect)> = Vec::with_capacity(a.len() * b.len());
    for (one, other) in a.iter().flat_map(|one| b.iter().map(move |other| (one, other))) {
        let of = |attacker, target| effect(evaluator, &Pair { attacker, target, without: &[] });
        pairs.push((of(&one.unit, &other.unit)?, of(&other.unit, &one.unit)?));
        evaluator.token.step();
    }
    let at = |one: usize, other: usize| pairs[one * b.len() + other];
    let first = showing(a, b, evaluator.turns, &|one, other| at(one, other));
    let second = showing(b, a, evaluator.turns, &|one, other| {
        let (of_a, of_b) = at(other, one);
        (of_b, of_a)
    });
    Ok([first, second])
}

/// How one list does; `effects` gives for a row of each what the first does to the other, and what that one does back.
fn showing(own: &[Row], theirs: &[Row], turns: u32, effects: &dyn Fn(usize, usize) -> (Effect, Effect)) -> Showing {
    let game = f64::from(turns);
    let all: f64 = theirs.iter().map(Row::cost).sum();
    let share = |other: &Row| if all > 0.0 { other.cost() / all } else { 0.0 };
    let stands = |lost: f64| if lost > 0.0 { (1.0 / lost).min(game) } else { game };
    let rows: Vec<RowShowing> = own
        .iter()
        .enumerate()
        .map(|(one, row)| {
            let mut found = RowShowing::default();
            let mut lost = 0.0;
            for (other, target) in theirs.iter().enumerate() {
                let (does, suffers) = effects(one, other);
                let taken = target.points as f64 * does.removed * stands(suffers.lost) * f64::from(row.count);
                found.takes += taken * share(target);
                found.from.push(taken);
                lost += suffers.lost * share(target);
            }
            found.survival = stands(lost);
            found
        })
        .collect();
    let together = |other: usize| -> f64 {
        own.iter().enumerate().map(|(one, row)| f64::from(row.count) * effects(one, other).0.removed).sum()
    };
    Showing { takes: rows.iter().map(|row| row.takes).sum(), answers: (0..theirs.len()).map(together).collect(), rows }
}
