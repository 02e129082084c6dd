//! What a unit costs, and what it has for that.
use crate::points::{instance_cost, option_cost};
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use crate::rules::standing::capacity;

/// What a unit costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// Points, options included.
    pub points: u64,
    /// The middle cost of the units of its book, each at its fewest models.
    pub middle: u64,
    /// Their median: of an even count the mean of the two in the middle.
    pub median: f64,
    /// Structure, or the health of all its models.
    pub capacity: u32,
    /// Whether it is armour: its capacity is structure.
    pub armoured: bool,
    /// The most models that it may have.
    pub most_models: u32,
    /// Points with that many.
    pub most_points: u64,
    /// What taking each of its options once adds to this unit, in its order.
    pub options: Vec<u64>,
}

/// What a unit costs.
pub fn cost(pack: &Pack, subject: &UnitInstance) -> Cost {
    let unit = &pack.units[subject.unit];
    let armoured = pack.kinds[unit.kind].body.is_armoured();
    let points = capacity(pack, subject);
    let most_models = unit.models.1.max(subject.models);
    let mut all: Vec<u64> = pack.units.iter().map(|unit| unit.cost(unit.models.0)).collect();
    all.sort_unstable();
    let at = |place: usize| all.get(place).copied().unwrap_or(0);
    let (lower, upper) = (at(all.len().saturating_sub(1) / 2), at(all.len() / 2));
    Cost {
        points: instance_cost(pack, subject),
        middle: upper,
        median: f64::midpoint(lower as f64, upper as f64),
        capacity: if armoured { points * subject.models } else { points },
        armoured,
        most_models,
        most_points: instance_cost(pack, &UnitInstance { models: most_models, ..subject.clone() }),
        options: (0..unit.options.len()).map(|option| option_cost(unit, option, 1, subject.models)).collect(),
    }
}
