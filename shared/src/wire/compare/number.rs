//! How many attack: as many as were said, as many as the points buy, or as many as a wanted chance takes.
use super::super::matchup::PreparedMatchup;
use super::super::mistake::{Mistake, Mistakes};
use super::super::needed::{Goals, Sought, Want};
use super::super::subject::AttackQuery;
use super::{CompareRequest, Pair};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::{Chain, Goal};
use crate::odds::price::{self, Work};
use crate::points::instance_cost;
use crate::rules::matchup::{Matchup, UnitInstance};

/// The largest number that is looked at where nothing is said.
const LOOKED_AT: u32 = 60;
/// The most models that points buy.
const MOST_MODELS: u32 = 1_000;

/// What the request says of it.
#[derive(Clone, Copy, Debug)]
pub(super) enum Rule {
    Points(u64),
    Wanted(Want, u32),
}

/// How many of one attack.
#[derive(Clone, Debug)]
pub(super) enum Number {
    /// As many as were said.
    Said,
    /// As many models as the points buy, with what they cost.
    Bought(u32, u64),
    /// As many as it takes.
    Wanted { of: Box<Sought>, goal: Goal, chance: f64, most: u32 },
}

/// What was found.
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    pub(super) attackers: Option<Option<u32>>,
    pub(super) chance: Option<f64>,
    pub(super) points: Option<u64>,
    /// Their attack; nothing where there is nobody.
    pub(super) chain: Option<Chain>,
}

impl Rule {
    /// What the request says; nothing where it says nothing, or something wrong.
    pub(super) fn of(request: &CompareRequest, mistakes: &mut Mistakes) -> Option<Self> {
        if request.every.is_some() && !request.variants.is_empty() {
            mistakes.push(Mistake::value("/every", "give variants, or every unit"));
        }
        if request.points.is_some_and(|points| !(1..=1_000_000).contains(&points)) {
            mistakes.push(Mistake::value("/points", "1 to 1000000 points"));
        }
        if request.most.is_some_and(|most| !(1..=10_000).contains(&most)) {
            mistakes.push(Mistake::value("/most", "1 to 10000"));
        }
        match (request.points, request.want) {
            (Some(_), Some(_)) => {
                mistakes.push(Mistake::value("/want", "compare at equal points, or for a wanted chance"));
                None
            }
            (points, None) => {
                if request.most.is_some() {
                    mistakes.push(Mistake::value("/most", "this goes with a wanted chance"));
                }
                points.map(Self::Points)
            }
            (None, Some(want)) => {
                want.resolve(mistakes).map(|want| Self::Wanted(want, request.most.unwrap_or(LOOKED_AT)))
            }
        }
    }

    /// Settles how many of this one.
    pub(super) fn resolve(&self, pair: &mut Pair, mistakes: &mut Mistakes) {
        match *self {
            Self::Points(points) => match &pair.query {
                AttackQuery::Plain(_) => {
                    let detail =
                        "equal points are for units of a book: of plain numbers nobody knows what one more costs";
                    mistakes.push(Mistake::value("/points", detail));
                }
                AttackQuery::Units(prepared) => match bought(prepared, points) {
                    0 => pair.count = Number::Bought(0, 0),
                    models => {
                        let prepared = fielding(prepared, models);
                        // So many were compiled with their fewest; more of the same compile too.
                        if let Some(prepared) = prepared {
                            pair.count = Number::Bought(models, prepared.cost());
                            pair.query = AttackQuery::Units(Box::new(prepared));
                        }
                    }
                },
            },
            Self::Wanted(want, most) => {
                let Some(goal) = want.goal(pair.query.chain(), mistakes) else { return };
                let of = Sought::Attackers(pair.query.clone(), goal);
                if let Some(most) = mistakes.keep(of.fits(Some(most))) {
                    pair.count = Number::Wanted { of: Box::new(of), goal, chance: want.chance, most };
                }
            }
        }
    }
}

/// As many models as the points buy; none where they do not buy one unit.
fn bought(prepared: &PreparedMatchup, points: u64) -> u32 {
    let matchup = prepared.matchup();
    let least = matchup.pack.units[matchup.attacker.unit].models.0.max(1);
    let cost = |models: u32| instance_cost(&matchup.pack, &UnitInstance { models, ..matchup.attacker.clone() });
    if cost(least) > points {
        return 0;
    }
    let (mut enough, mut many) = (least, MOST_MODELS.max(least) + 1);
    while many - enough > 1 {
        let middle = enough + (many - enough) / 2;
        if cost(middle) <= points { enough = middle } else { many = middle }
    }
    enough
}

fn fielding(prepared: &PreparedMatchup, models: u32) -> Option<PreparedMatchup> {
    let matchup = prepared.matchup();
    let attacker = UnitInstance { models, ..matchup.attacker.clone() };
    PreparedMatchup::of(Matchup { attacker, ..matchup.clone() }).ok().map(|other| other.with_defaults_of(prepared))
}

impl Number {
    /// How many, and their attack.
    pub(super) fn find(&self, query: &AttackQuery, token: &CancellationToken) -> Result<Found, Cancelled> {
        Ok(match self {
            Self::Said => Found { chain: Some(query.chain().clone()), ..Found::default() },
            Self::Bought(0, _) => Found { attackers: Some(Some(0)), points: Some(0), ..Found::default() },
            Self::Bought(models, points) => Found {
                attackers: Some(Some(*models)),
                points: Some(*points),
                chain: Some(query.chain().clone()),
                ..Found::default()
            },
            Self::Wanted { of, chance, most, .. } => {
                let found = of.search(*chance, *most, token)?;
                let shown = found.number.unwrap_or(*most);
                Found {
                    attackers: Some(found.number),
                    chance: found.chances.get(&shown).map(|chance| chance.min(1.0)),
                    points: of.points(shown),
                    chain: of.chain(shown),
                }
            }
        })
    }

    pub(super) fn price(&self, query: &AttackQuery, exact: bool) -> Work {
        let chain = price::chain(query.chain(), exact, false);
        match self {
            Self::Said | Self::Bought(..) => chain,
            Self::Wanted { of, most, .. } => {
                let largest = of.chain(*most).map_or(chain, |chain| price::chain(&chain, exact, false));
                of.price(*most) + largest
            }
        }
    }

    /// For the cache's key.
    pub(super) fn key(&self) -> serde_json::Value {
        match self {
            Self::Said => serde_json::Value::Null,
            Self::Bought(models, _) => serde_json::json!({ "bought": models }),
            Self::Wanted { goal, chance, most, .. } => serde_json::json!([goal.key(), chance, most]),
        }
    }
}
