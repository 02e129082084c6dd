//! One weapon of one unit against another: numbers looked up, conditions asked, the rules that act found.
use super::Company;
use pipwright_shared::odds::roll::Needs;
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::change::{Change, Rule, RuleScope};
use pipwright_shared::rules::model::chart::{Lookup, Rows};
use pipwright_shared::rules::model::condition::{Condition, Than, Trait, Whom};
use pipwright_shared::rules::model::stat::{Axis, Scope, StatValue, Value};
use pipwright_shared::rules::model::sum::{NeedsFrom, Side, Source, Sum};

/// What the table adds; all names are indices.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Setting {
    pub arc: usize,
    pub range: usize,
    pub distance: Option<u32>,
    pub cover: usize,
    pub moved: bool,
    pub flags: Vec<bool>,
    /// The number that somebody asked about.
    pub asked: i32,
    /// Rules that do not act.
    pub without: Vec<usize>,
}

impl Setting {
    /// What stands where nobody says anything.
    pub fn usual(pack: &Pack) -> Self {
        let (arc, range, cover) = pack.situations.usual;
        Self { arc, range, cover, flags: vec![false; pack.situations.flags.len()], ..Self::default() }
    }
}

#[derive(Clone, Copy)]
pub struct Exchange<'a> {
    pub pack: &'a Pack,
    pub attacker: &'a Company<'a>,
    pub target: &'a Company<'a>,
    pub setting: &'a Setting,
    pub weapon: Option<usize>,
}

/// Dice as they are thrown: number, sides, and what is added.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Throw {
    pub count: u32,
    pub sides: u32,
    pub plus: i64,
}

impl<'a> Exchange<'a> {
    fn axis(&self, axis: Axis) -> usize {
        match axis {
            Axis::Arc => self.setting.arc,
            Axis::Range => self.setting.range,
            Axis::Cover => self.setting.cover,
        }
    }

    fn stat(&self, scope: Scope, at: usize) -> Value {
        let words = &self.pack.situations;
        let profile = match scope {
            Scope::Unit => Some(&self.attacker.own),
            Scope::Target => Some(&self.target.profile),
            Scope::Weapon => self.weapon.map(|weapon| &self.pack.weapons[weapon].profile),
            Scope::Range => Some(&words.ranges[self.setting.range].word.profile),
            Scope::Cover => Some(&words.covers[self.setting.cover].profile),
            Scope::Arc => Some(&words.arcs[self.setting.arc].profile),
        };
        let stat = &self.pack.stats.of(scope)[at];
        match profile.and_then(|profile| profile.get(at).cloned().flatten()) {
            Some(StatValue::One(value)) => value,
            Some(StatValue::Each(values)) => values[self.axis(stat.per.expect("it differs by something"))],
            None => stat.fallback(),
        }
    }

    fn chart(&self, at: usize) -> Value {
        let number = |value: Value| if let Value::Number(number) = value { number } else { 0 };
        match &self.pack.charts[at].rows {
            Rows::Table { by, cells } => {
                let mut cell = 0;
                for lookup in by {
                    cell = cell * lookup.len()
                        + match lookup {
                            Lookup::Axis(axis, _) => self.axis(*axis),
                            Lookup::Words(scope, stat, _) => match self.stat(*scope, *stat) {
                                Value::Word(word) => word,
                                other => panic!("a word, not {other}"),
                            },
                            Lookup::Numbers(scope, stat, from) => {
                                let number = number(self.stat(*scope, *stat));
                                from.iter().filter(|from| **from <= number).count().saturating_sub(1)
                            }
                        };
                }
                cells[cell]
            }
            Rows::Difference(sum, rows) => {
                let over = self.number(sum);
                rows.iter().find(|row| row.bound.fits(over, 1)).or(rows.last()).expect("a row").gives
            }
            Rows::Ratio(over, under, rows) => {
                let (over, under) = (self.number(over), self.number(under));
                rows.iter().find(|row| row.bound.fits(over, under)).or(rows.last()).expect("a row").gives
            }
        }
    }

    fn value(&self, source: &Source) -> Value {
        match source {
            Source::Number(number) => Value::Number(*number),
            Source::Dice(dice) => Value::Dice(*dice),
            Source::Stat(scope, at) => self.stat(*scope, *at),
            Source::Chart(at) => self.chart(*at),
            Source::Models(Side::Attacker) => Value::Number(self.attacker.began().standing.try_into().expect("few")),
            Source::Models(Side::Target) => Value::Number(self.target.began().standing.try_into().expect("few")),
            Source::Hurt => Value::Number(self.target.said.hurt.try_into().expect("few")),
            Source::Asked => Value::Number(self.setting.asked),
        }
    }

    pub fn number(&self, sum: &Sum) -> i32 {
        let signed = |minus: bool, number: i32| if minus { -number } else { number };
        let terms = sum.0.iter().map(|term| match self.value(&term.source) {
            Value::Number(number) => signed(term.minus, number),
            _ => 0,
        });
        terms.sum()
    }

    pub fn throw(&self, sum: &Sum) -> Throw {
        let mut throw = Throw { count: 0, sides: 1, plus: 0 };
        for term in &sum.0 {
            match self.value(&term.source) {
                Value::Dice(dice) if dice.count() > 0 => {
                    throw.count = dice.count();
                    throw.sides = dice.sides();
                    throw.plus += i64::from(dice.plus());
                }
                Value::Dice(dice) => throw.plus += i64::from(dice.plus()),
                Value::Number(number) => throw.plus += i64::from(if term.minus { -number } else { number }),
                _ => {}
            }
        }
        throw
    }

