//! The tests and the repair of the unit.
use super::super::check::CheckReady;
use super::super::question::Ready;
use super::super::repair::RepairReady;
use super::answer::{CheckRow, MendRow};
use super::asks;
use super::bench::Bench;
use crate::odds::cancellation::Cancelled;
use crate::odds::check::Check;
use crate::odds::dice::Amount;
use crate::odds::repair::Repair;
use crate::rules::matchup::Fielded;
use crate::rules::standing;

/// Its repair, with half of its points missing and no further harm.
pub(super) fn repair(bench: &Bench<'_>, subject: &Fielded) -> Result<Option<MendRow>, Cancelled> {
    let Some(own) = standing::repair(bench.pack, subject, &[], &[]) else { return Ok(None) };
    if own.capacity < 2 {
        return Ok(None);
    }
    let missing = (own.capacity / 2).max(1);
    let incoming = Amount::fixed(0);
    let repair =
        Repair { capacity: own.capacity, missing, mend: own.mend, turns: bench.turns, incoming, repair_first: false };
    let answer = RepairReady::of(repair.clone()).answer(bench.token)?;
    Ok(Some(MendRow {
        rule: bench.pack.rules[own.rule].named.label.clone(),
        capacity: own.capacity,
        missing,
        chance: answer.chance,
        any_restored: answer.turns.last().map_or(0.0, |turn| turn.any_restored),
        restored: answer.restored.expected,
        ask: asks::repair(&repair),
    }))
}

/// How far from the usual number a check that takes one is asked, besides it.
const AROUND: [i32; 5] = [-4, -2, 0, 2, 4];

/// Each check that it takes; one that takes a number is asked with several.
pub(super) fn checks(bench: &Bench<'_>, subject: &Fielded) -> Result<Vec<CheckRow>, Cancelled> {
    let pack = &**bench.pack;
    let mut rows = Vec::new();
    for (at, plan) in pack.checks.iter().enumerate() {
        let numbers: Vec<Option<i32>> = match &plan.asks {
            None => vec![None],
            Some((_, usual)) => AROUND.iter().map(|by| Some(usual + by)).collect(),
        };
        for asked in numbers {
            let Some(own) = standing::check(pack, subject, at, asked, &[], &[]) else { continue };
            let Ok(check) = Check::new(own.roll, Vec::new(), bench.turns, None) else { continue };
            let answer = CheckReady::of(check.clone()).answer(bench.token)?;
            rows.push(CheckRow {
                check: plan.named.label.clone(),
                asks: plan.asks.as_ref().map(|(what, _)| what.clone()),
                asked,
                passes: answer.chance,
                fails_once: 1.0 - answer.all.chance,
                ask: asks::check(&check),
            });
        }
    }
    Ok(rows)
}
