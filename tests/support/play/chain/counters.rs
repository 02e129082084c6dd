//! Counters that hits leave on a target, what they bring, and what they change.
use super::part::{self, Change};
use crate::play::{Luck, dice::Dice};
use serde_json::Value;

/// What a target has of counters, and what follows from them.
#[derive(Clone, Debug, Default)]
pub struct Counters {
    names: Vec<String>,
    most: Vec<i64>,
    pub start: Vec<i64>,
    thresholds: Vec<Threshold>,
    /// Names of effects, as they first come.
    pub effects: Vec<String>,
}

#[derive(Clone, Debug)]
struct Threshold {
    counter: usize,
    at_least: i64,
    effect: usize,
    even_destroyed: bool,
}

/// What is added, by the name of a counter.
pub type Counts = Vec<(String, Dice)>;

pub fn counts(of: &Value) -> Counts {
    let given = of["counts"].as_object().into_iter().flatten();
    given.map(|(name, dice)| (name.clone(), Dice::read(dice))).collect()
}

/// A row of a volley that reads a counter.
#[derive(Clone, Debug)]
pub struct Row {
    counter: String,
    pub own: bool,
    at_least: i64,
    then: Vec<(String, Change)>,
}

pub fn rows(of: &Value) -> Vec<Row> {
    let row = |row: &Value| Row {
        counter: row["name"].as_str().expect("a counter").to_string(),
        own: row["of"] == "own",
        at_least: row["at_least"].as_i64().expect("at_least"),
        then: part::changes(&row["then"]),
    };
    of["by_counter"].as_array().into_iter().flatten().map(row).collect()
}

/// What rows put on a step (or the gate), in the order listed: they read the target's counters and the own ones.
pub fn change(rows: &[Row], step: &str, target: (&Counters, &[i64]), own: (&Counters, &[i64])) -> Change {
    let mut acting = target.0.acting(rows, false, target.1);
    acting.extend(own.0.acting(rows, true, own.1));
    acting.sort_unstable();
    let mut change = Change::default();
    for row in acting {
        for (_, of_row) in rows[row].then.iter().filter(|(name, _)| name == step) {
            change = of_row.over(&change);
        }
    }
    change
}

impl Counters {
    pub fn read(target: &Value) -> Self {
        let listed = || target["counters"].as_array().into_iter().flatten();
        let name = |of: &Value| of["name"].as_str().expect("a name").to_string();
        let names: Vec<String> = listed().map(name).collect();
        let mut effects: Vec<String> = Vec::new();
        let mut thresholds = Vec::new();
        for row in target["thresholds"].as_array().into_iter().flatten() {
            let effect = row["effect"].as_str().expect("an effect").to_string();
            let known = effects.iter().position(|known| *known == effect).unwrap_or_else(|| {
                effects.push(effect);
                effects.len() - 1
            });
            thresholds.push(Threshold {
                counter: names.iter().position(|known| *known == name(row)).expect("a counter"),
                at_least: row["at_least"].as_i64().expect("at_least"),
                effect: known,
                even_destroyed: row["even_destroyed"] == true,
            });
        }
        Self {
            names,
            most: listed().map(|of| of["most"].as_i64().unwrap_or(20)).collect(),
            start: listed().map(|of| of["start"].as_i64().unwrap_or(0)).collect(),
            thresholds,
            effects,
        }
    }

    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// Takes so much off one of the values, or all of it.
    pub fn take(&self, name: &str, points: Option<i64>, values: &mut [i64]) {
        let at = self.names.iter().position(|known| known == name).expect("a counter");
        values[at] = points.map_or(0, |points| (values[at] - points).max(0));
    }

    /// Adds to the values, each up to its most.
    pub fn add(&self, counts: &Counts, values: &mut [i64], luck: &mut dyn Luck) {
        for (name, dice) in counts {
            let at = self.names.iter().position(|known| known == name).expect("a counter");
            values[at] = (values[at] + dice.total(luck)).min(self.most[at]);
        }
    }

    /// Which rows of these counters act: of each counter the highest that is reached.
    fn acting(&self, rows: &[Row], own: bool, values: &[i64]) -> Vec<usize> {
        let reached = |row: &Row| {
            row.own == own && {
                let at = self.names.iter().position(|known| *known == row.counter).expect("a counter");
                values[at] >= row.at_least
            }
        };
        let higher = |row: &Row| {
            let above = |other: &&Row| reached(other) && other.counter == row.counter && other.at_least > row.at_least;
            rows.iter().any(|other| above(&other))
        };
        (0..rows.len()).filter(|at| reached(&rows[*at]) && !higher(&rows[*at])).collect()
    }

    pub fn note(&self, values: &[i64], gone: bool, luck: &mut dyn Luck) {
        for (at, value) in values.iter().enumerate() {
            luck.note(("counter", at), *value);
        }
        for effect in 0..self.effects.len() {
            let holds = |row: &Threshold| {
                row.effect == effect && values[row.counter] >= row.at_least && (row.even_destroyed || !gone)
            };
            luck.note(("effect", effect), self.thresholds.iter().any(holds).into());
        }
    }
}
