//! The answers of the service, as much of them as cards show.
use crate::saying::unproven;
use serde::Deserialize;
use serde_json::Value as Json;
use std::collections::BTreeMap;

mod lists;
mod luck;
mod several;
pub mod table;
pub use lists::{AssignAnswer, AssignRow, BuildAnswer, CompareListsAnswer, ListShowing};
pub use luck::{FairAnswer, FairFace, LuckAnswer, LuckLogAnswer, LuckSum};
pub use several::{CompareAnswer, Compared, DuelAnswer, DuelReason, DuelSide, DuelTurn, UnusedTurns};

/// A chance on its own.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Chance {
    /// The chance.
    pub chance: f64,
    /// The exact value.
    pub fraction: Option<String>,
}

/// A distribution with its mean.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Summary {
    /// The mean.
    pub expected: f64,
    /// The standard deviation.
    pub deviation: f64,
    /// The rows, ascending.
    pub distribution: Vec<Row>,
}

/// One row of a distribution.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Row {
    /// The value.
    pub value: u64,
    /// Its chance.
    pub chance: f64,
    /// The chance of it or more.
    pub at_least: f64,
    /// The exact chance.
    pub fraction: Option<String>,
}

impl Summary {
    /// Whether it comes to one value only.
    pub fn is_sure(&self) -> bool {
        self.distribution.len() == 1
    }

    /// The chance of `value` or more: 1 only where nothing less can come, whatever a double rounds to.
    pub fn at_least(&self, value: u64) -> f64 {
        let chance = self.distribution.iter().find(|row| row.value >= value).map_or(0.0, |row| row.at_least);
        if self.distribution.first().is_some_and(|row| row.value >= value) { 1.0 } else { unproven(chance) }
    }
}

/// The answer of `/v1/check`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct CheckAnswer {
    /// The chance of one roll.
    pub chance: f64,
    /// The exact value.
    pub fraction: Option<String>,
    /// The total of the dice.
    pub total: Summary,
    /// Passes in all the tries.
    pub passes: Summary,
    /// All pass.
    pub all: Chance,
    /// None passes.
    pub none: Chance,
    /// At least one passes.
    pub any: Chance,
}

/// The answer of `/v1/odds` and of `/v1/matchup`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct OddsAnswer {
    /// Each step.
    pub steps: Vec<StepAnswer>,
    /// The attacks.
    pub attacks: Option<Summary>,
    /// Successes past all steps.
    pub through: Option<Summary>,
    /// Points of health removed.
    pub health_lost: Option<Summary>,
    /// Models removed.
    pub models: Option<Summary>,
    /// Structure lost.
    pub structure: Option<Summary>,
    /// Units wrecked.
    pub wrecked: Option<Summary>,
    /// Statuses that came at least once.
    pub statuses: BTreeMap<String, Chance>,
    /// Nothing left.
    pub destroyed: Chance,
    /// Backfires.
    pub backfires: Option<Summary>,
    /// Rolls made afterwards.
    pub aftermath: BTreeMap<String, Chance>,
    /// The plain numbers, with their reasons.
    pub chain: Json,
    /// Rules that acted and rules that did not.
    pub rules: Rules,
    /// Weapons that are not used.
    pub unused_weapons: Vec<UnusedWeapon>,
    /// Cost and effect in points.
    pub points: Option<Points>,
    /// What was left open, and how it was taken.
    pub defaults: Vec<Stated>,
}

impl OddsAnswer {
    /// The chance that nothing is left of the target: 1 only where it can't come otherwise.
    pub fn all_gone(&self) -> f64 {
        let lost = self.structure.as_ref().or(self.models.as_ref());
        // Where one result is left, it happens.
        let sure = lost.is_some_and(|lost| lost.distribution.len() == 1);
        if sure { self.destroyed.chance } else { unproven(self.destroyed.chance) }
    }
}

/// What became of the rules that a side carries.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Rules {
    /// Those that changed something.
    pub acted: Vec<RuleNote>,
    /// Those that could have been expected to and did not.
    pub did_not: Vec<RuleNote>,
}

/// What became of one rule.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct RuleNote {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub rule: String,
    /// What it did, or why it did nothing.
    pub why: String,
    /// What it says.
    pub text: String,
}

/// A weapon that is not used.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct UnusedWeapon {
    /// Its name.
    pub weapon: String,
    /// Why.
    pub why: String,
}

/// Cost and effect in points.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Points {
    /// What the attacker costs.
    pub cost: u64,
    /// What is removed, on average.
    pub removed: f64,
}

/// Something that the question left open.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Stated {
    /// Where it could be said.
    pub pointer: String,
    /// What was taken.
    pub value: serde_json::Value,
    /// The same in words.
    pub text: String,
}

