//! Whether a rule acts as far as was said: its real conditions, held against all that can still be.
use super::super::conditions::{Ternary, holds};
use super::super::model::Pack;
use super::super::model::change::{Change, Effects, RollId, Rule, RuleScope};
use super::super::model::condition::Condition;
use super::super::model::roll::AimPlan;
use super::super::model::stat::Value;
use super::super::model::sum::NeedsFrom;
use super::form::Form;
use super::possibilities::{Possibilities, best_face};
use super::said::Said;
use super::sides::{may_carry, possibilities};
use super::topics::{choices, meets, touched};
use crate::odds::roll::Needs;

/// One thing that must be so for a change to act.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Part {
    /// A condition of the rule.
    When(Condition),
    /// The die shows this or more; the other way round where it costs something.
    Face { on: u32, low: bool },
    /// Whoever was named carries the rule.
    Carried(Who),
    /// The roll is made at all.
    Made(RollId),
    /// A weapon may be used here.
    Used(usize),
    /// The roll needs this with the rule, which is or is not what was claimed.
    Need(u32),
    /// What is rolled is what the question speaks of.
    Touches,
    /// The roll succeeds.
    Succeeds,
}

/// Who was named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Who {
    /// A unit, by index.
    Unit(usize),
    /// A weapon, by index.
    Weapon(usize),
}

/// What the conditions of one change come to.
#[derive(Clone, Debug)]
pub(super) struct Verdict {
    /// The answer.
    pub truth: Ternary,
    /// What decided, and how each stands.
    pub parts: Vec<(Part, Ternary)>,
    /// The change, by index among the rule's; none for its repair.
    pub change: Option<usize>,
}

/// The verdict on a rule: that of the change that comes nearest to acting.
pub(super) fn verdict(pack: &Pack, rule: usize, said: &Said, form: &Form, weapons: &[usize]) -> Verdict {
    let plan = &pack.rules[rule];
    let changes = relevant(plan, said);
    let mut best: Option<Verdict> = None;
    let repair = plan.repair.is_some() && !plan.changes.iter().any(|change| speaks(change, said));
    let own = changes.iter().map(|at| Some(*at)).chain(repair.then_some(None));
    for at in own {
        let found = of_change(pack, rule, at, said, form, weapons);
        // Of those that come to the same, the one with the least against it.
        let against = |one: &Verdict| one.parts.iter().filter(|(_, truth)| *truth == Ternary::No).count();
        let better = best.as_ref().is_none_or(|best| {
            found.truth > best.truth || (found.truth == best.truth && against(&found) < against(best))
        });
        if better {
            best = Some(found);
        }
    }
    best.unwrap_or(Verdict { truth: Ternary::No, parts: vec![(Part::Touches, Ternary::No)], change: None })
}

/// Whether a change touches a roll that was spoken of.
pub(super) fn speaks(change: &Change, said: &Said) -> bool {
    let spoken = said.topics.iter().flat_map(|(_, rolls)| rolls);
    let touched = touched(change);
    spoken.clone().any(|roll| touched.iter().any(|own| meets(*own, *roll)))
}

/// The changes that the question can be about: those of rolls that it names; else those of attacks, if there are any.
pub(super) fn relevant(plan: &Rule, said: &Said) -> Vec<usize> {
    let all = 0..plan.changes.len();
    if said.topics.iter().any(|(_, rolls)| !rolls.is_empty()) {
        return all.filter(|at| speaks(&plan.changes[*at], said)).collect();
    }
    let attack = |at: &usize| plan.changes[*at].rolls.iter().any(|roll| roll.is_of_attack());
    let attacks: Vec<usize> = all.clone().filter(attack).collect();
    if attacks.is_empty() { all.collect() } else { attacks }
}

