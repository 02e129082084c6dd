//! One weapon's attacks.
use super::super::matchup::Situation;
use super::super::model::attack::{Body, Form, Procedure};
use super::super::model::change::RollId;
use super::super::model::condition::Condition;
use super::super::model::roll::GainPlan;
use super::super::reason::Spot;
use super::active_changes::{ActiveChange, active_changes};
use super::context::{self, RuleContext};
use super::gain::gain;
use super::log::Log;
use super::roll::{Place, Rolled, amount, compile_roll, on};
use super::{base, penetrate, template};
use crate::odds::chain::{
    Attacks, Backfire, By, Counts, Gain, Ignore, Kind, Penetrate, PenetrateReroll, RollStep, Step, Volley,
};
use crate::odds::dice::{Amount, Dice};
use crate::odds::roll::{Aim, Needs};
use crate::report::saying::listed;

/// A volley, with what belongs to the target as this weapon meets it.
pub(super) struct Draft {
    /// The weapon, by index; none where nothing attacks.
    pub(super) weapon: Option<usize>,
    /// The situation in which it is used, where a duel has several.
    pub(super) situation: Option<Situation>,
    pub(super) volley: Volley,
    /// The pack's index of each step.
    pub(super) steps: Vec<usize>,
    pub(super) ignore: Option<Ignore>,
    pub(super) spill: bool,
}

impl Draft {
    /// Whether it has the numbers of another, in whatever situation.
    pub(super) fn is_alike(&self, other: &Self) -> bool {
        self.volley == other.volley
            && self.steps == other.steps
            && self.ignore == other.ignore
            && self.spill == other.spill
    }
}

/// Compiles the attacks of the context's weapon.
///
/// # Errors
/// Why the weapon is not used.
pub(super) fn compile(context: &RuleContext<'_>, count: u32, log: &mut Log) -> Result<Draft, String> {
    reach(context)?;
    let procedure = procedure(context)?;
    let active_changes = active_changes(context, true, log);
    if let Some((by, _)) = on(&active_changes, RollId::Attack).find(|(_, effects)| effects.deny) {
        let weapon = context.weapon.map_or("weapon", |weapon| weapon.named.label.as_str());
        log.did(by.rule, format!("the {weapon} is not used"));
        let only = elsewhere(context, by).map_or_else(String::new, |only| format!("{only}: "));
        return Err(format!("{only}{}: {}", by.plan.named.label, by.plan.named.text));
    }
    let spot = Spot::Volley(log.volley);
    let mut attacks = context.dice(&procedure.attacks);
    let mut damage = context.dice(&procedure.damage);
    let mut spill = false;
    let template = context.weapon.and_then(|weapon| weapon.template.as_ref());
    if template.is_none() {
        explain(context, procedure, attacks, spot, log);
    }
    for (by, effects) in on(&active_changes, RollId::Attack) {
        let (before, damage_before) = (attacks, damage);
        // A template has no number of shots that a rule could change: it catches what it catches.
        if let Some(more) = effects.attacks.as_ref().filter(|_| template.is_none()) {
            let more = context.dice(more);
            attacks = if attacks.count() == 0 {
                context::add(more, attacks.plus())
            } else {
                context::add(attacks, more.plus())
            };
        }
        attacks = effects.times.filter(|_| template.is_none()).map_or(attacks, |times| context::times(attacks, times));
        damage = effects.set_damage.as_ref().map_or(damage, |sum| context.dice(sum));
        damage = effects.damage.as_ref().map_or(damage, |sum| context::add(damage, context.number(sum)));
        if before != attacks {
            log.changed(spot, by, "attacks", format!("{before} → {attacks}"));
        }
        if damage_before != damage {
            log.changed(spot, by, "damage", format!("{damage_before} → {damage}"));
        }
        if effects.spill == Some(true) {
            spill = true;
            log.changed(spot, by, "damage", "goes on to the next model".to_owned());
        }
    }
    let steps = steps(context, procedure, &active_changes, log);
    let ignore = ignore(context, &active_changes, log);
    note_idle(context, procedure, &active_changes, log);
    let armoured = context.pack.kinds[context.target.unit.kind].body.is_armoured();
    let (ids, steps) = steps.into_iter().unzip();
    let damage = if armoured { Amount::fixed(1) } else { amount(damage) };
    let attacks = match template {
        Some(plan) => template::caught(context, plan, log)?,
        None => amount(attacks).into(),
    };
    let volley = Volley { attackers: count, ..volley_of(attacks, steps, damage) };
    Ok(Draft { weapon: None, situation: None, volley, steps: ids, ignore, spill })
}

