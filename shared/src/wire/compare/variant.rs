//! What is compared: attacks without the target that the board gives them, and the board's targets.
use super::super::aftermath::AftermathForm;
use super::super::amount::{AmountForm, AttacksForm};
use super::super::chain::{ChainForm, VolleyForm};
use super::super::counters::ByCounterForm;
use super::super::gate::GateForm;
use super::super::matchup::{MatchupRequest, SideForm, SituationForm};
use super::super::notes::{Label, Notes};
use super::super::step::StepForm;
use super::super::target::TargetForm;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// One attack: a chain or a matchup.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Variant {
    /// What it is called in the table; default its unit, or `variant 1`, `variant 2` …
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// An attack from plain numbers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chain: Option<VariantChain>,
    /// An attack by a unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub matchup: Option<VariantMatchup>,
    /// Of a chain: what the attackers cost. Of a matchup, the pack knows.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1000000)]
    pub points: Option<u64>,
}

/// A chain; its target may be left to the board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct VariantChain {
    /// How many attack; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub attackers: Option<u32>,
    /// Attacks of each; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attacks: Option<AttacksForm>,
    /// What lets the attacks be made: rolled by each attacker, or once for all of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gate: Option<GateForm>,
    /// The rolls of each attack, in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub steps: Option<Vec<StepForm>>,
    /// Damage of each success; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<AmountForm>,
    /// Added to the target's counters, each by its name, for each success past all steps while something is left, even one that does nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, AmountForm>>,
    /// Numbers of the steps that change with counters.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub by_counter: Option<Vec<ByCounterForm>>,
    /// Several weapons, in order, in place of the seven above.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 12)]
    pub volleys: Option<Vec<VolleyForm>>,
    /// What is attacked, where there is no board.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target: Option<TargetForm>,
    /// What is rolled afterwards; checked, and not in the table.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 10)]
    pub aftermath: Option<Vec<AftermathForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// A matchup; its target may be left to the board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct VariantMatchup {
    /// The pack's name, or the text of a pack file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// Who attacks.
    pub attacker: SideForm,
    /// Who is attacked, where there is no board.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target: Option<SideForm>,
    /// What the table adds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<SituationForm>,
    /// Rules that act as if they were carried.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub with: Option<Vec<String>>,
    /// Rules that do not act.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub without: Option<Vec<String>>,
}

/// A target of the board: plain numbers for chains, or a unit for matchups.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BoardTarget {
    /// What it is called in the table; default its unit, or `target 1`, `target 2` …
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// From plain numbers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target: Option<TargetForm>,
    /// A unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<SideForm>,
    /// Beside a unit: what the table adds, in place of what the variant says.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<SituationForm>,
}

impl VariantChain {
    /// The whole chain.
    pub(super) fn on(&self, target: TargetForm) -> ChainForm {
        let Self { attackers, attacks, gate, steps, damage, counts, by_counter, volleys, aftermath, .. } = self.clone();
        let base = ChainForm { target, aftermath, ..ChainForm::default() };
        ChainForm { attackers, attacks, gate, steps, damage, counts, by_counter, volleys, ..base }
    }
}

impl VariantMatchup {
    /// The whole matchup.
    pub(super) fn on(&self, target: SideForm, situation: Option<SituationForm>) -> MatchupRequest {
        let Self { pack, book, attacker, situation: own, with, without, .. } = self.clone();
        let situation = situation.or(own);
        MatchupRequest { pack, book, attacker, target, situation, with, without, ..MatchupRequest::default() }
    }
}
