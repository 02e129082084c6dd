//! Who can be on each side of a question about a rule: who carries it, who was named, and as whom.
use super::super::matchup::UnitInstance;
use super::super::model::Pack;
use super::super::model::change::{Change, RollId, RuleScope};
use super::possibilities::{Party, Possibilities};
use super::said::{Mention, Said};
use crate::odds::chain::By;

/// Whether a unit carries a rule by itself, by its weapons, or by an option.
pub(super) fn may_carry(pack: &Pack, unit: usize, rule: usize) -> bool {
    let unit = &pack.units[unit];
    let armed = |weapon: usize| pack.weapons[weapon].rules.contains(&rule);
    unit.rules.contains(&rule)
        || unit.weapons.iter().any(|carried| armed(carried.weapon))
        || unit
            .options
            .iter()
            .any(|option| option.rules.contains(&rule) || option.weapons.iter().any(|carried| armed(carried.weapon)))
}

/// All that can be, where a rule sits where this change of it works.
pub(super) fn possibilities<'a>(
    pack: &'a Pack,
    rule: usize,
    change: Option<&Change>,
    said: &'a Said,
    weapons: &[usize],
) -> Possibilities<'a> {
    let scope = change.map_or(pack.rules[rule].side, |change| change.side);
    if let Some(cast) = &said.cast {
        let party =
            |instance: &'a UnitInstance| Party { units: vec![instance.unit], instance: Some(instance), named: true };
        return Possibilities {
            pack,
            said,
            weapons: weapons.to_vec(),
            armed: true,
            attackers: party(&cast.0),
            targets: party(&cast.1),
            rule,
        };
    }
    let (attackers, targets) = parties(pack, rule, scope, change, said);
    let armed = !weapons.is_empty();
    let carried = armed_with(pack, rule, scope, &attackers);
    let weapons = if armed { weapons.to_vec() } else { carried };
    Possibilities { pack, said, weapons, armed, attackers, targets, rule }
}

/// All that can be where no rule is asked about: whoever is named is the side that rolls, unless named as the other one.
pub(super) fn plain<'a>(pack: &'a Pack, said: &'a Said, defends: bool) -> Possibilities<'a> {
    let (attackers, targets) = open(pack, said, defends);
    let armed = !said.weapons.is_empty();
    let weapons = if armed { said.weapons.clone() } else { (0..pack.weapons.len()).collect() };
    Possibilities { pack, said, weapons, armed, attackers, targets, rule: usize::MAX }
}

/// The weapons that can be in use: those with the rule where it sits on weapons, else all that the attackers may carry.
fn armed_with(pack: &Pack, rule: usize, scope: RuleScope, attackers: &Party<'_>) -> Vec<usize> {
    let mut carried: Vec<usize> = Vec::new();
    for unit in attackers.units.iter().map(|at| &pack.units[*at]) {
        let all = unit.weapons.iter().chain(unit.options.iter().flat_map(|option| &option.weapons));
        carried.extend(all.map(|carried| carried.weapon));
    }
    carried.sort_unstable();
    carried.dedup();
    let by_unit = attackers.units.iter().any(|at| pack.units[*at].rules.contains(&rule));
    let armed: Vec<usize> = carried.iter().copied().filter(|at| pack.weapons[*at].rules.contains(&rule)).collect();
    if scope == RuleScope::Weapon && !armed.is_empty() && !by_unit { armed } else { carried }
}