    pub fn needs(&self, from: &NeedsFrom) -> Needs {
        let of = |value: Value| if let Value::Needs(needs) = value { needs } else { Needs::Never };
        match from {
            NeedsFrom::Fixed(needs) => *needs,
            NeedsFrom::Stat(scope, at) => of(self.stat(*scope, *at)),
            NeedsFrom::Chart(at) => of(self.chart(*at)),
            NeedsFrom::AtLeast(sum) => Needs::AtLeast(self.number(sum).max(1).unsigned_abs()),
            NeedsFrom::AtMost(sum) => match self.number(sum) {
                most if most >= 1 => Needs::AtMost(most.unsigned_abs()),
                _ => Needs::Never,
            },
        }
    }

    pub fn holds(&self, condition: &Condition) -> bool {
        let at = self.setting;
        match condition {
            Condition::All(parts) => parts.iter().all(|part| self.holds(part)),
            Condition::Any(parts) => parts.iter().any(|part| self.holds(part)),
            Condition::Not(part) => !self.holds(part),
            Condition::Arc(words) => words.contains(&at.arc),
            Condition::Range(words) => words.contains(&at.range),
            Condition::Cover(words) => words.contains(&at.cover),
            Condition::Moved(moved) => at.moved == *moved,
            Condition::Template(lays) => {
                self.weapon.is_some_and(|weapon| self.pack.weapons[weapon].template.is_some()) == *lays
            }
            Condition::Flag(flag, set) => at.flags[*flag] == *set,
            Condition::Is(whom, words) => words.iter().any(|word| match whom {
                Whom::Attacker => self.attacker.goes_by(*word),
                Whom::Target => self.target.goes_by(*word),
                Whom::NearAttacker => self.attacker.is_near(*word),
                Whom::NearTarget => self.target.is_near(*word),
                Whom::Weapon => self.weapon.is_some_and(|weapon| match word {
                    Trait::Rule(rule) => self.pack.weapons[weapon].rules.contains(rule),
                    Trait::Weapon(other) => *other == weapon,
                    _ => false,
                }),
            }),
            Condition::Compare(sum, than, number) => {
                let sum = self.number(sum);
                match than {
                    Than::AtLeast => sum >= *number,
                    Than::AtMost => sum <= *number,
                    Than::Equal => sum == *number,
                }
            }
            Condition::Status(marks) => marks.iter().any(|mark| self.target.said.statuses.contains(mark)),
        }
    }

    /// The rules that somebody here carries, and where: the table's, those near the attacker, the attacker's, the
    /// weapon's, those near the target, the target's.
    fn carried(&self) -> Vec<(usize, &'static [RuleScope])> {
        let near = |company: &Company<'_>| -> Vec<usize> {
            company.said.near.iter().flat_map(|near| near.rules(self.pack)).collect()
        };
        let own: &[RuleScope] = &[RuleScope::Attacker, RuleScope::Weapon];
        let mut all: Vec<(usize, &[RuleScope])> = Vec::new();
        all.extend((0..self.pack.rules.len()).map(|rule| (rule, &[RuleScope::Table][..])));
        all.extend(near(self.attacker).into_iter().map(|rule| (rule, &[RuleScope::NearAttacker][..])));
        all.extend(self.attacker.rules.iter().map(|rule| (*rule, own)));
        let weapon = self.weapon.map(|weapon| self.pack.weapons[weapon].rules.as_slice()).unwrap_or_default();
        all.extend(weapon.iter().map(|rule| (*rule, own)));
        all.extend(near(self.target).into_iter().map(|rule| (rule, &[RuleScope::NearTarget][..])));
        all.extend(self.target.rules.iter().map(|rule| (*rule, &[RuleScope::Target][..])));
        all.retain(|(rule, _)| !self.setting.without.contains(rule));
        all
    }

    /// Rules in whose place another one acts.
    fn displaced(&self) -> Vec<usize> {
        let mut displaced = Vec::new();
        for (at, scopes) in self.carried() {
            let rule = &self.pack.rules[at];
            let works = scopes.contains(&rule.side) || rule.changes.iter().any(|change| scopes.contains(&change.side));
            if works && self.holds(&rule.when) {
                displaced.extend(&rule.replaces);
            }
        }
        displaced
    }

    /// The changes that act here. What somebody carries and somebody near by brings as well acts on a roll of a side once.
    pub fn changes(&self) -> Vec<&'a Change> {
        let displaced = self.displaced();
        let mut seen: Vec<(usize, &[RuleScope], bool, &'a Change)> = Vec::new();
        let mut acting: Vec<&'a Change> = Vec::new();
        for (at, scopes) in self.carried() {
            let rule: &'a Rule = &self.pack.rules[at];
            if displaced.contains(&at) || !self.holds(&rule.when) {
                continue;
            }
            for change in &rule.changes {
                let of_target = matches!(change.side, RuleScope::Target | RuleScope::NearTarget);
                let known = seen.iter().any(|(rule, carried, side, other)| {
                    let roll = other.rolls.iter().any(|roll| change.rolls.contains(roll));
                    (*rule, *side) == (at, of_target) && roll && (*carried != scopes || std::ptr::eq(*other, change))
                });
                if scopes.contains(&change.side) && self.holds(&change.when) && !known {
                    seen.push((at, scopes, of_target, change));
                    acting.push(change);
                }
            }
        }
        acting
    }

    /// The rule by which the exchange's unit mends itself.
    pub fn repair(&self) -> Option<&'a Rule> {
        let displaced = self.displaced();
        let fits = |(at, scopes): &(usize, &[RuleScope])| {
            let rule = &self.pack.rules[*at];
            rule.repair.is_some() && scopes.contains(&rule.side) && !displaced.contains(at) && self.holds(&rule.when)
        };
        self.carried().into_iter().find(fits).map(|(at, _)| &self.pack.rules[at])
    }
}
