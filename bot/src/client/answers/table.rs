//! Answers about the rules and arcs of the table.
use super::Chance;
use crate::client::index::Named;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The answer of `/v1/rule`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct RuleAnswer {
    /// Its name.
    pub name: String,
    /// What it says.
    pub text: String,
    /// What it does, a line for each change.
    pub does: Vec<String>,
    /// The table of a chart.
    pub table: Option<TermTable>,
    /// Yes or no, where that was asked.
    pub asked: Option<RuleAsked>,
    /// What it changes in numbers.
    pub example: Option<RuleExample>,
    /// Rules that ask for it.
    pub asked_by: Vec<Named>,
    /// Units that carry it.
    pub units: Vec<Named>,
    /// Weapons that carry it.
    pub weapons: Vec<Named>,
    /// Units that may take it.
    pub options: Vec<Named>,
    /// Other rules that the words fit.
    pub others: Vec<Named>,
}

/// A chart as a table.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct TermTable {
    /// The head of each column.
    pub head: Vec<String>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}

/// The answer to a yes-or-no question.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct RuleAsked {
    /// `yes`, `no` or `depends`.
    pub answer: String,
    /// Why, or what it depends on.
    pub because: String,
    /// Weapons of which the opposite is so.
    pub except: Vec<Named>,
    /// What was understood of the question.
    pub understood: Vec<String>,
}

/// A question with a rule and without it.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct RuleExample {
    /// The question in words.
    pub text: String,
    /// With the rule.
    pub with: RuleNumbers,
    /// Without it.
    pub without: RuleNumbers,
    /// What the rule did.
    pub because: Vec<String>,
}

/// Numbers that are held against each other.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct RuleNumbers {
    /// Models removed, on average.
    pub models: Option<f64>,
    /// Structure lost, on average.
    pub structure: Option<f64>,
    /// Nothing is left.
    pub destroyed: Option<Chance>,
    /// Backfires, on average.
    pub backfires: Option<f64>,
    /// The chance of each effect afterwards.
    pub aftermath: BTreeMap<String, Chance>,
    /// One roll.
    pub chance: Option<Chance>,
}

/// The answer of `/v1/arc`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct ArcAnswer {
    /// The arc.
    pub arc: Named,
    /// The bearing.
    pub bearing: f64,
    /// From middle to middle.
    pub distance: Option<f64>,
    /// The nearest border.
    pub border: Option<Border>,
    /// Whether that is near.
    pub near: bool,
    /// How the borders were found.
    pub how: String,
}

/// A border between two arcs.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Border {
    /// Where it lies.
    pub bearing: f64,
    /// The arc on its other side.
    pub other: Named,
    /// How many degrees away.
    pub off_degrees: f64,
    /// How far across.
    pub across: Option<f64>,
}
