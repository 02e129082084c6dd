//! The answers about what dice did: results that happened, an evening of them, a die that is under suspicion.
use super::{Chance, Stated};
use serde::Deserialize;

/// The answer of `/v1/fair`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct FairAnswer {
    /// All the throws.
    pub throws: u64,
    /// Sides of the die.
    pub sides: u32,
    /// A fair die brings counts at most as likely.
    pub chance: Chance,
    /// `exact`, or `chi_square`.
    pub method: String,
    /// Pearson's statistic.
    pub chi_square: f64,
    /// Its degrees of freedom.
    pub degrees: u32,
    /// The most surprising face.
    pub face: FairFace,
    /// How many throws would show it.
    pub throws_needed: Option<u64>,
    /// All of it in words.
    pub sentence: String,
}

/// One face of a die.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct FairFace {
    /// Which face.
    pub face: u32,
    /// How often it came up.
    pub seen: u64,
    /// How often it was to be expected.
    pub expected: f64,
    /// The chance that this face alone is as far off.
    pub chance: f64,
}

/// The answer of `/v1/luck`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct LuckAnswer {
    /// Just this.
    pub exactly: Chance,
    /// This or less.
    pub at_most: Chance,
    /// This or more.
    pub at_least: Chance,
    /// All of it in one sentence.
    pub sentence: String,
    /// What was left open, and how it was taken.
    pub defaults: Vec<Stated>,
}

/// The answer of `/v1/luck` about a whole log.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct LuckLogAnswer {
    /// Each entry by itself.
    pub entries: Vec<LuckAnswer>,
    /// Those that count the same thing, added up.
    pub sums: Vec<LuckSum>,
}

/// Results that count the same thing, added up.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct LuckSum {
    /// What is counted.
    pub result: String,
    /// `us`, or `them`.
    pub side: String,
    /// How many entries it is of.
    pub entries: u64,
    /// What came of them all.
    pub value: i64,
    /// What was to be expected.
    pub expected: f64,
    /// The standard deviation.
    pub deviation: f64,
    /// Just this.
    pub exactly: Chance,
    /// This or less.
    pub at_most: Chance,
    /// This or more.
    pub at_least: Chance,
    /// All of it in one sentence.
    pub sentence: String,
}

impl LuckSum {
    /// Whether nothing else could come of it.
    pub fn is_sure(&self) -> bool {
        self.deviation == 0.0 && self.exactly.chance > 0.5
    }
}
