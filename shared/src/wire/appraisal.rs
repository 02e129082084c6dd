//! `appraisal`: what a unit is worth: its cost, what it does to a board of targets, how long it lives under a board of
//! attackers, how it moves, and what drives all that.
//!
//! Nothing here is worked out in a way of its own: every number is that of a matchup, a duel, a check or a repair, and
//! stands beside the question that gives it.
use super::batch::BatchQuestion;
use super::lookup;
use super::matchup::SideForm;
use super::mistake::{Mistake, Mistakes};
use super::question::{PreparedQuery, Question};
use crate::analysis::appraisal::{Subject, appraise, work_to_appraise};
use crate::analysis::evaluator::Evaluator;
use crate::analysis::known::Known;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

mod advice;
mod answer;
mod asks;
mod company;
mod nearby;
mod profile;
mod review;
mod reviewed;
mod rows;
mod sentences;
mod sheet;
mod survival;
mod targets;
mod verdict;
mod voice;
pub(super) use crate::report::saying::{is_several as several, the_unit as the};
pub use advice::advice;
pub use answer::*;
pub use review::*;
pub(super) use rows::worth as worth_form;
pub use sentences::{option, together};
pub use sheet::sheet;
pub use verdict::verdict;

/// A unit to appraise.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"pack": "canal-guild", "unit": "Heron Carriage"}))]
pub struct AppraisalRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// The unit's name.
    #[schema(example = "Heron Carriage")]
    pub unit: String,
    /// How many models; the unit's fewest where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 60)]
    pub models: Option<u32>,
    /// The weapons that it uses; all that can be used where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub weapons: Option<Vec<String>>,
    /// Its options, such as `signal mast` or `2 long rifles`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub options: Option<Vec<String>>,
    /// Units of its side that stand near it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub near: Option<Vec<String>>,
    /// Units to hold it against, as targets and as attackers, in place of the pack's own board.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 12)]
    pub against: Option<Vec<SideForm>>,
    /// Turns of a game; the pack's own number where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 20)]
    pub turns: Option<u32>,
}

/// A unit and its board, all names looked up.
#[derive(Clone, Debug)]
pub struct PreparedAppraisal {
    pack: Arc<Pack>,
    /// The pack's name where it has one that a question can use.
    named: Option<String>,
    subject: Subject,
    turns: u32,
    price: Work,
}

impl Question for AppraisalRequest {
    const PATH: &'static str = "appraisal";
    const BUDGET_FACTOR: u64 = 8;
    type Prepared = PreparedAppraisal;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedAppraisal, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        let inline = self.book.is_some() || self.pack.as_ref().is_some_and(|pack| pack.contains('\n'));
        if self.turns.is_some_and(|turns| !(1..=20).contains(&turns)) {
            mistakes.push(Mistake::value("/turns", "1 to 20 turns"));
        }
        if self.models.is_some_and(|models| !(1..=60).contains(&models)) {
            mistakes.push(Mistake::value("/models", "1 to 60 models, please"));
        }
        if self.against.as_ref().is_some_and(|against| !(1..=12).contains(&against.len())) {
            mistakes.push(Mistake::value("/against", "1 to 12 units to hold it against"));
        }
        let resolved = pack.and_then(|pack| {
            let side = SideForm {
                unit: self.unit,
                models: self.models,
                weapons: self.weapons,
                options: self.options,
                near: self.near,
                ..SideForm::default()
            };
            let subject = mistakes.keep_all(super::matchup::unit_instance(&side, &pack, ""))?;
            let (targets, attackers) = match self.against {
                None => usual_board(&pack),
                Some(against) => {
                    let mut all = Vec::new();
                    for (index, side) in against.iter().enumerate() {
                        let at = format!("/against/{index}");
                        all.extend(mistakes.keep_all(super::matchup::unit_instance(side, &pack, &at)));
                    }
                    (all.clone(), all)
                }
            };
            let turns = self.turns.unwrap_or(pack.board.turns).clamp(1, 20);
            let named = (!inline).then(|| pack.reference.clone());
            let subject = Subject { unit: subject, targets, attackers };
            Some(PreparedAppraisal { pack, named, subject, turns, price: Work::NONE })
        });
        let prepared = mistakes.or(resolved)?;
        let price = prepared.worked_out_price();
        Ok(PreparedAppraisal { price, ..prepared })
    }
}

/// The targets and the attackers of a pack's board.
pub(super) fn usual_board(pack: &Pack) -> (Vec<UnitInstance>, Vec<UnitInstance>) {
    (board(&pack.board.targets), board(&pack.board.attackers))
}

fn board(units: &[crate::rules::model::limits::BoardUnit]) -> Vec<UnitInstance> {
    let instance = |unit: &crate::rules::model::limits::BoardUnit| UnitInstance {
        unit: unit.unit,
        models: unit.models,
        options: unit.options.iter().map(|option| (*option, 1)).collect(),
        ..UnitInstance::default()
    };
    units.iter().map(instance).collect()
}

impl PreparedAppraisal {
    fn evaluator<'a>(&'a self, token: &'a CancellationToken, known: &'a Known) -> Evaluator<'a> {
        Evaluator { pack: &self.pack, turns: self.turns, token, known }
    }

    fn worked_out_price(&self) -> Work {
        let (token, known) = (CancellationToken::default(), Known::default());
        work_to_appraise(&self.evaluator(&token, &known), &self.subject)
    }
}

impl PreparedQuery for PreparedAppraisal {
    type Answer = AppraisalAnswer;

    fn canonical(&self) -> impl Serialize {
        let side = |side| super::matchup::side_value(&self.pack, side);
        serde_json::json!({ "appraisal": {
            "pack": self.pack.hash,
            "named": self.named,
            "unit": side(&self.subject.unit),
            "targets": self.subject.targets.iter().map(side).collect::<Vec<_>>(),
            "attackers": self.subject.attackers.iter().map(side).collect::<Vec<_>>(),
            "turns": self.turns,
        }})
    }

    fn price(&self) -> Work {
        self.price
    }

    fn answer(&self, token: &CancellationToken) -> Result<AppraisalAnswer, Cancelled> {
        Ok(rows::answer(self, &appraise(&self.evaluator(token, &Known::default()), &self.subject)?))
    }
}
