//! What comes of a duel, and of a duel of units why.
use super::super::matchup::{MatchupBecause, RuleNotes, Stated};
use super::super::notes::Because;
use super::super::summary::{Chance, Summary};
use super::DuelRequest;
use crate::odds::distribution::Distribution;
use crate::odds::duel::DuelAnswer;
use crate::odds::number::Number;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// What comes of a duel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DuelOutcome {
    /// The chances by the end of each turn.
    pub turns: Vec<DuelTurnRow>,
    /// Side a in the end.
    pub a: SideOutcome,
    /// Side b in the end.
    pub b: SideOutcome,
    /// Both are still standing after the last turn.
    pub never_settled: Chance,
    /// Neither side can hurt the other at all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub harmless: Option<bool>,
    /// Of units: the plain duel that they come down to; posted to `duel` it gives the same numbers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub duel: Option<Box<DuelRequest>>,
    /// Of units: whose points take more from the other for each of them; nothing where they are even.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub better_spent: Option<OneSide>,
    /// Of units: what the request left open, and how it was taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub defaults: Option<Vec<Stated>>,
    /// Of units: the pack that was used.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pack: Option<String>,
    /// Of units: its content hash.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hash: Option<String>,
}

/// The end of a turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DuelTurnRow {
    /// Which turn, from 1.
    pub turn: u32,
    /// The chance that nothing is left of side a.
    pub a_destroyed: f64,
    /// The chance that nothing is left of side b.
    pub b_destroyed: f64,
    /// The chance that something is left of both.
    pub both_standing: f64,
}

/// What is left of a side, and of a unit what its attacks came to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SideOutcome {
    /// Models or units that are left.
    pub left: Summary,
    /// Where its own attack can harm it: the chance that nothing is left of it in the end if what backfires did it no harm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub destroyed_without_own_harm: Option<Chance>,
    /// The value of each of its counters in the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counters: Option<BTreeMap<String, Summary>>,
    /// Of units: what its own attacks came to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<UnitOutcome>,
}

/// What a unit of a book did.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct UnitOutcome {
    /// Its name.
    pub name: String,
    /// Why the numbers of its attack are what they are; `volley` counts the volleys of its side in `duel`.
    pub because: Vec<MatchupBecause>,
    /// What became of the rules while it attacked.
    pub rules: RuleNotes,
    /// Weapons that are not used, in which turns, and why.
    pub unused_weapons: Vec<UnusedTurns>,
    /// How it mends, if it does: the rule, and why its numbers are what they are.
    pub mends: Vec<Because>,
    /// Cost and effect in points.
    pub points: DuelPoints,
}

/// A weapon that is not used in some turns.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct UnusedTurns {
    /// Its name.
    pub weapon: String,
    /// The first and the last of these turns.
    pub turns: [u32; 2],
    /// Why.
    pub why: String,
}

/// Cost and effect in points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DuelPoints {
    /// What the unit costs.
    pub cost: u64,
    /// The mean of what is gone of the other side in the end: its cost, by the share of its models or units.
    pub removed: f64,
    /// That for each point of its own; nothing where it costs none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub per_point: Option<f64>,
}

/// One of the two sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum OneSide {
    /// Side a.
    A,
    /// Side b.
    B,
}

fn side<N: Number>(left: &Distribution<N>, counters: &[(String, Distribution<N>)]) -> SideOutcome {
    let summarised = || counters.iter().map(|(name, values)| (name.clone(), values.into())).collect();
    SideOutcome {
        left: left.into(),
        destroyed_without_own_harm: None,
        counters: (!counters.is_empty()).then(summarised),
        unit: None,
    }
}

pub(super) fn summarise<N: Number>(of: &DuelAnswer<N>) -> DuelOutcome {
    let rows = of.turns.iter().zip(1..).map(|(row, turn)| DuelTurnRow {
        turn,
        a_destroyed: row.a_destroyed.to_f64().min(1.0),
        b_destroyed: row.b_destroyed.to_f64().min(1.0),
        both_standing: row.both_standing.to_f64().min(1.0),
    });
    let last = of.turns.last().map_or_else(N::one, |row| row.both_standing.clone());
    DuelOutcome {
        turns: rows.collect(),
        a: side(&of.a_left, &of.a_counters),
        b: side(&of.b_left, &of.b_counters),
        never_settled: (&last).into(),
        harmless: None,
        duel: None,
        better_spent: None,
        defaults: None,
        pack: None,
        hash: None,
    }
}
