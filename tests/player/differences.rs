//! Figures of the program held against the player's.
use pipwright_tests::table::chances::Chances;
use serde_json::Value;

/// How far two figures may lie apart.
const CLOSE: f64 = 1e-9;

#[derive(Default)]
pub struct Differences(pub Vec<String>);

impl Differences {
    pub fn number(&mut self, what: &str, said: &Value, found: f64) {
        let near = said.as_f64().is_some_and(|said| (said - found).abs() <= CLOSE * found.abs().max(1.0));
        if !near {
            self.0.push(format!("{what}: the program says {said}, the player {found}"));
        }
    }

    /// What is said only where it is so.
    pub fn flag(&mut self, what: &str, said: &Value, found: bool) {
        if said.as_bool().unwrap_or(false) != found {
            self.0.push(format!("{what}: the program says {said}, the player {found}"));
        }
    }

    /// The rows of a summary.
    pub fn rows(&mut self, what: &str, summary: &Value, found: &Chances<i64>) {
        let said: Vec<(i64, &Value)> = summary["distribution"].as_array().map_or_else(Vec::new, |rows| {
            rows.iter().filter_map(|row| Some((row["value"].as_i64()?, &row["chance"]))).collect()
        });
        let chance =
            |value: i64| found.iter().filter(|(other, _)| *other == value).map(|(_, chance)| chance).sum::<f64>();
        for (value, said) in &said {
            self.number(&format!("{what} {value}"), said, chance(*value));
        }
        for (value, chance) in found {
            if !said.iter().any(|(other, _)| other == value) {
                self.number(&format!("{what} {value}"), &Value::from(0.0), *chance);
            }
        }
    }
}
