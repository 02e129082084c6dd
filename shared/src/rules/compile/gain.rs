//! What criticals and margins give, once the later steps are known.
use super::super::model::roll::{GainPlan, ThenPlan};
use super::roll::{amount, harder};
use super::scene::Scene;
use crate::odds::chain::{Change, Gain, Kind, Step};
use crate::odds::dice::Amount;
use crate::odds::roll::Aim;

/// A gain in plain numbers. `steps` are the steps of the volley with the pack's index of each; only those from
/// `later` on can be changed.
pub(super) fn gain(scene: &Scene<'_>, plan: &GainPlan, steps: &[(usize, Step)], later: usize) -> Gain {
    let dice = |sum: &Option<_>| sum.as_ref().map_or_else(|| Amount::fixed(0), |sum| amount(scene.dice(sum)));
    let mut then: Vec<Change> = Vec::new();
    for (at, change) in &plan.then {
        let Some((_, step)) = steps.iter().skip(later).find(|(index, _)| index == at) else { continue };
        let Some(change) = change_of(scene, change, step) else { continue };
        match then.iter_mut().find(|other| other.step == change.step) {
            Some(other) => *other = laid_over(other.clone(), change),
            None => then.push(change),
        }
    }
    Gain { extra: dice(&plan.extra), then, damage: dice(&plan.damage) }
}

/// The replaced numbers of a step; nothing where they are what they were.
fn change_of(scene: &Scene<'_>, plan: &ThenPlan, step: &Step) -> Option<Change> {
    let mut change = Change { step: step.name.clone(), needs: None, modifier: None, add: None, against: None };
    let number = |sum: &Option<_>| sum.as_ref().map_or(0, |sum| scene.number(sum));
    match &step.kind {
        Kind::Roll(roll) => {
            let by = number(&plan.harder);
            let mut more = number(&plan.modifier);
            match &roll.roll.aim {
                Aim::Needs(needs) => {
                    let after = harder(plan.needs.as_ref().map_or(*needs, |from| scene.needs(from)), by);
                    change.needs = Some(after).filter(|after| after != needs);
                }
                Aim::Versus(_) => {
                    change.needs = plan.needs.as_ref().map(|from| harder(scene.needs(from), by));
                    more -= by;
                }
            }
            change.modifier = Some(roll.roll.modifier.saturating_add(more)).filter(|_| more != 0);
        }
        Kind::Penetrate(penetrate) => {
            let (add, against) = (number(&plan.add), number(&plan.against));
            change.add = Some(penetrate.add.saturating_add(add)).filter(|_| add != 0);
            let armour = i64::from(penetrate.against) + i64::from(against);
            change.against = Some(armour.clamp(0, 10_000) as u32).filter(|_| against != 0);
        }
    }
    let changes = change.needs.is_some() || change.modifier.is_some();
    (changes || change.add.is_some() || change.against.is_some()).then_some(change)
}

fn laid_over(under: Change, over: Change) -> Change {
    Change {
        step: over.step,
        needs: over.needs.or(under.needs),
        modifier: over.modifier.or(under.modifier),
        add: over.add.or(under.add),
        against: over.against.or(under.against),
    }
}