fn of_change(pack: &Pack, rule: usize, at: Option<usize>, said: &Said, form: &Form, weapons: &[usize]) -> Verdict {
    let plan = &pack.rules[rule];
    let change = at.map(|at| &plan.changes[at]);
    let mut parts: Vec<(Part, Ternary)> = Vec::new();
    let mut table = possibilities(pack, rule, change, said, weapons);
    let of_attack = change.is_some_and(|change| change.rolls.iter().any(|roll| roll.is_of_attack()));
    let denies = change.is_some_and(|change| change.effects.deny && change.rolls.contains(&RollId::Attack));
    if of_attack && !denies {
        let usable: Vec<usize> = table.weapons.iter().copied().filter(|at| table.usable(*at) != Ternary::No).collect();
        match table.weapons.as_slice() {
            [first, ..] if usable.is_empty() => parts.push((Part::Used(*first), Ternary::No)),
            [only] if form.exact => parts.push((Part::Used(*only), table.usable(*only))),
            _ => table.weapons = usable,
        }
    }
    parts.extend(carried(pack, rule, change, said));
    let mut conditions = Vec::new();
    flatten(&plan.when, &mut conditions);
    change.into_iter().for_each(|change| flatten(&change.when, &mut conditions));
    parts.extend(conditions.into_iter().map(|part| (Part::When(part.clone()), holds(&part, &table))));
    change.into_iter().for_each(|change| parts.extend(made(change, &table, said, form)));
    if said.missed && change.is_some_and(|change| change.effects.critical.is_some()) {
        parts.push((Part::Succeeds, Ternary::No));
    }
    parts.extend(face(pack, plan, change, said, form));
    change.into_iter().for_each(|change| parts.extend(need(pack, change, &table, said)));
    Verdict { truth: Ternary::all(parts.iter().map(|(_, truth)| *truth)), parts, change: at }
}

/// Whether whoever was named as the one with the rule has it.
fn carried(pack: &Pack, rule: usize, change: Option<&Change>, said: &Said) -> Option<(Part, Ternary)> {
    let scope = change.map_or(pack.rules[rule].side, |change| change.side);
    if said.cast.is_some() || matches!(scope, RuleScope::Table | RuleScope::NearAttacker | RuleScope::NearTarget) {
        return None;
    }
    let on_weapons = pack.weapons.iter().any(|weapon| weapon.rules.contains(&rule));
    if scope == RuleScope::Weapon && on_weapons && !said.weapons.is_empty() {
        let without: Vec<usize> =
            said.weapons.iter().copied().filter(|at| !pack.weapons[*at].rules.contains(&rule)).collect();
        if without.len() == said.weapons.len() {
            return Some((Part::Carried(Who::Weapon(without[0])), Ternary::No));
        }
        return None;
    }
    let named = said.mentions.iter().find(|mention| mention.on_whom)?;
    let any = named.units.iter().any(|unit| may_carry(pack, *unit, rule));
    let other = said.mentions.iter().any(|mention| mention.units.iter().any(|unit| may_carry(pack, *unit, rule)));
    (!any && !other).then(|| (Part::Carried(Who::Unit(named.units[0])), Ternary::No))
}

/// Whether the rolls of a change are made by those who can be there. What is only perhaps made is taken as made, but for
/// questions that want it always.
fn made(change: &Change, table: &Possibilities<'_>, said: &Said, form: &Form) -> Option<(Part, Ternary)> {
    let spoken: Vec<RollId> = said.topics.iter().flat_map(|(_, rolls)| rolls.iter().copied()).collect();
    let rolls =
        change.rolls.iter().filter(|roll| spoken.is_empty() || spoken.iter().any(|other| meets(**roll, *other)));
    let rolls: Vec<RollId> = if rolls.clone().count() == 0 { change.rolls.clone() } else { rolls.copied().collect() };
    let truth = Ternary::any(rolls.iter().map(|roll| table.made(*roll)));
    let first = *rolls.first()?;
    // What only changes later rolls does nothing where none of them is made.
    if let Some((step, later)) = later(change, table)
        && truth != Ternary::No
        && later == Ternary::No
    {
        return Some((Part::Made(RollId::Step(step)), Ternary::No));
    }
    match truth {
        Ternary::No => Some((Part::Made(first), Ternary::No)),
        // `always on a 10`: wherever the face comes up.
        Ternary::Open if form.always && said.faces.is_empty() && said.numbers.is_empty() || form.exact => {
            Some((Part::Made(first), Ternary::Open))
        }
        _ => None,
    }
}

