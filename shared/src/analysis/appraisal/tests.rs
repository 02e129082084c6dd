//! The tests and the repair of the unit.
use super::{Mending, Test};
use crate::analysis::evaluator::Evaluator;
use crate::odds::cancellation::Cancelled;
use crate::odds::check::Check;
use crate::odds::dice::Amount;
use crate::odds::number::{Exact, Number};
use crate::odds::repair::Repair;
use crate::odds::roll::{Roll, Ties};
use crate::rules::matchup::UnitInstance;
use crate::rules::model::roll::AimPlan;
use crate::rules::standing;

/// Its repair, with half of its points missing and no further harm.
pub(super) fn repair(evaluator: &Evaluator<'_>, subject: &UnitInstance) -> Result<Option<Mending>, Cancelled> {
    let Some(own) = standing::repair(evaluator.pack, subject, &[], &[]) else { return Ok(None) };
    if own.mendable < 2 {
        return Ok(None);
    }
    let (capacity, missing) = (own.mendable, (own.mendable / 2).max(1));
    let (turns, incoming) = (evaluator.turns, Amount::fixed(0));
    let repair = Repair { capacity, missing, mend: own.mend, turns, incoming, repair_first: false };
    let answer = repair.evaluate::<f64>(evaluator.token)?;
    Ok(Some(Mending {
        rule: own.rule,
        chance: success(&repair.mend.roll),
        any_restored: answer.turns.last().map_or(0.0, |turn| turn.any_restored.min(1.0)),
        restored: answer.restored.expected(),
        repair,
    }))
}

/// The chance of a roll, rounded once from the exact one.
fn success(roll: &Roll) -> f64 {
    roll.score::<Exact>().success().to_f64()
}

/// How far from the usual number a check that takes one is asked, besides it.
const AROUND: [i32; 5] = [-4, -2, 0, 2, 4];

/// Each check that it takes; one that takes a number is asked with several.
pub(super) fn checks(evaluator: &Evaluator<'_>, subject: &UnitInstance) -> Vec<Test> {
    let pack = &**evaluator.pack;
    let mut rows = Vec::new();
    for (at, plan) in pack.checks.iter().enumerate() {
        // A roll-off is nothing that a unit fails.
        if matches!(&plan.roll.aim, AimPlan::Versus(versus) if versus.ties == Ties::Again) {
            continue;
        }
        let numbers: Vec<Option<i32>> = match &plan.asks {
            None => vec![None],
            Some((_, usual)) => AROUND.iter().map(|by| Some(usual + by)).collect(),
        };
        for asked in numbers {
            let Some(own) = standing::check(pack, subject, at, asked, &[], &[]) else { continue };
            let Ok(tries) = Check::new(own.roll, Vec::new(), evaluator.turns, None) else { continue };
            let passes = success(tries.roll());
            let fails_once = 1.0 - tries.evaluate::<f64>().all.min(1.0);
            rows.push(Test { check: at, asked, tries, passes, fails_once });
        }
    }
    rows
}
