//! `luck`: a result that happened, and how unusual it was; or a log of many, and how unusual they are together.
use super::bytes;
use super::chain::ChainForm;
use super::check::CheckRequest;
use super::duel::DuelRequest;
use super::matchup::{MatchupRequest, Stated};
use super::mistake::{Mistake, Mistakes};
use super::question::{PreparedQuery, Question};
use super::repair::RepairRequest;
use super::summary::Chance;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::distribution::Distribution;
use crate::odds::luck::Luck;
use crate::odds::number::{Exact, Number};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

mod log;
mod result;
mod sentence;
mod subject;
use log::{Entry, PreparedLog};
pub use log::{LuckEntry, LuckLog, LuckSum, SideForm};
pub use result::ResultForm;
use result::{Counted, Happened};
use subject::SubjectForm;

/// One of `chain`, `matchup`, `check`, `repair` and `duel`, and what came of it on the table; or a `log` of these.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"check": {"dice": "1d6", "needs": "2+", "tries": 6}, "result": {"passes": 1}}))]
pub struct LuckRequest {
    /// An attack from plain numbers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chain: Option<ChainForm>,
    /// An attack of one unit on another.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub matchup: Option<MatchupRequest>,
    /// One roll or several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub check: Option<CheckRequest>,
    /// A repair; what is counted is counted at the end of its last turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repair: Option<RepairRequest>,
    /// Two sides turn by turn; what is left is counted after the last turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub duel: Option<DuelRequest>,
    /// What came of it: one quantity of the answer that it would have.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub result: Option<ResultForm>,
    /// Whose dice they were, for the words of the answer; default `us`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side: Option<SideForm>,
    /// In place of all these: a whole evening, one entry after the other.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 200)]
    pub log: Option<Vec<LuckEntry>>,
    /// Work in exact fractions and show them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
}

/// How unusual a result was; of a log, each result by itself and all of them together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged)]
pub enum LuckAnswer {
    /// Of one result.
    One(LuckOutcome),
    /// Of a log.
    Log(LuckLog),
}

/// How unusual it was.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LuckOutcome {
    /// The chance of exactly this.
    pub exactly: Chance,
    /// Of this or less.
    pub at_most: Chance,
    /// Of this or more.
    pub at_least: Chance,
    /// What was to be expected, in the mean.
    pub expected: f64,
    /// The same in words.
    #[schema(
        example = "Rare: 4 models removed or more come up 3.2% of the time, about 1 in 31; 1.7 were to be expected."
    )]
    pub sentence: String,
    /// Of a matchup: what was left open, and how it was taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub defaults: Option<Vec<Stated>>,
}

/// A result with what it came of, or a log of them.
#[derive(Clone, Debug)]
pub struct PreparedLuck {
    of: Asked,
    exact: bool,
}

#[derive(Clone, Debug)]
enum Asked {
    One(Box<Entry>),
    Log(PreparedLog),
}

impl Question for LuckRequest {
    const PATH: &'static str = "luck";
    type Prepared = PreparedLuck;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedLuck, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let exact = self.exact.unwrap_or(false);
        let of = SubjectForm {
            chain: self.chain,
            matchup: self.matchup,
            check: self.check,
            repair: self.repair,
            duel: self.duel,
        };
        let resolved = match self.log {
            None => {
                let entry = log::entry(of, self.result, self.side, exact, catalog, "", &mut mistakes);
                entry.map(|(entry, exact)| PreparedLuck { of: Asked::One(Box::new(entry)), exact })
            }
            Some(entries) => {
                let beside = [("result", self.result.is_some()), ("side", self.side.is_some())];
                let beside = beside.into_iter().filter(|(_, there)| *there).map(|(name, _)| name);
                for at in of.there().chain(beside) {
                    let detail = "a log has its own: say it in one of its entries, or leave the log out";
                    mistakes.push(Mistake::value(format!("/{at}"), detail));
                }
                let log = log::resolve(entries, exact, catalog, &mut mistakes);
                log.map(|(log, exact)| PreparedLuck { of: Asked::Log(log), exact })
            }
        };
        mistakes.or(resolved)
    }
}

/// A value held against what it is one of.
fn outcome<N: Number>(entry: &Entry, of: &Distribution<N>) -> LuckOutcome {
    let luck = Luck::of(of, entry.happened.value);
    LuckOutcome {
        exactly: Chance::from(&luck.exactly),
        at_most: Chance::from(&luck.at_most),
        at_least: Chance::from(&luck.at_least),
        expected: of.expected(),
        sentence: sentence::sentence(&entry.happened, &luck, of, entry.told()),
        defaults: entry.of.defaults(),
    }
}

impl PreparedLuck {
    fn work<N: Number>(&self, token: &CancellationToken) -> Result<LuckAnswer, Cancelled> {
        Ok(match &self.of {
            Asked::One(entry) => {
                let of = entry.of.distribution::<N>(entry.happened.of, token)?;
                LuckAnswer::One(outcome(entry, &of))
            }
            Asked::Log(log) => LuckAnswer::Log(log.work::<N>(token)?),
        })
    }
}

impl PreparedQuery for PreparedLuck {
    type Answer = LuckAnswer;

    fn canonical(&self) -> impl Serialize {
        match &self.of {
            Asked::One(entry) => {
                let (of, result) = entry.canonical();
                serde_json::json!({ "luck": of, "result": result, "side": entry.side, "exact": self.exact })
            }
            Asked::Log(log) => serde_json::json!({ "luck_log": log.canonical(), "exact": self.exact }),
        }
    }

    fn price(&self) -> Work {
        match &self.of {
            Asked::One(entry) => entry.of.price(self.exact) + 200,
            Asked::Log(log) => log.price(self.exact) + 200,
        }
    }

    fn bytes(&self) -> Work {
        match &self.of {
            Asked::One(entry) => bytes::few(if self.exact { entry.of.fraction_bytes() * 3 } else { Work::NONE }),
            Asked::Log(log) => log.bytes(self.exact),
        }
    }

    fn answer(&self, token: &CancellationToken) -> Result<LuckAnswer, Cancelled> {
        if self.exact { self.work::<Exact>(token) } else { self.work::<f64>(token) }
    }
}
