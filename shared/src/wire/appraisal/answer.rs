//! What an appraisal says.
use super::super::packs::{RuleHead, StatForm, WeaponForm};
use super::BatchQuestion;
use super::review::*;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// A unit's appraisal. Every number of `attacks`, `damage`, `survival`, `repair` and `checks` is that of the question in its
/// `ask`, which can be posted to its path or into a batch; the rest is made from them.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct AppraisalAnswer {
    /// The unit's id.
    pub unit: String,
    /// Its name.
    pub name: String,
    /// What it is.
    pub text: String,
    /// The pack that was used.
    pub pack: String,
    /// Its content hash.
    pub hash: String,
    /// Models of the unit.
    pub models: u32,
    /// The unit as people count it: `10 Dyke Hands`, `Bolt-gun Crew`.
    pub counted: String,
    /// The options that it has taken, with their number where it is several: `Signal mast`, `2 Long rifles`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub taken: Vec<String>,
    /// Turns of a game.
    pub turns: u32,
    /// Its stats, options worked in.
    pub profile: Vec<StatForm>,
    /// Its weapons, options worked in.
    pub weapons: Vec<WeaponForm>,
    /// The rules that it carries, options worked in.
    pub rules: Vec<RuleHead>,
    /// Its numbers by the side that is hit, where it has any.
    pub hull: Vec<HullSide>,
    /// What it costs.
    pub cost: CostForm,
    /// One turn of it against each target of the board, from each arc that makes a difference, at each range.
    pub attacks: Vec<AttackRow>,
    /// A whole game of it against each target that does not answer, at the range that removes most in a turn.
    pub damage: Vec<DamageRow>,
    /// A whole game of each attacker of the board against it, unanswered, from each arc that makes a difference.
    pub survival: Vec<SurvivalRow>,
    /// Where attackers stand turn by turn as they come on, by the pack's board; empty where it does not say.
    pub approach_turns: Vec<ApproachTurns>,
    /// A whole game of each attacker of the board against it, unanswered, while the attacker comes on. Where the pack does
    /// not say how, the attacker stays at its best range on the usual side.
    pub approach: Vec<ApproachRow>,
    /// What each of its protections and its repair is worth where it does most, the best first.
    pub protections: Vec<ProtectionRow>,
    /// Its repair, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repair: Option<MendRow>,
    /// The tests that it takes.
    pub checks: Vec<CheckRow>,
    /// One turn of it at each range, the mean over the board from the usual arc.
    pub ranges: Vec<MeanRow>,
    /// One turn of it from each side, the mean over those targets on which the side makes a difference, each at its best
    /// range.
    pub sides: Vec<MeanRow>,
    /// What each option that it may still take is worth.
    pub options: Vec<OptionRow>,
    /// Units whose presence changes it, those that give most for their points first.
    pub helpers: Vec<TogetherRow>,
    /// Units that its presence changes, those that gain most for its points first: of the book's first twelve such.
    pub helped: Vec<TogetherRow>,
    /// Other units for the same points.
    pub comparators: Vec<ComparatorRow>,
    /// What it comes to.
    pub worth: Worth,
    /// Changes of the unit and of the table, those that move its worth most first.
    pub sensitivities: Vec<SensitivityRow>,
    /// The same in three sentences, each from one number held against another.
    pub verdict: Vec<VerdictRow>,
    /// When to use it and when not, each sentence from one number held against another.
    pub advice: Vec<VerdictRow>,
    /// How a sentence says that something happens at a range: `in contact` for `contact`.
    #[serde(default)]
    pub at_ranges: BTreeMap<String, String>,
    /// How it was worked out, and what it does not see.
    pub method: String,
}

/// What a unit costs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CostForm {
    /// Points, options included.
    pub points: u64,
    /// The cost in the middle of its book, each unit at its fewest models: of two in the middle the higher.
    pub middle: u64,
    /// The median cost of its book, each unit at its fewest models: of an even count the mean of the two in the middle.
    pub median: f64,
    /// Its role.
    pub role: String,
    /// How many such units share a slot of the role.
    pub per_slot: u32,
    /// The most slots of the role that a list may fill.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slots: Option<u32>,
    /// How many of this unit a list may hold.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most: Option<u32>,
    /// Structure, or the health of all its models.
    pub capacity: u32,
    /// Whether it is armour: its capacity is structure.
    pub armoured: bool,
    /// Points for each point of structure or health.
    pub points_each: f64,
    /// The fewest models that it may have.
    #[serde(default)]
    pub least_models: u32,
    /// The most models that it may have.
    pub most_models: u32,
    /// Points with that many.
    pub most_points: u64,
    /// What its options cost.
    pub options: Vec<OptionCost>,
    /// The question for `points`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<BatchQuestion>,
}

