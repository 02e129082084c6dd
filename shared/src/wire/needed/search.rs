//! The search itself: of attackers from plain numbers, of models in a matchup, of tries.
use super::super::matchup::{PreparedMatchup, Stated};
use super::super::mistake::Mistake;
use super::super::subject::AttackQuery;
use super::{MOST, NeededAnswer, NeededRow};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::{Chain, Goal};
use crate::odds::check::Check;
use crate::odds::needed::{self, Needed};
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::points::instance_cost;
use crate::report::counting::Counted;
use crate::rules::compile::{CompileError, compile};
use crate::rules::matchup::{Matchup, UnitInstance};

/// What the fractions of a whole table may cost: how long they are is known only when the number is found.
pub(super) const FRACTIONS: Work = Work::new(price::BUDGET / 4);

/// What is searched.
#[derive(Clone, Debug)]
pub(in crate::wire) enum Of {
    Attackers(AttackQuery, Goal),
    Tries(Box<Check>, u32),
}

impl Of {
    /// The largest number to look at: the one that was asked for, else the largest that can be searched in time. A
    /// volley has room for 10,000 attackers, and each model of a matchup may carry several of its weapons.
    pub(in crate::wire) fn fits(&self, asked: Option<u32>) -> Result<u32, Mistake> {
        let mut room = MOST;
        if let Self::Attackers(AttackQuery::Units(prepared), _) = self {
            room = room_of(prepared);
            fielding(prepared, room.min(asked.unwrap_or(room)))
                .map_err(|error| Mistake::value("/most", error.to_string()))?;
        }
        let affordable = |most: &u32| self.price(*most).is_within(price::BUDGET / 2);
        let most = match asked {
            Some(asked) => asked.min(room),
            None => {
                let rungs = [10_000, 5_000, 2_000, 1_000, 500, 200].into_iter();
                rungs.map(|most| room.min(most)).find(affordable).unwrap_or(room)
            }
        };
        Ok(most - most % self.step(most))
    }

    /// The models of one more of what is counted: of a unit that people count whole and that always has the same models,
    /// all of them. Nobody fields a part of it.
    pub(super) fn step(&self, most: u32) -> u32 {
        let Self::Attackers(AttackQuery::Units(prepared), _) = self else { return 1 };
        let matchup = prepared.matchup();
        let unit = &matchup.pack.units[matchup.attacker.unit];
        let whole = unit.counted == Counted::Units && unit.models.0 == unit.models.1 && unit.models.1 <= most;
        if whole { unit.models.1.max(1) } else { 1 }
    }

    /// What the search costs.
    pub(in crate::wire) fn price(&self, most: u32) -> Work {
        match self {
            Self::Tries(check, passes) => price::tries(check, *passes, most),
            Self::Attackers(AttackQuery::Plain(chain), _) => price::climb(chain, most),
            Self::Attackers(AttackQuery::Units(prepared), _) => {
                let Ok(chain) = fielding(prepared, most) else { return Work::UNPAYABLE };
                let largest = price::reaches(&chain, false);
                // And a look at one attacker of each number, whether any of them can do anything at all.
                let one = price::reaches(&chain.with_attackers(1), false) + 5_000;
                price::bisect(largest + 5_000, most) + one * (u64::from(COUNTED) + 2)
            }
        }
    }

    pub(in crate::wire) fn search(&self, want: f64, most: u32, token: &CancellationToken) -> Result<Needed, Cancelled> {
        match self {
            Self::Tries(check, passes) => needed::tries(check, *passes, want, most, token),
            Self::Attackers(AttackQuery::Plain(chain), goal) => needed::attackers(chain, *goal, want, most, token),
            Self::Attackers(AttackQuery::Units(prepared), goal) => {
                let step = self.step(most);
                let found = needed::bisect(want, most / step, |count| {
                    // The largest number was compiled when the question was resolved, so these compile too.
                    let chain = (count > 0).then(|| fielding(prepared, count * step).ok()).flatten();
                    chain.map_or(Ok(0.0), |chain| needed::chance(&chain, *goal, token))
                })?;
                let chances = found.chances.into_iter().map(|(count, chance)| (count * step, chance));
                Ok(Needed { number: found.number.map(|count| count * step), chances: chances.collect() })
            }
        }
    }