/// Where the weapon can be used that a rule forbids here: `contact only`. Nothing where it is not the range that decides.
fn elsewhere(context: &RuleContext<'_>, by: &ActiveChange<'_>) -> Option<String> {
    let ranges = &context.pack.situations.ranges;
    let forbidden = [&by.plan.when, &by.change.when].into_iter().find_map(|when| bands(when, ranges.len()))?;
    let allowed = ranges.iter().enumerate().filter(|(at, _)| !forbidden.contains(at));
    let allowed: Vec<String> = allowed.map(|(_, band)| band.word.named.label.clone()).collect();
    let label = |at: &usize| ranges.get(*at).map(|band| band.word.named.label.clone());
    match allowed.as_slice() {
        [] => None,
        few if few.len() <= forbidden.len() => Some(format!("{} only", listed(few))),
        _ => Some(format!("any range but {}", forbidden.iter().filter_map(label).collect::<Vec<_>>().join(" or "))),
    }
}

/// The range bands, of so many, that a condition asks for.
fn bands(condition: &Condition, all: usize) -> Option<Vec<usize>> {
    match condition {
        Condition::Range(bands) => Some(bands.clone()),
        Condition::Not(inner) => {
            let Condition::Range(bands) = inner.as_ref() else { return None };
            Some((0..all).filter(|band| !bands.contains(band)).collect())
        }
        Condition::All(parts) => parts.iter().find_map(|part| bands(part, all)),
        _ => None,
    }
}

fn reach(context: &RuleContext<'_>) -> Result<(), String> {
    let Some(weapon) = context.weapon else { return Ok(()) };
    let words = &context.pack.situations;
    let (least, most) = weapon.reach;
    let band = context.situation.range;
    let (nearest, farthest) = match context.situation.distance {
        Some(distance) => (distance, Some(distance)),
        None => (words.from(band), words.ranges[band].to),
    };
    let range = &words.ranges[band].word.named.label;
    match most {
        Some(most) if nearest > most => Err(match context.situation.distance {
            Some(distance) => format!("it reaches {most}\", and the target is at {distance}\""),
            None => format!("it reaches {most}\", and {range} begins at {nearest}\""),
        }),
        _ if farthest.is_some_and(|farthest| farthest < least) => {
            Err(format!("it can't be used nearer than {least}\", and the range is {range}"))
        }
        _ => Ok(()),
    }
}

fn procedure<'a>(context: &RuleContext<'a>) -> Result<&'a Procedure, String> {
    let target = context.target.unit;
    let armoured = context.pack.kinds[target.kind].body.is_armoured();
    let mut fitting = context.pack.procedures.iter().filter(|procedure| procedure.armoured == armoured);
    let found = fitting.find(|procedure| context.holds(&procedure.when));
    found.ok_or_else(|| format!("the pack has no attack with it on {}", target.named.label))
}

fn explain(context: &RuleContext<'_>, procedure: &Procedure, attacks: Dice, spot: Spot, log: &mut Log) {
    if procedure.attacks.0.len() > 1 {
        let effect = format!("attacks {attacks}: {}", context.spell(&procedure.attacks));
        log.from(spot, base(&procedure.named.id, procedure.named.text.clone(), effect));
    }
}

