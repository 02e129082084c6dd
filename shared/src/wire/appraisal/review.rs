//! The rows of an appraisal that make it a review: where attackers stand, what options and neighbours are worth, others for
//! the same points.
use super::{BatchQuestion, Worth};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Where attackers stand in one turn.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ApproachTurns {
    /// The turn, from 1.
    pub turn: u32,
    /// The range band.
    pub range: String,
    /// The arc that is hit.
    pub arc: String,
}

/// A game under an attacker that comes on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ApproachRow {
    /// The attacker's name.
    pub attacker: String,
    /// Its models.
    pub attacker_models: u32,
    /// The attacker as people count it.
    pub attacker_counted: String,
    /// A protection of the unit that does not act, or its repair that is not rolled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub without: Option<String>,
    /// The chance of still standing at the end of each turn.
    pub standing: Vec<f64>,
    /// At the end of how many turns it still stands, on average: the sum of `standing`.
    pub stood: f64,
    /// The question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<BatchQuestion>,
}

/// A protection under one attacker, where it does most.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ProtectedRow {
    /// The attacker's name.
    pub attacker: String,
    /// Its models.
    pub attacker_models: u32,
    /// The attacker as people count it.
    pub attacker_counted: String,
    /// The arc that is hit.
    pub arc: String,
    /// The range band.
    pub range: String,
    /// Turns survived with it.
    pub with: f64,
    /// Without it.
    pub without: f64,
    /// The question for `with`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<BatchQuestion>,
    /// The question for `without`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask_without: Option<BatchQuestion>,
}

/// A mean over the board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MeanRow {
    /// The range band or the arc.
    pub at: String,
    /// Points destroyed in one turn on average; a target that it cannot attack counts as none.
    pub points: f64,
}

/// The numbers of one side of a hull, seen from above.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct HullSide {
    /// The arc.
    pub arc: String,
    /// Where it begins: degrees clockwise from straight ahead.
    pub from: f64,
    /// Where it ends; beyond 180 where it goes round the back.
    pub to: f64,
    /// The stats that differ by side: name and value.
    #[schema(value_type = Vec<Vec<String>>)]
    pub values: Vec<(String, String)>,
}

/// What an option is worth.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct OptionRow {
    /// Its name.
    pub option: String,
    /// What taking it once adds to this unit.
    pub points: u64,
    /// Weapons that go for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<String>,
    /// Options that it needs, which stand on both sides of what follows.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub needs: Vec<String>,
    /// What the unit comes to without it.
    pub without: Worth,
    /// What it comes to with it.
    pub with: Worth,
    /// By how much of itself its worth for its points changes: 0.1 is a tenth more; nothing where it was none before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moved: Option<f64>,
    /// The target against which it adds most points destroyed in a game.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub best_target: Option<ForWhat>,
    /// The attacker under which it adds most turns.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub best_attacker: Option<ForWhat>,
    /// The verdict: whether it is worth it, and for what.
    pub text: String,
}

/// Against whom, without and with.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ForWhat {
    /// The target or the attacker as people count it.
    pub whom: String,
    /// Points destroyed in a game, or turns survived, without.
    pub without: f64,
    /// With.
    pub with: f64,
}

/// Two units, one of which is better for the other's presence.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TogetherRow {
    /// Who is near, with the options that make the difference.
    pub near: String,
    /// The same as a request names it.
    pub near_id: String,
    /// What that costs at its fewest models.
    pub near_points: u64,
    /// Whom it changes, as people count it.
    pub unit: String,
    /// Its id.
    pub unit_id: String,
    /// Its models.
    pub unit_models: u32,
    /// What that unit comes to alone.
    pub without: Worth,
    /// What it comes to with the other near.
    pub with: Worth,
    /// Points more that it destroys in the part of a game that it survives: `takes` times `stands`, with less without.
    pub gained: f64,
    /// That for each point that the other costs; nothing where it is free.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_point: Option<f64>,
    /// Its repair, where that differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repair: Option<MendPair>,
    /// Its tests that differ.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub checks: Vec<CheckPair>,
    /// What it comes to, in a sentence.
    pub text: String,
}

/// A repair alone and with another near.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MendPair {
    /// The chance of one roll alone.
    pub chance_without: f64,
    /// With the other near.
    pub chance_with: f64,
    /// Points back over a game on average, alone.
    pub restored_without: f64,
    /// With the other near.
    pub restored_with: f64,
    /// The question for what is alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask_without: Option<BatchQuestion>,
    /// The question for what is near.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<BatchQuestion>,
}

/// A test alone and with another near.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CheckPair {
    /// Its name.
    pub check: String,
    /// The number that it was asked with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub asked: Option<i32>,
    /// The chance that it passes alone.
    pub without: f64,
    /// With the other near.
    pub with: f64,
}

/// Another unit for the same points.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ComparatorRow {
    /// Its name.
    pub unit: String,
    /// Its id.
    pub unit_id: String,
    /// Its models.
    pub models: u32,
    /// As people count it.
    pub counted: String,
    /// What it costs.
    pub points: u64,
    /// What it comes to.
    pub worth: Worth,
}