/// One step of an answer.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct StepAnswer {
    /// Its name.
    pub name: String,
    /// How often it is rolled, on average.
    pub reached: f64,
    /// The chance that it is in the attacker's favour.
    pub chance: f64,
    /// The exact value.
    pub fraction: Option<String>,
    /// Of a penetration roll of which an equal total is no breach: how likely that is.
    pub equals: Option<Chance>,
}

/// The answer of `/v1/repair`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct RepairAnswer {
    /// The chance of one roll.
    pub chance: f64,
    /// The exact value.
    pub fraction: Option<String>,
    /// Turn by turn.
    pub turns: Vec<RepairTurn>,
    /// Points that came back in all.
    pub restored: Summary,
    /// Destroyed at the end.
    pub destroyed: Chance,
    /// The same for each of the others that were compared.
    pub compared: Vec<RepairAnswer>,
}

/// One turn of a repair.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct RepairTurn {
    /// Which turn.
    pub turn: u64,
    /// The chance that it still stands.
    pub alive: f64,
    /// Points missing at the end of the turn.
    pub missing: Summary,
    /// The chance that a point has come back so far.
    pub any_restored: f64,
    /// Points that have come back so far.
    pub restored: Summary,
}

/// The answer of `/v1/needed`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct NeededAnswer {
    /// How many; none where no number is enough.
    #[serde(alias = "tries")]
    pub attackers: Option<u64>,
    /// The chance with so many.
    pub chance: f64,
    /// One fewer, with its chance.
    pub below: Option<Enough>,
    /// Some numbers around it.
    pub table: Vec<Enough>,
    /// What so many cost.
    pub points: Option<u64>,
    /// As many as are tried, where no number is enough.
    pub limit: Option<Enough>,
    /// The most models that a list may hold.
    pub list_most: Option<u64>,
    /// However many attack, they can take nothing from the target.
    pub harmless: bool,
    /// What was left open, and how it was taken.
    pub defaults: Vec<Stated>,
}

/// A number and its chance.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Enough {
    /// How many.
    #[serde(alias = "tries")]
    pub attackers: u64,
    /// The chance with so many.
    pub chance: f64,
}

/// The answer of `/v1/draw`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct DrawAnswer {
    /// How many are drawn.
    pub drawn: Summary,
    /// What comes of each colour.
    pub colours: BTreeMap<String, Colour>,
    /// A colour ended the drawing.
    pub ended: Option<Chance>,
    /// When it ends.
    pub ends: Vec<End>,
    /// How likely is what was hoped for.
    pub wanted: Option<Wanted>,
}

/// The chance of all that is hoped for together.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Wanted {
    /// So many or more of each.
    pub at_least: Chance,
}

/// What comes of one colour.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Colour {
    /// How many of it are drawn.
    pub drawn: Summary,
    /// At least one is.
    pub any: Chance,
    /// The first of all is of it.
    pub first: Chance,
}

/// Whether the drawing ends with one draw.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(default)]
pub struct End {
    /// Which draw.
    pub draw: u64,
    /// With it.
    pub chance: f64,
    /// With it or before.
    pub by: f64,
}

/// The answer of `/v1/blast`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct BlastAnswer {
    /// How many bases are caught.
    pub covered: Option<Summary>,
    /// Of a hull: the template's middle lies over it.
    pub centre_inside: Chance,
    /// Of a hull: the template touches it.
    pub touched: Chance,
    /// For each distance of drift.
    pub distances: Vec<Drift>,
}

/// One distance of drift.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Drift {
    /// How far.
    pub distance_mm: f64,
    /// How often.
    pub chance: f64,
    /// How many are caught then, on average.
    pub expected: f64,
}

/// The answer of `/v1/list-points`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct ListAnswer {
    /// The sum.
    pub total: i64,
    /// The limit: the pack's where none was said.
    pub limit: Option<i64>,
    /// What is left of the limit.
    pub left: i64,
    /// Whether no limit is broken.
    pub legal: bool,
    /// The lines with their sums.
    pub lines: Vec<Json>,
    /// What is wrong.
    pub problems: Vec<ListProblem>,
    /// What the points left could buy.
    pub buys: Vec<Json>,
    /// Lines that were taken as headings or remarks.
    pub headings: Vec<ListHeading>,
}

/// A line that costs nothing.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct ListHeading {
    /// What it says.
    pub text: String,
}

/// One broken limit.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct ListProblem {
    /// Its stable name.
    pub code: String,
    /// The line at fault, from 1; none for the whole list.
    pub line: Option<u64>,
    /// What is wrong.
    pub text: String,
    /// What would mend it.
    pub mend: String,
}
