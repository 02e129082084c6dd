//! One roll: the plan, then what rules set, then what they add.
use super::super::describe;
use super::super::model::change::{Effects, RollId};
use super::super::model::roll::{AimPlan, BackfirePlan, Choice, CriticalPlan, RollPlan};
use super::super::model::sum::NeedsFrom;
use super::super::reason::Spot;
use super::active_changes::ActiveChange;
use super::base;
use super::context::RuleContext;
use super::log::Log;
use super::roll_words::{aim_words, keep_words, reroll_words, told};
use crate::odds::dice::{Amount, Dice};
use crate::odds::roll::{Aim, CriticalFace, Needs, Pool, Reroll, Roll, Versus};
use crate::report::saying::needed;

/// A compiled roll, and what its faces give, still as the pack says it.
pub(crate) struct Rolled {
    pub(crate) roll: Roll,
    pub(crate) critical: Option<CriticalPlan>,
    pub(crate) backfire: Option<BackfirePlan>,
}

/// Where a roll stands, for its reasons.
#[derive(Clone, Copy)]
pub(crate) struct Place<'a> {
    pub(crate) id: RollId,
    pub(crate) name: &'a str,
    pub(crate) spot: Spot,
}

/// The effects that act on a roll, in order.
pub(super) fn on<'a>(
    changes: &'a [ActiveChange<'a>],
    id: RollId,
) -> impl Iterator<Item = (&'a ActiveChange<'a>, &'a Effects)> {
    changes.iter().filter(move |one| one.change.rolls.contains(&id)).map(|one| (one, &one.change.effects))
}

