//! Two other units of the book for the same points.
use super::Subject;
use super::measured::{Measured, measured};
use crate::analysis::evaluator::Evaluator;
use crate::odds::cancellation::Cancelled;
use crate::points::instance_cost;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;

/// Another unit, as many of it as the points of the subject buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparator {
    /// The unit.
    pub unit: UnitInstance,
    /// What it comes to.
    pub measured: Measured,
}

/// So many are named.
const NAMED: usize = 2;
/// More models than this are not fielded.
const MOST_MODELS: u32 = 60;

/// As many models as those points buy, at least one unit at its smallest.
fn bought(pack: &Pack, unit: usize, points: u64) -> UnitInstance {
    let least = pack.units[unit].models.0;
    let sized = |models: u32| UnitInstance { unit, models, ..UnitInstance::default() };
    let fits = |models: &u32| instance_cost(pack, &sized(*models)) <= points;
    sized((least..=MOST_MODELS.max(least)).rev().find(fits).unwrap_or(least))
}

/// The units to hold the subject against: of its role first, then of its sort (armour or soldiers), the nearest in points.
pub(super) fn chosen(pack: &Pack, subject: &UnitInstance) -> Vec<UnitInstance> {
    let points = instance_cost(pack, subject);
    let own = &pack.units[subject.unit];
    let armoured = |kind: usize| pack.kinds[kind].body.is_armoured();
    let mut all: Vec<(bool, bool, u64, UnitInstance)> = Vec::new();
    for (at, unit) in pack.units.iter().enumerate().filter(|(at, _)| *at != subject.unit) {
        let instance = bought(pack, at, points);
        let off = instance_cost(pack, &instance).abs_diff(points);
        all.push((unit.role != own.role, armoured(unit.kind) != armoured(own.kind), off, instance));
    }
    all.sort_by_key(|one| (one.0, one.1, one.2, one.3.unit));
    all.into_iter().take(NAMED).map(|(.., instance)| instance).collect()
}

/// Measures them.
pub(super) fn compared(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Vec<Comparator>, Cancelled> {
    let mut rows = Vec::new();
    for unit in chosen(evaluator.pack, &subject.unit) {
        let measured = measured(evaluator, &Subject { unit: unit.clone(), ..subject.clone() })?;
        rows.push(Comparator { unit, measured });
    }
    Ok(rows)
}
