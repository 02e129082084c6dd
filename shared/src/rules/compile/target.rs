//! What is attacked, and what is rolled afterwards.
use super::super::model::attack::Body;
use super::super::model::change::RollId;
use super::super::model::roll::Counts;
use super::super::reason::Spot;
use super::acting::acting;
use super::base;
use super::log::Log;
use super::roll::{Place, compile_roll};
use super::scene::Scene;
use super::volley::Draft;
use crate::odds::chain::{
    Aftermath, Armoured, Backfire, By, Gain, Group, Ignore, Kind, RollStep, Soldiers, Step, Target, When,
};
use crate::odds::dice::Amount;
use crate::odds::roll::{Needs, Reroll};

/// Compiles the target. Where weapons meet its last roll differently, that roll moves into their volleys.
pub(super) fn compile(scene: &Scene<'_>, drafts: &mut [Draft], log: &mut Log) -> Target {
    let target = scene.target;
    match &scene.pack.kinds[target.unit.kind].body {
        Body::Soldiers { health, spill, .. } => {
            let health = scene.number(health).clamp(1, 1_000).unsigned_abs();
            let ignore = shared_ignore(drafts, log);
            let spill = *spill || drafts.iter().any(|draft| draft.spill);
            let group = Group { models: target.models, health, ignore, then: Vec::new() };
            Target::Soldiers(Soldiers { groups: vec![group], spill, hurt: target.hurt.min(health - 1) })
        }
        Body::Armoured { structure, overflow_wasted } => {
            let structure = scene.number(structure).clamp(1, 1_000).unsigned_abs();
            Target::Armoured(Armoured {
                structure,
                units: target.models,
                overflow_wasted: *overflow_wasted,
                hurt: target.hurt.min(structure - 1),
                statuses: target.statuses.to_vec(),
            })
        }
    }
}

/// The last roll against damage, where it is the same for all volleys.
fn shared_ignore(drafts: &mut [Draft], log: &mut Log) -> Option<Ignore> {
    let first = drafts.first().and_then(|draft| draft.ignore.clone());
    if drafts.iter().all(|draft| draft.ignore == first) {
        return first;
    }
    part(drafts, log);
    None
}

/// Moves the last roll against damage into each volley's own steps and damage.
pub(super) fn part(drafts: &mut [Draft], log: &mut Log) {
    for (index, draft) in drafts.iter_mut().enumerate() {
        let Some(ignore) = draft.ignore.take() else { continue };
        let plain = draft.volley.damage.as_constant() == Some(1) && !gains_damage(draft);
        if ignore.per_packet || plain {
            append(draft, ignore);
        } else {
            thin(draft, &ignore);
        }
        let words = "the last roll differs by weapon, so it stands in this one's steps and damage";
        log.from(Spot::Volley(index), base("ignore", "", words));
    }
}

fn gains_damage(draft: &Draft) -> bool {
    draft.volley.steps.iter().any(|step| match &step.kind {
        Kind::Roll(roll) => {
            std::iter::once(&roll.critical).chain(&roll.margins).any(|gain| gain.damage != Amount::fixed(0))
        }
        Kind::Penetrate(_) => false,
    })
}

/// One roll for each packet is a defender's step.
fn append(draft: &mut Draft, ignore: Ignore) {
    let pool = &ignore.roll.pool;
    let die = match pool {
        crate::odds::roll::Pool::Dice { dice, .. } => *dice,
        crate::odds::roll::Pool::Given(_) => super::super::model::stat::nothing(),
    };
    let backfire = Backfire { needs: Needs::Never, die, harm: Amount::fixed(0) };
    let step = RollStep { roll: ignore.roll, critical: Gain::none(), margins: Vec::new(), backfire };
    draft.volley.steps.push(Step { name: "ignore".to_owned(), by: By::Defender, kind: Kind::Roll(step) });
    draft.steps.push(usize::MAX);
}

/// One roll for each point leaves of each packet what is not ignored: each point by itself.
fn thin(draft: &mut Draft, ignore: &Ignore) {
    let thinned = |amount: &Amount| match amount.as_constant() {
        Some(0) => amount.clone(),
        _ => ignore.left_of(amount),
    };
    draft.volley.damage = thinned(&draft.volley.damage);
    for step in &mut draft.volley.steps {
        if let Kind::Roll(roll) = &mut step.kind {
            for gain in std::iter::once(&mut roll.critical).chain(&mut roll.margins) {
                gain.damage = thinned(&gain.damage);
            }
        }
    }
}

/// The rolls afterwards that this matchup has.
pub(super) fn aftermath(scene: &Scene<'_>, drafts: &[Draft], log: &mut Log) -> Vec<Aftermath> {
    let plans = &scene.pack.aftermath;
    let armoured = scene.pack.kinds[scene.target.unit.kind].body.is_armoured();
    let mut found = Vec::new();
    for (at, plan) in plans.iter().enumerate() {
        if !scene.holds(&plan.when) {
            continue;
        }
        let when = match plan.counts {
            Counts::Models | Counts::HealthLost if armoured => continue,
            Counts::Models => When::Models,
            Counts::HealthLost => When::HealthLost,
            Counts::Passed(step) => match drafts.iter().any(|draft| draft.steps.contains(&step)) {
                true => When::Passed(scene.pack.steps[step].named.label.clone()),
                false => continue,
            },
        };
        let acting: Vec<_> = acting(scene, true, log)
            .into_iter()
            .filter(|one| one.change.rolls.contains(&RollId::Aftermath(at)))
            .collect();
        let place = Place { id: RollId::Aftermath(at), name: &plan.named.label, spot: Spot::Target };
        let mut roll = compile_roll(scene, &plan.roll, place, &acting, log).roll;
        roll.reroll = Reroll::None;
        let at_least = scene.number(&plan.at_least).clamp(1, 10_000).unsigned_abs();
        found.push(Aftermath {
            when,
            at_least,
            roll,
            per_point: plan.per_point,
            effect: plan.effect.clone(),
            ends: plan.ends,
        });
    }
    found
}
