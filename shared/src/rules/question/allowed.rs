//! `Can I use a bank pistol in contact?`: whether anything forbids an attack, or a weapon does not reach.
use super::super::conditions::{Ternary, holds};
use super::super::model::Pack;
use super::super::model::change::RuleScope;
use super::form::Form;
use super::possibilities::denials;
use super::said::Reading;
use super::sides::{plain, possibilities};
use super::which::Asks;

/// Whether weapons may be used as the question says, by the rule that decides.
#[derive(Clone, Debug)]
pub(super) struct Allowed {
    /// The rule that forbids it, or that would.
    pub rule: usize,
    /// Whether it may be done.
    pub truth: Ternary,
    /// The weapons that were meant, and whether each may be used.
    pub each: Vec<(usize, Ternary)>,
    /// Whether it is the reach that decides.
    pub reach: bool,
}

/// The answer; nothing where the question asks for something else.
pub(super) fn allowed(pack: &Pack, reading: &Reading, form: &Form) -> Option<Allowed> {
    let said = &reading.said;
    if !form.uses
        || form.twice
        || said.weapons.is_empty()
        || form.worse
        || !said.topics.is_empty()
        || !said.faces.is_empty()
    {
        return None;
    }
    let each: Vec<(usize, Ternary, Option<usize>, bool)> =
        said.weapons.iter().map(|weapon| of_weapon(pack, reading, *weapon)).collect();
    // Only a rule that speaks of what the question speaks of is meant.
    let speaks = |rule: &usize| {
        let asks = Asks::by(&pack.rules[*rule]);
        let flag = asks.flags.iter().any(|flag| said.flags.get(*flag).copied().flatten().is_some());
        (asks.range && said.spoken.range)
            || (asks.moved && said.moved.is_some())
            || (asks.arc && said.spoken.arc)
            || flag
    };
    let (yes, no) = (Ternary::Yes, Ternary::No);
    let count = |truth: Ternary| each.iter().filter(|(_, one, ..)| *one == truth).count();
    let truth = match () {
        () if count(yes) == each.len() => yes,
        () if count(no) == each.len() => no,
        () if count(Ternary::Open) > 0 => Ternary::Open,
        // Of several, most decide; the others are the exception.
        () if count(yes) >= count(no) => yes,
        () => no,
    };
    let decided = each.iter().find(|(_, one, ..)| *one == truth);
    let reach = truth == no && decided.is_some_and(|(_, _, rule, reach)| *reach && rule.is_none());
    let by = decided.and_then(|(_, _, rule, _)| *rule).filter(speaks);
    // What would forbid it, were it otherwise: of those on the weapon first.
    let would = || {
        let mut rules: Vec<(usize, RuleScope)> = denials(pack).map(|(rule, change)| (rule, change.side)).collect();
        rules.retain(|(rule, side)| {
            *side != RuleScope::Weapon || said.weapons.iter().any(|at| pack.weapons[*at].rules.contains(rule))
        });
        rules.into_iter().map(|(rule, _)| rule).find(speaks)
    };
    // What the weapon itself bears may forbid it, whatever was said.
    let own = || {
        let open = decided.filter(|_| truth == Ternary::Open && form.may)?;
        open.2.filter(|rule| pack.weapons[open.0].rules.contains(rule))
    };
    let rule = by.or_else(would).or_else(own)?;
    let each = each.into_iter().map(|(weapon, truth, ..)| (weapon, truth)).collect();
    Some(Allowed { rule, truth, each, reach })
}

fn of_weapon(pack: &Pack, reading: &Reading, weapon: usize) -> (usize, Ternary, Option<usize>, bool) {
    let mut truth = Ternary::Yes;
    let mut by = None;
    for (rule, change) in denials(pack) {
        let seated = match change.side {
            RuleScope::Table => true,
            RuleScope::Weapon | RuleScope::Attacker => pack.weapons[weapon].rules.contains(&rule),
            _ => false,
        };
        let table = possibilities(pack, rule, Some(change), &reading.said, &[weapon]);
        if seated {
            let may = !holds(&pack.rules[rule].when, &table).min(holds(&change.when, &table));
            if may < truth {
                (truth, by) = (may, Some(rule));
            }
        }
    }
    let table = plain(pack, &reading.said, false);
    let reaches = if reading.said.spoken.range { table.reaches(weapon) } else { Ternary::Yes };
    if reaches == Ternary::No && truth != Ternary::No {
        return (weapon, Ternary::No, None, true);
    }
    (weapon, truth, by, false)
}
