//! Yes-or-no questions about rolls themselves, where no rule decides: `do boards work from the side`, `can a crew rout`.
use super::super::conditions::{Ternary, holds};
use super::super::describe;
use super::super::model::Pack;
use super::super::model::change::RollId;
use super::super::model::roll::Counts;
use super::super::model::stat::Scope;
use super::because::the_roll;
use super::form::Form;
use super::said::Reading;
use super::sides::{is_defenders, plain};
use super::spots::{Sort, Spot};
use super::topics::{What, meets};

/// The answer, and why; nothing where the question is not about one roll alone.
pub(super) fn about(pack: &Pack, reading: &Reading, form: &Form) -> Option<(What, Ternary, String)> {
    let said = &reading.said;
    let (what, rolls) = said.topics.first()?;
    if let Some((second, others)) = said.topics.get(1) {
        let (truth, why) = numbers(pack, (*what, rolls), (*second, others), form)?;
        return Some((*what, truth, why));
    }
    if let What::Aftermath(at) = what {
        let (truth, why) = aftermath(pack, *at, reading)?;
        return Some((*what, truth, why));
    }
    let roll = *rolls.iter().find(|roll| matches!(roll, RollId::Choice(..) | RollId::Ignore))?;
    if form.defeats || form.worse || !said.faces.is_empty() || !said.needs.is_empty() || !said.weapons.is_empty() {
        return None;
    }
    let table = plain(pack, said, is_defenders(pack, roll));
    let name = the_roll(pack, roll);
    let truth = table.made(roll);
    let why = match truth {
        Ternary::Yes => format!("{name} comes up there"),
        Ternary::No => format!("{name} doesn't come up there"),
        Ternary::Open => format!("{name} is made by those who have one there"),
    };
    Some((*what, truth, why))
}

/// `does Salt work against Gnaw`: whether a weapon's number goes into a roll.
fn numbers(pack: &Pack, first: (What, &[RollId]), second: (What, &[RollId]), form: &Form) -> Option<(Ternary, String)> {
    let of_weapon = |what: What| matches!(what, What::Stat(Scope::Weapon, _));
    let (weapon, roll, against) = match (of_weapon(first.0), of_weapon(second.0)) {
        (true, false) => (first, second, false),
        (false, true) => (second, first, true),
        _ => return None,
    };
    let What::Stat(scope, at) = weapon.0 else { return None };
    let label = &pack.stats.of(scope)[at].label;
    let meets = weapon.1.iter().any(|own| roll.1.iter().any(|other| meets(*own, *other)));
    let name = roll.1.first().map(|roll| the_roll(pack, *roll))?;
    let why = if meets { format!("{label} goes into {name}") } else { format!("{label} does not go into {name}") };
    // What a number goes into it may only weaken.
    let truth = match (against && !form.defeats, meets) {
        (false, meets) => meets.into(),
        (true, false) => Ternary::Yes,
        (true, true) => Ternary::Open,
    };
    Some((truth, why))
}

/// Whether a unit can ever make a roll afterwards: it must be of those who do, and have some left when it has lost enough.
fn aftermath(pack: &Pack, at: usize, reading: &Reading) -> Option<(Ternary, String)> {
    let said = &reading.said;
    let plan = &pack.aftermath[at];
    let named = said.mentions.iter().find(|mention| mention.units.len() == 1)?;
    // A weapon may be called as those who carry it: the word for it then names them.
    let is_unit = |spot: &Spot| {
        reading.spots.iter().any(|other| other.sort == Sort::Unit && other.from <= spot.from && other.to >= spot.to)
    };
    let armed = reading.spots.iter().any(|spot| spot.sort == Sort::Weapon && !is_unit(spot));
    if armed || !said.rules.is_empty() || said.mentions.len() > 1 {
        return None;
    }
    let unit = &pack.units[named.units[0]];
    let table = plain(pack, said, true);
    if holds(&plan.when, &table) == Ternary::No {
        return Some((
            Ternary::No,
            format!("{} comes only when {}", plan.named.label, describe::condition(pack, &plan.when)),
        ));
    }
    let least = plan.at_least.as_number().and_then(|least| u32::try_from(least).ok())?;
    let lost = match plan.counts {
        Counts::Models => pack.word("models"),
        Counts::HealthLost => pack.word("health"),
        Counts::Passed(_) | Counts::Wrecked => return None,
    };
    if plan.counts == Counts::Models && least >= unit.models.1 {
        let why = format!(
            "it takes {least} {lost} lost at once and some left, and the {} has {} at most",
            unit.named.label, unit.models.1
        );
        return Some((Ternary::No, why));
    }
    let can =
        reading.words.iter().any(|word| matches!(word.plain.as_str(), "can" | "could" | "may" | "might" | "ever"));
    let why = format!("when it loses {least} or more {lost} at once and the roll is against it");
    Some((if can { Ternary::Yes } else { Ternary::Open }, why))
}
