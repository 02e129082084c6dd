//! `check`: one roll or several, and how many of them pass.
use super::amount::{AmountForm, NeedsForm};
use super::bytes;
use super::mistake::{Mistake, Mistakes, pointer};
use super::question::{PreparedQuery, Question};
use super::roll::{self, KeepForm, RerollForm, VersusForm, some_unless};
use super::summary::{Chance, Summary};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::check::{Check, CheckAnswer, CheckError};
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::odds::roll::{Aim, Needs, Roll, Ties};
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// One roll, or several tries of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"dice": "2d6", "needs": "7+", "tries": 3}))]
pub struct CheckRequest {
    /// The dice.
    pub dice: AmountForm,
    /// What a try needs; a list has one for each try.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needs: Option<NeedsList>,
    /// The other side of an opposed roll, in place of `needs`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub versus: Option<VersusForm>,
    /// What a tie is worth; default `lose`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ties: Option<CheckTies>,
    /// Added to the total.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// Which of the dice are summed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keep: Option<KeepForm>,
    /// What is rolled again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reroll: Option<RerollForm>,
    /// The worst natural total always fails.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low_fails: Option<bool>,
    /// The best natural total always succeeds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high_succeeds: Option<bool>,
    /// How many tries; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 10000)]
    pub tries: Option<u32>,
    /// A budget of re-rolled failures over all tries, in place of `reroll`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub rerolls: Option<u32>,
    /// Show fractions in every row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

/// What a tie of an opposed check is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CheckTies {
    /// A success.
    Win,
    /// A failure.
    Lose,
    /// Both roll anew.
    Again,
}

/// One need for all tries, or a list with one for each.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum NeedsList {
    /// The same for all.
    One(NeedsForm),
    /// One for each try.
    Each(Vec<NeedsForm>),
}

impl<'de> Deserialize<'de> for NeedsList {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        use serde::de::{SeqAccess, Visitor, value::SeqAccessDeserializer, value::StrDeserializer};
        struct ListVisitor;
        impl<'de> Visitor<'de> for ListVisitor {
            type Value = NeedsList;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("what a roll needs, such as \"3+\", or a list of these")
            }

            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<NeedsList, E> {
                NeedsForm::deserialize(StrDeserializer::new(text)).map(NeedsList::One)
            }

            fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<NeedsList, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(list)).map(NeedsList::Each)
            }
        }
        deserializer.deserialize_any(ListVisitor)
    }
}

/// What comes of a check.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CheckOutcome {
    /// The chance that one try passes (the first, where they differ), without the budget of re-rolls.
    #[schema(minimum = 0, maximum = 1)]
    pub chance: f64,
    /// The same exactly.
    #[schema(example = "5/12")]
    pub fraction: String,
    /// The same for each try, where they differ.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub each: Option<Vec<TryChance>>,
    /// The final total, modifier included.
    pub total: Summary,
    /// How many tries pass.
    pub passes: Summary,
    /// All of them pass.
    pub all: Chance,
    /// None of them does.
    pub none: Chance,
    /// At least one does.
    pub any: Chance,
    /// When the first pass comes.
    pub first_pass: Vec<FirstPass>,
}

/// The chance of one try among unlike ones.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TryChance {
    /// What it needs.
    pub needs: NeedsForm,
    /// Its chance.
    pub chance: f64,
    /// The same exactly.
    pub fraction: String,
}

/// The chance that the first pass comes on one try.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FirstPass {
    /// Which try, from 1.
    #[serde(rename = "try")]
    pub attempt: u32,
    /// On this try.
    pub chance: f64,
    /// On this try or before.
    pub by: f64,
}

/// A check ready to be worked out.
#[derive(Clone, Debug)]
pub struct PreparedCheck {
    check: Check,
    exact: bool,
}

impl PreparedCheck {
    /// The check.
    pub fn check(&self) -> &Check {
        &self.check
    }
}

impl Question for CheckRequest {
    const PATH: &'static str = "check";
    type Prepared = PreparedCheck;

    fn resolve(self, _catalog: &PackCatalog) -> Result<PreparedCheck, Vec<Mistake>> {
        let exact = self.exact.unwrap_or(false);
        let mut mistakes = Mistakes::default();
        let check = self.check("", &mut mistakes);
        mistakes.or(check.map(|check| PreparedCheck { check, exact }))
    }
}

