//! What a league is made from: for each unit, what it takes in a turn and how fast it is worn down, over the whole board.
use super::super::evaluator::{Evaluator, Pair};
use super::{Effect, effect};
use crate::odds::cancellation::Cancelled;
use crate::rules::matchup::UnitInstance;
use std::collections::HashMap;

/// The measures of one unit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Measured {
    /// Points that it takes in a turn, the mean of the board.
    pub(super) damage_rate: f64,
    /// The share of itself that it loses in a turn in which it is attacked, the mean of the board.
    pub(super) loss_rate: f64,
}

/// Units, each unlike one once.
#[derive(Default)]
struct DistinctUnits<'a>(Vec<&'a UnitInstance>);

impl<'a> DistinctUnits<'a> {
    fn index(&mut self, unit: &'a UnitInstance) -> usize {
        self.0.iter().position(|known| *known == unit).unwrap_or_else(|| {
            self.0.push(unit);
            self.0.len() - 1
        })
    }
}

/// Measures every unit. Who faces whom, and in which order, is the same for all, so that copies come out alike; pairs
/// that are alike are worked out once.
pub(super) fn measured(
    evaluator: &Evaluator<'_>,
    units: &[UnitInstance],
    board: &[UnitInstance],
    cost: &dyn Fn(&UnitInstance) -> u64,
) -> Result<Vec<Measured>, Cancelled> {
    let mut distinct = DistinctUnits::default();
    let of_units: Vec<usize> = units.iter().map(|unit| distinct.index(unit)).collect();
    let of_board: Vec<usize> = board.iter().map(|unit| distinct.index(unit)).collect();
    let costs: Vec<f64> = board.iter().map(|unit| cost(unit) as f64).collect();
    let mut known: HashMap<(usize, usize), Effect> = HashMap::new();
    let mut on = |attacker: usize, target: usize| -> Result<Effect, Cancelled> {
        if let Some(effect) = known.get(&(attacker, target)) {
            return Ok(*effect);
        }
        let pair = Pair { attacker: distinct.0[attacker], target: distinct.0[target], without: &[] };
        let found = effect(evaluator, &pair)?;
        known.insert((attacker, target), found);
        Ok(found)
    };
    evaluator.token.expect(units.len() as u64 * board.len() as u64);
    let mut all = Vec::with_capacity(units.len());
    for unit in of_units {
        let mut sums = Measured::default();
        for (other, points) in of_board.iter().zip(&costs) {
            sums.damage_rate += points * on(unit, *other)?.removed;
            sums.loss_rate += on(*other, unit)?.lost;
            evaluator.token.step();
        }
        let size = board.len().max(1) as f64;
        all.push(Measured { damage_rate: sums.damage_rate / size, loss_rate: sums.loss_rate / size });
    }
    Ok(all)
}