/// What a step's faces give, still as the pack says it.
#[derive(Default)]
struct Gains {
    critical: Option<GainPlan>,
    margins: Vec<GainPlan>,
}

fn steps(
    context: &RuleContext<'_>,
    procedure: &Procedure,
    active_changes: &[ActiveChange<'_>],
    log: &mut Log,
) -> Vec<(usize, Step)> {
    let mut steps: Vec<(usize, Step)> = Vec::with_capacity(procedure.steps.len());
    let mut gains: Vec<Gains> = Vec::with_capacity(procedure.steps.len());
    for (index, at) in procedure.steps.iter().enumerate() {
        let plan = &context.pack.steps[*at];
        let name = plan.named.label.as_str();
        let place = Place { id: RollId::Step(*at), name, spot: Spot::Step(log.volley, index) };
        let (kind, gain) = match &plan.form {
            Form::Penetrate(plan) => {
                (Kind::Penetrate(penetrate::compile(context, plan, place, active_changes, log)), Gains::default())
            }
            Form::Roll(plan) => {
                let Rolled { roll, critical, backfire } = compile_roll(context, plan, place, active_changes, log);
                let die = Dice::one(plan.dice.sides()).unwrap_or(plan.dice);
                let backfire = backfire.map_or_else(
                    || Backfire { needs: Needs::Never, die, harm: Amount::fixed(0) },
                    |backfire| Backfire {
                        needs: context.needs(&backfire.needs),
                        die,
                        harm: amount(context.dice(&backfire.harm)),
                    },
                );
                let critical = critical.filter(|critical| critical.on.is_some()).map(|critical| critical.gain);
                let margins = if roll.margins.is_empty() { &[] } else { plan.margins.as_slice() };
                let margins = margins.iter().map(|(_, gain)| gain.clone()).collect();
                let step = RollStep { roll, critical: Gain::none(), margins: Vec::new(), backfire };
                (Kind::Roll(step), Gains { critical, margins })
            }
        };
        steps.push((*at, Step { name: name.to_owned(), by: plan.by, kind, counts: Counts::new() }));
        gains.push(gain);
    }
    for (index, plan) in gains.iter().enumerate() {
        let critical = plan.critical.as_ref().map(|plan| gain(context, plan, &steps, index + 1));
        let margins: Vec<Gain> = plan.margins.iter().map(|plan| gain(context, plan, &steps, index + 1)).collect();
        if let Kind::Roll(step) = &mut steps[index].1.kind {
            step.critical = critical.unwrap_or_else(Gain::none);
            step.margins = margins;
            // Against this target it gives nothing: there is none.
            if step.critical == Gain::none() && step.roll.critical.is_some_and(|face| !face.always) {
                step.roll.critical = None;
            }
        }
    }
    steps
}

/// The target's last roll, as this weapon meets it.
pub(super) fn ignore(context: &RuleContext<'_>, active_changes: &[ActiveChange<'_>], log: &mut Log) -> Option<Ignore> {
    let Body::Soldiers { ignore: Some(plan), per_packet, .. } = &context.pack.kinds[context.target.unit.kind].body
    else {
        return None;
    };
    let place = Place { id: RollId::Ignore, name: "ignore", spot: Spot::Ignore(0) };
    let Rolled { mut roll, .. } = compile_roll(context, plan, place, active_changes, log);
    // A side roll has neither of these.
    (roll.low_fails, roll.high_succeeds) = (false, false);
    (roll.aim != Aim::Needs(Needs::Never)).then_some(Ignore { roll, per_packet: *per_packet })
}

