//! What criticals and margins give, once the later steps are known.
use super::super::model::roll::{GainPlan, ThenPlan};
use super::context::RuleContext;
use super::roll::{amount, harder};
use crate::odds::chain::{Change, Gain, Kind, Step};
use crate::odds::dice::Amount;
use crate::odds::roll::{Aim, Needs};

/// A gain in plain numbers. `steps` are the steps of the volley with the pack's index of each; only those from
/// `later` on can be changed.
pub(super) fn gain(context: &RuleContext<'_>, plan: &GainPlan, steps: &[(usize, Step)], later: usize) -> Gain {
    let dice = |sum: &Option<_>| sum.as_ref().map_or_else(|| Amount::fixed(0), |sum| amount(context.dice(sum)));
    let mut then: Vec<Change> = Vec::new();
    for (at, change) in &plan.then {
        let Some((_, step)) = steps.iter().skip(later).find(|(index, _)| index == at) else { continue };
        let Some(change) = change_of(context, change, step) else { continue };
        match then.iter_mut().find(|other| other.step == change.step) {
            Some(other) => *other = laid_over(other, &change),
            None => then.push(change),
        }
    }
    Gain { extra: dice(&plan.extra), then, damage: dice(&plan.damage) }
}

/// The changed numbers of a step; nothing where they are what they were. What a rule makes harder or adds is added to
/// whatever stands there when the success comes to it, so that a margin and a critical add up.
fn change_of(context: &RuleContext<'_>, plan: &ThenPlan, step: &Step) -> Option<Change> {
    let mut change = Change::of(&step.name);
    let number = |sum: &Option<_>| sum.as_ref().map_or(0, |sum| context.number(sum));
    match &step.kind {
        Kind::Roll(roll) => {
            let by = number(&plan.harder);
            let mut more = number(&plan.modifier);
            match &roll.roll.aim {
                Aim::Needs(needs) => match &plan.needs {
                    Some(from) => {
                        let after = harder(context.needs(from), by);
                        change.needs = Some(after).filter(|after| after != needs);
                    }
                    None => change.plus.needs = if matches!(needs, Needs::AtMost(_)) { -by } else { by },
                },
                Aim::Versus(_) => more -= by,
            }
            change.plus.modifier = more;
        }
        Kind::Table(_) => change.plus.modifier = number(&plan.modifier),
        Kind::Penetrate(_) => {
            (change.plus.add, change.plus.against) = (number(&plan.add), number(&plan.against));
        }
    }
    (!change.is_empty()).then_some(change)
}

/// Laid over an earlier one. A need that is put in place of another takes what was added to it along, as it is written.
fn laid_over(under: &Change, over: &Change) -> Change {
    let mut both = over.over(under);
    if let Some(needs) = both.needs {
        both.needs =
            Some(harder(needs, if matches!(needs, Needs::AtMost(_)) { -both.plus.needs } else { both.plus.needs }));
        both.plus.needs = 0;
    }
    both
}
