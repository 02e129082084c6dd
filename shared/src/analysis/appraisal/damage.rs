//! What the unit does: one turn on each target, and a whole game.
use super::{Attack, Damage, Subject, largest, pair};
use crate::analysis::evaluator::Evaluator;
use crate::odds::cancellation::Cancelled;
use crate::odds::chain::{Chain, Lost};
use crate::points::instance_cost;
use crate::rules::compile::compile;
use crate::rules::matchup::{Matchup, UnitInstance};

/// One turn on each target, from each arc that makes a difference, at each range, at each size.
pub(super) fn attacks(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Vec<Attack>, Cancelled> {
    let mut rows = Vec::new();
    let full = largest(evaluator.pack, &subject.unit);
    for (index, target) in subject.targets.iter().enumerate() {
        for unit in std::iter::once(&subject.unit).chain(&full) {
            let arcs = evaluator.arcs(&pair(unit, target));
            for arc in &arcs {
                for range in 0..evaluator.pack.situations.ranges.len() {
                    let matchup =
                        evaluator.matchup(&pair(unit, target), &evaluator.situation(Some(*arc), Some(range), None));
                    let Ok(compiled) = compile(&matchup) else { continue };
                    if !compiled.volleys.is_empty() {
                        let of = Row { target: index, arc: (arcs.len() > 1).then_some(*arc), matchup };
                        rows.push(attack(evaluator, of, &compiled.chain)?);
                    }
                }
            }
        }
    }
    Ok(rows)
}

/// What an attack is, before it is worked out.
struct Row {
    target: usize,
    arc: Option<usize>,
    matchup: Matchup,
}

fn attack(evaluator: &Evaluator<'_>, of: Row, chain: &Chain) -> Result<Attack, Cancelled> {
    let answer = chain.evaluate::<f64>(false, evaluator.token)?;
    let (expected, armoured) = match &answer.lost {
        Lost::Soldiers { models, .. } => (models.expected(), false),
        Lost::Armoured { structure, .. } => (structure.expected(), true),
    };
    let all = if armoured { chain.target().capacity() as f64 } else { f64::from(chain.target().count()) };
    let points = instance_cost(evaluator.pack, &of.matchup.target) as f64 * (expected / all);
    Ok(Attack {
        target: of.target,
        arc: of.arc,
        armoured,
        expected,
        destroyed: answer.destroyed.min(1.0),
        points,
        per_point: per_point(evaluator, points, &of.matchup.attacker),
        matchup: of.matchup,
    })
}

/// A game against each target, at the range at which one turn of it removes most.
pub(super) fn damage(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Vec<Damage>, Cancelled> {
    let mut rows = Vec::new();
    for (index, target) in subject.targets.iter().enumerate() {
        let pair = pair(&subject.unit, target);
        let Some((range, game)) = evaluator.worst_game(&pair, None)? else { continue };
        let outcome = evaluator.outcome(&game)?;
        let points = gone(evaluator, target, outcome.left);
        rows.push(Damage {
            target: index,
            range,
            game,
            left: outcome.left,
            destroyed: outcome.destroyed(),
            points,
            per_point: per_point(evaluator, points, &subject.unit),
        });
    }
    Ok(rows)
}

/// A unit's cost by the share of its models or units that are gone where so many are left.
pub(super) fn gone(evaluator: &Evaluator<'_>, target: &UnitInstance, left: f64) -> f64 {
    let share = 1.0 - left / f64::from(target.models.max(1));
    instance_cost(evaluator.pack, target) as f64 * share.max(0.0)
}

fn per_point(evaluator: &Evaluator<'_>, points: f64, unit: &UnitInstance) -> Option<f64> {
    let cost = instance_cost(evaluator.pack, unit);
    (cost > 0).then(|| points / cost as f64)
}
