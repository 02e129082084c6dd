//! `appraisal`: what a unit is worth: its cost, what it does to a board of targets, how long it lives under a board of
//! attackers, how it moves, and what drives all that.
//!
//! Nothing here is worked out in a way of its own: every number is that of a matchup, a duel, a check or a repair, and
//! stands beside the question that gives it.
use super::batch::BatchQuestion;
use super::lookup;
use super::matchup::SideForm;
use super::mistake::{Mistake, Mistakes};
use super::question::{Question, Ready};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::{self, Work};
use crate::rules::Books;
use crate::rules::matchup::{Fielded, Situation};
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

mod answer;
mod asks;
mod attacks;
mod bench;
mod checks;
mod cost;
mod drives;
mod lives;
mod sheet;
mod verdict;
pub use answer::*;
pub(super) use bench::Bench;
pub use sheet::sheet;
pub use verdict::verdict;

/// A unit to appraise.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"pack": "canal-guild", "unit": "Heron Carriage"}))]
pub struct AppraisalRequest {
    /// The pack's name, or the text of a pack file; the first pack where it is left out.
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
pub struct AppraisalReady {
    pack: Arc<Pack>,
    /// The pack's name where it has one that a question can use.
    named: Option<String>,
    subject: Fielded,
    targets: Vec<Fielded>,
    attackers: Vec<Fielded>,
    turns: u32,
    price: Work,
}

impl Question for AppraisalRequest {
    const PATH: &'static str = "appraisal";
    const PATIENCE: u64 = 8;
    type Ready = AppraisalReady;

    fn settle(self, books: &Books) -> Result<AppraisalReady, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(books, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
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
        let settled = pack.and_then(|pack| {
            let side = SideForm {
                unit: self.unit,
                models: self.models,
                weapons: self.weapons,
                options: self.options,
                near: self.near,
                ..SideForm::default()
            };
            let subject = mistakes.keep_all(super::matchup::fielded(&side, &pack, ""))?;
            let (targets, attackers) = match self.against {
                None => (board(&pack.board.targets), board(&pack.board.attackers)),
                Some(against) => {
                    let mut all = Vec::new();
                    for (index, side) in against.iter().enumerate() {
                        let at = format!("/against/{index}");
                        all.extend(mistakes.keep_all(super::matchup::fielded(side, &pack, &at)));
                    }
                    (all.clone(), all)
                }
            };
            let turns = self.turns.unwrap_or(pack.board.turns).clamp(1, 20);
            let named = (!inline).then(|| pack.named.id.clone());
            Some(AppraisalReady { pack, named, subject, targets, attackers, turns, price: Work::NONE })
        });
        let ready = mistakes.or(settled)?;
        let price = ready.worked_out_price();
        Ok(AppraisalReady { price, ..ready })
    }
}

fn board(units: &[crate::rules::model::limits::BoardUnit]) -> Vec<Fielded> {
    let fielded = |unit: &crate::rules::model::limits::BoardUnit| Fielded {
        unit: unit.unit,
        models: unit.models,
        options: unit.options.iter().map(|option| (*option, 1)).collect(),
        ..Fielded::default()
    };
    units.iter().map(fielded).collect()
}

/// Units with the range at which each is fought; without one where no weapon reaches.
type Ranged = Vec<(Fielded, Option<usize>)>;

impl AppraisalReady {
    fn bench<'a>(&'a self, token: &'a CancellationToken) -> Bench<'a> {
        Bench { pack: &self.pack, named: self.named.as_deref(), turns: self.turns, token }
    }

    /// The unit at its largest, where it is not so already.
    fn full(&self) -> Option<Fielded> {
        let most = self.pack.units[self.subject.unit].models.1;
        (most > self.subject.models).then(|| Fielded { models: most.min(60), ..self.subject.clone() })
    }

