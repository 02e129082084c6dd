//! `needed`: the smallest number of attackers, or of tries, for a wanted chance.
use super::bytes;
use super::chain::ChainForm;
use super::check::CheckRequest;
use super::matchup::{MatchupRequest, Stated};
use super::mistake::{Mistake, Mistakes};
use super::question::{PreparedQuery, Question, nullable};
use super::subject::{AttackQuery, one_of};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::check::Check;
use crate::odds::needed::{LADDER, NEIGHBOURS, Needed};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

mod search;
mod want;
pub(super) use search::Of as Sought;
pub use want::WantForm;
pub(super) use want::{Goals, Want};

/// The largest number that is looked at.
const MOST: u32 = 10_000;

/// One of `chain`, `matchup` and `check`, and what is wanted of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"check": {"dice": "1d6", "needs": "6+"}, "want": {"passes": 1, "chance": 0.9}}))]
pub struct NeededRequest {
    /// An attack from plain numbers; its `attackers` are not read, in no volley.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chain: Option<ChainForm>,
    /// An attack of one unit on another; the attacker's `models` are what is looked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub matchup: Option<MatchupRequest>,
    /// A roll; its `tries` are what is looked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub check: Option<CheckRequest>,
    /// What is wanted, and how likely.
    pub want: WantForm,
    /// The largest number to look at; default 10000. A smaller one makes the question cheaper; where a search up to
    /// 10000 would cost too much (several weapons, many states), the default is as many as can be looked at in time,
    /// and `limit` says how many that were.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 10000)]
    pub most: Option<u32>,
    /// Show fractions, where the numbers that are needed leave them at a length that can be worked out in time.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
}

/// The smallest number that reaches it, and its neighbourhood.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct NeededAnswer {
    /// How many attackers (of a matchup: models of the attacker, in whole units where people count whole units that
    /// always have the same models); `null` where no number up to `most` reaches it.
    #[serde(default, deserialize_with = "nullable", skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<u32>)]
    pub attackers: Option<Option<u32>>,
    /// Of a check: how many tries; `null` where no number up to `most` reaches it.
    #[serde(default, deserialize_with = "nullable", skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<u32>)]
    pub tries: Option<Option<u32>>,
    /// The chance with so many.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1)]
    pub chance: Option<f64>,
    /// The same exactly, on request.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "671/1296")]
    pub fraction: Option<String>,
    /// What so many cost, where the costs are known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<u64>,
    /// One fewer, or one whole unit fewer, which does not reach it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub below: Option<NeededRow>,
    /// Where no number up to `most` reaches it: the chance with the largest that was looked at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<NeededRow>,
    /// The numbers around it; where none up to `most` reaches it, numbers from small to large.
    pub table: Vec<NeededRow>,
    /// Of a matchup: the most models of the attacker that a list may hold, where the pack limits them; numbers above it are
    /// answered all the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub list_most: Option<u32>,
    /// No number of attackers can take anything from the target, however large.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub harmless: Option<bool>,
    /// Why there are no fractions although they were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_fractions: Option<String>,
    /// Of a matchup: what was left open, and how it was taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub defaults: Option<Vec<Stated>>,
}

/// A number and its chance.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct NeededRow {
    /// So many attackers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attackers: Option<u32>,
    /// So many tries.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tries: Option<u32>,
    /// Their chance.
    #[schema(minimum = 0, maximum = 1)]
    pub chance: f64,
    /// The same exactly, on request.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "671/1296")]
    pub fraction: Option<String>,
    /// What so many cost, where the costs are known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<u64>,
}

impl NeededAnswer {
    /// How many attackers or tries; nothing where no number reaches it.
    pub fn number(&self) -> Option<u64> {
        self.attackers.or(self.tries).flatten().map(u64::from)
    }
}

impl NeededRow {
    /// So many attackers or tries.
    pub fn number(&self) -> u64 {
        self.attackers.or(self.tries).map_or(0, u64::from)
    }
}

/// The fractions of a whole table: what they may cost bounds how long they get.
const FRACTION_BYTES: u64 = 2 << 20;

/// A search ready to run.
#[derive(Clone, Debug)]
pub struct PreparedNeeded {
    of: search::Of,
    chance: f64,
    most: u32,
    exact: bool,
}

