//! What the unit costs.
use super::super::lookup;
use super::answer::{CostForm, OptionCost};
use super::asks;
use super::bench::Bench;
use crate::points::option_cost;
use crate::rules::matchup::Fielded;
use crate::rules::standing::capacity;

pub(super) fn cost(bench: &Bench<'_>, subject: &Fielded) -> CostForm {
    let pack = &**bench.pack;
    let unit = &pack.units[subject.unit];
    let armoured = pack.kinds[unit.kind].body.is_armoured();
    let capacity = if armoured { capacity(pack, subject) * subject.models } else { capacity(pack, subject) };
    let points = lookup::cost(pack, subject);
    let most_models = unit.models.1.max(subject.models);
    let mut all: Vec<u64> = pack.units.iter().map(|unit| unit.cost(unit.models.0)).collect();
    all.sort_unstable();
    let option = |(at, option): (usize, &crate::rules::model::unit::UnitOption)| OptionCost {
        option: option.named.label.clone(),
        points: option_cost(unit, at, 1, subject.models),
    };
    CostForm {
        points,
        middle: all.get(all.len() / 2).copied().unwrap_or(0),
        role: pack.roles[unit.role].named.label.clone(),
        per_slot: unit.per_slot,
        capacity,
        armoured,
        points_each: points as f64 / f64::from(capacity.max(1)),
        most_models,
        most_points: lookup::cost(pack, &Fielded { models: most_models, ..subject.clone() }),
        options: unit.options.iter().enumerate().map(option).collect(),
        ask: asks::points(bench, subject),
    }
}
