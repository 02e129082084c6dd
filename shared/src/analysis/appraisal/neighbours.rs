//! Who goes well with the unit: each unit whose presence changes it, and each unit that its presence changes.
use super::measured::{Measured, measured, measured_beside};
use super::{Mending, Subject, Test, pair, tests};
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;
use crate::points::instance_cost;
use crate::rules::matchup::{Neighbour, UnitInstance};
use crate::rules::model::Pack;
use crate::rules::model::change::RuleScope;
use crate::rules::model::condition::{Condition, Trait, Whom};
use crate::rules::model::unit::{Unit, UnitOption};

/// A unit whose presence changes another.
#[derive(Clone, Debug)]
pub struct Together {
    /// Who is near.
    pub near: Neighbour,
    /// What that costs.
    pub near_points: u64,
    /// Whom it changes.
    pub unit: UnitInstance,
    /// That unit alone.
    pub without: Measured,
    /// That unit with the other near.
    pub with: Measured,
    /// Its repair, alone and with the other near, where that differs.
    pub repair: Option<(Mending, Mending)>,
    /// Its tests that differ, alone and with the other near.
    pub checks: Vec<(Test, Test)>,
}

/// More units that may change the unit are not looked at.
pub(super) const MOST_NEAR: usize = 24;
/// More units that the unit changes are not weighed.
pub const MOST_HELPED: usize = 12;

impl Together {
    /// Points more that are destroyed in the part of a game that it survives.
    pub fn gained(&self) -> f64 {
        let value = |of: &Measured| of.worth.takes * of.worth.stands;
        value(&self.with) - value(&self.without)
    }

    /// That for each point that the other costs.
    pub fn per_point(&self) -> Option<f64> {
        (self.near_points > 0).then(|| self.gained() / self.near_points as f64)
    }
}

/// What the pack's rules ask of units nearby.
fn asked_of_those_near(pack: &Pack) -> Vec<Trait> {
    fn asked(condition: &Condition, found: &mut Vec<Trait>) {
        match condition {
            Condition::All(all) | Condition::Any(all) => all.iter().for_each(|one| asked(one, found)),
            Condition::Not(inner) => asked(inner, found),
            Condition::Is(Whom::NearAttacker | Whom::NearTarget, traits) => found.extend(traits),
            _ => {}
        }
    }
    let mut found = Vec::new();
    for rule in &pack.rules {
        asked(&rule.when, &mut found);
        rule.changes.iter().for_each(|change| asked(&change.when, &mut found));
    }
    found
}

/// Whether a unit goes by one of these words by itself, or with an option.
fn goes_by(unit: &Unit, at: usize, option: Option<&UnitOption>, asked: &[Trait]) -> bool {
    asked.iter().any(|word| match *word {
        Trait::Rule(rule) => option.map_or(&unit.rules, |option| &option.rules).contains(&rule),
        Trait::Role(role) => option.is_none() && unit.role == role,
        Trait::Kind(kind) => option.is_none() && unit.kind == kind,
        Trait::Unit(other) => option.is_none() && other == at,
        Trait::Weapon(_) => false,
    })
}

/// Whether a rule does anything for units near the one that carries it.
fn works_nearby(pack: &Pack, rule: usize) -> bool {
    let near = |scope: RuleScope| matches!(scope, RuleScope::NearAttacker | RuleScope::NearTarget);
    let rule = &pack.rules[rule];
    rule.changes.iter().any(|change| near(change.side)) || rule.repair.is_some() && near(rule.side)
}

/// The ways in which a unit may stand near another and change it: by itself, and with each option that brings a rule for
/// those nearby.
fn ways(pack: &Pack, unit: usize) -> Vec<Neighbour> {
    let (book, asked) = (&pack.units[unit], asked_of_those_near(pack));
    let works = |rules: &[usize]| rules.iter().any(|rule| works_nearby(pack, *rule));
    let alone = works(&book.rules) || goes_by(book, unit, None, &asked);
    let options = book.options.iter().enumerate().filter(|(_, option)| {
        let brings: Vec<usize> = option.rules.iter().filter(|rule| !book.rules.contains(rule)).copied().collect();
        option.inside.is_none()
            && option.requires.is_empty()
            && (works(&brings) || goes_by(book, unit, Some(option), &asked))
    });
    let alone = alone.then(|| Neighbour { unit, options: Vec::new() });
    alone.into_iter().chain(options.map(|(option, _)| Neighbour { unit, options: vec![option] })).collect()
}

/// Those that may change the unit.
pub(super) fn helpers(pack: &Pack, subject: &UnitInstance) -> Vec<Neighbour> {
    let mut all: Vec<Neighbour> = (0..pack.units.len()).flat_map(|unit| ways(pack, unit)).collect();
    // There is no other one of a unit that a list holds once.
    let other = |near: &Neighbour| near.unit != subject.unit || pack.units[near.unit].most != Some(1);
    all.retain(|near| !subject.near.contains(near) && other(near));
    all
}

