//! Counters that hits leave on a target: pinning, fire, suppression; what they bring and what they change.
use super::super::dice::Amount;
use super::super::roll::Needs;
use super::{Change, Kind, Step, Volley};

/// The counters of a target, and what they bring.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counters {
    /// The counters.
    pub all: Vec<Counter>,
    /// What holds from so many on.
    pub thresholds: Vec<Threshold>,
}

/// A number that belongs to the whole target. It outlives wrecks, and while nothing of the target is left it does not change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counter {
    /// What players call it.
    pub name: String,
    /// It goes no higher.
    pub most: u32,
    /// At the start.
    pub start: u32,
}

/// An effect that holds while a counter has come so far and something of the target is left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Threshold {
    /// The counter.
    pub counter: String,
    /// From this value on.
    pub at_least: u32,
    /// The effect's name; it holds where any of its rows does.
    pub effect: String,
    /// It holds even where nothing of the target is left.
    pub even_destroyed: bool,
}

/// What is added to counters, each by its name.
pub type Counts = Vec<(String, Amount)>;

/// Numbers of a volley that change with a counter. Of the rows of one counter the highest that is reached acts; rows of
/// different counters all act, in the order listed.
#[derive(Clone, Debug, PartialEq)]
pub struct ByCounter {
    /// The counter.
    pub counter: String,
    /// In a duel: of the side that attacks, read when the volley starts. Otherwise of the target, read when an attack starts.
    pub own: bool,
    /// From this value on.
    pub at_least: u32,
    /// Changed numbers of the steps.
    pub then: Vec<Change>,
    /// Changed numbers of the gate; of an own counter only.
    pub gate: Option<GateChange>,
}

/// Changed numbers of a gate.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct GateChange {
    /// In place of what it needs.
    pub needs: Option<Needs>,
    /// In place of its modifier.
    pub modifier: Option<i32>,
    /// Added to the number that it needs.
    pub plus_needs: i32,
    /// Added to its modifier.
    pub plus_modifier: i32,
}

impl Counters {
    /// Where a counter of this name stands among them.
    pub(crate) fn position(&self, name: &str) -> Option<usize> {
        self.all.iter().position(|counter| counter.name == name)
    }

    /// The effects, in the order in which they first come.
    pub(crate) fn effects(&self) -> Vec<&str> {
        let mut effects: Vec<&str> = Vec::new();
        for row in &self.thresholds {
            if !effects.contains(&row.effect.as_str()) {
                effects.push(&row.effect);
            }
        }
        effects
    }

    /// The counters that the rows of volleys read.
    pub(crate) fn read_by<'v>(&self, volleys: impl IntoIterator<Item = &'v Volley>, own: bool) -> Vec<usize> {
        let rows = volleys.into_iter().flat_map(|volley| &volley.by_counter).filter(|row| row.own == own);
        let mut read: Vec<usize> = rows.filter_map(|row| self.position(&row.counter)).collect();
        read.sort_unstable();
        read.dedup();
        read
    }

    /// Sets of counters that have to be followed together with those that are read: each counter, and those of one effect;
    /// sets within others are left out.
    pub(crate) fn followed(&self, read: &[usize]) -> Vec<Vec<usize>> {
        let of_effect = |effect: &str| {
            let rows = self.thresholds.iter().filter(|row| row.effect == effect);
            rows.filter_map(|row| self.position(&row.counter)).collect::<Vec<_>>()
        };
        let mut sets: Vec<Vec<usize>> = self.effects().into_iter().map(of_effect).collect();
        sets.extend((0..self.all.len()).map(|counter| vec![counter]));
        for set in &mut sets {
            set.extend(read);
            set.sort_unstable();
            set.dedup();
        }
        let mut kept: Vec<Vec<usize>> = Vec::new();
        for (at, set) in sets.iter().enumerate() {
            let within = |other: &Vec<usize>| set.iter().all(|counter| other.contains(counter));
            let later = sets[at + 1..].iter().any(|other| within(other) && other.len() > set.len());
            if !later && !kept.iter().any(within) {
                kept.push(set.clone());
            }
        }
        kept
    }
}

impl Volley {
    /// All that this volley may add to counters.
    pub(crate) fn all_counts(&self) -> impl Iterator<Item = &Counts> {
        std::iter::once(&self.counts).chain(self.steps.iter().flat_map(Step::all_counts))
    }
}

impl Step {
    /// All that this step may add to counters.
    pub(crate) fn all_counts(&self) -> impl Iterator<Item = &Counts> {
        let (table, penetrate) = match &self.kind {
            Kind::Roll(_) => (None, None),
            Kind::Table(table) => (Some(table), None),
            Kind::Penetrate(penetrate) => (None, Some(penetrate)),
        };
        let of_rows = table.into_iter().flat_map(|table| &table.rows).map(|row| &row.counts);
        let of_hits = penetrate.into_iter().flat_map(|step| [&step.graze_counts, &step.breach_counts]);
        let charts = penetrate.and_then(|step| step.chart.as_ref());
        let of_chart = charts.into_iter().flat_map(|chart| &chart.rows).map(|row| &row.counts);
        std::iter::once(&self.counts).chain(of_rows).chain(of_hits).chain(of_chart)
    }
}