    /// Whether no number of them can take anything from the target: not one of any number up to `most`, nor of as many as
    /// a chain has room for. What each of them can do does not depend on the others but for rules that count them.
    pub(super) fn is_harmless(&self, most: u32, token: &CancellationToken) -> Result<bool, Cancelled> {
        let chains: Vec<Chain> = match self {
            Self::Tries(..) => return Ok(false),
            Self::Attackers(AttackQuery::Plain(chain), _) => vec![chain.as_ref().clone()],
            Self::Attackers(AttackQuery::Units(prepared), _) => {
                let numbers = (1..=most.min(COUNTED)).chain([most, room_of(prepared)]);
                numbers.filter_map(|models| fielding(prepared, models).ok()).collect()
            }
        };
        for chain in chains {
            if needed::chance(&chain.with_attackers(1), Goal::Lost(1), token)? > 0.0 {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// What so many cost.
    pub(in crate::wire) fn points(&self, number: u32) -> Option<u64> {
        let Self::Attackers(AttackQuery::Units(prepared), _) = self else { return None };
        let matchup = prepared.matchup();
        if number == 0 {
            return Some(0);
        }
        Some(instance_cost(&matchup.pack, &UnitInstance { models: number, ..matchup.attacker.clone() }))
    }

    /// The most models of the attacker that a list may hold.
    pub(in crate::wire) fn list_most(&self) -> Option<u32> {
        let Self::Attackers(AttackQuery::Units(prepared), _) = self else { return None };
        let matchup = prepared.matchup();
        matchup.pack.units[matchup.attacker.unit].list_most(&matchup.pack)
    }

    /// What so many attackers come down to; nothing for none of them.
    pub(in crate::wire) fn chain(&self, number: u32) -> Option<Chain> {
        match self {
            Self::Attackers(AttackQuery::Plain(chain), _) => Some(chain.with_attackers(number)),
            Self::Attackers(AttackQuery::Units(prepared), _) if number > 0 => fielding(prepared, number).ok(),
            _ => None,
        }
    }

    /// The row with its number under the right name.
    pub(super) fn row(&self, row: NeededRow, number: u32) -> NeededRow {
        match self {
            Self::Tries(..) => NeededRow { tries: Some(number), ..row },
            Self::Attackers(..) => NeededRow { attackers: Some(number), ..row },
        }
    }

    pub(super) fn defaults(&self) -> Option<Vec<Stated>> {
        match self {
            Self::Attackers(query, _) => {
                // The number of models is what is looked for: nothing was taken for it.
                let defaults = query.defaults()?;
                Some(defaults.into_iter().filter(|stated| stated.pointer != "/attacker/models").collect())
            }
            Self::Tries(..) => None,
        }
    }

    /// Fills in the fractions, or says why there are none.
    pub(super) fn fractions(&self, answer: &mut NeededAnswer, token: &CancellationToken) -> Result<(), Cancelled> {
        let number = |row: &NeededRow| row.attackers.or(row.tries).unwrap_or(0);
        let rows = answer.table.iter().map(number);
        let price = rows.map(|number| self.price_of_fraction(number)).sum::<Work>();
        if price > FRACTIONS {
            answer.no_fractions = Some("fractions of so many rolls would take too long to write out".to_owned());
            return Ok(());
        }
        let exact = answer.attackers.or(answer.tries).flatten();
        for index in 0..answer.table.len() {
            let number = number(&answer.table[index]);
            let fraction = Some(self.exactly(number, token)?.to_string());
            let here = |row: &&mut NeededRow| row.attackers.or(row.tries) == Some(number);
            [&mut answer.below, &mut answer.limit]
                .into_iter()
                .flatten()
                .filter(here)
                .for_each(|row| row.fraction.clone_from(&fraction));
            if exact == Some(number) {
                answer.fraction.clone_from(&fraction);
            }
            answer.table[index].fraction = fraction;
        }
        Ok(())
    }

    fn price_of_fraction(&self, number: u32) -> Work {
        match self {
            Self::Tries(check, _) => price::check(&check.with_tries(number.max(1)), true),
            Self::Attackers(AttackQuery::Plain(chain), _) => price::reaches(&chain.with_attackers(number), true),
            Self::Attackers(AttackQuery::Units(_), _) if number == 0 => Work::ONE,
            Self::Attackers(AttackQuery::Units(prepared), _) => {
                fielding(prepared, number).map_or(Work::UNPAYABLE, |chain| price::reaches(&chain, true))
            }
        }
    }

    fn exactly(&self, number: u32, token: &CancellationToken) -> Result<Exact, Cancelled> {
        match self {
            Self::Tries(check, passes) => {
                Ok(check.with_tries(number.max(1)).evaluate::<Exact>().passes.at_least(i64::from(*passes)))
            }
            Self::Attackers(AttackQuery::Plain(chain), goal) => chain.with_attackers(number).reaches(*goal, token),
            Self::Attackers(AttackQuery::Units(prepared), goal) => {
                let chain = (number > 0).then(|| fielding(prepared, number).ok()).flatten();
                chain.map_or(Ok(Exact::zero()), |chain| chain.reaches(*goal, token))
            }
        }
    }
}

/// Rules that count models count up to this; larger numbers are looked at singly.
const COUNTED: u32 = 100;

/// As many models as a chain's volleys have room for.
fn room_of(prepared: &PreparedMatchup) -> u32 {
    let models = prepared.matchup().attacker.models.max(1);
    let volleys = prepared.compiled().chain.volleys();
    let of_one = volleys.iter().map(|volley| volley.attackers.div_ceil(models)).max().unwrap_or(1);
    (MOST / of_one.max(1)).max(1)
}

/// The matchup with so many models attacking.
fn fielding(prepared: &PreparedMatchup, models: u32) -> Result<Chain, CompileError> {
    let matchup = prepared.matchup();
    let attacker = UnitInstance { models, ..matchup.attacker.clone() };
    compile(&Matchup { attacker, ..matchup.clone() }).map(|compiled| compiled.chain)
}
