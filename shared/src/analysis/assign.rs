//! Who attacks whom: the best of all ways to send attackers to targets.
//!
//! Those on one target act one after another, each compiled for what stands when it acts. What comes of every set of
//! attackers on a target is worked out from the set without its last one (`ground`); then the best partition is looked for
//! over all of them (`partition`, and `together` where some targets must be destroyed).
mod ground;
mod partition;
mod together;
mod why;
pub use why::Idle;

use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::Target;
use crate::odds::price::{self, Work};
use crate::points::instance_cost;
use crate::rules::compile::{CompileError, compile};
use crate::rules::losses::marks_that_matter;
use crate::rules::matchup::{Matchup, Situation, UnitInstance};
use crate::rules::model::Pack;
use ground::{Ground, Sums};
use partition::Search;
use std::sync::Arc;

/// The most attackers and the most targets.
pub const MOST: (usize, usize) = (12, 8);

/// Values and chances that lie no further apart are equal; of large values, in proportion.
const EQUAL: f64 = 1e-12;

/// Who adds less than this is sent nowhere.
const IDLE: f64 = 1e-9;

/// What makes one plan better than another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Objective {
    /// The mean of the points destroyed.
    #[default]
    Points,
    /// The mean of the targets destroyed.
    Destroyed,
}

/// Targets that must be destroyed.
#[derive(Clone, Debug, PartialEq)]
pub struct Must {
    /// Which, by index.
    pub targets: Vec<usize>,
    /// The least chance that all of them are.
    pub chance: f64,
}

/// Attackers and targets on a table.
#[derive(Clone, Debug)]
pub struct Battle {
    /// The pack of all units.
    pub pack: Arc<Pack>,
    /// Those who attack, in the order in which they act.
    pub attackers: Vec<UnitInstance>,
    /// Those who may be attacked.
    pub targets: Vec<UnitInstance>,
    /// For each attacker, the situation of its attack on each target; nothing where it cannot attack it.
    pub situations: Vec<Vec<Option<Situation>>>,
    /// What is looked for.
    pub objective: Objective,
    /// What must be destroyed.
    pub must: Option<Must>,
}

/// For each attacker, its target.
pub type Plan = Vec<Option<usize>>;

/// What becomes of one target.
#[derive(Clone, Debug, PartialEq)]
pub struct Fate {
    /// Those who attack it, by index.
    pub attackers: Vec<usize>,
    /// The mean of the points destroyed.
    pub points: f64,
    /// The chance of losing 0, 1, 2 … models or points of structure.
    pub lost: Vec<f64>,
    /// The chance that nothing is left.
    pub destroyed: f64,
}

/// The best plan, and what stands beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Assignment {
    /// The best plan.
    pub plan: Plan,
    /// Its value by the objective.
    pub expected: f64,
    /// What each attacker adds to the value, the others acting as they do.
    pub adds: Vec<f64>,
    /// What becomes of each target.
    pub fates: Vec<Fate>,
    /// The plan in which each takes the target where it alone gives most.
    pub on_its_own: (Plan, f64),
    /// The next best plans.
    pub others: Vec<(Plan, f64)>,
    /// Attackers that are sent nowhere, and why.
    pub idle: Vec<(usize, Idle)>,
    /// With targets that must be destroyed: the chance that all of them are; nothing where that was left out.
    pub must_chance: Option<f64>,
    /// No plan reaches the chance that was wanted.
    pub not_reached: bool,
    /// No plan destroys them all, so they do not count.
    pub must_left_out: bool,
    /// For each attacker and each target, points and chance of destroying it where nobody else attacks.
    pub alone: Vec<Vec<(f64, f64)>>,
}

impl Battle {
    /// One attack at the start.
    fn matchup(&self, attacker: usize, target: usize, situation: &Situation) -> Matchup {
        Matchup {
            pack: self.pack.clone(),
            attacker: self.attackers[attacker].clone(),
            target: self.targets[target].clone(),
            situation: situation.clone(),
            with: Vec::new(),
            without: Vec::new(),
        }
    }

    /// The points of a target before anything of it was lost.
    pub fn price_of(&self, target: usize) -> u64 {
        let target = &self.targets[target];
        instance_cost(&self.pack, &UnitInstance { models: target.whole.max(target.models), ..target.clone() })
    }

