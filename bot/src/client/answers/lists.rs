//! The answers about whole lists: who attacks whom, and what to take.
use super::{Chance, Stated};
use serde::Deserialize;
use serde_json::Value as Json;

/// The answer of `/v1/assign`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct AssignAnswer {
    /// Where each goes.
    pub plan: Vec<AssignRow>,
    /// What is counted.
    pub objective: String,
    /// The plan in a sentence.
    pub sentence: String,
    /// What becomes of each target.
    pub targets: Vec<AssignTarget>,
    /// The next best plans.
    pub others: Vec<AssignOther>,
    /// What was left open, and how it was taken.
    pub defaults: Vec<Stated>,
}

/// Where one attacker goes.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct AssignRow {
    /// What it is called.
    pub name: String,
    /// Where it goes, and why.
    pub sentence: String,
}

/// What becomes of one target.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct AssignTarget {
    /// What it is called.
    pub name: String,
    /// Who attacks it.
    pub attackers: Vec<u64>,
    /// Its points.
    pub points: AssignPoints,
    /// Of soldiers: models removed.
    pub models: Option<Json>,
    /// Of armour: structure lost.
    pub structure: Option<Json>,
    /// Nothing is left.
    pub destroyed: Chance,
}

/// The points of a target.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(default)]
pub struct AssignPoints {
    /// What it cost before anything of it was lost.
    pub cost: u64,
    /// The mean of the points destroyed.
    pub removed: f64,
}

/// Another plan.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(default)]
pub struct AssignOther {
    /// Its value.
    pub expected: f64,
}

/// The answer of `/v1/build`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct BuildAnswer {
    /// The plans, the best first.
    pub plans: Vec<BuildPlan>,
    /// The points limit.
    pub limit: u64,
    /// Whom it is built against.
    pub targets: Vec<BuildTarget>,
    /// Why there is none.
    pub problems: Vec<Json>,
}

/// One list.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct BuildPlan {
    /// What it costs.
    pub total: u64,
    /// Whether no list is better.
    pub proven: bool,
    /// The list as text.
    pub text: String,
    /// What it is good at, and what most of that comes from.
    pub sentence: String,
}

/// Whom it is built against.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct BuildTarget {
    /// What it is called.
    pub name: String,
}

/// The answer of `/v1/compare-lists`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct CompareListsAnswer {
    /// The first list.
    pub a: ListShowing,
    /// The second.
    pub b: ListShowing,
    /// What comes of it in a sentence.
    pub sentence: String,
    /// Turns of a game.
    pub turns: u32,
}

/// How a list does against the other one.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct ListShowing {
    /// What it is called.
    pub label: String,
    /// What it costs.
    pub points: u64,
    /// Its rows.
    pub rows: Vec<ListRow>,
}

/// Equal units of a list.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct ListRow {
    /// As a line of a list.
    pub name: String,
    /// What all of them cost.
    pub points: u64,
    /// Points that all of them take in a game.
    pub takes: f64,
    /// Turns that one of them survives.
    pub survives: f64,
}
