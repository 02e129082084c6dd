//! What the unit does: one turn on each target, and a whole game.
use super::super::lookup;
use super::super::question::Ready;
use super::answer::{AttackRow, GameRow};
use super::asks;
use super::bench::Bench;
use crate::odds::cancellation::Cancelled;
use crate::rules::matchup::Fielded;

/// One turn on each target, from each arc that makes a difference, at each range, at each size.
pub(super) fn attacks(bench: &Bench<'_>, sizes: &[&Fielded], targets: &[Fielded]) -> Result<Vec<AttackRow>, Cancelled> {
    let mut rows = Vec::new();
    for target in targets {
        for subject in sizes {
            let arcs = bench.arcs(subject, target, &[]);
            for arc in &arcs {
                for range in 0..bench.pack.situations.ranges.len() {
                    let situation = bench.situation(Some(*arc), Some(range), None);
                    let Some(ready) = bench.matchup(subject, target, &situation) else { continue };
                    let answer = ready.answer(bench.token)?;
                    let lost = answer.odds.models.as_ref().or(answer.odds.structure.as_ref());
                    rows.push(AttackRow {
                        target: bench.label(target),
                        target_models: target.models,
                        models: subject.models,
                        arc: (arcs.len() > 1).then(|| bench.arc(*arc)),
                        range: bench.range(range),
                        armoured: answer.odds.structure.is_some(),
                        expected: lost.map_or(0.0, |lost| lost.expected),
                        destroyed: answer.odds.destroyed.chance,
                        points: answer.points.removed,
                        per_point: answer.points.per_point,
                        ask: asks::matchup(bench, &ready),
                    });
                }
            }
        }
    }
    Ok(rows)
}

/// A game against each target, at the range given for it.
pub(super) fn games(
    bench: &Bench<'_>,
    subject: &Fielded,
    targets: &[(Fielded, Option<usize>)],
) -> Result<Vec<GameRow>, Cancelled> {
    let cost = lookup::cost(bench.pack, subject);
    let mut rows = Vec::new();
    for (target, range) in targets {
        let Some(range) = *range else { continue };
        let Some(duel) = bench.unanswered(subject, target, &bench.situation(None, Some(range), None)) else { continue };
        let outcome = bench.outcome(&duel)?;
        let gone = 1.0 - outcome.left / f64::from(target.models.max(1));
        let points = lookup::cost(bench.pack, target) as f64 * gone.max(0.0);
        rows.push(GameRow {
            target: bench.label(target),
            target_models: target.models,
            range: bench.range(range),
            left: outcome.left,
            destroyed: outcome.standing.last().map_or(0.0, |standing| 1.0 - standing),
            points,
            per_point: (cost > 0).then(|| points / cost as f64),
            ask: asks::duel(&duel),
        });
    }
    Ok(rows)
}
