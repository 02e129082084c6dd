//! What a question leaves possible, as a partial situation that conditions are held against.
use super::super::conditions::{PartialSituation, Ternary, holds};
use super::super::matchup::{Neighbour, UnitInstance};
use super::super::model::Pack;
use super::super::model::attack::{Body, Form};
use super::super::model::change::RollId;
use super::super::model::condition::{Than, Trait, Whom};
use super::super::model::roll::AimPlan;
use super::super::model::stat::{Axis, Profile, Scope, StatValue, Value};
use super::super::model::sum::{NeedsFrom, Source, Sum};
use super::super::model::unit::Unit;
use super::said::Said;
use super::topics::choices;
use crate::odds::roll::Needs;

/// One side: the units that it can be.
#[derive(Clone, Debug)]
pub(super) struct Party<'a> {
    /// Which, by index.
    pub units: Vec<usize>,
    /// The unit as it stands, where all of it is known.
    pub instance: Option<&'a UnitInstance>,
    /// Whether the question named them, and not only left them open.
    pub named: bool,
}

/// All that can be: each axis with what is possible on it.
#[derive(Clone, Debug)]
pub(super) struct Possibilities<'a> {
    /// The pack.
    pub pack: &'a Pack,
    /// What was said.
    pub said: &'a Said,
    /// The weapon in use.
    pub weapons: Vec<usize>,
    /// Whether weapons were named.
    pub armed: bool,
    /// The unit that attacks.
    pub attackers: Party<'a>,
    /// The unit that is attacked.
    pub targets: Party<'a>,
    /// The rule that is asked about: who may carry it by an option does.
    pub rule: usize,
}

impl PartialSituation for Possibilities<'_> {
    fn arc(&self, wanted: &[usize]) -> Ternary {
        among(&self.said.arcs, wanted)
    }

    fn range(&self, wanted: &[usize]) -> Ternary {
        among(&self.said.ranges, wanted)
    }

    fn cover(&self, wanted: &[usize]) -> Ternary {
        among(&self.said.covers, wanted)
    }

    fn moved(&self) -> Ternary {
        Ternary::known(self.said.moved)
    }

    fn template(&self) -> Ternary {
        Ternary::of_cases(self.weapons.iter().map(|at| self.pack.weapons[*at].template.is_some().into()))
    }

    fn flag(&self, flag: usize) -> Ternary {
        Ternary::known(self.said.flags.get(flag).copied().flatten())
    }

    fn is(&self, whom: Whom, words: &[Trait]) -> Ternary {
        let one = |is: &dyn Fn(Trait) -> Ternary| Ternary::any(words.iter().map(|word| is(*word)));
        match whom {
            Whom::Weapon => Ternary::of_cases(self.weapons.iter().map(|at| one(&|word| self.weapon(*at, word)))),
            Whom::Attacker => Ternary::of_cases(
                self.attackers.units.iter().map(|at| one(&|word| self.unit(&self.attackers, *at, word))),
            ),
            Whom::Target => {
                Ternary::of_cases(self.targets.units.iter().map(|at| one(&|word| self.unit(&self.targets, *at, word))))
            }
            Whom::NearAttacker => one(&|word| self.near(&self.attackers, word)),
            Whom::NearTarget => one(&|word| self.near(&self.targets, word)),
        }
    }

    fn compare(&self, sum: &Sum, than: Than, number: i32) -> Ternary {
        self.values(sum)
            .map_or(Ternary::Open, |values| Ternary::of_cases(values.iter().map(|sum| than.fits(*sum, number).into())))
    }

    fn status(&self, names: &[String]) -> Ternary {
        match self.targets.instance {
            Some(target) => names.iter().any(|name| target.statuses.contains(name)).into(),
            None if names.iter().any(|name| self.said.statuses.contains(name)) => Ternary::Yes,
            None => Ternary::Open,
        }
    }
}

