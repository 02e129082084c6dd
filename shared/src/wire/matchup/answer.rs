//! What stands beside the odds of a matchup: reasons, rules, points, defaults.
use super::super::odds::OddsAnswer;
use super::super::packs::{OriginForm, origin};
use crate::points::instance_cost;
use crate::rules::compile::{Compiled, RuleNote};
use crate::rules::matchup::{Matchup, UnitInstance};
use crate::rules::model::Pack;
use crate::rules::reason::{Reasons, Spot};
use crate::rules::standing::capacity;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Why one number of the chain is what it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct MatchupBecause {
    /// The volley, from 0, where it speaks of one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub volley: Option<usize>,
    /// The step, where it speaks of one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// The rule, chart or step that decided.
    pub rule: String,
    /// What it says.
    pub text: String,
    /// What it did, from the value before to the value after.
    pub effect: String,
}

/// Rules that acted, and rules that a side carries and that did not.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct RuleNotes {
    /// Those that changed something.
    pub acted: Vec<RuleNoteForm>,
    /// Those that could have been expected to and did not.
    pub did_not: Vec<RuleNoteForm>,
}

/// What became of a rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct RuleNoteForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub rule: String,
    /// What it did, or why it did nothing.
    pub why: String,
    /// What it says.
    pub text: String,
    /// In a pack that is built on another: which of them it is from.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub from: Option<OriginForm>,
}

/// A weapon that is not used.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct UnusedWeapon {
    /// Its name.
    pub weapon: String,
    /// Why.
    pub why: String,
}

/// Cost and effect in points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MatchupPoints {
    /// What the attacker costs.
    pub cost: u64,
    /// What stands of the target costs: of a unit's points the share of the models, or of the structure, that is left.
    pub target: f64,
    /// The mean of what is destroyed: of the whole unit's points the share of its models or structure.
    pub removed: f64,
    /// That for each point of the attacker's; nothing where it costs none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub per_point: Option<f64>,
}

/// Something that the request left open.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Stated {
    /// Where it could be said.
    pub pointer: String,
    /// What was taken.
    pub value: serde_json::Value,
    /// The same in words.
    pub text: String,
}

impl Stated {
    pub(in super::super) fn new(pointer: &str, value: impl Into<serde_json::Value>, text: &str) -> Self {
        Self { pointer: pointer.to_owned(), value: value.into(), text: text.to_owned() }
    }
}

/// All reasons in a row; `name` gives the name of a volley's step.
pub(in super::super) fn because(
    reasons: &Reasons,
    name: &dyn Fn(usize, usize) -> Option<String>,
) -> Vec<MatchupBecause> {
    let of = |spot: &Spot| match *spot {
        Spot::Volley(volley) => (Some(volley), None),
        Spot::Step(volley, step) => (Some(volley), name(volley, step)),
        Spot::Target | Spot::Ignore(_) => (None, None),
    };
    let line = |(spot, reason): &(Spot, crate::rules::reason::Reason)| {
        let (volley, step) = of(spot);
        let (rule, text, effect) = (reason.rule.clone(), reason.text.clone(), reason.effect.clone());
        MatchupBecause { volley, step, rule, text, effect }
    };
    reasons.iter().map(line).collect()
}

/// The name of a step of a chain's volley.
pub(super) fn step_name(compiled: &Compiled, volley: usize, step: usize) -> Option<String> {
    let step = compiled.chain.volleys().get(volley).and_then(|volley| volley.steps.get(step));
    step.map(|step| step.name.clone())
}

impl RuleNotes {
    /// Those that acted and those that did not, in the pack's words.
    pub(in super::super) fn of(pack: &Pack, acted: &[RuleNote], idle: &[RuleNote]) -> Self {
        let note = |note: &RuleNote| {
            let named = &pack.rules[note.rule].named;
            let (id, rule) = (named.id.clone(), named.label.clone());
            RuleNoteForm { id, rule, why: note.why.clone(), text: named.text.clone(), from: origin(pack, note.rule) }
        };
        Self { acted: acted.iter().map(note).collect(), did_not: idle.iter().map(note).collect() }
    }
}

pub(super) fn unused_weapons(pack: &Pack, compiled: &Compiled) -> Vec<UnusedWeapon> {
    let unused_weapons = compiled.unused_weapons.iter();
    unused_weapons
        .map(|(weapon, why)| UnusedWeapon { weapon: pack.weapons[*weapon].named.label.clone(), why: why.clone() })
        .collect()
}

pub(super) fn points(matchup: &Matchup, odds: &OddsAnswer) -> MatchupPoints {
    let pack = &matchup.pack;
    let cost = instance_cost(pack, &matchup.attacker);
    let stands = f64::from(matchup.target.models);
    let whole = UnitInstance { models: matchup.target.whole.max(matchup.target.models), ..matchup.target.clone() };
    let (whole_cost, models) = (instance_cost(pack, &whole) as f64, f64::from(whole.models));
    // What was lost before does not change the price of the rest.
    let (standing, share) = match (&odds.models, &odds.structure) {
        (Some(removed), _) => (stands / models, removed.expected / models),
        (None, Some(lost)) => {
            let one = UnitInstance { models: 1, ..matchup.target.clone() };
            let structure = f64::from(capacity(pack, &one)) * models;
            ((structure - f64::from(matchup.target.hurt)) / structure, lost.expected / structure)
        }
        (None, None) => (1.0, 0.0),
    };
    let (target, removed) = (whole_cost * standing, whole_cost * share);
    MatchupPoints { cost, target, removed, per_point: (cost > 0).then(|| removed / cost as f64) }
}