impl Question for NeededRequest {
    const PATH: &'static str = "needed";
    type Prepared = PreparedNeeded;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedNeeded, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let there =
            [("chain", self.chain.is_some()), ("matchup", self.matchup.is_some()), ("check", self.check.is_some())];
        if self.most.is_some_and(|most| !(1..=MOST).contains(&most)) {
            mistakes.push(Mistake::value("/most", "1 to 10000"));
        }
        let want = self.want.resolve(&mut mistakes);
        if !one_of(&there, &mut mistakes) {
            return Err(mistakes.0);
        }
        let exact = self.exact.unwrap_or(false);
        let of = if let Some(check) = self.check {
            let check = check_of(check, &mut mistakes);
            let passes = want.and_then(|want| want.passes(&mut mistakes));
            check.zip(passes).map(|(check, passes)| search::Of::Tries(Box::new(check), passes))
        } else {
            let query = match (self.chain, self.matchup) {
                (Some(chain), _) => AttackQuery::plain(chain, "/chain", &mut mistakes),
                (None, Some(matchup)) => AttackQuery::units(matchup, catalog, "/matchup", &mut mistakes),
                (None, None) => None,
            };
            if let Some(query) = &query {
                query.has_fractions(exact, &mut mistakes);
            }
            let goal = want.zip(query.as_ref()).and_then(|(want, query)| want.goal(query.chain(), &mut mistakes));
            query.zip(goal).map(|(query, goal)| search::Of::Attackers(query, goal))
        };
        let of = of.and_then(|of| mistakes.keep(of.fits(self.most)).map(|most| (of, most)));
        let prepared = of.zip(want).map(|((of, most), want)| PreparedNeeded { of, chance: want.chance, most, exact });
        mistakes.or(prepared)
    }
}

fn check_of(request: CheckRequest, mistakes: &mut Mistakes) -> Option<Check> {
    let check = request.check("/check", mistakes)?;
    if check.needs().is_empty() {
        return Some(check);
    }
    mistakes.push(Mistake::value("/check/needs", "the tries are what is looked for: give one need for all of them"));
    None
}

impl PreparedNeeded {
    /// The answer without its fractions.
    fn shape(&self, found: &Needed) -> NeededAnswer {
        let row = |number: u32| {
            let chance = found.chances.get(&number)?.min(1.0);
            let points = self.of.points(number);
            Some(self.of.row(NeededRow { chance, points, ..NeededRow::default() }, number))
        };
        let step = self.of.step(self.most);
        let near = found.number.map(|number| number.saturating_sub(NEIGHBOURS * step)..=number + NEIGHBOURS * step);
        let table = match near {
            Some(near) => near.filter_map(row).collect(),
            None => {
                let rungs = LADDER.into_iter().map(|rung| rung * step).filter(|rung| *rung < self.most);
                rungs.chain([self.most]).filter_map(row).collect()
            }
        };
        let base = NeededAnswer {
            table,
            defaults: self.of.defaults(),
            list_most: self.of.list_most(),
            chance: found.number.and_then(row).map(|row| row.chance),
            points: found.number.and_then(|number| self.of.points(number)),
            below: found.number.and_then(|number| row(number.checked_sub(step)?)),
            limit: if found.number.is_none() { row(self.most) } else { None },
            ..NeededAnswer::default()
        };
        match self.of {
            search::Of::Tries(..) => NeededAnswer { tries: Some(found.number), ..base },
            search::Of::Attackers(..) => NeededAnswer { attackers: Some(found.number), ..base },
        }
    }
}

impl PreparedQuery for PreparedNeeded {
    type Answer = NeededAnswer;

    fn canonical(&self) -> impl Serialize {
        let of = match &self.of {
            search::Of::Tries(check, passes) => {
                // With as many tries as may be looked at, so that its whole budget of re-rolls counts.
                serde_json::json!([CheckRequest::of(&check.with_tries(self.most), false), passes])
            }
            search::Of::Attackers(query, goal) => serde_json::json!([query.canonical(), goal.key()]),
        };
        serde_json::json!({ "needed": of, "chance": self.chance, "most": self.most, "exact": self.exact })
    }

    fn price(&self) -> Work {
        let fractions = if self.exact { search::FRACTIONS } else { Work::NONE };
        self.of.price(self.most) + fractions + 500
    }

    fn bytes(&self) -> Work {
        // The numbers around the one that is found, and the ladder to it: fractions are given where they are short.
        bytes::few(if self.exact { Work::new(FRACTION_BYTES) } else { Work::NONE })
    }

    fn answer(&self, token: &CancellationToken) -> Result<NeededAnswer, Cancelled> {
        let found = self.of.search(self.chance, self.most, token)?;
        let mut answer = self.shape(&found);
        let nothing = answer.limit.as_ref().is_some_and(|limit| limit.chance <= 0.0);
        answer.harmless = (nothing && self.of.is_harmless(self.most, token)?).then_some(true);
        if self.exact {
            self.of.fractions(&mut answer, token)?;
        }
        Ok(answer)
    }
}
