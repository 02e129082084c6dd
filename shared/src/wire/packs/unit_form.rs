//! The shapes of what is said of a unit.
use super::super::amount::{AmountForm, NeedsForm};
use super::super::check::CheckRequest;
use super::super::notes::Because;
use super::super::repair::RollsForm;
use super::super::roll::RerollForm;
use super::UnitHead;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::{IntoParams, ToSchema};

/// Units found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct UnitsAnswer {
    /// The units, best first.
    pub units: Vec<UnitHead>,
}

/// How a unit is looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct UnitQuery {
    /// How many models; the unit's fewest where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[param(minimum = 1, maximum = 1000)]
    pub models: Option<u32>,
    /// Its options, with commas between them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub options: Option<String>,
    /// Units near it, with commas between them, each with the options that it has: `wharf captain + signal mast`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub near: Option<String>,
    /// The number that a check asks for, such as a charge's distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[param(minimum = -1000, maximum = 1000)]
    pub asked: Option<i32>,
}

/// A unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct UnitAnswer {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it is, in words.
    pub text: String,
    /// What it counts as.
    pub role: String,
    /// Its kind.
    pub kind: String,
    /// Whether it is armour: loses structure, and has arcs.
    pub armoured: bool,
    /// What it costs as it is looked at, options included.
    pub points: u64,
    /// What one more model costs.
    pub each_more: u32,
    /// How few and how many models it may have, and how many are looked at.
    pub models: ModelsForm,
    /// How many such units share a slot.
    pub per_slot: u32,
    /// How many of them a list may hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most: Option<u32>,
    /// Points that it can lose: structure, or health of all models.
    pub capacity: u32,
    /// Its stats.
    pub profile: Vec<StatForm>,
    /// Models unlike the others, in the order in which they are lost: after all others.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub groups: Vec<ModelGroupForm>,
    /// Its weapons, options worked in.
    pub weapons: Vec<WeaponForm>,
    /// Its rules, options worked in.
    pub rules: Vec<RuleHead>,
    /// Its options.
    pub options: Vec<OptionForm>,
    /// How it mends: a request for `repair`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repair: Option<RepairForm>,
    /// The checks that it takes: requests for `check`.
    pub checks: Vec<CheckForm>,
    /// The pack's content hash.
    pub hash: String,
}

/// How few and how many models.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ModelsForm {
    /// The fewest.
    pub least: u32,
    /// The most.
    pub most: u32,
    /// Those looked at.
    pub now: u32,
}

/// A stat with its value.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct StatForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its value as players write it: `4+`, `2d6`, or `front 14, side 12, rear 10`.
    pub value: String,
    /// Its value by arc, range or cover, where it differs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub each: Option<BTreeMap<String, String>>,
}

/// A weapon of a unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WeaponForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// How many of it the unit has.
    pub count: u32,
    /// Its stats.
    pub profile: Vec<StatForm>,
    /// How near it can be used.
    pub least_reach: u32,
    /// How far it reaches; nothing where that has no limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reach: Option<u32>,
    /// The diameter of the template that it lays.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub template_mm: Option<u32>,
    /// Its rules.
    pub rules: Vec<RuleHead>,
}

/// A rule in short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct RuleHead {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it says.
    pub text: String,
}

/// Models of a unit that are unlike the others.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ModelGroupForm {
    /// Their id.
    pub id: String,
    /// Their name.
    pub name: String,
    /// How many there are.
    pub models: u32,
    /// The stats that they have of their own.
    pub profile: Vec<StatForm>,
}

/// An option of a unit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct OptionForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it costs.
    pub points: u32,
    /// What that is paid for: the unit, each model or each weapon.
    pub per: String,
    /// How often it may be taken by the models looked at.
    pub most: u32,
    /// The option that it is part of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inside: Option<String>,
    /// Weapons that it brings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weapons: Vec<String>,
    /// Weapons that go for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<String>,
    /// Rules that it brings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<String>,
    /// Options that must be taken with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub requires: Vec<String>,
    /// Options that can't be taken with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub excludes: Vec<String>,
}

/// How a unit mends: the fields of a request for `repair`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RepairForm {
    /// Points when whole.
    pub capacity: u32,
    /// Points missing: one, for a start.
    pub missing: u32,
    /// What a roll needs.
    pub needs: NeedsForm,
    /// Sides of its die.
    pub die: u32,
    /// Added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub modifier: Option<i32>,
    /// What is rolled again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reroll: Option<RerollForm>,
    /// How often a turn.
    pub rolls: RollsForm,
    /// What a success restores.
    pub restores: AmountForm,
    /// The rule that grants it.
    pub label: String,
    /// Why its numbers are what they are.
    pub because: Vec<Because>,
}

/// A check of a unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CheckForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it says.
    pub text: String,
    /// What is asked of the person, such as a distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asks: Option<String>,
    /// The number that it was asked with.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<i32>,
    /// A request for `check`.
    pub request: CheckRequest,
    /// Why its numbers are what they are.
    pub because: Vec<Because>,
}