impl CheckRequest {
    /// The domain's check.
    pub(super) fn check(self, at: &str, mistakes: &mut Mistakes) -> Option<Check> {
        let (needs, each) = match self.needs {
            None => (None, Vec::new()),
            Some(NeedsList::One(needs)) => (Some(needs), Vec::new()),
            Some(NeedsList::Each(list)) => {
                let first = list.first().copied();
                if first.is_none() {
                    mistakes.push(Mistake::value(pointer(at, "needs"), "a list of needs has at least one"));
                    return None;
                }
                (first, list.iter().map(|needs| needs.0).collect())
            }
        };
        let ties = self.ties.map(|ties| match ties {
            CheckTies::Win => Ties::Win,
            CheckTies::Lose => Ties::Lose,
            CheckTies::Again => Ties::Again,
        });
        let aim = roll::resolve_aim(needs, self.versus, ties, at, mistakes);
        let pool = mistakes.keep(roll::resolve_pool(self.dice, self.keep, at));
        let reroll = mistakes.keep(roll::resolve_reroll(self.reroll, at));
        let roll = Roll {
            pool: pool?,
            aim: aim?,
            harder: 0,
            modifier: self.modifier.unwrap_or(0),
            reroll: reroll?,
            low_fails: self.low_fails.unwrap_or(false),
            high_succeeds: self.high_succeeds.unwrap_or(false),
            critical: None,
            backfire: None,
            margins: Vec::new(),
        };
        let tries = self.tries.unwrap_or(if each.is_empty() { 1 } else { each.len() as u32 });
        match Check::new(roll, each, tries, self.rerolls) {
            Ok(check) => Some(check),
            Err(errors) => {
                for error in errors {
                    let field = match &error {
                        CheckError::Roll(field, _) => *field,
                        CheckError::Tries | CheckError::NeedsPerTry => "tries",
                        CheckError::TwoRerolls | CheckError::Rerolls => "rerolls",
                    };
                    mistakes.push(Mistake::value(format!("{at}/{field}"), error.to_string()));
                }
                None
            }
        }
    }

    /// The form of a check.
    pub(super) fn of(check: &Check, exact: bool) -> Self {
        let roll = check.roll();
        let (dice, keep) = roll::pool_form(&roll.pool);
        let (needs, versus, ties) = roll::aim_forms(&roll.aim);
        let each: Vec<NeedsForm> = check.needs().iter().copied().map(NeedsForm).collect();
        let needs = if each.is_empty() { needs.map(NeedsList::One) } else { Some(NeedsList::Each(each)) };
        Self {
            dice,
            needs,
            versus,
            ties: ties.map(|ties| match ties {
                Ties::Win => CheckTies::Win,
                Ties::Lose => CheckTies::Lose,
                Ties::Again => CheckTies::Again,
            }),
            modifier: some_unless(roll.modifier, 0),
            keep,
            reroll: roll::reroll_form(roll.reroll),
            low_fails: some_unless(roll.low_fails, false),
            high_succeeds: some_unless(roll.high_succeeds, false),
            tries: Some(check.tries()),
            rerolls: some_unless(check.budget(), 0),
            exact: Some(exact),
            label: None,
            because: None,
        }
    }
}

impl PreparedQuery for PreparedCheck {
    type Answer = CheckOutcome;

    fn canonical(&self) -> impl Serialize {
        serde_json::json!({ "check": CheckRequest::of(&self.check, self.exact) })
    }

    fn price(&self) -> Work {
        price::check(&self.check, self.exact)
    }

    fn bytes(&self) -> Work {
        bytes::check(&self.check, self.exact)
    }

    fn answer(&self, _token: &CancellationToken) -> Result<CheckOutcome, Cancelled> {
        let exact = |needs: Option<Needs>| {
            let mut roll = self.check.roll().clone();
            if let Some(needs) = needs {
                roll.aim = Aim::Needs(needs);
            }
            roll.score::<Exact>().success()
        };
        let each = self.check.needs().iter().map(|needs| {
            let chance = exact(Some(*needs));
            TryChance { needs: NeedsForm(*needs), chance: chance.to_f64(), fraction: chance.to_string() }
        });
        let each: Vec<_> = each.collect();
        let first = exact(None);
        let answer = if self.exact {
            summarise::<Exact>(&self.check.evaluate(), &first)
        } else {
            summarise::<f64>(&self.check.evaluate(), &first)
        };
        Ok(CheckOutcome { each: (!each.is_empty()).then_some(each), ..answer })
    }
}

fn summarise<N: Number>(of: &CheckAnswer<N>, first: &Exact) -> CheckOutcome {
    let mut by = N::zero();
    let rows = of.first_pass.iter().zip(1..).map(|(chance, attempt)| {
        by.add(chance);
        FirstPass { attempt, chance: chance.to_f64(), by: by.to_f64().min(1.0) }
    });
    CheckOutcome {
        chance: first.to_f64(),
        fraction: first.to_string(),
        each: None,
        total: Summary::from(&of.total),
        passes: Summary::from(&of.passes),
        all: Chance::from(&of.all),
        none: Chance::from(&of.none),
        any: Chance::from(&of.any),
        first_pass: rows.collect(),
    }
}