/// Who attacks and who is attacked.
fn parties<'a>(
    pack: &Pack,
    rule: usize,
    scope: RuleScope,
    change: Option<&Change>,
    said: &Said,
) -> (Party<'a>, Party<'a>) {
    let all: Vec<usize> = (0..pack.units.len()).collect();
    let carriers: Vec<usize> = all.iter().copied().filter(|unit| may_carry(pack, *unit, rule)).collect();
    let carries = |mention: &&&Mention| mention.units.iter().any(|unit| carriers.contains(unit));
    let mentions: Vec<&Mention> = said.mentions.iter().collect();
    let stood: Vec<&Mention> = mentions.iter().copied().filter(|mention| !mention.near).collect();
    // The first mention of a carrier is the carrier; whoever else is named is the other side.
    let attacks = matches!(scope, RuleScope::Attacker | RuleScope::Weapon);
    let many = |mention: &Mention| mention.units.len() > 1 && mention.on_whom && attacks;
    let own_at = stood.iter().position(|mention| !mention.opposed && carries(&mention) && !many(mention));
    let one = |mention: &Mention| mention.units.len() == 1;
    let own_at = own_at.or_else(|| stood.iter().position(|mention| carries(&mention) && one(mention)));
    let own: Vec<usize> = own_at
        .map(|at| units([stood[at]]).into_iter().filter(|unit| carriers.contains(unit)).collect())
        .unwrap_or_default();
    let others: Vec<&Mention> =
        stood.iter().enumerate().filter(|(at, _)| Some(*at) != own_at).map(|(_, m)| *m).collect();
    let everyone = if carriers.is_empty() { &all } else { &carriers };
    match scope {
        RuleScope::Attacker | RuleScope::Weapon => (party(own, everyone), party(units(others.iter().copied()), &all)),
        RuleScope::Target => (party(units(others.iter().copied()), &all), party(own, everyone)),
        // Whoever gains stands near the one that carries it.
        RuleScope::NearAttacker | RuleScope::NearTarget => {
            // Near is near from both ends: `a herb wife among the bows`.
            let gain: Vec<&Mention> = mentions.iter().copied().filter(|m| !m.opposed && !carries(&m)).collect();
            let gain = if gain.is_empty() { stood.iter().copied().filter(|m| m.on_whom).collect() } else { gain };
            let against: Vec<&Mention> = mentions.iter().copied().filter(|mention| mention.opposed).collect();
            let (gain, against) =
                (party(units(gain.iter().copied()), &all), party(units(against.iter().copied()), &all));
            if scope == RuleScope::NearAttacker { (gain, against) } else { (against, gain) }
        }
        RuleScope::Table => {
            open(pack, said, change.is_some_and(|change| change.rolls.iter().all(|roll| is_defenders(pack, *roll))))
        }
    }
}

/// Both sides where nobody carries anything.
fn open<'a>(pack: &Pack, said: &Said, defends: bool) -> (Party<'a>, Party<'a>) {
    let all: Vec<usize> = (0..pack.units.len()).collect();
    let stood = || said.mentions.iter().filter(|mention| !mention.near);
    let (against, own) =
        (units(stood().filter(|mention| mention.opposed)), units(stood().filter(|mention| !mention.opposed)));
    // One name alone may be either side.
    let (first, second) = if stood().count() == 1 && against.is_empty() { (own.clone(), own) } else { (own, against) };
    let (first, second) = (party(first, &all), party(second, &all));
    if defends { (second, first) } else { (first, second) }
}

/// These units; all of `or` where none is named.
fn party<'a>(units: Vec<usize>, or: &[usize]) -> Party<'a> {
    match units.is_empty() {
        true => Party { units: or.to_vec(), instance: None, named: false },
        false => Party { units, instance: None, named: true },
    }
}

/// The units of mentions, each once.
fn units<'a>(mentions: impl IntoIterator<Item = &'a Mention>) -> Vec<usize> {
    let mut units: Vec<usize> = mentions.into_iter().flat_map(|mention| mention.units.iter().copied()).collect();
    units.sort_unstable();
    units.dedup();
    units
}

/// Whether the unit that is attacked makes the roll.
pub(super) fn is_defenders(pack: &Pack, roll: RollId) -> bool {
    match roll {
        RollId::Step(step) | RollId::Choice(step, _) => pack.steps[step].by == By::Defender,
        RollId::Ignore | RollId::Aftermath(_) => true,
        RollId::Attack | RollId::Repair | RollId::Check(_) => false,
    }
}
