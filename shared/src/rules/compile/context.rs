//! Who attacks whom with what, and the numbers that follow.
use super::super::matchup::Situation;
use super::super::model::Pack;
use super::super::model::chart::{ChartPlan, Lookup, Rows};
use super::super::model::stat::{Axis, Profile, Scope, StatValue, Value, nothing};
use super::super::model::sum::{NeedsFrom, Side, Source, Sum, Term};
use super::super::model::unit::Weapon;
use super::side::Loadout;
use crate::odds::dice::Dice;
use crate::odds::roll::Needs;

/// One weapon of one unit against another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RuleContext<'a> {
    pub(crate) pack: &'a Pack,
    pub(crate) attacker: &'a Loadout<'a>,
    pub(crate) target: &'a Loadout<'a>,
    pub(crate) situation: &'a Situation,
    pub(crate) weapon: Option<&'a Weapon>,
    pub(crate) asked: i32,
    pub(crate) with: &'a [usize],
    pub(crate) without: &'a [usize],
    /// A stat of the target that rules raise while it is read, and by how much.
    pub(crate) raised: Option<(usize, i32)>,
}

impl<'a> RuleContext<'a> {
    pub(crate) fn with_weapon(self, weapon: &'a Weapon) -> Self {
        Self { weapon: Some(weapon), ..self }
    }

    /// The value of a stat, or what stands where none was said.
    pub(crate) fn stat(&self, scope: Scope, at: usize) -> Value {
        let words = &self.pack.situations;
        let profile: Option<&Profile> = match scope {
            Scope::Unit => Some(&self.attacker.profile),
            Scope::Target => Some(&self.target.profile),
            Scope::Weapon => self.weapon.map(|weapon| &weapon.profile),
            Scope::Range => words.ranges.get(self.situation.range).map(|band| &band.word.profile),
            Scope::Cover => words.covers.get(self.situation.cover).map(|word| &word.profile),
            Scope::Arc => words.arcs.get(self.situation.arc).map(|word| &word.profile),
        };
        let stat = &self.pack.stats.of(scope)[at];
        let value = match profile.and_then(|profile| profile.get(at)?.as_ref()) {
            Some(StatValue::One(value)) => *value,
            Some(StatValue::Each(values)) => {
                let word = stat.per.map_or(0, |axis| self.word(axis));
                values.get(word).copied().unwrap_or_else(|| stat.fallback())
            }
            None => stat.fallback(),
        };
        match (value, self.raised) {
            (Value::Number(number), Some((raised, by))) if scope == Scope::Target && raised == at => {
                Value::Number(number.saturating_add(by))
            }
            _ => value,
        }
    }

    /// The index of the situation's word on an axis.
    fn word(&self, axis: Axis) -> usize {
        match axis {
            Axis::Arc => self.situation.arc,
            Axis::Range => self.situation.range,
            Axis::Cover => self.situation.cover,
        }
    }

    pub(crate) fn chart(&self, chart: &ChartPlan) -> Value {
        let first = |rows: &[super::super::model::chart::Row], over: i32, under: i32| {
            let fits = rows.iter().find(|row| row.bound.fits(over, under));
            fits.or(rows.last()).map_or(Value::Number(0), |row| row.gives)
        };
        match &chart.rows {
            Rows::Difference(sum, rows) => first(rows, self.number(sum), 1),
            Rows::Ratio(over, under, rows) => first(rows, self.number(over), self.number(under)),
            Rows::Table { by, cells } => {
                let at = by.iter().fold(0, |at, lookup| at * lookup.len() + self.lookup(lookup));
                cells.get(at).copied().unwrap_or(Value::Number(0))
            }
        }
    }

    fn lookup(&self, lookup: &Lookup) -> usize {
        match lookup {
            Lookup::Axis(axis, _) => self.word(*axis),
            Lookup::Words(scope, at, _) => match self.stat(*scope, *at) {
                Value::Word(word) => word,
                _ => 0,
            },
            Lookup::Numbers(scope, at, numbers) => {
                let number = match self.stat(*scope, *at) {
                    Value::Number(number) => number,
                    _ => 0,
                };
                numbers.iter().rposition(|from| *from <= number).unwrap_or(0)
            }
        }
    }

    fn value(&self, source: &Source) -> Value {
        match source {
            Source::Number(number) => Value::Number(*number),
            Source::Dice(dice) => Value::Dice(*dice),
            Source::Stat(scope, at) => self.stat(*scope, *at),
            Source::Chart(at) => self.chart(&self.pack.charts[*at]),
            Source::Models(Side::Attacker) => Value::Number(self.attacker.models as i32),
            Source::Models(Side::Target) => Value::Number(self.target.models as i32),
            Source::Hurt => Value::Number(self.target.hurt as i32),
            Source::Asked => Value::Number(self.asked),
        }
    }

    /// A sum without dice.
    pub(crate) fn number(&self, sum: &Sum) -> i32 {
        sum.0.iter().map(|term| self.term(term)).fold(0, i32::saturating_add)
    }

    fn term(&self, term: &Term) -> i32 {
        let number = match self.value(&term.source) {
            Value::Number(number) => number,
            _ => 0,
        };
        if term.minus { -number } else { number }
    }

