//! Which numbers a sum can come to with the units and weapons of the books.
use super::super::model::Pack;
use super::super::model::chart::{ChartPlan, Rows};
use super::super::model::stat::{Profile, Scope, Stat, StatValue, Value};
use super::super::model::sum::{Side, Source, Sum};
use std::collections::BTreeSet;

/// Numbers that can come about; nothing where they are too many to tell apart or no file fixes them.
pub(super) type Numbers = Option<BTreeSet<i32>>;

/// The most numbers that are told apart.
const MOST: usize = 4_000;

/// The values of every stat that holds a number, by scope and index.
#[derive(Debug)]
pub(super) struct Values<'a> {
    pack: &'a Pack,
    unit: Vec<BTreeSet<i32>>,
    weapon: Vec<BTreeSet<i32>>,
    range: Vec<BTreeSet<i32>>,
    cover: Vec<BTreeSet<i32>>,
    arc: Vec<BTreeSet<i32>>,
}

impl<'a> Values<'a> {
    pub(super) fn new(pack: &'a Pack) -> Self {
        let words = &pack.situations;
        let mut unit = vec![BTreeSet::new(); pack.stats.unit.len()];
        for one in &pack.units {
            for (at, (stat, into)) in pack.stats.unit.iter().zip(&mut unit).enumerate() {
                if stat.kinds.is_empty() || stat.kinds.contains(&one.kind) {
                    add(stat, one.profile.get(at).and_then(Option::as_ref), into);
                }
            }
            let groups = one.groups.iter().chain(one.options.iter().flat_map(|option| &option.groups));
            let sets = one.options.iter().flat_map(|option| &option.sets).chain(groups.flat_map(|group| &group.sets));
            for (at, value) in sets {
                add(&pack.stats.unit[*at], Some(value), &mut unit[*at]);
            }
        }
        Self {
            pack,
            unit,
            weapon: of(&pack.stats.weapon, pack.weapons.iter().map(|weapon| &weapon.profile)),
            range: of(&pack.stats.range, words.ranges.iter().map(|band| &band.word.profile)),
            cover: of(&pack.stats.cover, words.covers.iter().map(|word| &word.profile)),
            arc: of(&pack.stats.arc, words.arcs.iter().map(|word| &word.profile)),
        }
    }

    /// The values of a stat: numbers, or the indices of its words.
    pub(super) fn stat(&self, scope: Scope, at: usize) -> &BTreeSet<i32> {
        match scope {
            Scope::Unit | Scope::Target => &self.unit[at],
            Scope::Weapon => &self.weapon[at],
            Scope::Range => &self.range[at],
            Scope::Cover => &self.cover[at],
            Scope::Arc => &self.arc[at],
        }
    }

    /// What a sum can come to; each stat is taken by itself, so some of them may not come together.
    pub(super) fn sum(&self, sum: &Sum) -> Numbers {
        let mut all = BTreeSet::from([0]);
        for term in &sum.0 {
            let part = self.source(&term.source)?;
            let signed = |n: &i32| if term.minus { -n } else { *n };
            if all.len() * part.len() > MOST * 10 {
                return None;
            }
            all = all.iter().flat_map(|a| part.iter().map(move |b| a + signed(b))).collect();
            if all.len() > MOST {
                return None;
            }
        }
        Some(all)
    }

    fn source(&self, source: &Source) -> Numbers {
        match source {
            Source::Number(number) => Some(BTreeSet::from([*number])),
            Source::Stat(scope, at) => Some(self.stat(*scope, *at).clone()),
            Source::Chart(at) => self.pack.charts.get(*at).map(numbers_of),
            Source::Models(Side::Attacker | Side::Target) => {
                let least = self.pack.units.iter().map(|unit| unit.models.0).min()?;
                let most = self.pack.units.iter().map(|unit| unit.models.1).max()?;
                (most - least < 1_000).then(|| (1..=most as i32).collect())
            }
            _ => None,
        }
    }
}

fn of<'p>(stats: &[Stat], profiles: impl Iterator<Item = &'p Profile>) -> Vec<BTreeSet<i32>> {
    let mut all = vec![BTreeSet::new(); stats.len()];
    for profile in profiles {
        for (at, (stat, into)) in stats.iter().zip(&mut all).enumerate() {
            add(stat, profile.get(at).and_then(Option::as_ref), into);
        }
    }
    all
}

fn add(stat: &Stat, value: Option<&StatValue>, into: &mut BTreeSet<i32>) {
    let mut add = |value: Value| match value {
        Value::Number(number) => drop(into.insert(number)),
        Value::Word(word) => drop(into.insert(word as i32)),
        Value::Needs(_) | Value::Dice(_) => {}
    };
    match value {
        None => add(stat.fallback()),
        Some(StatValue::One(value)) => add(*value),
        Some(StatValue::Each(values)) => values.iter().for_each(|value| add(*value)),
    }
}

fn numbers_of(chart: &ChartPlan) -> BTreeSet<i32> {
    let number = |value: &Value| match value {
        Value::Number(number) => Some(*number),
        _ => None,
    };
    match &chart.rows {
        Rows::Table { cells, .. } => cells.iter().filter_map(number).collect(),
        Rows::Difference(_, rows) | Rows::Ratio(_, _, rows) => {
            rows.iter().filter_map(|row| number(&row.gives)).collect()
        }
    }
}