    /// About how much work the answer is.
    ///
    /// # Errors
    /// Pairs, by attacker and target, that make no chain. Who has no weapon is idle instead.
    pub fn price(&self) -> Result<Work, Vec<(usize, usize, CompileError)>> {
        // Compiling a chain, in multiplications.
        const COMPILING: u64 = 20_000;
        let marks = Work::doubled(marks_that_matter(&self.pack).len());
        let subsets = Work::doubled(self.attackers.len());
        let (mut sum, mut wrong) = (Work::new(10_000), Vec::new());
        for target in 0..self.targets.len() {
            let mut most = Work::ONE;
            for attacker in 0..self.attackers.len() {
                let Some(situation) = &self.situations[attacker][target] else { continue };
                match compile(&self.matchup(attacker, target, situation)) {
                    Ok(compiled) => {
                        let (states, wider) = match compiled.chain.target() {
                            Target::Soldiers(_) => (Work::from(compiled.chain.target().capacity()) + 1, Work::ONE),
                            Target::Armoured(_) => {
                                ((Work::from(compiled.chain.target().capacity()) + 1) * marks, marks)
                            }
                        };
                        sum += (price::chain(&compiled.chain, false, false) * wider + COMPILING) * states;
                        most = most.max(states);
                    }
                    Err(CompileError::NoWeapon(_)) => {}
                    Err(error) => wrong.push((attacker, target, error)),
                }
            }
            // A chance goes to half of all states at most, for every set of attackers.
            sum += subsets * most * most;
        }
        let partitions = Work::new(3).power(u32::try_from(self.attackers.len()).unwrap_or(u32::MAX));
        sum += partitions * Work::from(self.targets.len()) * 8;
        let must = self.must.as_ref().map_or(0, |must| must.targets.len());
        // Where targets must be destroyed, in the worst case every way to serve them is followed: each attacker goes to
        // one of them or to none.
        if must > 0 {
            let attackers = u32::try_from(self.attackers.len()).unwrap_or(u32::MAX);
            sum += (Work::from(must) + 1).power(attackers) * 8 + partitions * Work::from(must) * 20;
        }
        if wrong.is_empty() { Ok(sum) } else { Err(wrong) }
    }

    /// The best plan.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    pub fn assign(&self, token: &CancellationToken) -> Result<Assignment, Cancelled> {
        let mut ground = Ground::new(self);
        let mut sums: Vec<Sums> = Vec::with_capacity(self.targets.len());
        for target in 0..self.targets.len() {
            let alike = (0..target).find(|other| ground.is_alike(*other, target));
            sums.push(match alike {
                Some(other) => sums[other].clone(),
                None => ground.sums(target, token)?,
            });
        }
        let search = Search::new(self, &sums);
        let found = search.find(token)?;
        let best = &found.plans[0];
        let plan = best.plan(self.attackers.len());
        let sets = partition::sets(&plan, self.targets.len());
        let value = |target: usize, set: usize| search.value(target, set);
        let adds = plan.iter().enumerate().map(|(attacker, target)| {
            target.map_or(0.0, |target| {
                let set = sets[target];
                value(target, set) - value(target, set & !(1 << attacker))
            })
        });
        let own: Plan = (0..self.attackers.len()).map(|attacker| search.own_target(attacker)).collect();
        let own_sets = partition::sets(&own, self.targets.len());
        let own_value = own_sets.iter().enumerate().map(|(target, set)| value(target, *set)).sum();
        let total = |sets: &[usize]| sets.iter().enumerate().map(|(target, set)| value(target, *set)).sum::<f64>();
        let mut fates = Vec::with_capacity(self.targets.len());
        for (target, set) in sets.iter().enumerate() {
            let attackers = (0..self.attackers.len()).filter(|attacker| set >> attacker & 1 == 1).collect();
            fates.push(Fate {
                attackers,
                points: sums[target].points[*set],
                lost: ground.lost(target, *set, token)?,
                destroyed: sums[target].destroyed[*set],
            });
        }
        let idle = (0..plan.len()).filter(|attacker| plan[*attacker].is_none());
        let must = self.must.as_ref().filter(|_| !found.must_left_out);
        let alone = |attacker: usize| -> Vec<(f64, f64)> {
            sums.iter().map(|sums| (sums.points[1 << attacker], sums.destroyed[1 << attacker])).collect()
        };
        Ok(Assignment {
            expected: total(&sets),
            adds: adds.collect(),
            idle: idle.map(|attacker| (attacker, why::idle(self, &sums, attacker))).collect(),
            must_chance: must
                .map(|must| must.targets.iter().map(|target| sums[*target].destroyed[sets[*target]]).product()),
            not_reached: found.not_reached,
            must_left_out: found.must_left_out,
            others: (found.plans[1..].iter())
                .map(|plan| {
                    let plan = plan.plan(self.attackers.len());
                    let value = total(&partition::sets(&plan, self.targets.len()));
                    (plan, value)
                })
                .collect(),
            on_its_own: (own, own_value),
            alone: (0..self.attackers.len()).map(alone).collect(),
            plan,
            fates,
        })
    }
}

/// Whether the first value is the larger one; within rounding neither is.
fn above(one: f64, other: f64) -> bool {
    one > other + EQUAL * one.abs().max(1.0)
}