    /// A sum that may hold dice.
    pub(crate) fn dice(&self, sum: &Sum) -> Dice {
        let (mut rolled, mut plus) = (nothing(), 0);
        for term in &sum.0 {
            match self.value(&term.source) {
                Value::Dice(dice) => rolled = dice,
                _ => plus += self.term(term),
            }
        }
        add(rolled, plus)
    }

    /// Dice with a sum more.
    pub(crate) fn more(&self, dice: Dice, sum: &Sum) -> Dice {
        add(dice, self.number(sum))
    }

    /// What a roll needs.
    pub(crate) fn needs(&self, from: &NeedsFrom) -> Needs {
        let of = |value| match value {
            Value::Needs(needs) => needs,
            _ => Needs::Never,
        };
        match from {
            NeedsFrom::Fixed(needs) => *needs,
            NeedsFrom::Stat(scope, at) => of(self.stat(*scope, *at)),
            NeedsFrom::Chart(at) => of(self.chart(&self.pack.charts[*at])),
            NeedsFrom::AtLeast(sum) => Needs::AtLeast(self.number(sum).clamp(1, 10_000).unsigned_abs()),
            NeedsFrom::AtMost(sum) => match self.number(sum) {
                most if most < 1 => Needs::Never,
                most => Needs::AtMost(most.min(10_000).unsigned_abs()),
            },
        }
    }

    /// How a sum comes about, in words: `Force 5 − Bulk 4`. Nothing for a plain number.
    pub(crate) fn spell(&self, sum: &Sum) -> String {
        let mut words = String::new();
        // What adds nothing is left out, unless nothing else is there.
        let counts = |term: &&Term| self.value(&term.source) != Value::Number(0);
        let all = !sum.0.iter().any(|term| counts(&term));
        for (index, term) in sum.0.iter().filter(|term| all || counts(term)).enumerate() {
            let text = match &term.source {
                Source::Number(number) if index > 0 && *number < 0 => format!("{}", -number),
                Source::Number(number) => number.to_string(),
                Source::Dice(dice) => dice.to_string(),
                Source::Stat(scope, at) => {
                    let stat = &self.pack.stats.of(*scope)[*at];
                    format!("{} {}", stat.label, stat.write(self.stat(*scope, *at)))
                }
                Source::Chart(at) => {
                    let chart = &self.pack.charts[*at];
                    format!("{} {}", chart.named.label, self.chart(chart))
                }
                Source::Models(_) => format!("models {}", self.value(&term.source)),
                Source::Hurt => format!("hurt {}", self.value(&term.source)),
                Source::Asked => format!("asked {}", self.asked),
            };
            let minus = term.minus || matches!(term.source, Source::Number(n) if index > 0 && n < 0);
            words += match (index, minus) {
                (0, false) => "",
                (0, true) => "−",
                (_, false) => " + ",
                (_, true) => " − ",
            };
            words += &text;
        }
        words
    }

    /// What a chart was looked up by, in words.
    pub(crate) fn spell_chart(&self, chart: &ChartPlan) -> String {
        match &chart.rows {
            Rows::Difference(sum, _) => format!("{} = {}", self.spell(sum), self.number(sum)),
            Rows::Ratio(over, under, _) => format!("{} against {}", self.spell(over), self.spell(under)),
            Rows::Table { by, .. } => {
                let words: Vec<String> = by.iter().map(|lookup| self.spell_lookup(lookup)).collect();
                words.join(", ")
            }
        }
    }

    fn spell_lookup(&self, lookup: &Lookup) -> String {
        let words = &self.pack.situations;
        match lookup {
            Lookup::Axis(Axis::Arc, _) => format!("arc {}", words.arcs[self.situation.arc].named.label),
            Lookup::Axis(Axis::Range, _) => format!("range {}", words.ranges[self.situation.range].word.named.label),
            Lookup::Axis(Axis::Cover, _) => format!("cover {}", words.covers[self.situation.cover].named.label),
            Lookup::Words(scope, at, _) | Lookup::Numbers(scope, at, _) => {
                let stat = &self.pack.stats.of(*scope)[*at];
                format!("{} {}", stat.label, stat.write(self.stat(*scope, *at)))
            }
        }
    }
}

/// Dice with a number more, kept within what dice can be.
pub(super) fn add(dice: Dice, plus: i32) -> Dice {
    if plus == 0 {
        return dice;
    }
    if let Some(constant) = dice.as_constant() {
        let sum = i64::from(constant) + i64::from(plus);
        return Dice::constant(sum.clamp(0, 10_000) as u32).unwrap_or(dice);
    }
    Dice::new(dice.count(), dice.sides(), dice.plus().saturating_add(plus).clamp(-1_000, 1_000)).unwrap_or(dice)
}

/// Dice so many times.
pub(super) fn times(dice: Dice, times: i32) -> Dice {
    let times = times.max(0).unsigned_abs();
    if let Some(constant) = dice.as_constant() {
        return Dice::constant((constant.saturating_mul(times)).min(10_000)).unwrap_or(dice);
    }
    if times == 0 {
        return nothing();
    }
    Dice::new(
        dice.count().saturating_mul(times).min(Dice::MOST),
        dice.sides(),
        dice.plus().saturating_mul(times as i32).clamp(-1_000, 1_000),
    )
    .unwrap_or(dice)
}
