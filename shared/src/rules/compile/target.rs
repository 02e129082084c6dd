//! What is attacked, and what is rolled afterwards.
use super::super::model::Pack;
use super::super::model::attack::Body;
use super::super::model::change::RollId;
use super::super::model::roll::{AftermathPlan, Counts};
use super::super::reason::Spot;
use super::active_changes::active_changes;
use super::context::RuleContext;
use super::log::Log;
use super::roll::{Place, compile_roll};
use super::side::Part;
use super::volley::Draft;
use super::{CompileError, base, model_groups};
use crate::odds::chain::{
    Aftermath, Armoured, Backfire, By, Counters, Gain, Ignore, Kind, RollStep, Soldiers, Step, Target, When,
};
use crate::odds::dice::Amount;
use crate::odds::roll::{Aim, Needs, Reroll};

/// Compiles the target. Where weapons meet its last roll differently, that roll moves into their volleys.
///
/// # Errors
/// [`CompileError::ModelGroups`] where its models differ in more than a chain can say.
pub(super) fn compile(
    context: &RuleContext<'_>,
    parts: &[Part<'_>],
    drafts: &mut [Draft],
    log: &mut Log,
) -> Result<Target, CompileError> {
    let target = context.target;
    Ok(match &context.pack.kinds[target.unit.kind].body {
        Body::Soldiers { spill, .. } => {
            let groups = model_groups::groups(context, parts, drafts, log)?;
            let first = groups.first().map_or(1, |group| group.health);
            Target::Soldiers(Soldiers {
                groups,
                spill: *spill,
                hurt: target.hurt.min(first - 1),
                counters: Counters::default(),
            })
        }
        Body::Armoured { structure, overflow_wasted } => {
            let structure = context.number(structure).clamp(1, 1_000).unsigned_abs();
            Target::Armoured(Armoured {
                structure,
                units: target.models,
                overflow_wasted: *overflow_wasted,
                hurt: target.hurt.min(structure - 1),
                statuses: target.statuses.to_vec(),
                counters: Counters::default(),
            })
        }
    })
}

/// What some weapons leave of a packet goes on to the next model: it stands in their volleys.
pub(super) fn spill(target: &Target, drafts: &mut [Draft]) {
    if let Target::Soldiers(Soldiers { spill: false, .. }) = target {
        drafts.iter_mut().filter(|draft| draft.spill).for_each(|draft| draft.volley.spill = Some(true));
    }
}

/// The same where nothing but these weapons ever hurts the target: if all of them do it, the target says so once.
pub(super) fn spill_together(target: &mut Target, drafts: &mut [Draft]) {
    match target {
        Target::Soldiers(soldiers) if drafts.iter().all(|draft| draft.spill) => soldiers.spill = true,
        target => spill(target, drafts),
    }
}

/// Health of each model, of soldiers.
pub(super) fn health(context: &RuleContext<'_>) -> u32 {
    match &context.pack.kinds[context.target.unit.kind].body {
        Body::Soldiers { health, .. } => context.number(health).clamp(1, 1_000).unsigned_abs(),
        Body::Armoured { .. } => 1,
    }
}

/// Whether both models and weapons differ in the last roll, so that it can stand neither with the models nor in the volleys.
pub(super) fn both_differ(drafts: &[Draft], others: &[Vec<Draft>]) -> bool {
    let same = |drafts: &[Draft]| drafts.windows(2).all(|pair| pair[0].ignore == pair[1].ignore);
    let alike = |other: &Vec<Draft>| drafts.iter().zip(other).all(|(one, other)| one.ignore == other.ignore);
    !(same(drafts) && others.iter().all(|other| same(other)) || others.iter().all(alike))
}

/// The last roll against damage of the first models and of each sort of others, which do not differ in it where weapons
/// do: then it moves into the volleys.
///
/// # Errors
/// [`CompileError::TooMuchDamage`] where it can't stand in the volleys for the work of it.
pub(super) fn ignores(
    drafts: &mut [Draft],
    others: &[Vec<Draft>],
    log: &mut Log,
) -> Result<Vec<Option<Ignore>>, CompileError> {
    let same = |drafts: &[Draft]| drafts.windows(2).all(|pair| pair[0].ignore == pair[1].ignore);
    let of = |drafts: &[Draft]| drafts.first().and_then(|draft| draft.ignore.clone());
    if same(drafts) && others.iter().all(|other| same(other)) {
        return Ok(std::iter::once(of(drafts)).chain(others.iter().map(|other| of(other))).collect());
    }
    part(drafts, log)?;
    Ok(vec![None; others.len() + 1])
}

/// Where both models and weapons differ in the last roll, it becomes a step of each volley in which it is rolled, with the
/// numbers of each sort of model. Whether that can be said: a roll for each point of a packet is no step.
///
/// # Errors
/// [`CompileError::TooMuchDamage`].
pub(super) fn step_by_step(
    drafts: &mut [Draft],
    others: &mut [Vec<Draft>],
    log: &mut Log,
) -> Result<bool, CompileError> {
    for at in 0..drafts.len() {
        let mut sorts: Vec<&mut Draft> = vec![&mut drafts[at]];
        sorts.extend(others.iter_mut().map(|other| &mut other[at]));
        if sorts.iter().all(|sort| sort.ignore == sorts[0].ignore) {
            for sort in sorts {
                part(std::slice::from_mut(sort), &mut Log::default())?;
            }
            continue;
        }
        if !sorts.iter().all(|sort| is_step(sort)) {
            return Ok(false);
        }
        let rolled = sorts.iter().find_map(|sort| sort.ignore.clone());
        for sort in sorts {
            let none = || {
                let mut never = rolled.clone()?;
                never.roll.aim = Aim::Needs(Needs::Never);
                Some(never)
            };
            if let Some(ignore) = sort.ignore.take().or_else(none) {
                append(sort, ignore);
            }
        }
        log.from(
            Spot::Volley(at),
            base("ignore", "", "the last roll differs by weapon and model, so it is a step here"),
        );
    }
    Ok(true)
}

/// Whether the last roll against a volley is one roll for each packet.
fn is_step(draft: &Draft) -> bool {
    let single = draft.volley.damage.as_constant() == Some(1) && !gains_damage(draft);
    single || draft.ignore.as_ref().is_some_and(|ignore| ignore.per_packet)
}

/// Where weapons meet the last roll differently, it stands in their steps or in their damage.
///
/// # Errors
/// [`CompileError::TooMuchDamage`].
pub(super) fn part(drafts: &mut [Draft], log: &mut Log) -> Result<(), CompileError> {
    for (index, draft) in drafts.iter_mut().enumerate() {
        let Some(ignore) = draft.ignore.take() else { continue };
        let single = draft.volley.damage.as_constant() == Some(1) && !gains_damage(draft);
        if ignore.per_packet || single {
            append(draft, ignore);
        } else {
            thin(draft, &ignore)?;
        }
        let words = "the last roll differs by weapon, so it is worked into this one's steps and damage";
        log.from(Spot::Volley(index), base("ignore", "", words));
    }
    Ok(())
}

fn gains_damage(draft: &Draft) -> bool {
    draft.volley.steps.iter().any(|step| match &step.kind {
        Kind::Roll(roll) => {
            std::iter::once(&roll.critical).chain(&roll.margins).any(|gain| gain.damage != Amount::fixed(0))
        }
        Kind::Penetrate(_) | Kind::Table(_) => false,
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
    draft.volley.steps.push(Step {
        name: "ignore".to_owned(),
        by: By::Defender,
        kind: Kind::Roll(step),
        counts: Vec::new(),
    });
    draft.steps.push(usize::MAX);
}

/// One roll for each point leaves of each packet what is not ignored: each point by itself.
fn thin(draft: &mut Draft, ignore: &Ignore) -> Result<(), CompileError> {
    let thinned = |amount: &Amount| match amount.as_constant() {
        Some(0) => Ok(amount.clone()),
        _ => ignore.left_of(amount).ok_or(CompileError::TooMuchDamage),
    };
    draft.volley.damage = thinned(&draft.volley.damage)?;
    for step in &mut draft.volley.steps {
        if let Kind::Roll(roll) = &mut step.kind {
            for gain in std::iter::once(&mut roll.critical).chain(&mut roll.margins) {
                gain.damage = thinned(&gain.damage)?;
            }
        }
    }
    Ok(())
}

/// The rolls afterwards that this matchup has.
pub(super) fn aftermath(context: &RuleContext<'_>, drafts: &[Draft], log: &mut Log) -> Vec<Aftermath> {
    let plans = &context.pack.aftermath;
    let armoured = context.pack.kinds[context.target.unit.kind].body.is_armoured();
    let mut found = Vec::new();
    for (at, plan) in plans.iter().enumerate() {
        if !context.holds(&plan.when) {
            continue;
        }
        let when = match plan.counts {
            Counts::Models | Counts::HealthLost if armoured => continue,
            Counts::Wrecked if !armoured => continue,
            Counts::Wrecked => When::Wrecked,
            Counts::Models => When::Models,
            Counts::HealthLost => When::HealthLost,
            Counts::Passed(step) => match drafts.iter().any(|draft| draft.steps.contains(&step)) {
                true => When::Passed(context.pack.steps[step].named.label.clone()),
                false => continue,
            },
        };
        let active_changes: Vec<_> = active_changes(context, true, log)
            .into_iter()
            .filter(|one| one.change.rolls.contains(&RollId::Aftermath(at)))
            .collect();
        let place = Place { id: RollId::Aftermath(at), name: &plan.named.label, spot: Spot::Target };
        let before = log.reasons.len();
        let mut roll = compile_roll(context, &plan.roll, place, &active_changes, log).roll;
        roll.reroll = Reroll::None;
        for (_, reason) in &mut log.reasons[before..] {
            reason.effect = dreaded(context.pack, plan, &reason.effect);
        }
        let at_least = context.number(&plan.at_least).clamp(1, 10_000).unsigned_abs();
        found.push(Aftermath {
            attack: None,
            when,
            at_least,
            roll,
            per_point: plan.per_point,
            effect: plan.effect.clone(),
            ends: plan.ends,
            even_destroyed: plan.even_destroyed,
        });
    }
    found
}

/// What a roll afterwards needs is nothing to hope for: `runs on 8+ (Nerve 7 + 1), 2d6 + 1 for each model lost`, and
/// `runs on 9+ → 11+`.
fn dreaded(pack: &Pack, plan: &AftermathPlan, effect: &str) -> String {
    let bare = effect.strip_prefix(plan.named.label.as_str()).map_or(effect, str::trim_start);
    let Some(needs) = bare.strip_prefix("needs ") else { return effect.to_owned() };
    let Some((needs, why)) = needs.split_once(": ").filter(|(needs, _)| !needs.contains('→')) else {
        return format!("{} on {needs}", plan.effect);
    };
    let more = match plan.counts {
        _ if plan.per_point == 0 => String::new(),
        Counts::Models => format!(" {:+} for each {} lost", plan.per_point, pack.word("model")),
        Counts::HealthLost => format!(" {:+} for each {} lost", plan.per_point, pack.word("health")),
        Counts::Wrecked | Counts::Passed(_) => format!(" {:+} for each", plan.per_point),
    };
    let more = more.replacen(" +", " + ", 1).replacen(" -", " - ", 1);
    format!("{} on {needs} ({why}), {}{more}", plan.effect, plan.roll.dice)
}
