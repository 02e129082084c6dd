//! The best plan as its answer.
use super::super::summary::{Chance, Summary};
use super::sentence::Words;
use super::{
    AloneCell, AssignAnswer, AssignObjective, IdleRow, OtherPlan, OtherRow, PlanRow, PreparedAssign, TargetPoints,
    TargetRow,
};
use crate::analysis::assign::{Assignment, Fate, Objective};
use crate::odds::distribution::Distribution;

pub(super) fn answer(of: &PreparedAssign, found: &Assignment) -> AssignAnswer {
    let battle = &of.battle;
    let words = Words::new(battle, found);
    let plan = found.plan.iter().zip(&found.adds).enumerate().map(|(attacker, (target, adds))| PlanRow {
        attacker,
        target: *target,
        name: words.attacker(attacker),
        adds: *adds,
        sentence: words.of_attacker(attacker),
    });
    let targets = found.fates.iter().enumerate().map(|(target, fate)| row(of, &words, target, fate));
    let idle =
        found.idle.iter().map(|(attacker, why)| IdleRow { attacker: *attacker, reason: words.idle_of(*attacker, why) });
    let other = |(plan, expected): &(Vec<Option<usize>>, f64)| OtherPlan {
        plan: plan.iter().enumerate().map(|(attacker, target)| OtherRow { attacker, target: *target }).collect(),
        expected: *expected,
    };
    let cell = |(points, destroyed): &(f64, f64)| AloneCell { points: *points, destroyed: *destroyed };
    AssignAnswer {
        plan: plan.collect(),
        expected: found.expected,
        objective: match battle.objective {
            Objective::Points => AssignObjective::Points,
            Objective::Destroyed => AssignObjective::Destroyed,
        },
        sentence: words.of_plan(),
        targets: targets.collect(),
        each_on_its_own: other(&found.on_its_own),
        gain: found.expected - found.on_its_own.1,
        others: found.others.iter().map(other).collect(),
        idle: idle.collect(),
        must_chance: found.must_chance.map(|chance| Chance { chance, fraction: None }),
        not_reached: found.not_reached.then_some(true),
        must_left_out: found.must_left_out.then_some(true),
        alone: found.alone.iter().map(|row| row.iter().map(cell).collect()).collect(),
        defaults: of.defaults.clone(),
        pack: battle.pack.named.id.clone(),
        hash: battle.pack.hash.clone(),
    }
}

fn row(of: &PreparedAssign, words: &Words<'_>, target: usize, fate: &Fate) -> TargetRow {
    let battle = &of.battle;
    let kind = battle.pack.units[battle.targets[target].unit].kind;
    let armoured = battle.pack.kinds[kind].body.is_armoured();
    let lost = Distribution::new(0, fate.lost.clone()).unwrap_or_else(|| Distribution::certain(0));
    let summary = Summary::from(&lost);
    TargetRow {
        target,
        name: words.target(target),
        attackers: fate.attackers.clone(),
        points: TargetPoints { cost: battle.price_of(target), removed: fate.points },
        models: (!armoured).then(|| summary.clone()),
        structure: armoured.then_some(summary),
        destroyed: Chance { chance: fate.destroyed, fraction: None },
    }
}
