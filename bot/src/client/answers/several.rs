//! The answers about several units at once: duels and comparisons.
use super::{Chance, Points, Stated, Summary};
use serde::Deserialize;
use serde_json::Value as Json;

/// The answer of `/v1/duel`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct DuelAnswer {
    /// The end of each turn.
    pub turns: Vec<DuelTurn>,
    /// One side.
    pub a: DuelSide,
    /// The other side.
    pub b: DuelSide,
    /// Neither side can hurt the other.
    pub harmless: bool,
    /// The duel in plain numbers.
    pub duel: Json,
    /// Whose points take more from the other.
    pub better_spent: Option<String>,
    /// What was left open, and how it was taken.
    pub defaults: Vec<Stated>,
}

/// The end of a turn of a duel.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(default)]
pub struct DuelTurn {
    /// Which turn.
    pub turn: u64,
    /// Nothing is left of side a.
    pub a_destroyed: f64,
    /// Nothing is left of side b.
    pub b_destroyed: f64,
    /// Something is left of both.
    pub both_standing: f64,
}

/// One side of a duel.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct DuelSide {
    /// What is left of it.
    pub left: Summary,
    /// Where its own attack can harm it: nothing is left of it in the end although that does it no harm.
    pub destroyed_without_own_harm: Option<Chance>,
    /// What its own attacks came to.
    pub unit: DuelUnit,
}

/// What a unit's own attacks came to.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct DuelUnit {
    /// Why the numbers of its attack are what they are.
    pub because: Vec<DuelReason>,
    /// Weapons that it can't use, and why.
    pub unused_weapons: Vec<UnusedTurns>,
    /// Cost and effect in points.
    pub points: Option<Points>,
}

/// A weapon that a side of a duel can't use in some of its turns.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct UnusedTurns {
    /// Its name.
    pub weapon: String,
    /// Why, and by which rule.
    pub why: String,
}

/// Why one number of a side's attack is what it is.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct DuelReason {
    /// Which weapon's, by the place of its volley.
    pub volley: Option<usize>,
    /// The rule that decided.
    pub rule: String,
    /// What it did.
    pub effect: String,
}

/// The answer of `/v1/compare`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct CompareAnswer {
    /// One attack on one target each.
    pub rows: Vec<Compared>,
    /// Units that cannot attack these targets.
    pub left_out: Vec<CannotAttack>,
    /// What was left open, and how it was taken.
    pub defaults: Vec<Stated>,
}

/// A unit that cannot attack.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct CannotAttack {
    /// Its name.
    pub name: String,
    /// Why.
    pub why: String,
}

/// One attack on one target.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Compared {
    /// Who attacks.
    pub variant: String,
    /// Who is attacked.
    pub target: String,
    /// Models removed, on average.
    pub models: Option<f64>,
    /// Structure lost, on average.
    pub structure: Option<f64>,
    /// Nothing is left.
    pub destroyed: Chance,
    /// Points for each model or point of structure.
    pub points_each: Option<f64>,
    /// How many attack, where that was looked for.
    pub attackers: Option<u64>,
    /// The chance of what was wanted.
    pub chance: Option<f64>,
    /// What they cost.
    pub points: Option<u64>,
}