fn among(can: &[usize], wanted: &[usize]) -> Ternary {
    Ternary::of_cases(can.iter().map(|at| wanted.contains(at).into()))
}

/// More values of a sum than this are not told apart.
const MOST_VALUES: usize = 200;

impl Possibilities<'_> {
    fn weapon(&self, at: usize, word: Trait) -> Ternary {
        match word {
            // A rule that was named with no weapon is one of the weapon that is meant.
            Trait::Rule(rule) => {
                (self.pack.weapons[at].rules.contains(&rule) || (!self.armed && self.said.rules.contains(&rule))).into()
            }
            Trait::Weapon(weapon) => (weapon == at).into(),
            Trait::Role(_) | Trait::Kind(_) | Trait::Unit(_) => Ternary::No,
        }
    }

    fn unit(&self, party: &Party<'_>, at: usize, word: Trait) -> Ternary {
        let unit: &Unit = &self.pack.units[at];
        let taken =
            |option: usize| party.instance.map(|instance| instance.options.iter().any(|(taken, _)| *taken == option));
        match word {
            Trait::Role(role) => (unit.role == role).into(),
            Trait::Kind(kind) => (unit.kind == kind).into(),
            Trait::Unit(other) => (other == at).into(),
            Trait::Rule(rule) => {
                let may: Vec<usize> =
                    (0..unit.options.len()).filter(|option| unit.options[*option].rules.contains(&rule)).collect();
                let named = self.said.rules.contains(&rule) && (!may.is_empty() || !party.named);
                match party.instance {
                    _ if unit.rules.contains(&rule) => Ternary::Yes,
                    Some(_) => may.iter().any(|option| taken(*option) == Some(true)).into(),
                    None if named || (rule == self.rule && !may.is_empty()) => Ternary::Yes,
                    None if may.iter().any(|option| self.said.options.contains(&(at, *option))) => Ternary::Yes,
                    None if may.is_empty() => Ternary::No,
                    None => Ternary::Open,
                }
            }
            // Options may bring a weapon and take one away.
            Trait::Weapon(weapon) => match party.instance {
                Some(instance) => super::super::standing::carried(self.pack, instance)
                    .iter()
                    .any(|(other, _)| *other == weapon)
                    .into(),
                None => {
                    let carries = unit.weapons.iter().any(|carried| carried.weapon == weapon);
                    let optional = unit.options.iter().any(|option| {
                        option.replaces.contains(&weapon)
                            || option.weapons.iter().any(|carried| carried.weapon == weapon)
                    });
                    if optional { Ternary::Open } else { carries.into() }
                }
            },
        }
    }

    fn near(&self, party: &Party<'_>, word: Trait) -> Ternary {
        let Some(instance) = party.instance else { return Ternary::Open };
        let goes_by = |near: &Neighbour| {
            let unit = &self.pack.units[near.unit];
            match word {
                Trait::Rule(rule) => near.rules(self.pack).any(|other| other == rule),
                Trait::Role(role) => unit.role == role,
                Trait::Kind(kind) => unit.kind == kind,
                Trait::Unit(at) => at == near.unit,
                Trait::Weapon(weapon) => unit.weapons.iter().any(|carried| carried.weapon == weapon),
            }
        };
        instance.near.iter().any(goes_by).into()
    }

    /// All values that a sum can have; nothing where that is not known.
    fn values(&self, sum: &Sum) -> Option<Vec<i32>> {
        let mut sums = vec![0_i32];
        for term in &sum.0 {
            let values = match &term.source {
                Source::Number(number) => vec![*number],
                Source::Stat(scope, at) => self.numbers(*scope, *at)?,
                Source::Models(side) => {
                    let party = match side {
                        super::super::model::sum::Side::Attacker => &self.attackers,
                        super::super::model::sum::Side::Target => &self.targets,
                    };
                    let said = self.said.counts.first().or(self.said.numbers.first());
                    let known = party.instance.map(|instance| instance.models).or(said.copied());
                    match known {
                        Some(models) => vec![i32::try_from(models).ok()?],
                        None => return None,
                    }
                }
                Source::Hurt => vec![i32::try_from(self.targets.instance?.hurt).ok()?],
                Source::Dice(_) | Source::Chart(_) | Source::Asked => return None,
            };
            let signed = |value: &i32| if term.minus { value.saturating_neg() } else { *value };
            let mut next: Vec<i32> =
                sums.iter().flat_map(|sum| values.iter().map(move |value| sum.saturating_add(signed(value)))).collect();
            next.sort_unstable();
            next.dedup();
            if next.len() > MOST_VALUES || next.is_empty() {
                return None;
            }
            sums = next;
        }
        Some(sums)
    }

    fn numbers(&self, scope: Scope, at: usize) -> Option<Vec<i32>> {
        let mut numbers = Vec::new();
        for value in self.stat(scope, at) {
            let Value::Number(number) = value else { return None };
            numbers.push(number);
        }
        numbers.sort_unstable();
        numbers.dedup();
        Some(numbers)
    }

    /// All values that a stat can have.
    pub(super) fn stat(&self, scope: Scope, at: usize) -> Vec<Value> {
        let table = &self.pack.situations;
        let stat = &self.pack.stats.of(scope)[at];
        let mut found = Vec::new();
        let mut add = |value: Option<&StatValue>| match value {
            Some(StatValue::One(value)) => found.push(*value),
            Some(StatValue::Each(values)) => {
                let can: &[usize] = match stat.per {
                    Some(Axis::Arc) => &self.said.arcs,
                    Some(Axis::Range) => &self.said.ranges,
                    Some(Axis::Cover) => &self.said.covers,
                    None => &[],
                };
                found.extend(can.iter().filter_map(|word| values.get(*word)).copied());
            }
            None => found.push(stat.fallback()),
        };
        let of = |profile: &'_ Profile| profile.get(at).and_then(Clone::clone);
        match scope {
            Scope::Unit | Scope::Target => {
                let party = if scope == Scope::Unit { &self.attackers } else { &self.targets };
                if let Some(instance) = party.instance {
                    let (profile, _) = super::super::standing::profile(self.pack, instance);
                    add(of(&profile).as_ref());
                    return found;
                }
                for unit in party.units.iter().map(|unit| &self.pack.units[*unit]) {
                    add(of(&unit.profile).as_ref());
                    let sets = unit.options.iter().flat_map(|option| {
                        option.sets.iter().chain(option.groups.iter().flat_map(|group| &group.sets))
                    });
                    let sets = sets.chain(unit.groups.iter().flat_map(|group| &group.sets));
                    sets.filter(|(set, _)| *set == at).for_each(|(_, value)| add(Some(value)));
                }
            }
            Scope::Weapon => {
                self.weapons.iter().for_each(|weapon| add(of(&self.pack.weapons[*weapon].profile).as_ref()))
            }
            Scope::Range => {
                self.said.ranges.iter().for_each(|word| add(of(&table.ranges[*word].word.profile).as_ref()))
            }
            Scope::Cover => self.said.covers.iter().for_each(|word| add(of(&table.covers[*word].profile).as_ref())),
            Scope::Arc => self.said.arcs.iter().for_each(|word| add(of(&table.arcs[*word].profile).as_ref())),
        }
        found
    }

    /// Whether a roll is made at all by those who can be there.
    pub(super) fn made(&self, roll: RollId) -> Ternary {
        match roll {
            RollId::Step(step) => {
                Ternary::any(self.pack.procedures.iter().filter(|plan| plan.steps.contains(&step)).map(|plan| {
                    let armoured = |at: &usize| self.pack.kinds[self.pack.units[*at].kind].body.is_armoured();
                    let body =
                        Ternary::of_cases(self.targets.units.iter().map(|at| (armoured(at) == plan.armoured).into()));
                    body.min(holds(&plan.when, self))
                }))
            }
            RollId::Choice(step, index) => {
                let plan = choices(&self.pack.steps[step].form).get(index);
                let needs = plan.map_or(Ternary::Yes, |choice| self.can_pass(&choice.needs));
                self.made(RollId::Step(step)).min(needs)
            }
            RollId::Ignore => Ternary::of_cases(self.targets.units.iter().map(|at| {
                let Body::Soldiers { ignore: Some(plan), .. } = &self.pack.kinds[self.pack.units[*at].kind].body else {
                    return Ternary::No;
                };
                let one = Possibilities { targets: Party { units: vec![*at], ..self.targets.clone() }, ..self.clone() };
                match &plan.aim {
                    AimPlan::Needs(from) => one.can_pass(from),
                    _ => Ternary::Yes,
                }
            })),
            RollId::Check(at) => holds(&self.pack.checks[at].when, self),
            RollId::Aftermath(at) => holds(&self.pack.aftermath[at].when, self),
            RollId::Attack | RollId::Repair => Ternary::Yes,
        }
    }

    fn can_pass(&self, needs: &NeedsFrom) -> Ternary {
        match needs {
            NeedsFrom::Fixed(needs) => (*needs != Needs::Never).into(),
            NeedsFrom::Stat(scope, at) => Ternary::of_cases(
                self.stat(*scope, *at).iter().map(|value| (*value != Value::Needs(Needs::Never)).into()),
            ),
            _ => Ternary::Yes,
        }
    }

    /// Whether a weapon may be used here: nothing forbids it, and it reaches.
    pub(super) fn usable(&self, weapon: usize) -> Ternary {
        let alone = Possibilities { weapons: vec![weapon], armed: true, ..self.clone() };
        let denied = Ternary::any(denials(self.pack).filter(|(rule, _)| *rule != self.rule).map(|(rule, change)| {
            let plan = &self.pack.rules[rule];
            let seated = match change.side {
                super::super::model::change::RuleScope::Table => true,
                super::super::model::change::RuleScope::Weapon => self.pack.weapons[weapon].rules.contains(&rule),
                _ => false,
            };
            if seated { holds(&plan.when, &alone).min(holds(&change.when, &alone)) } else { Ternary::No }
        }));
        self.reaches(weapon).min(!denied)
    }

    /// Whether a weapon reaches as far as it is, and is not too near.
    pub(super) fn reaches(&self, weapon: usize) -> Ternary {
        let table = &self.pack.situations;
        let (least, most) = self.pack.weapons[weapon].reach;
        Ternary::of_cases(self.said.ranges.iter().map(|band| {
            let (nearest, farthest) = match self.said.distance {
                Some(distance) => (distance, Some(distance)),
                None => (table.from(*band), table.ranges[*band].to),
            };
            (most.is_none_or(|most| nearest <= most) && farthest.is_none_or(|farthest| farthest >= least)).into()
        }))
    }
}

/// The changes that forbid an attack, each with its rule.
pub(super) fn denials(pack: &Pack) -> impl Iterator<Item = (usize, &super::super::model::change::Change)> {
    pack.rules.iter().enumerate().flat_map(|(at, rule)| {
        let denies = |change: &&super::super::model::change::Change| {
            change.effects.deny && change.rolls.contains(&RollId::Attack)
        };
        rule.changes.iter().filter(denies).map(move |change| (at, change))
    })
}

/// The best natural face of a step's dice.
pub(super) fn best_face(pack: &Pack, roll: RollId) -> Option<u32> {
    let RollId::Step(step) = roll else { return None };
    Some(match &pack.steps[step].form {
        Form::Roll(plan) => plan.dice.count().max(1) * plan.dice.sides(),
        Form::Penetrate(plan) => plan.dice.sides(),
    })
}