/// Rules that could act and changed nothing say why.
fn note_idle(context: &RuleContext<'_>, procedure: &Procedure, active_changes: &[ActiveChange<'_>], log: &mut Log) {
    for one in active_changes.iter().filter(|one| one.plan.side != super::super::model::change::RuleScope::Table) {
        let rolled = |roll: &RollId| match roll {
            RollId::Step(step) | RollId::Choice(step, _) => procedure.steps.contains(step),
            _ => true,
        };
        let why = if one.change.rolls.iter().any(rolled) {
            "it makes no difference here".to_owned()
        } else {
            let names: Vec<&str> = (one.change.rolls.iter())
                .filter_map(|roll| match roll {
                    RollId::Step(step) | RollId::Choice(step, _) => Some(context.pack.steps[*step].named.id.as_str()),
                    _ => None,
                })
                .collect();
            why_no_roll(context, one).unwrap_or_else(|| format!("there is no {} roll here", names.join(" or ")))
        };
        log.idle(one.rule, || why);
    }
}

/// Why an attack comes without the rolls that a rule changes: they belong to attacks of another sort.
fn why_no_roll(context: &RuleContext<'_>, one: &ActiveChange<'_>) -> Option<String> {
    let pack = context.pack;
    let armoured = pack.kinds[context.target.unit.kind].body.is_armoured();
    let rolled = |procedure: &&Procedure| {
        one.change.rolls.iter().any(|roll| match roll {
            RollId::Step(step) | RollId::Choice(step, _) => procedure.steps.contains(step),
            _ => false,
        })
    };
    let with: Vec<&Procedure> = pack.procedures.iter().filter(rolled).collect();
    if !with.is_empty() && with.iter().all(|procedure| procedure.armoured != armoured) {
        let structure = pack.word("structure");
        return Some(format!("{} against units with {structure}", if armoured { "not" } else { "only" }));
    }
    // A rule of one sort of attack says where that is made.
    let same = with.into_iter().filter(|procedure| procedure.armoured == armoured);
    let ranges = &pack.situations.ranges;
    let same: Vec<&Procedure> = same.collect();
    let bands = same.iter().map(|procedure| bands(&procedure.when, ranges.len())).collect::<Option<Vec<_>>>();
    let Some(bands) = bands else {
        return same.first().and_then(|procedure| context.why_not(&procedure.when));
    };
    let mut wanted: Vec<usize> = bands.concat();
    wanted.sort_unstable();
    wanted.dedup();
    let wanted: Vec<String> = wanted.iter().map(|at| ranges[*at].word.named.label.clone()).collect();
    (!wanted.is_empty()).then(|| format!("only at {}", wanted.join(" or ")))
}

/// A volley of one attacker with nothing but its attacks.
fn volley_of(attacks: Attacks, steps: Vec<Step>, damage: Amount) -> Volley {
    Volley {
        attackers: 1,
        attacks,
        gate: None,
        steps,
        damage,
        counts: Counts::new(),
        by_counter: Vec::new(),
        spill: None,
        ignore: None,
    }
}

/// The volley of an attacker that has nothing to use: nobody attacks.
pub(super) fn nothing(context: &RuleContext<'_>) -> Draft {
    let armoured = context.pack.kinds[context.target.unit.kind].body.is_armoured();
    let steps = if armoured {
        let none = || Amount::fixed(0);
        let dice = Dice::one(6).unwrap_or(super::super::model::stat::nothing());
        let kind = Kind::Penetrate(Penetrate {
            dice,
            add: 0,
            against: 10_000,
            reroll: PenetrateReroll::None,
            critical: None,
            equal_breaches: false,
            graze: none(),
            breach: none(),
            graze_counts: Counts::new(),
            breach_counts: Counts::new(),
            chart: None,
        });
        vec![Step { name: "penetrate".to_owned(), by: By::Attacker, kind, counts: Counts::new() }]
    } else {
        Vec::new()
    };
    let (attacks, damage) = (Amount::fixed(1).into(), Amount::fixed(1));
    let volley = Volley { attackers: 0, ..volley_of(attacks, steps, damage) };
    Draft { weapon: None, situation: None, volley, steps: Vec::new(), ignore: None, spill: false }
}