/// What an option costs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct OptionCost {
    /// Its name.
    pub option: String,
    /// What taking it once adds to this unit.
    pub points: u64,
}

/// One turn against one target.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct AttackRow {
    /// The target's name.
    pub target: String,
    /// Its models.
    pub target_models: u32,
    /// The target as people count it.
    pub target_counted: String,
    /// Models of the unit that attack.
    pub models: u32,
    /// The arc that is hit, where it makes a difference.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arc: Option<String>,
    /// The range band.
    pub range: String,
    /// Whether `expected` is in points of structure, not in models.
    pub armoured: bool,
    /// Models, or points of structure, removed on average.
    pub expected: f64,
    /// The chance that nothing is left.
    pub destroyed: f64,
    /// Points removed on average.
    pub points: f64,
    /// That for each point that the unit costs; nothing where it is free.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_point: Option<f64>,
    /// The question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<BatchQuestion>,
}

/// A game against one target.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DamageRow {
    /// The target's name.
    pub target: String,
    /// Its models.
    pub target_models: u32,
    /// The target as people count it.
    pub target_counted: String,
    /// The range band.
    pub range: String,
    /// Models or units left at the end on average.
    pub left: f64,
    /// The chance that nothing is left.
    pub destroyed: f64,
    /// What the target costs.
    pub target_points: u64,
    /// Points off the table at the end on average: the target's cost by the share of its models or units that are gone.
    pub points: f64,
    /// That for each point that the unit costs; nothing where it is free.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_point: Option<f64>,
    /// The question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<BatchQuestion>,
}

/// A game under one attacker.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SurvivalRow {
    /// The attacker's name.
    pub attacker: String,
    /// Its models.
    pub attacker_models: u32,
    /// The attacker as people count it.
    pub attacker_counted: String,
    /// The arc that it attacks, where it makes a difference.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arc: Option<String>,
    /// The range band: the one that takes most in a turn.
    pub range: String,
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

/// What a protection is worth.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ProtectionRow {
    /// The rule's name, or that of the rule that grants the repair.
    pub rule: String,
    /// What it says.
    pub text: String,
    /// Turns survived with it, where it does most.
    pub with: f64,
    /// Without it.
    pub without: f64,
    /// The difference.
    pub gained: f64,
    /// Which row of `under` that is.
    pub best: usize,
    /// Under each attacker of the board on whose attacks it acts, from the side and at the range where it does most.
    pub under: Vec<ProtectedRow>,
}

/// A unit's repair.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MendRow {
    /// The rule that grants it.
    pub rule: String,
    /// Points when whole.
    pub capacity: u32,
    /// Points missing at the start of what follows: half of them, at least one.
    pub missing: u32,
    /// The chance of one roll.
    pub chance: f64,
    /// That at least one point is back at the end of a game without further harm.
    pub any_restored: f64,
    /// Points back by then on average.
    pub restored: f64,
    /// The question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<BatchQuestion>,
}

/// A test of a unit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CheckRow {
    /// Its name.
    pub check: String,
    /// What it is asked with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub asks: Option<String>,
    /// The number that it was asked with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub asked: Option<i32>,
    /// The chance that it passes.
    pub passes: f64,
    /// The chance that at least one fails of one in each turn of a game.
    pub fails_once: f64,
    /// The question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<BatchQuestion>,
}

/// What a unit comes to.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Worth {
    /// The mean of the points of `damage`; a target that it cannot attack counts as none.
    pub takes: f64,
    /// The mean share of a game's turns that it survives, over the rows of `approach` with everything that it has; an
    /// attacker that cannot attack it counts as a whole game.
    pub stands: f64,
    /// `takes` times `stands`, for each point that it costs; nothing where it is free.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_point: Option<f64>,
}

/// A change and what comes of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SensitivityRow {
    /// What is changed.
    pub change: String,
    /// What the unit costs with it.
    pub points: u64,
    /// `takes` with it.
    pub takes: f64,
    /// `stands` with it.
    pub stands: f64,
    /// `per_point` with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_point: Option<f64>,
    /// By how much of itself the worth changes: 0.1 is a tenth more.
    pub moved: f64,
}

/// A sentence of the verdict.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct VerdictRow {
    /// The sentence.
    pub text: String,
    /// The number that it is made from.
    pub number: f64,
    /// Where that number stands in this answer.
    pub of: String,
    /// What the number is held against; the sentence turns round where it crosses it.
    pub against: f64,
    /// Whether it speaks for the unit, or says when to use it.
    #[serde(default)]
    pub speaks_for: bool,
}
