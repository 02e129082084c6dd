//! A roll as it will be made: what the pack writes, what rules set on it, what they add to it.
use super::exchange::Exchange;
use crate::play::dice::Dice;
use crate::play::roll::{Goal, Keep, Roll, Ties};
use pipwright_shared::odds::roll::{self as domain, Needs, Reroll};
use pipwright_shared::rules::model::change::{Change, Effects, RollId};
use pipwright_shared::rules::model::roll::{AimPlan, BackfirePlan, Choice, CriticalPlan, RollPlan};

/// A roll and what its faces mean.
pub struct Prepared {
    pub roll: Roll,
    pub critical: Option<CriticalPlan>,
    pub backfire: Option<BackfirePlan>,
    /// What the roll needs, where it is not opposed.
    pub needs: Option<Needs>,
}

pub fn effects<'a>(changes: &'a [&'a Change], id: RollId) -> impl Iterator<Item = &'a Effects> {
    changes.iter().filter(move |change| change.rolls.contains(&id)).map(|change| &change.effects)
}

/// A need moved by so much; the lowest that can be written is 1.
pub fn moved(needs: Needs, harder: i32) -> Needs {
    match needs {
        Needs::AtLeast(total) => Needs::AtLeast((total.cast_signed() + harder).max(1).unsigned_abs()),
        Needs::AtMost(total) if total.cast_signed() - harder < 1 => Needs::Never,
        Needs::AtMost(total) => Needs::AtMost((total.cast_signed() - harder).unsigned_abs()),
        other => other,
    }
}

pub fn goal(needs: Needs) -> Goal {
    match needs {
        Needs::AtLeast(total) => Goal::AtLeast(total.into()),
        Needs::AtMost(total) => Goal::AtMost(total.into()),
        Needs::Auto => Goal::Auto,
        Needs::Never => Goal::Never,
    }
}

fn group(dice: pipwright_shared::odds::dice::Dice) -> Dice {
    Dice::Group { count: dice.count(), sides: dice.sides(), plus: dice.plus().into() }
}

fn keep(keep: domain::Keep) -> Keep {
    match keep {
        domain::Keep::All => Keep::All,
        domain::Keep::Highest(n) => Keep::Highest(n as usize),
        domain::Keep::Lowest(n) => Keep::Lowest(n as usize),
    }
}

/// From the weakest to the strongest.
fn word(reroll: Reroll) -> (u8, &'static str) {
    match reroll {
        Reroll::None => (0, "none"),
        Reroll::Worst => (1, "worst"),
        Reroll::NaturalFailures => (2, "natural_failures"),
        Reroll::Failures => (3, "failures"),
        Reroll::NotCritical => (4, "not_critical"),
        Reroll::Successes => (5, "successes"),
    }
}

/// What the owner of several saves takes: the one that needs the lowest face.
fn chosen(exchange: &Exchange<'_>, step: usize, choices: &[Choice], changes: &[&Change]) -> (Needs, i32) {
    let each = choices.iter().enumerate().map(|(at, choice)| {
        let own: Vec<&Effects> = effects(changes, RollId::Choice(step, at)).collect();
        let mut needs = exchange.needs(&choice.needs);
        let mut modifier = exchange.number(&choice.modifier);
        own.iter().filter_map(|one| one.needs.as_ref()).for_each(|from| needs = exchange.needs(from));
        for one in &own {
            needs = moved(needs, one.harder.as_ref().map_or(0, |sum| exchange.number(sum)));
            needs = if one.deny { Needs::Never } else { needs };
            modifier += one.modifier.as_ref().map_or(0, |sum| exchange.number(sum));
        }
        (needs, modifier)
    });
    let face = |(needs, modifier): &(Needs, i32)| match needs {
        Needs::Auto => i32::MIN,
        Needs::AtLeast(total) => total.cast_signed() - modifier,
        Needs::AtMost(_) | Needs::Never => i32::MAX,
    };
    each.min_by_key(face).expect("several")
}

/// Makes a roll ready.
pub fn prepare(exchange: &Exchange<'_>, plan: &RollPlan, id: RollId, changes: &[&Change]) -> Prepared {
    let own: Vec<&Effects> = effects(changes, id).collect();
    let mut modifier = exchange.number(&plan.modifier);
    let mut versus = None;
    let mut needs = match &plan.aim {
        AimPlan::Needs(from) => Some(exchange.needs(from)),
        AimPlan::Choose(choices) => {
            let RollId::Step(step) = id else { panic!("only steps have choices") };
            let (needs, more) = chosen(exchange, step, choices, changes);
            modifier += more;
            Some(needs)
        }
        AimPlan::Versus(other) => {
            versus = Some(other);
            None
        }
    };
    let (mut dice, mut kept, mut reroll) = (plan.dice, plan.keep, plan.reroll);
    let (mut low_fails, mut high_succeeds) = (plan.low_fails, plan.high_succeeds);
    let (mut critical, mut backfire) = (plan.critical.clone(), plan.backfire.clone());
    for one in &own {
        needs = one.needs.as_ref().map(|from| exchange.needs(from)).or(needs);
        dice = one.dice.unwrap_or(dice);
        kept = one.keep.unwrap_or(kept);
        reroll = one.reroll.filter(|other| word(*other).0 > word(reroll).0).unwrap_or(reroll);
        low_fails = one.low_fails.unwrap_or(low_fails);
        high_succeeds = one.high_succeeds.unwrap_or(high_succeeds);
        critical = match (critical, &one.critical) {
            (Some(under), Some(over)) => Some(laid_over(under, over)),
            (under, over) => over.clone().or(under),
        };
        backfire = one.backfire.clone().or(backfire);
    }
    for one in &own {
        modifier += one.modifier.as_ref().map_or(0, |sum| exchange.number(sum));
        let harder = one.harder.as_ref().map_or(0, |sum| exchange.number(sum));
        match &mut needs {
            Some(needs) => *needs = moved(*needs, harder),
            None => modifier -= harder,
        }
    }
    needs = needs.map(|needs| match (needs, plan.best, plan.worst) {
        (Needs::AtLeast(total), Some(Needs::AtLeast(best)), _) if total < best => Needs::AtLeast(best),
        (Needs::AtLeast(total), _, Some(Needs::AtLeast(worst))) if total > worst => Needs::AtLeast(worst),
        (Needs::AtMost(total), Some(Needs::AtMost(best)), _) if total > best => Needs::AtMost(best),
        (Needs::AtMost(total), _, Some(Needs::AtMost(worst))) if total < worst => Needs::AtMost(worst),
        (needs, ..) => needs,
    });
    if own.iter().any(|one| one.deny) {
        needs = Some(Needs::Never);
    }
    let goal = match (needs, versus) {
        (Some(needs), _) => goal(needs),
        (None, Some(other)) => Goal::Versus {
            dice: group(other.dice),
            keep: keep(other.keep),
            modifier: exchange.number(&other.modifier).into(),
            ties: match other.ties {
                domain::Ties::Win => Ties::Win,
                domain::Ties::Lose => Ties::Lose,
                domain::Ties::Again => Ties::Again,
            },
        },
        (None, None) => Goal::Never,
    };
    let face = critical.as_ref().and_then(|critical| Some((critical.on?.into(), critical.always.unwrap_or(true))));
    let roll = Roll {
        dice: group(dice),
        keep: keep(kept),
        goal,
        modifier: modifier.into(),
        reroll: word(reroll).1.to_owned(),
        low_fails,
        high_succeeds,
        critical: face,
    };
    Prepared { roll, critical, backfire, needs }
}

/// A critical over another: the better face, and in place of what was said what is said anew.
pub fn laid_over(under: CriticalPlan, over: &CriticalPlan) -> CriticalPlan {
    let mut gain = under.gain;
    gain.extra = over.gain.extra.clone().or(gain.extra);
    gain.damage = over.gain.damage.clone().or(gain.damage);
    gain.then.extend(over.gain.then.clone());
    CriticalPlan {
        on: [under.on, over.on].into_iter().flatten().min(),
        always: over.always.or(under.always),
        add: over.add.clone().or(under.add),
        gain,
    }
}