/// Whether any of the later rolls is made that a change is about, where it is about nothing else; and the first of them.
fn later(change: &Change, table: &Possibilities<'_>) -> Option<(usize, Ternary)> {
    let critical = change.effects.critical.as_ref()?;
    let only = Effects { critical: Some(critical.clone()), ..Effects::default() };
    let (gain, first) = (&critical.gain, critical.gain.then.first()?.0);
    if change.effects != only || critical.add.is_some() || gain.extra.is_some() || gain.damage.is_some() {
        return None;
    }
    Some((first, Ternary::any(gain.then.iter().map(|(step, _)| table.made(RollId::Step(*step))))))
}

/// What a roll needs with the rule, against what the question claims: `a 4+ in a hedge`. Nothing where it is not known.
fn need(pack: &Pack, change: &Change, table: &Possibilities<'_>, said: &Said) -> Option<(Part, Ternary)> {
    let claimed = *said.needs.first()?;
    let harder = change.effects.harder.as_ref()?.as_number()?;
    let from = match change.rolls.first()? {
        RollId::Choice(step, index) => &choices(&pack.steps[*step].form).get(*index)?.needs,
        RollId::Step(step) => match &pack.steps[*step].form {
            super::super::model::attack::Form::Roll(plan) => match &plan.aim {
                AimPlan::Needs(from) => from,
                _ => return None,
            },
            super::super::model::attack::Form::Penetrate(_) => return None,
        },
        _ => return None,
    };
    let NeedsFrom::Stat(scope, at) = from else { return None };
    let needs = |value: &Value| match value {
        Value::Needs(Needs::AtLeast(needs)) => {
            i32::try_from(*needs).ok().map(|needs| needs.saturating_add(harder).max(1))
        }
        _ => None,
    };
    let values: Vec<i32> = table.stat(*scope, *at).iter().filter_map(needs).collect();
    let with = u32::try_from(*values.first()?).ok()?;
    let truth = Ternary::of_cases(values.iter().map(|value| Ternary::from(i64::from(*value) == i64::from(claimed))));
    Some((Part::Need(with), truth))
}

/// The face from which a change acts, against the one that was said.
fn face(pack: &Pack, plan: &Rule, change: Option<&Change>, said: &Said, form: &Form) -> Option<(Part, Ternary)> {
    let asked = said.faces.first().or(said.numbers.first()).copied();
    let (on, low) = threshold(pack, plan, change)?;
    let truth = match asked {
        Some(face) => Ternary::from(if low { face <= on } else { face >= on }),
        None if form.always => Ternary::No,
        None => return None,
    };
    Some((Part::Face { on, low }, truth))
}

/// The face from which a change acts: of a critical, of a backfire, of a repair.
pub(super) fn threshold(pack: &Pack, plan: &Rule, change: Option<&Change>) -> Option<(u32, bool)> {
    let Some(change) = change else {
        return match &plan.repair.as_ref()?.roll.aim {
            AimPlan::Needs(NeedsFrom::Fixed(Needs::AtLeast(needs))) => Some((*needs, false)),
            _ => None,
        };
    };
    if let Some(critical) = &change.effects.critical {
        return Some((critical.on.or_else(|| best_face(pack, *change.rolls.first()?))?, false));
    }
    change.effects.backfire.as_ref().map(|backfire| (backfire.on, true))
}

/// The parts that must all hold.
fn flatten(condition: &Condition, parts: &mut Vec<Condition>) {
    match condition {
        Condition::All(all) => all.iter().for_each(|part| flatten(part, parts)),
        other => parts.push(other.clone()),
    }
}