/// Compiles a roll.
pub(crate) fn compile_roll(
    context: &RuleContext<'_>,
    plan: &RollPlan,
    place: Place<'_>,
    changes: &[ActiveChange<'_>],
    log: &mut Log,
) -> Rolled {
    let (aim, own) = aim(context, plan, place, changes, log);
    let mut roll = Roll {
        pool: Pool::Dice { dice: plan.dice, keep: plan.keep },
        aim,
        harder: 0,
        modifier: context.number(&plan.modifier).saturating_add(own),
        reroll: plan.reroll,
        low_fails: plan.low_fails,
        high_succeeds: plan.high_succeeds,
        critical: None,
        backfire: None,
        margins: plan.margins.iter().map(|(at_least, _)| *at_least).collect(),
    };
    // What adds nothing needs no reason.
    let own = context.number(&plan.modifier);
    if own != 0 && plan.modifier.as_number().is_none() {
        log.from(place.spot, base(place.name, "", format!("{own:+}: {}", context.spell(&plan.modifier))));
    }
    let mut critical = plan.critical.clone();
    let mut backfire = plan.backfire.clone();
    for (by, effects) in on(changes, place.id) {
        set(context, effects, &mut roll, place, by, log);
        if let Some(more) = &effects.critical {
            let was = critical.as_ref().and_then(|critical| critical.on);
            let merged = merge(critical.take(), more);
            let effect = match (was, merged.on) {
                (Some(was), Some(on)) if was != on => format!("critical {was} → {on}"),
                (_, Some(on)) => format!("critical on a {on}{}", gains(context, &merged)),
                (_, None) => format!("critical{}", gains(context, &merged)),
            };
            log.changed(place.spot, by, place.name, effect);
            critical = Some(merged);
        }
        if let Some(other) = &effects.backfire {
            log.changed(place.spot, by, place.name, format!("backfire on {}", other.on));
            backfire = Some(other.clone());
        }
    }
    for (by, effects) in on(changes, place.id) {
        add(context, effects, &mut roll, place, by, log);
    }
    limit(plan, &mut roll, place, log);
    for (by, effects) in on(changes, place.id).filter(|(_, effects)| effects.deny) {
        let _ = effects;
        if roll.aim != Aim::Needs(Needs::Never) {
            let own = describe::roll_name(context.pack, place.id);
            let what =
                if matches!(place.spot, Spot::Step(..)) { "roll" } else { own.strip_prefix("the ").unwrap_or(&own) };
            log.changed(place.spot, by, place.name, format!("no {what} ({} otherwise)", aim_words(&roll)));
            roll.aim = Aim::Needs(Needs::Never);
        }
    }
    if !roll.is_rolled() {
        (critical, backfire) = (None, None);
        roll.margins.clear();
    }
    if let Some(on) = critical.as_ref().and_then(|critical| critical.on) {
        let always = critical.as_ref().and_then(|critical| critical.always).unwrap_or(true);
        roll.critical = Some(CriticalFace { on, always });
    }
    roll.backfire = backfire.as_ref().map(|backfire| backfire.on);
    Rolled { roll, critical, backfire }
}

/// What decides the roll before rules change it, and the modifier of the choice taken.
fn aim(
    context: &RuleContext<'_>,
    plan: &RollPlan,
    place: Place<'_>,
    changes: &[ActiveChange<'_>],
    log: &mut Log,
) -> (Aim, i32) {
    match &plan.aim {
        AimPlan::Needs(from) => {
            let needs = context.needs(from);
            explain_needs(context, from, needs, place, log);
            (Aim::Needs(needs), 0)
        }
        AimPlan::Choose(choices) => choose(context, choices, place, changes, log),
        AimPlan::Versus(versus) => {
            let modifier = context.number(&versus.modifier);
            if modifier != 0 && versus.modifier.as_number().is_none() {
                let effect = format!("the other side adds {modifier:+}: {}", context.spell(&versus.modifier));
                log.from(place.spot, base(place.name, "", effect));
            }
            let pool = Pool::Dice { dice: versus.dice, keep: versus.keep };
            (Aim::Versus(Versus { pool, modifier, ties: versus.ties }), 0)
        }
    }
}

fn explain_needs(context: &RuleContext<'_>, from: &NeedsFrom, needs: Needs, place: Place<'_>, log: &mut Log) {
    match from {
        NeedsFrom::Chart(at) => {
            let chart = &context.pack.charts[*at];
            let effect = format!("{}: {}", told(needs), context.spell_chart(chart));
            log.from(place.spot, base(&chart.named.id, chart.named.text.clone(), effect));
        }
        NeedsFrom::AtLeast(sum) | NeedsFrom::AtMost(sum) if sum.as_number().is_none() => {
            log.from(place.spot, base(place.name, "", format!("{}: {}", told(needs), context.spell(sum))));
        }
        NeedsFrom::Fixed(_) | NeedsFrom::Stat(..) | NeedsFrom::AtLeast(_) | NeedsFrom::AtMost(_) => {}
    }
}

/// The best of several, each with what rules do to it alone.
fn choose(
    context: &RuleContext<'_>,
    choices: &[Choice],
    place: Place<'_>,
    changes: &[ActiveChange<'_>],
    log: &mut Log,
) -> (Aim, i32) {
    let RollId::Step(step) = place.id else { return (Aim::Needs(Needs::Never), 0) };
    let mut best: Option<(usize, Needs, i32)> = None;
    let mut lines = Vec::new();
    for (index, choice) in choices.iter().enumerate() {
        let mut needs = context.needs(&choice.needs);
        let mut modifier = context.number(&choice.modifier);
        let id = RollId::Choice(step, index);
        let said = format!("{} {}", place.name, choice.named.label);
        let changed = |log: &mut Log, by: &ActiveChange<'_>, before: Needs, after: Needs| {
            if before != after {
                let effect = match after {
                    Needs::Never => format!("no {}", choice.named.label),
                    _ => format!("needs {before} → {after} by {}", choice.named.label),
                };
                log.changed(place.spot, by, &said, effect);
            }
        };
        for (by, effects) in on(changes, id) {
            if let Some(from) = &effects.needs {
                let before = std::mem::replace(&mut needs, context.needs(from));
                changed(log, by, before, needs);
            }
        }
        for (by, effects) in on(changes, id) {
            let before = needs;
            needs = effects.harder.as_ref().map_or(needs, |sum| harder(needs, context.number(sum)));
            if effects.deny {
                needs = Needs::Never;
            }
            changed(log, by, before, needs);
            if let Some(sum) = &effects.modifier {
                let before = modifier;
                modifier += context.number(sum);
                log.changed(
                    place.spot,
                    by,
                    &said,
                    format!("modifier {before:+} → {modifier:+} by {}", choice.named.label),
                );
            }
        }
        if needs != Needs::Never {
            lines.push((index, needs, modifier));
        }
        if best.is_none_or(|(_, other, plus)| ease(needs, modifier) > ease(other, plus)) {
            best = Some((index, needs, modifier));
        }
    }
    let Some((index, needs, modifier)) = best else { return (Aim::Needs(Needs::Never), 0) };
    let words = |(index, needs, modifier): &(usize, Needs, i32)| match modifier {
        0 => format!("{} {needs}", choices[*index].named.label),
        modifier => format!("{} {needs} at {modifier:+}", choices[*index].named.label),
    };
    if needs != Needs::Never {
        let others: Vec<String> = lines.iter().filter(|line| line.0 != index).map(words).collect();
        let over = if others.is_empty() { String::new() } else { format!(", not {}", others.join(", ")) };
        log.from(place.spot, base(place.name, "", format!("by {}{over}", words(&(index, needs, modifier)))));
    }
    (Aim::Needs(needs), modifier)
}

/// How easy a need is with its modifier; the higher, the easier. Only needs of one direction compare.
fn ease(needs: Needs, modifier: i32) -> i32 {
    match needs {
        Needs::Auto => i32::MAX,
        Needs::AtLeast(total) => modifier - total as i32,
        Needs::AtMost(total) => total as i32 - modifier - 20_000,
        Needs::Never => i32::MIN,
    }
}

/// A need made harder by so much, or easier where it is below 0.
pub(super) fn harder(needs: Needs, by: i32) -> Needs {
    match needs {
        Needs::AtLeast(total) => Needs::AtLeast((total as i32).saturating_add(by).clamp(1, 10_000).unsigned_abs()),
        Needs::AtMost(total) => match (total as i32).saturating_sub(by) {
            most if most < 1 => Needs::Never,
            most => Needs::AtMost(most.min(10_000).unsigned_abs()),
        },
        other => other,
    }
}

/// What a critical gives: `: 1 more`, `: +2 damage and -2 to ward`.
fn gains(context: &RuleContext<'_>, plan: &CriticalPlan) -> String {
    let mut words = Vec::new();
    words.extend(plan.gain.extra.as_ref().map(|more| format!("{} more", context.dice(more))));
    words.extend(plan.gain.damage.as_ref().map(|more| format!("+{} damage", context.dice(more))));
    if words.is_empty() { String::new() } else { format!(": {}", words.join(" and ")) }
}

/// What is set.
fn set(
    context: &RuleContext<'_>,
    effects: &Effects,
    roll: &mut Roll,
    place: Place<'_>,
    by: &ActiveChange<'_>,
    log: &mut Log,
) {
    if let Some(from) = &effects.needs {
        let before = aim_words(roll);
        let needs = context.needs(from);
        if roll.aim != Aim::Needs(needs) {
            roll.aim = Aim::Needs(needs);
            log.changed(place.spot, by, place.name, format!("{before} → {}", needed(&needs.to_string())));
        }
    }
    if let Pool::Dice { dice, keep } = &mut roll.pool {
        if let Some(other) = effects.dice.filter(|other| other != dice) {
            log.changed(place.spot, by, place.name, format!("{dice} → {other}"));
            *dice = other;
        }
        if let Some(other) = effects.keep.filter(|other| other != keep) {
            log.changed(place.spot, by, place.name, format!("keep {}", keep_words(other)));
            *keep = other;
        }
    }
    if let Some(other) = effects.reroll.filter(|other| rank(*other) > rank(roll.reroll)) {
        let low = matches!(roll.aim, Aim::Needs(Needs::AtMost(_)));
        let (before, after) = (reroll_words(roll.reroll, low), reroll_words(other, low));
        let effect = match roll.reroll {
            Reroll::None => format!("re-roll {after}"),
            _ => format!("re-roll {before} → {after}"),
        };
        log.changed(place.spot, by, place.name, effect);
        roll.reroll = other;
    }
    for (field, value, words) in [
        (&mut roll.low_fails, effects.low_fails, "the worst face always fails"),
        (&mut roll.high_succeeds, effects.high_succeeds, "the best face always succeeds"),
    ] {
        if let Some(value) = value.filter(|value| value != field) {
            let yes = |yes: bool| if yes { "yes" } else { "no" };
            log.changed(place.spot, by, place.name, format!("{words}: {} → {}", yes(*field), yes(value)));
            *field = value;
        }
    }
}

/// What is added.
fn add(
    context: &RuleContext<'_>,
    effects: &Effects,
    roll: &mut Roll,
    place: Place<'_>,
    by: &ActiveChange<'_>,
    log: &mut Log,
) {
    let mut more = effects.modifier.as_ref().map_or(0, |sum| context.number(sum));
    if let Some(sum) = &effects.harder {
        let amount = context.number(sum);
        match &mut roll.aim {
            Aim::Needs(needs) => {
                let after = harder(*needs, amount);
                if after != *needs {
                    let [before, now] = [*needs, after].map(|needs| needed(&needs.to_string()));
                    log.changed(place.spot, by, place.name, format!("needs {before} → {now}"));
                    *needs = after;
                }
            }
            // An opposed roll needs no number of its own: harder is less on the total.
            Aim::Versus(_) => more -= amount,
        }
    }
    if more != 0 {
        let before = roll.modifier;
        roll.modifier = before.saturating_add(more);
        log.changed(place.spot, by, place.name, format!("modifier {before:+} → {:+}", roll.modifier));
    }
}

/// The easiest and the hardest that the pack allows.
fn limit(plan: &RollPlan, roll: &mut Roll, place: Place<'_>, log: &mut Log) {
    let Aim::Needs(needs) = roll.aim else { return };
    let rank = |needs: Needs| match needs {
        Needs::AtLeast(total) => Some(i64::from(total)),
        Needs::AtMost(total) => Some(-i64::from(total)),
        Needs::Auto | Needs::Never => None,
    };
    let Some(now) = rank(needs) else { return };
    let alike = |other: &Needs| {
        matches!((other, needs), (Needs::AtLeast(_), Needs::AtLeast(_)) | (Needs::AtMost(_), Needs::AtMost(_)))
    };
    let best = plan.best.filter(alike).filter(|best| rank(*best).is_some_and(|best| now < best));
    let worst = plan.worst.filter(alike).filter(|worst| rank(*worst).is_some_and(|worst| now > worst));
    if let Some(after) = best.or(worst) {
        let words = if best.is_some() { "no better than" } else { "no worse than" };
        let [before, now] = [needs, after].map(|needs| needed(&needs.to_string()));
        log.from(place.spot, base(place.name, "", format!("needs {before} → {now}: {words} {now}")));
        roll.aim = Aim::Needs(after);
    }
}

/// A critical laid over another: the better face, and what is said anew in place of what was.
fn merge(before: Option<CriticalPlan>, more: &CriticalPlan) -> CriticalPlan {
    let Some(mut merged) = before else { return more.clone() };
    merged.on = match (merged.on, more.on) {
        (Some(one), Some(other)) => Some(one.min(other)),
        (one, other) => one.or(other),
    };
    merged.always = more.always.or(merged.always);
    merged.add = more.add.clone().or(merged.add);
    merged.gain.extra = more.gain.extra.clone().or(merged.gain.extra);
    merged.gain.damage = more.gain.damage.clone().or(merged.gain.damage);
    merged.gain.then.extend(more.gain.then.iter().cloned());
    merged
}

/// Which of two re-rolls is the better one: each takes in what the one before it does.
fn rank(reroll: Reroll) -> u8 {
    match reroll {
        Reroll::None => 0,
        Reroll::Worst => 1,
        Reroll::NaturalFailures => 2,
        Reroll::Failures => 3,
        Reroll::NotCritical => 4,
        Reroll::Successes => 5,
    }
}

/// A plain amount of dice.
pub(super) fn amount(dice: Dice) -> Amount {
    Amount::Dice(dice)
}
