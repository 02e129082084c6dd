//! What moves a unit's worth: one change at a time.
use super::change::{Change, Changed, changes};
use super::damage::gone;
use super::{Sensitivity, Subject, Worth, pair};
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;
use crate::points::instance_cost;
use crate::rules::model::limits::Place;
use crate::rules::standing;

/// Each change with what comes of it, those that move the worth most first; those that move nothing are left out.
pub(super) fn sensitivities(
    evaluator: &Evaluator<'_>,
    subject: &Subject,
    base: &Worth,
) -> Result<Vec<Sensitivity>, Cancelled> {
    let mut rows = Vec::new();
    let before = base.value();
    let usual = Ranges {
        of_targets: subject
            .targets
            .iter()
            .map(|target| evaluator.best_range(&pair(&subject.unit, target), None))
            .collect::<Result<_, _>>()?,
        of_attackers: subject
            .attackers
            .iter()
            .map(|attacker| evaluator.approach(&pair(attacker, &subject.unit)))
            .collect::<Result<_, _>>()?,
    };
    for change in changes(evaluator.pack, &subject.unit) {
        let Some(changed) = Changed::new(evaluator.pack, &subject.unit, &change) else { continue };
        let points = instance_cost(&changed.pack, &changed.unit).saturating_sub(changed.off);
        let worth = changed_worth(evaluator, subject, &usual, (&change, &changed), points)?;
        let moved = worth.value() / before - 1.0;
        if before > 0.0 && moved.abs() >= 1e-9 {
            rows.push(Sensitivity { change, points, worth, moved });
        }
    }
    rows.sort_by(|a, b| b.moved.abs().total_cmp(&a.moved.abs()));
    Ok(rows)
}

/// The range at which each target is fought, from the usual arc, and how each attacker comes on.
struct Ranges {
    of_targets: Vec<Option<usize>>,
    of_attackers: Vec<Option<Vec<Place>>>,
}

fn changed_worth(
    before: &Evaluator<'_>,
    subject: &Subject,
    usual: &Ranges,
    (change, changed): (&Change, &Changed),
    points: u64,
) -> Result<Worth, Cancelled> {
    let evaluator = Evaluator { pack: &changed.pack, ..*before };
    let without = &changed.without[..];
    let mut damage = Vec::new();
    for (target, usual) in subject.targets.iter().zip(&usual.of_targets) {
        // Another weapon may be at its best elsewhere; what else changes is looked at where it was.
        let range = match change {
            Change::Option(_) => evaluator.best_range(&pair(&changed.unit, target), None)?,
            _ => *usual,
        };
        let Some(range) = range else { continue };
        let own = Pair { attacker: &changed.unit, target, without };
        let Some(game) = evaluator.game(&own, &evaluator.situation(None, Some(range), None)) else { continue };
        // What the unit is without, its targets still have.
        let mend = standing::repair(&changed.pack, target, &[], &[]).map(|own| own.mend);
        let outcome = evaluator.outcome(&game.with_repair_of_a(mend))?;
        damage.push(gone(&evaluator, target, outcome.left));
    }
    let mut shares = Vec::new();
    for (attacker, usual) in subject.attackers.iter().zip(&usual.of_attackers) {
        let stated = !before.pack.board.approach.is_empty();
        let places = match (changed.arc, usual) {
            (None, places) => places.clone(),
            // From one side all the time, at the ranges at which it comes on.
            (Some(arc), Some(places)) if stated => Some(places.iter().map(|place| Place { arc, ..*place }).collect()),
            (Some(arc), _) => {
                let range = before.best_range(&pair(attacker, &subject.unit), Some(arc))?;
                range.map(|range| vec![Place { range, arc }; before.turns as usize])
            }
        };
        let Some(places) = places else { continue };
        let own = Pair { attacker, target: &changed.unit, without };
        let Some(game) = evaluator.game_along(&own, &places, changed.cover) else { continue };
        let mend = game.a().repair.clone().map(|mend| changed.mend(mend));
        let outcome = evaluator.outcome(&game.with_repair_of_a(mend))?;
        shares.push(outcome.survival() / f64::from(evaluator.turns));
    }
    Ok(Worth::of(points, &damage, &shares, subject))
}
