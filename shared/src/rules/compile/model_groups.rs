//! Models of one unit that are unlike the others: the groups of a chain's target, and what each of them replaces.
//!
//! Every weapon is compiled anew for each sort of model. What comes out otherwise stands in the group, as numbers in
//! place of the steps' own. A group speaks of steps by name, whichever weapon it is hit by: where weapons differ in what
//! a group replaces, their steps get names of their own.
use super::super::model::roll::Counts;
use super::super::reason::{Reason, Spot};
use super::context::RuleContext;
use super::log::Log;
use super::side::Part;
use super::volley::{self, Draft};
use super::{CompileError, target};
use crate::odds::chain::{Change, Gain, Group, Kind, RollStep, Step};
use crate::odds::roll::{Aim, Needs, Reroll, Roll};

/// What a sort of model replaces: of each volley, of each step.
type Replaced = Vec<Vec<Option<Change>>>;

/// The groups of soldiers. The drafts are those of the first part.
///
/// # Errors
/// [`CompileError::ModelGroups`] where no group of a chain can say how these models differ.
pub(super) fn groups(
    context: &RuleContext<'_>,
    parts: &[Part<'_>],
    drafts: &mut [Draft],
    log: &mut Log,
) -> Result<Vec<Group>, CompileError> {
    let mut others: Vec<Vec<Draft>> =
        parts[1..].iter().map(|part| again(context, part, drafts)).collect::<Result<_, _>>()?;
    if target::both_differ(drafts, &others) && !target::step_by_step(drafts, &mut others, log)? {
        return Err(refused(context));
    }
    let replaced: Vec<Replaced> =
        others.iter().map(|other| compare(drafts, other).ok_or_else(|| refused(context))).collect::<Result<_, _>>()?;
    let ignores = target::ignores(drafts, &others, log)?;
    separate(context, drafts, &replaced)?;
    let mut groups = Vec::with_capacity(parts.len());
    for (at, (part, ignore)) in parts.iter().zip(ignores).enumerate() {
        let context = RuleContext { target: &part.loadout, ..*context };
        let health = target::health(&context);
        let then = at.checked_sub(1).map_or_else(Vec::new, |other| then(drafts, &replaced[other]));
        if let Some(group) = part.group.filter(|_| parts.len() > 1) {
            let changes = then.iter().map(|change| format!(", {} {}", change.step, words(change)));
            let falls = if part.models == 1 { "falls last".to_owned() } else { format!("{} fall last", part.models) };
            let stat = super::super::term::label_of(context.pack, "health");
            let effect = format!("{falls}, with {stat} {health}{}", changes.collect::<String>());
            let text = "Models unlike the others.".to_owned();
            log.from(Spot::Target, Reason { rule: group.named.id.clone(), text, effect });
        }
        groups.push(Group { models: part.models, health, ignore, then });
    }
    Ok(groups)
}

fn refused(context: &RuleContext<'_>) -> CompileError {
    CompileError::ModelGroups(context.target.unit.named.label.clone())
}

/// The volleys as they meet other models. What is said about them is said once, of the first.
fn again(context: &RuleContext<'_>, part: &Part<'_>, drafts: &[Draft]) -> Result<Vec<Draft>, CompileError> {
    let context = RuleContext { target: &part.loadout, ..*context };
    let once = |draft: &Draft| match draft.weapon {
        None => Ok(volley::nothing(&context)),
        Some(weapon) => {
            let situation = draft.situation.as_ref().unwrap_or(context.situation);
            let context = RuleContext { situation, ..context.with_weapon(&context.pack.weapons[weapon]) };
            volley::compile(&context, draft.volley.attackers, &mut Log::default()).map_err(|_| refused(&context))
        }
    };
    drafts.iter().map(once).collect()
}

/// What the steps of each volley are replaced by; nothing where more differs than a group can replace.
fn compare(drafts: &[Draft], others: &[Draft]) -> Option<Replaced> {
    let volley = |(one, other): (&Draft, &Draft)| {
        let alike = one.steps == other.steps && one.spill == other.spill && one.volley.damage == other.volley.damage;
        if !alike || one.volley.attacks != other.volley.attacks {
            return None;
        }
        let other = aligned(&one.volley.steps, &other.volley.steps);
        one.volley.steps.iter().zip(&other).map(step).collect()
    };
    drafts.iter().zip(others).map(volley).collect()
}

/// Nothing where the steps can't be told apart by a change; a change of nothing where they are the same.
fn step((one, other): (&Step, &Step)) -> Option<Option<Change>> {
    let (Kind::Roll(one_roll), Kind::Roll(other_roll)) = (&one.kind, &other.kind) else {
        return (one == other).then_some(None);
    };
    let (before, after) = (&one_roll.roll, &other_roll.roll);
    let mut change = Change::of(&one.name);
    if let Aim::Needs(needs) = after.aim {
        change.needs = Some(needs).filter(|_| before.aim != after.aim);
    }
    change.modifier = Some(after.modifier).filter(|modifier| *modifier != before.modifier);
    let mut same = other_roll.clone();
    same.roll.aim = before.aim.clone();
    same.roll.modifier = before.modifier;
    let possible = same == *one_roll && (change.needs.is_some() || before.aim == after.aim);
    let any = change.needs.is_some() || change.modifier.is_some();
    possible.then(|| any.then_some(change))
}

/// The other steps written with the modifiers of the first: of what is needed so much less or more. So what a success
/// carries to a later step (a modifier in place of its own) takes as much off either of them.
fn aligned(steps: &[Step], others: &[Step]) -> Vec<Step> {
    let mut others = others.to_vec();
    let mut moves: Vec<(String, i32)> = Vec::new();
    for (one, other) in steps.iter().zip(&mut others) {
        if let (Kind::Roll(one), Kind::Roll(roll)) = (&one.kind, &mut other.kind) {
            moves.push((other.name.clone(), align(&one.roll, &mut roll.roll)));
        }
    }
    for other in &mut others {
        let Kind::Roll(RollStep { critical, margins, .. }) = &mut other.kind else { continue };
        for change in std::iter::once(critical).chain(margins).flat_map(|Gain { then, .. }| then) {
            let by = moves.iter().find(|(step, _)| *step == change.step).map_or(0, |(_, by)| *by);
            change.modifier = change.modifier.map(|modifier| modifier.saturating_add(by));
            change.needs = change.needs.map(|needs| moved(needs, by).unwrap_or(needs));
        }
    }
    others
}

/// Writes a roll with the modifier of another, and says what was put on its own. Where both sides roll, what the other
/// side adds comes over to this one.
fn align(one: &Roll, other: &mut Roll) -> i32 {
    let by = match (&one.aim, &mut other.aim) {
        (Aim::Versus(before), Aim::Versus(after)) => {
            let by = before.modifier.saturating_sub(after.modifier);
            after.modifier = before.modifier;
            by
        }
        // What is rolled again may go by the natural face, which no need stands for.
        (_, Aim::Needs(needs)) if other.reroll != Reroll::NaturalFailures => {
            let by = one.modifier.saturating_sub(other.modifier);
            let Some(to) = moved(*needs, by) else { return 0 };
            *needs = to;
            by
        }
        _ => 0,
    };
    other.modifier = other.modifier.saturating_add(by);
    by
}

fn moved(needs: Needs, by: i32) -> Option<Needs> {
    let add = |total: u32| {
        let total = i64::from(total) + i64::from(by);
        u32::try_from(total).ok().filter(|total| (1..=10_000).contains(total))
    };
    match needs {
        Needs::AtLeast(total) => add(total).map(Needs::AtLeast),
        Needs::AtMost(total) => add(total).map(Needs::AtMost),
        other => Some(other),
    }
}

/// The changes of a group, each once.
fn then(drafts: &[Draft], replaced: &Replaced) -> Vec<Change> {
    let mut then: Vec<Change> = Vec::new();
    for (draft, changes) in drafts.iter().zip(replaced) {
        for (step, change) in draft.volley.steps.iter().zip(changes) {
            let Some(change) = change else { continue };
            if !then.iter().any(|known| known.step == step.name) {
                then.push(Change { step: step.name.clone(), ..change.clone() });
            }
        }
    }
    then
}

/// Gives steps names of their own where weapons differ in what a group replaces.
fn separate(context: &RuleContext<'_>, drafts: &mut [Draft], replaced: &[Replaced]) -> Result<(), CompileError> {
    for name in differing(drafts, replaced) {
        let plans = context.pack.aftermath.iter().filter(|plan| context.holds(&plan.when));
        let counted = plans.filter_map(|plan| match plan.counts {
            Counts::Passed(step) => Some(context.pack.steps[step].named.label.as_str()),
            Counts::Models | Counts::HealthLost | Counts::Wrecked => None,
        });
        if counted.into_iter().any(|counted| counted == name) {
            return Err(refused(context));
        }
        // What each sort of model makes of the step, volley by volley: a weapon may meet them otherwise in another turn.
        let made: Vec<Vec<Option<Change>>> = (0..drafts.len()).map(|at| changes(drafts, replaced, at, &name)).collect();
        let mut owners: Vec<(String, usize)> = Vec::new();
        for (at, draft) in drafts.iter_mut().enumerate() {
            let weapon = draft.weapon.map(|weapon| context.pack.weapons[weapon].named.label.as_str());
            let own = weapon.map(|weapon| format!("{name} from {weapon}")).filter(|own| own.chars().count() <= 64);
            let own = own.unwrap_or_else(|| format!("{name} {}", at + 1));
            let other = owners.iter().any(|(known, by)| *known == own && made[*by] != made[at]);
            let own = if other { format!("{name}, volley {}", at + 1) } else { own };
            rename(&mut draft.volley.steps, &name, &own);
            owners.push((own, at));
        }
    }
    Ok(())
}

/// What each sort of model puts in place of a step of one volley.
fn changes(drafts: &[Draft], replaced: &[Replaced], at: usize, name: &str) -> Vec<Option<Change>> {
    let place = drafts[at].volley.steps.iter().position(|step| step.name == name);
    place.map_or_else(Vec::new, |place| replaced.iter().map(|replaced| replaced[at][place].clone()).collect())
}

fn differing(drafts: &[Draft], replaced: &[Replaced]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for replaced in replaced {
        let mut first: Vec<(&str, Option<&Change>)> = Vec::new();
        for (step, change) in
            drafts.iter().zip(replaced).flat_map(|(draft, changes)| draft.volley.steps.iter().zip(changes))
        {
            match first.iter().find(|(name, _)| *name == step.name) {
                None => first.push((&step.name, change.as_ref())),
                Some((_, known)) if *known == change.as_ref() => {}
                Some(_) if names.contains(&step.name) => {}
                Some(_) => names.push(step.name.clone()),
            }
        }
    }
    names
}

fn rename(steps: &mut [Step], before: &str, after: &str) {
    for step in steps {
        if step.name == before {
            after.clone_into(&mut step.name);
        }
        let Kind::Roll(roll) = &mut step.kind else { continue };
        let gains = std::iter::once(&mut roll.critical).chain(&mut roll.margins);
        for change in gains.flat_map(|Gain { then, .. }| then).filter(|change| change.step == before) {
            after.clone_into(&mut change.step);
        }
    }
}

fn words(change: &Change) -> String {
    let needs = change.needs.map(|needs| needs.to_string());
    let modifier = change.modifier.map(|modifier| format!("at {modifier:+}"));
    needs.into_iter().chain(modifier).collect::<Vec<_>>().join(" ")
}
