//! The best ways to part attackers among targets, over all of them.
//!
//! Only sets in which everybody adds something are looked at: whoever adds nothing is sent nowhere. A plan is the same as
//! the disjoint sets that its targets get, so each is met once.
use super::ground::Sums;
use super::together::Together;
use super::{Battle, EQUAL, IDLE, Objective, Plan, above};
use crate::odds::cancellation::{CancellationToken, Cancelled};

/// How many plans are kept: the best and the next two.
const KEPT: usize = 3;

/// Who is sent nowhere, where a plan is written as digits.
pub(super) const NOWHERE: u64 = 15;

/// A plan and its value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ranked {
    pub(super) value: f64,
    /// The chance that all are destroyed that must be; 1 where none must.
    pub(super) chance: f64,
    /// The target of each attacker as a digit, the first attacker's first: of equals the smaller number comes first.
    pub(super) digits: u64,
}

impl Ranked {
    /// Everybody is sent nowhere.
    pub(super) const NOBODY: Self = Self { value: 0.0, chance: 1.0, digits: u64::MAX };

    pub(super) fn plan(&self, attackers: usize) -> Plan {
        let digit = |attacker: usize| self.digits >> (60 - 4 * attacker) & 15;
        (0..attackers).map(|attacker| Some(digit(attacker)).filter(|at| *at != NOWHERE).map(|at| at as usize)).collect()
    }

    /// The same with a set that was sent nowhere sent to a target.
    pub(super) fn with(self, target: usize, spread: u64, value: f64) -> Self {
        Self { value: self.value + value, digits: self.digits - spread * (NOWHERE - target as u64), ..self }
    }
}

/// The best few plans, the best of them first.
#[derive(Clone, Debug, Default)]
pub(super) struct Best(pub(super) Vec<Ranked>);

impl Best {
    /// Keeps it where it is among the best: by value, or by chance first.
    pub(super) fn offer(&mut self, one: Ranked, by_chance: bool) {
        let comes_before = |other: &Ranked| {
            if by_chance && (one.chance - other.chance).abs() > EQUAL {
                return one.chance > other.chance;
            }
            if above(one.value, other.value) || above(other.value, one.value) {
                return one.value > other.value;
            }
            one.digits < other.digits
        };
        let at = self.0.iter().position(comes_before).unwrap_or(self.0.len());
        if at < KEPT {
            self.0.insert(at, one);
            self.0.truncate(KEPT);
        }
    }

    /// The worst of those kept, once there are as many as are wanted.
    pub(super) fn last(&self) -> Option<&Ranked> {
        self.0.get(KEPT - 1)
    }
}

/// What was found.
pub(super) struct Found {
    pub(super) plans: Vec<Ranked>,
    pub(super) not_reached: bool,
    pub(super) must_left_out: bool,
}

/// Everything that the search goes by.
pub(super) struct Search<'a> {
    pub(super) battle: &'a Battle,
    pub(super) sums: &'a [Sums],
    /// For each target, the sets in which everybody adds something.
    pub(super) useful: Vec<Vec<bool>>,
    /// For each set, a one in the digit of each of its attackers.
    pub(super) spread: Vec<u64>,
}

impl<'a> Search<'a> {
    pub(super) fn new(battle: &'a Battle, sums: &'a [Sums]) -> Self {
        let count = battle.attackers.len();
        let must = |target: usize| battle.must.as_ref().is_some_and(|must| must.targets.contains(&target));
        let useful = sums.iter().enumerate().map(|(target, sums)| {
            let adds = |set: usize, attacker: usize| {
                let without = set & !(1 << attacker);
                let destroys = sums.destroyed[set] - sums.destroyed[without];
                let value = match battle.objective {
                    Objective::Points => sums.points[set] - sums.points[without],
                    Objective::Destroyed => destroys,
                };
                value >= IDLE || (must(target) && destroys >= IDLE)
            };
            let all = |set: usize| (0..count).filter(|attacker| set >> attacker & 1 == 1).all(|one| adds(set, one));
            (0..1 << count).map(all).collect()
        });
        let digits = |set: usize| {
            (0..count).filter(|attacker| set >> attacker & 1 == 1).map(|attacker| 1_u64 << (60 - 4 * attacker)).sum()
        };
        Self { battle, sums, useful: useful.collect(), spread: (0..1 << count).map(digits).collect() }
    }

    /// The value of a set on a target.
    pub(super) fn value(&self, target: usize, set: usize) -> f64 {
        match self.battle.objective {
            Objective::Points => self.sums[target].points[set],
            Objective::Destroyed => self.sums[target].destroyed[set],
        }
    }

    /// Where an attacker alone gives most, the earlier of equals; nowhere where it gives nothing.
    pub(super) fn own_target(&self, attacker: usize) -> Option<usize> {
        let mut best = None;
        for target in 0..self.sums.len() {
            let value = self.value(target, 1 << attacker);
            if value >= IDLE && best.is_none_or(|(_, most)| above(value, most)) {
                best = Some((target, value));
            }
        }
        best.map(|(target, _)| target)
    }

    /// For each set of attackers, the best ways to part it among some targets.
    pub(super) fn part(&self, targets: &[usize], token: &CancellationToken) -> Result<Vec<Best>, Cancelled> {
        let sets = self.spread.len();
        let mut parted = vec![Best(vec![Ranked::NOBODY]); sets];
        for target in targets {
            let mut next = Vec::with_capacity(sets);
            for all in 0..sets {
                token.check()?;
                let mut best = Best::default();
                // Every part of the set, itself and none of it included.
                let mut set = all;
                loop {
                    if self.useful[*target][set] {
                        let value = self.value(*target, set);
                        for rest in &parted[all & !set].0 {
                            best.offer(rest.with(*target, self.spread[set], value), false);
                        }
                    }
                    if set == 0 {
                        break;
                    }
                    set = (set - 1) & all;
                }
                next.push(best);
            }
            parted = next;
        }
        Ok(parted)
    }

    /// The best plan and the next ones.
    pub(super) fn find(&self, token: &CancellationToken) -> Result<Found, Cancelled> {
        let all: Vec<usize> = (0..self.sums.len()).collect();
        if let Some(must) = &self.battle.must {
            let together = Together::new(self, must, token)?;
            if together.highest() > 0.0 {
                let not_reached = together.highest() < must.chance - EQUAL;
                let plans = together.find(not_reached, token)?;
                return Ok(Found { plans, not_reached, must_left_out: false });
            }
        }
        let plans = self.part(&all, token)?.pop().map_or_else(Vec::new, |best| best.0);
        Ok(Found { plans, not_reached: false, must_left_out: self.battle.must.is_some() })
    }
}

/// The set of each target.
pub(super) fn sets(plan: &[Option<usize>], targets: usize) -> Vec<usize> {
    let mut sets = vec![0; targets];
    for (attacker, target) in plan.iter().enumerate() {
        if let Some(target) = target {
            sets[*target] |= 1 << attacker;
        }
    }
    sets
}