/// The ways in which the unit may change others: as it is fielded, and with each option of that sort.
pub(super) fn own_ways(pack: &Pack, subject: &UnitInstance) -> Vec<Neighbour> {
    let taken: Vec<usize> = subject.options.iter().map(|(option, _)| *option).collect();
    let with = |way: Neighbour| {
        let mut options = taken.clone();
        options.extend(way.options.iter().filter(|option| !taken.contains(option)));
        Neighbour { options, ..way }
    };
    let brings = taken.iter().any(|option| {
        let rules = &pack.units[subject.unit].options[*option].rules;
        rules.iter().any(|rule| works_nearby(pack, *rule))
    });
    let own = brings.then(|| Neighbour { unit: subject.unit, options: Vec::new() });
    let mut all: Vec<Neighbour> = Vec::new();
    for way in own.into_iter().chain(ways(pack, subject.unit)).map(with) {
        if !all.contains(&way) {
            all.push(way);
        }
    }
    all
}

/// Units that change the subject, those that give most for their points first.
pub(super) fn who_helps(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Vec<Together>, Cancelled> {
    let mut rows = Vec::new();
    for near in helpers(evaluator.pack, &subject.unit).into_iter().take(MOST_NEAR) {
        rows.extend(together(evaluator, subject, near)?);
    }
    Ok(ordered(rows))
}

/// Units that the subject changes, each at its fewest models: the first of the book.
pub(super) fn whom_it_helps(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Vec<Together>, Cancelled> {
    let (mut rows, pack) = (Vec::new(), evaluator.pack);
    let ways = own_ways(pack, &subject.unit);
    for unit in (0..pack.units.len()).filter(|unit| !ways.is_empty() && *unit != subject.unit.unit) {
        if rows.len() >= MOST_HELPED {
            break;
        }
        let other = UnitInstance { unit, models: pack.units[unit].models.0, ..UnitInstance::default() };
        for way in &ways {
            rows.extend(together(evaluator, &Subject { unit: other.clone(), ..subject.clone() }, way.clone())?);
        }
    }
    Ok(ordered(rows))
}

fn ordered(mut rows: Vec<Together>) -> Vec<Together> {
    let gain = |row: &Together| row.per_point().unwrap_or(f64::INFINITY);
    rows.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
    rows
}

/// A unit with another near it; nothing where that changes nothing.
fn together(evaluator: &Evaluator<'_>, subject: &Subject, near: Neighbour) -> Result<Option<Together>, Cancelled> {
    let pack = evaluator.pack;
    let mut accompanied = subject.clone();
    accompanied.unit.near.push(near.clone());
    let acts = changes(evaluator, subject, &accompanied.unit);
    let mends = |unit: &UnitInstance| tests::repair(evaluator, unit);
    let repair = match (mends(&subject.unit)?, mends(&accompanied.unit)?) {
        (Some(before), Some(after)) if before.repair != after.repair => Some((before, after)),
        _ => None,
    };
    let checks = tests::checks(evaluator, &subject.unit).into_iter().zip(tests::checks(evaluator, &accompanied.unit));
    let checks: Vec<(Test, Test)> =
        checks.filter(|(a, b)| (a.check, a.asked) == (b.check, b.asked) && a.passes != b.passes).collect();
    if acts == (false, false) && repair.is_none() && checks.is_empty() {
        return Ok(None);
    }
    let without = measured(evaluator, subject)?;
    let with = measured_beside(evaluator, &accompanied, acts, Some(&without))?;
    let options = near.options.iter().map(|option| (*option, 1)).collect();
    let other =
        UnitInstance { unit: near.unit, models: pack.units[near.unit].models.0, options, ..UnitInstance::default() };
    let near_points = instance_cost(pack, &other);
    Ok(Some(Together { near, near_points, unit: subject.unit.clone(), without, with, repair, checks }))
}

/// Whether the unit with another near attacks otherwise than alone, and whether it is attacked otherwise: by the numbers
/// that its games come down to, before any of them is played.
fn changes(evaluator: &Evaluator<'_>, subject: &Subject, accompanied: &UnitInstance) -> (bool, bool) {
    let differ = |alone: &Pair<'_>, together: &Pair<'_>| {
        evaluator.ranges().any(|range| {
            let situation = evaluator.situation(None, Some(range), None);
            evaluator.game(alone, &situation) != evaluator.game(together, &situation)
        })
    };
    let attacks = |target| differ(&pair(&subject.unit, target), &pair(accompanied, target));
    let is_attacked = |attacker: &UnitInstance| {
        let (alone, together) = (pair(attacker, &subject.unit), pair(attacker, accompanied));
        match evaluator.pack.board.approach.is_empty() {
            true => differ(&alone, &together),
            false => {
                let places = evaluator.stated_approach();
                evaluator.game_along(&alone, &places, None) != evaluator.game_along(&together, &places, None)
            }
        }
    };
    let (acts, shields) = scopes(evaluator.pack, accompanied);
    (acts && subject.targets.iter().any(attacks), shields && subject.attackers.iter().any(is_attacked))
}

/// Whether any rule of those nearby can work when the unit attacks, and when it is attacked. Where a condition asks who is
/// near, both may be.
fn scopes(pack: &Pack, unit: &UnitInstance) -> (bool, bool) {
    if !asked_of_those_near(pack).is_empty() {
        return (true, true);
    }
    let rules = unit.near.iter().flat_map(|near| near.rules(pack));
    let changes: Vec<RuleScope> =
        rules.flat_map(|rule| pack.rules[rule].changes.iter().map(|change| change.side)).collect();
    let repairs = unit.near.iter().flat_map(|near| near.rules(pack)).any(|rule| pack.rules[rule].repair.is_some());
    // A repair is part of the games in which the unit is attacked.
    (changes.contains(&RuleScope::NearAttacker), repairs || changes.contains(&RuleScope::NearTarget))
}
