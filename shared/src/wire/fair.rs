//! `fair`: how often each face of a die came up, and whether a fair one does that.
use super::bytes;
use super::mistake::{Mistake, Mistakes, pointer};
use super::question::{PreparedQuery, Question};
use super::summary::Chance;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::fair::{FairAnswer, LARGEST_WEIGHT, Log, LogError, Method};
use crate::odds::price::{self, Work};
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

mod sentence;
use sentence::sentence;

/// A die, and how often each of its faces came up.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"faces": {"1": 12, "2": 9, "3": 14, "4": 8, "5": 11, "6": 26}}))]
pub struct FairRequest {
    /// How often each face came up, by its number; a face that is not named did not. At most 1000000 throws in all.
    #[schema(example = json!({"1": 12, "2": 9, "3": 14, "4": 8, "5": 11, "6": 26}))]
    pub faces: BTreeMap<String, u32>,
    /// Sides of the die; default 6.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 2, maximum = 100)]
    pub sides: Option<u32>,
    /// How much each face weighs, where they are not meant to come alike: a whole number from 1 for every face.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = json!({"1": 1, "2": 1, "3": 1, "4": 1, "5": 1, "6": 2}))]
    pub weights: Option<BTreeMap<String, u32>>,
    /// Changes nothing: the answer is as exact as it gets.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
}

/// What the counts say about the die.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FairOutcome {
    /// All the throws.
    pub throws: u32,
    /// Sides of the die.
    pub sides: u32,
    /// The chance that a fair die brings counts at most as likely as these. The fraction stands beside it where it was
    /// worked out, and is short enough.
    pub chance: Chance,
    /// How the chance was found.
    pub method: FairMethod,
    /// Pearson's statistic: the squares of what each face is off, each over what was expected of it.
    pub chi_square: f64,
    /// One less than the sides.
    pub degrees: u32,
    /// The face whose number is the most surprising of all.
    pub face: FairFace,
    /// The fewest throws at which a chi-square test at 5% finds a die of these shares, less what chance adds to them, in 95% of
    /// series. `null` where chance alone makes such shares.
    #[schema(minimum = 1)]
    pub throws_needed: Option<u64>,
    /// The same in words.
    pub sentence: String,
}

/// How the chance was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum FairMethod {
    /// Summed over all tables of counts that are at most as likely.
    Exact,
    /// The tail of the chi-square distribution: there are too many tables.
    ChiSquare,
}

/// One face by itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FairFace {
    /// Which face.
    pub face: u32,
    /// How often it came up.
    pub seen: u32,
    /// How often it was to be expected.
    pub expected: f64,
    /// The chance that this face comes up a number of times that is at most as likely. It is the least of as many as the
    /// die has sides, so some face often looks like this.
    #[schema(minimum = 0, maximum = 1)]
    pub chance: f64,
}

/// A log ready to be judged.
#[derive(Clone, Debug)]
pub struct PreparedFair {
    log: Log,
}

impl PreparedFair {
    /// The log.
    pub fn log(&self) -> &Log {
        &self.log
    }
}

impl Question for FairRequest {
    const PATH: &'static str = "fair";
    const NUMBERED: &'static [&'static str] = &["faces", "weights"];
    type Prepared = PreparedFair;

    fn resolve(self, _catalog: &PackCatalog) -> Result<PreparedFair, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let sides = self.sides.unwrap_or(6);
        if !(2..=100).contains(&sides) {
            mistakes.push(Mistake::value("/sides", LogError::Sides.to_string()));
            return Err(mistakes.0);
        }
        let seen = by_face("/faces", &self.faces, sides, &mut mistakes);
        let weights = self.weights.as_ref().map(|weights| {
            let by_face = by_face("/weights", weights, sides, &mut mistakes);
            let missing: Vec<String> = (1..=sides).filter(|f| !names(weights, *f)).map(|f| f.to_string()).collect();
            if !missing.is_empty() {
                let detail = format!("every face needs a weight: {} has none", missing.join(", "));
                mistakes.push(Mistake::missing("/weights", detail));
            }
            for (face, weight) in weights.iter().filter(|(_, w)| !(1..=LARGEST_WEIGHT).contains(w)) {
                if number(face).is_some_and(|face| face <= sides) {
                    let detail = if *weight == 0 {
                        "a face that never comes up is no face: a weight is 1 or more".to_owned()
                    } else {
                        LogError::Weight(0).to_string()
                    };
                    mistakes.push(Mistake::value(pointer("/weights", face), detail));
                }
            }
            by_face
        });
        if !mistakes.0.is_empty() {
            return Err(mistakes.0);
        }
        let log = Log::new(seen, weights).map_err(|errors| {
            let mistake = |error: LogError| match error {
                LogError::Sides => Mistake::value("/sides", error.to_string()),
                LogError::Throws => Mistake::value("/faces", error.to_string()),
                LogError::Weight(at) => Mistake::value(pointer("/weights", at + 1), error.to_string()),
            };
            errors.into_iter().map(mistake).collect::<Vec<_>>()
        })?;
        Ok(PreparedFair { log })
    }
}

/// The number that a face is called by, written as numbers are.
fn number(face: &str) -> Option<u32> {
    face.parse::<u32>().ok().filter(|number| *number > 0 && number.to_string() == face)
}

fn names(of: &BTreeMap<String, u32>, face: u32) -> bool {
    of.contains_key(&face.to_string())
}

/// What stands at each face, with a mistake for each name that is none.
fn by_face(at: &str, of: &BTreeMap<String, u32>, sides: u32, mistakes: &mut Mistakes) -> Vec<u32> {
    let mut all = vec![0; sides as usize];
    for (face, value) in of {
        match number(face) {
            Some(number) if number <= sides => all[number as usize - 1] = *value,
            _ => {
                let detail = format!("this die has the faces 1 to {sides}; with other faces, say its `sides`");
                mistakes.push(Mistake::value(pointer(at, face), detail));
            }
        }
    }
    all
}

impl From<&FairAnswer> for FairFace {
    fn from(of: &FairAnswer) -> Self {
        let face = &of.face;
        Self { face: face.face as u32 + 1, seen: face.seen, expected: face.expected, chance: face.chance }
    }
}

impl PreparedQuery for PreparedFair {
    type Answer = FairOutcome;

    fn canonical(&self) -> impl Serialize {
        serde_json::json!({ "fair": self.log.seen(), "weights": self.log.weights() })
    }

    fn price(&self) -> Work {
        price::fair(&self.log)
    }

    fn bytes(&self) -> Work {
        bytes::few(bytes::fractions_of_log(&self.log))
    }

    fn answer(&self, token: &CancellationToken) -> Result<FairOutcome, Cancelled> {
        let answer = self.log.evaluate(token)?;
        Ok(FairOutcome {
            throws: self.log.throws(),
            sides: self.log.seen().len() as u32,
            chance: Chance {
                chance: answer.chance,
                fraction: answer.fraction.as_ref().map(|fraction| fraction.to_string()),
            },
            method: match answer.method {
                Method::Exact => FairMethod::Exact,
                Method::ChiSquare => FairMethod::ChiSquare,
            },
            chi_square: answer.chi_square,
            degrees: answer.degrees,
            face: FairFace::from(&answer),
            throws_needed: answer.throws_needed,
            sentence: sentence(&self.log, &answer),
        })
    }
}