    /// The board, each unit with the range at which it is fought: where the attack of the two removes most in a turn.
    fn ranged(&self, bench: &Bench<'_>) -> Result<(Ranged, Ranged), Cancelled> {
        let (mut targets, mut attackers) = (Vec::new(), Vec::new());
        for target in &self.targets {
            targets.push((target.clone(), bench.best_range(&self.subject, target)?));
        }
        for attacker in &self.attackers {
            attackers.push((attacker.clone(), bench.best_range(attacker, &self.subject)?));
        }
        Ok((targets, attackers))
    }

    /// From one matchup and one duel of each pair, and how many like them there may be.
    fn worked_out_price(&self) -> Work {
        let token = CancellationToken::default();
        let bench = self.bench(&token);
        let usual = Situation::usual(&self.pack);
        let situations = &self.pack.situations;
        let (ranges, arcs) = (Work::from(situations.ranges.len()), Work::from(situations.arcs.len()));
        let full = self.full();
        let changes = Work::from(drives::changes(&self.pack, &self.subject).len()) + 1;
        let rules = Work::from(crate::rules::standing::profile(&self.pack, &self.subject).1.len()) + 1;
        let mut sum = Work::new(10_000);
        for target in &self.targets {
            for size in std::iter::once(&self.subject).chain(&full) {
                let matchup = bench.matchup(size, target, &usual);
                let once = matchup.map_or(Work::new(1_000), |matchup| Ready::price(&matchup));
                sum += once * ranges * (arcs + 1);
            }
            let duel = bench.unanswered(&self.subject, target, &usual);
            sum += duel.map_or(Work::new(1_000), |duel| price::duel(&duel, false)) * changes;
        }
        for attacker in &self.attackers {
            let duel = bench.unanswered(attacker, &self.subject, &usual);
            let once = duel.map_or(Work::new(1_000), |duel| price::duel(&duel, false));
            sum += once * (changes + arcs * rules);
        }
        sum
    }
}

impl Ready for AppraisalReady {
    type Answer = AppraisalAnswer;

    fn canonical(&self) -> impl Serialize {
        let side = |side| super::matchup::side_value(&self.pack, side);
        serde_json::json!({ "appraisal": {
            "pack": self.pack.hash,
            "named": self.named,
            "unit": side(&self.subject),
            "targets": self.targets.iter().map(side).collect::<Vec<_>>(),
            "attackers": self.attackers.iter().map(side).collect::<Vec<_>>(),
            "turns": self.turns,
        }})
    }

    fn price(&self) -> Work {
        self.price
    }

    fn answer(&self, token: &CancellationToken) -> Result<AppraisalAnswer, Cancelled> {
        let bench = self.bench(token);
        let pack = &*self.pack;
        let unit = &pack.units[self.subject.unit];
        let cost = cost::cost(&bench, &self.subject);
        let full = self.full();
        let sizes: Vec<&Fielded> = std::iter::once(&self.subject).chain(full.as_ref()).collect();
        let (targets, attackers) = self.ranged(&bench)?;
        let sizes_of_board = (targets.len(), attackers.len());
        let attacks = attacks::attacks(&bench, &sizes, &self.targets)?;
        let games = attacks::games(&bench, &self.subject, &targets)?;
        let (lives, keeps) = lives::lives(&bench, &self.subject, &attackers)?;
        let repair = checks::repair(&bench, &self.subject)?;
        let checks = checks::checks(&bench, &self.subject)?;
        let worth = drives::worth_of(&cost, &games, &lives, self.turns, sizes_of_board);
        let drives = drives::drives(&bench, &self.subject, &targets, &attackers, &worth)?;
        let mut answer = AppraisalAnswer {
            unit: unit.named.id.clone(),
            name: unit.named.label.clone(),
            text: unit.named.text.clone(),
            pack: pack.named.id.clone(),
            hash: pack.hash.clone(),
            models: self.subject.models,
            turns: self.turns,
            cost,
            attacks,
            games,
            lives,
            keeps,
            repair,
            checks,
            worth,
            drives,
            verdict: Vec::new(),
        };
        answer.verdict = verdict(&answer);
        Ok(answer)
    }
}
