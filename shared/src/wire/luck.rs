//! `luck`: a result that happened, and how unusual it was.
use super::bytes;
use super::chain::ChainForm;
use super::check::CheckRequest;
use super::matchup::{MatchupRequest, Stated};
use super::mistake::{Mistake, Mistakes};
use super::question::{Question, Ready};
use super::repair::RepairRequest;
use super::subject::{Fight, one_of};
use super::summary::Chance;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::{Lost, Target};
use crate::odds::check::Check;
use crate::odds::distribution::Distribution;
use crate::odds::luck::Luck;
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::odds::repair::Repair;
use crate::rules::Books;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

mod result;
mod sentence;
pub use result::ResultForm;
use result::{Counted, Happened};

/// One of `chain`, `matchup`, `check` and `repair`, and what came of it on the table.
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
    /// What came of it: one quantity of the answer that it would have.
    pub result: ResultForm,
    /// Work in exact fractions and show them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
}

/// How unusual it was.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct LuckAnswer {
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

/// A result with what it came of.
#[derive(Clone, Debug)]
pub struct LuckReady {
    of: Subject,
    happened: Happened,
    exact: bool,
}

#[derive(Clone, Debug)]
enum Subject {
    Fight(Fight),
    Check(Box<Check>),
    Repair(Box<Repair>),
}

impl Question for LuckRequest {
    const PATH: &'static str = "luck";
    type Ready = LuckReady;

    fn settle(self, books: &Books) -> Result<LuckReady, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let there = [
            ("chain", self.chain.is_some()),
            ("matchup", self.matchup.is_some()),
            ("check", self.check.is_some()),
            ("repair", self.repair.is_some()),
        ];
        let happened = self.result.settle(&mut mistakes);
        if !one_of(&there, &mut mistakes) {
            return Err(mistakes.0);
        }
        let mut exact = self.exact.unwrap_or(false);
        let mut of = None;
        if let Some(chain) = self.chain {
            of = Fight::plain(chain, "/chain", &mut mistakes).map(Subject::Fight);
        } else if let Some(matchup) = self.matchup {
            exact |= matchup.exact == Some(true);
            of = Fight::units(matchup, books, "/matchup", &mut mistakes).map(Subject::Fight);
        } else if let Some(check) = self.check {
            exact |= check.exact == Some(true);
            of = check.check("/check", &mut mistakes).map(|check| Subject::Check(Box::new(check)));
        } else if let Some(repair) = self.repair {
            exact |= repair.exact == Some(true);
            if repair.compare.is_some() {
                mistakes.push(Mistake::value("/repair/compare", "a result comes of one repair: ask about each"));
            }
            of = repair.repair("/repair", &mut mistakes).map(|repair| Subject::Repair(Box::new(repair)));
        }
        if let (Some(of), Some(happened)) = (&of, &happened) {
            if let Subject::Fight(fight) = of {
                fight.has_fractions(exact, &mut mistakes);
            }
            let counted = of.counted();
            if !counted.contains(&happened.of) {
                let names: Vec<_> = counted.iter().map(|counted| counted.name()).collect();
                let detail = format!("this has no {}: say one of {}", happened.of.name(), names.join(", "));
                mistakes.push(Mistake::value(format!("/result/{}", happened.of.name()), detail));
            }
        }
        mistakes.or(of.zip(happened).map(|(of, happened)| LuckReady { of, happened, exact }))
    }
}

impl Subject {
    /// What can be counted of it.
    fn counted(&self) -> &'static [Counted] {
        use Counted::{Attacks, Backfires, HealthLost, Missing, Models, Passes, Restored, Structure, Through, Total};
        match self {
            Self::Check(_) => &[Passes, Total],
            Self::Repair(_) => &[Restored, Missing],
            Self::Fight(fight) => match fight.chain().target() {
                Target::Soldiers(_) => &[Models, HealthLost, Attacks, Through, Backfires],
                Target::Armoured(_) => &[Structure, Counted::Wrecked, Attacks, Through, Backfires],
            },
        }
    }

    fn distribution<N: Number>(
        &self,
        counted: Counted,
        token: &CancellationToken,
    ) -> Result<Distribution<N>, Cancelled> {
        Ok(match self {
            Self::Check(check) => {
                let answer = check.evaluate();
                if counted == Counted::Total { answer.total } else { answer.passes }
            }
            Self::Repair(repair) => {
                let mut answer = repair.evaluate(token)?;
                match answer.turns.pop() {
                    Some(last) if counted == Counted::Missing => last.missing,
                    _ => answer.restored,
                }
            }
            Self::Fight(fight) => {
                let answer = fight.chain().evaluate(false, token)?;
                match (counted, answer.lost) {
                    (Counted::Attacks, _) => answer.attacks,
                    (Counted::Through, _) => answer.through,
                    (Counted::Backfires, _) => answer.backfires.unwrap_or_else(|| Distribution::certain(0)),
                    (Counted::HealthLost, Lost::Soldiers { health, .. }) => health,
                    (_, Lost::Soldiers { models, .. }) => models,
                    (Counted::Wrecked, Lost::Armoured { wrecked, .. }) => wrecked,
                    (_, Lost::Armoured { structure, .. }) => structure,
                }
            }
        })
    }
}

impl LuckReady {
    fn work<N: Number>(&self, token: &CancellationToken) -> Result<LuckAnswer, Cancelled> {
        let distribution = self.of.distribution::<N>(self.happened.of, token)?;
        let luck = Luck::of(&distribution, self.happened.value);
        Ok(LuckAnswer {
            exactly: Chance::from(&luck.exactly),
            at_most: Chance::from(&luck.at_most),
            at_least: Chance::from(&luck.at_least),
            expected: distribution.expected(),
            sentence: sentence::sentence(&self.happened, &luck, &distribution),
            defaults: match &self.of {
                Subject::Fight(fight) => fight.defaults(),
                Subject::Check(_) | Subject::Repair(_) => None,
            },
        })
    }
}

impl Ready for LuckReady {
    type Answer = LuckAnswer;

    fn canonical(&self) -> impl Serialize {
        let of = match &self.of {
            Subject::Fight(fight) => fight.canonical(),
            Subject::Check(check) => serde_json::json!({ "check": CheckRequest::of(check, false) }),
            Subject::Repair(repair) => serde_json::json!({ "repair": RepairRequest::of(repair) }),
        };
        serde_json::json!({ "luck": of, "result": [self.happened.of.name(), self.happened.value], "exact": self.exact })
    }

    fn price(&self) -> Work {
        let of = match &self.of {
            Subject::Fight(fight) => price::chain(fight.chain(), self.exact, false) + 2_000,
            Subject::Check(check) => price::check(check, self.exact),
            Subject::Repair(repair) => price::repair(repair, self.exact),
        };
        of + 200
    }

    fn bytes(&self) -> Work {
        let bits = match &self.of {
            Subject::Fight(fight) => bytes::fractions_of_chain(fight.chain()),
            Subject::Check(check) => bytes::fractions_of_check(check),
            Subject::Repair(repair) => bytes::fractions_of_repair(repair),
        };
        bytes::few(if self.exact { bits * 3 } else { Work::NONE })
    }

    fn answer(&self, token: &CancellationToken) -> Result<LuckAnswer, Cancelled> {
        if self.exact { self.work::<Exact>(token) } else { self.work::<f64>(token) }
    }
}
