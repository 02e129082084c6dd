//! A list as an integer programme: how many of each candidate, under every limit of the pack.
//!
//! Solved stage by stage: first the objective; then, of equals, the higher total; then the fewer points and, of equals, the
//! fewer units.
use super::programme::{Programme, Run, Sum, merged, search};
use super::{Candidate, Objective, Order, Value};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::points::Line;
use crate::rules::model::Pack;
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// A value may fall below the best one by this share of it while equals are told apart.
const EQUAL: f64 = 1e-9;
/// A limit that a list keeps to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The points.
    Points,
    /// There is something in it.
    NotEmpty,
    /// The fewest units.
    UnitsLeast,
    /// The most units.
    UnitsMost,
    /// The most of one unit.
    UnitMost(usize),
    /// A unit that stands with another only.
    Requires(usize),
    /// Two units that do not stand together.
    Excludes(usize, usize),
    /// The fewest slots of a role.
    RoleLeast(usize),
    /// The most slots of a role.
    RoleMost(usize),
    /// The largest share of a role.
    ShareMost(usize),
    /// The smallest share of a role.
    ShareLeast(usize),
}

/// What a search ended with.
pub(super) enum Solved {
    /// How many of each candidate, and the most that the objective could be.
    Best(Vec<u32>, f64),
    /// No list keeps to all limits.
    Nothing,
    /// It was not settled in time.
    Unknown,
}

/// Everything that a programme is made from.
pub(super) struct Model<'a> {
    pub(super) pack: &'a Pack,
    pub(super) order: &'a Order,
    pub(super) candidates: &'a [Candidate],
    pub(super) values: &'a [Value],
    pub(super) kept: &'a [(Line, Value)],
    pub(super) groups: (bool, bool),
    /// Plans that were found before.
    pub(super) before: Vec<Vec<u32>>,
}

/// What a stage looks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stage {
    Any,
    Objective,
    Total,
    /// The fewer points, each of them more than any number of units.
    Cheapest,
}

/// What a point weighs against a unit where the cheapest list is looked for: more than any list has units.
const POINT: f64 = 10_000.0;

/// What was reached in the stages before, each with how.
type Reached = Vec<(Stage, f64)>;

impl Model<'_> {
    /// The objective of a list.
    pub(super) fn primary(&self, value: &Value) -> f64 {
        match (self.order.objective, self.groups) {
            (Objective::Balanced, (true, true)) => value.soldiers.min(value.armour),
            (Objective::Balanced, (true, false)) => value.soldiers,
            (Objective::Balanced, (false, true)) => value.armour,
            _ => value.total,
        }
    }

    /// The best list, given the plans before.
    pub(super) fn solve(&self, token: &CancellationToken) -> Result<Solved, Cancelled> {
        let needless = self.needless();
        let mut reached: Reached = Vec::new();
        let mut best: Option<(Vec<u32>, f64)> = None;
        let stages: &[Stage] = match self.order.objective {
            Objective::Balanced => &[Stage::Objective, Stage::Total, Stage::Cheapest],
            Objective::Total => &[Stage::Objective, Stage::Cheapest],
        };
        for stage in stages {
            match self.run(*stage, &reached, (&[], &needless), token)? {
                Run::Found(counts, value, bound) => {
                    // Of what is not settled there are no equals to be told apart.
                    let settled = (bound - value).abs() <= EQUAL * value.abs().max(1.0);
                    best = Some((counts, best.map_or(bound, |(_, bound)| bound)));
                    if !settled {
                        break;
                    }
                    reached.push((*stage, value));
                }
                Run::Impossible if best.is_none() => return Ok(Solved::Nothing),
                Run::Unknown if best.is_none() => return Ok(Solved::Unknown),
                // Rounding: what was found before stands.
                Run::Impossible | Run::Unknown => break,
            }
        }
        Ok(best.map_or(Solved::Unknown, |(counts, bound)| Solved::Best(counts, bound)))
    }

    /// Whether any list keeps to the limits without some of them.
    pub(super) fn is_possible(&self, without: &[Limit], token: &CancellationToken) -> Result<bool, Cancelled> {
        Ok(!matches!(self.run(Stage::Any, &Vec::new(), (without, &self.needless()), token)?, Run::Impossible))
    }

    fn sum(&self, counts: &[Variable], of: impl Fn(&Line, &Value, u64) -> f64) -> Sum {
        let each = self.candidates.iter().zip(self.values).zip(counts);
        let terms = each.map(|((one, value), variable)| (*variable, of(&one.line, value, one.points)));
        let kept = self.kept.iter().map(|(line, value)| {
            let one = Line { count: 1, ..line.clone() };
            of(&one, value, super::cost(self.pack, &one)) * f64::from(line.count)
        });
        Sum { terms: terms.filter(|(_, factor)| *factor != 0.0).collect(), fixed: kept.sum() }
    }

    fn run(
        &self,
        stage: Stage,
        reached: &Reached,
        (without, needless): (&[Limit], &[bool]),
        token: &CancellationToken,
    ) -> Result<Run, Cancelled> {
        let direction =
            if stage == Stage::Cheapest { OptimizationDirection::Minimize } else { OptimizationDirection::Maximize };
        let mut programme = Programme { problem: Problem::new(direction), counts: Vec::new() };
        let balanced = self.order.objective == Objective::Balanced && self.groups == (true, true);
        for ((one, value), needless) in self.candidates.iter().zip(self.values).zip(needless) {
            let factor = match stage {
                Stage::Any => 0.0,
                Stage::Objective if balanced => 0.0,
                Stage::Objective => self.primary(value),
                Stage::Total => value.total,
                Stage::Cheapest => one.points as f64 * POINT + 1.0,
            };
            let most = if *needless { 0 } else { self.most_of(one) };
            programme.counts.push(programme.problem.add_integer_var(factor, (0, most)));
        }
        let counts = programme.counts.clone();
        for (limit, sum, op, bound) in self.limits(&mut programme) {
            if !without.contains(&limit) {
                programme.limit(&sum, op, bound);
            }
        }
        self.others(&mut programme);
        if balanced && (stage == Stage::Objective || reached.iter().any(|(stage, _)| *stage == Stage::Objective)) {
            let factor = if stage == Stage::Objective { 1.0 } else { 0.0 };
            let smallest = programme.problem.add_var(factor, (0.0, f64::INFINITY));
            for of in [|value: &Value| value.soldiers, |value: &Value| value.armour] {
                let mut sum = self.sum(&counts, |_, value, _| of(value));
                sum.terms.push((smallest, -1.0));
                programme.limit(&sum, ComparisonOp::Ge, 0.0);
            }
            if let Some((_, value)) = reached.iter().find(|(stage, _)| *stage == Stage::Objective) {
                let sum = Sum { terms: vec![(smallest, 1.0)], fixed: 0.0 };
                programme.limit(&sum, ComparisonOp::Ge, value * (1.0 - EQUAL));
            }
        }
        for (before, value) in reached {
            let sum = match before {
                Stage::Objective if balanced => continue,
                Stage::Objective => self.sum(&counts, |_, value, _| self.primary(value)),
                Stage::Total => self.sum(&counts, |_, value, _| value.total),
                Stage::Any | Stage::Cheapest => continue,
            };
            programme.limit(&sum, ComparisonOp::Ge, value * (1.0 - EQUAL));
        }
        let fixed = match stage {
            Stage::Any | Stage::Cheapest => 0.0,
            Stage::Objective if balanced => 0.0,
            Stage::Objective => self.sum(&[], |_, value, _| self.primary(value)).fixed,
            Stage::Total => self.sum(&[], |_, value, _| value.total).fixed,
        };
        search(&programme, fixed, token)
    }

    /// How many of a candidate there can be at most.
    fn most_of(&self, one: &Candidate) -> i32 {
        let unit = &self.pack.units[one.line.unit];
        let alike = unit.most.or(self.pack.limits.most_alike);
        let paid = u64::from(self.order.limit).checked_div(one.points).unwrap_or(1_000);
        let most = [alike.map(u64::from), self.pack.limits.most_units.map(u64::from), Some(paid), Some(1_000)];
        most.into_iter().flatten().min().and_then(|most| i32::try_from(most).ok()).unwrap_or(1_000)
    }

    /// Each earlier plan lacks at least two lines of the next.
    fn others(&self, programme: &mut Programme) {
        if self.before.is_empty() {
            return;
        }
        let counts = programme.counts.clone();
        let mut fresh = Sum::default();
        for (at, count) in counts.iter().enumerate() {
            let known = self.before.iter().map(|plan| plan[at]).max().unwrap_or(0);
            if known == 0 {
                fresh.terms.push((*count, 1.0));
                continue;
            }
            // What goes beyond the most of any plan before counts, and only then.
            let most = self.most_of(&self.candidates[at]).max(1);
            let beyond = programme.problem.add_integer_var(0.0, (0, most));
            let is_beyond = programme.problem.add_binary_var(0.0);
            let under = [(beyond, 1.0), (is_beyond, -f64::from(most))];
            programme.problem.add_constraint(under, ComparisonOp::Le, 0.0);
            let over = [(beyond, 1.0), (*count, -1.0), (is_beyond, f64::from(known))];
            programme.problem.add_constraint(over, ComparisonOp::Le, 0.0);
            fresh.terms.push((beyond, 1.0));
        }
        programme.limit(&fresh, ComparisonOp::Ge, 2.0);
    }

    /// Every limit that list-points knows.
    fn limits(&self, programme: &mut Programme) -> Vec<(Limit, Sum, ComparisonOp, f64)> {
        use ComparisonOp::{Ge, Le};
        let (pack, counts, limit) = (self.pack, programme.counts.clone(), f64::from(self.order.limit));
        let mut all = vec![
            (Limit::Points, self.sum(&counts, |_, _, points| points as f64), Le, limit),
            (Limit::NotEmpty, self.sum(&counts, |_, _, _| 1.0), Ge, 1.0),
        ];
        let units = self.sum(&counts, |_, _, _| 1.0);
        if pack.limits.least_units > 0 {
            all.push((Limit::UnitsLeast, units.clone(), Ge, f64::from(pack.limits.least_units)));
        }
        if let Some(most) = pack.limits.most_units {
            all.push((Limit::UnitsMost, units, Le, f64::from(most)));
        }
        let of_unit = |at: usize| self.sum(&counts, |line, _, _| f64::from(u8::from(line.unit == at)));
        // Whether a unit stands in the list, for those of which somebody asks.
        let asked = |at: usize| {
            let asks = |unit: &crate::rules::model::unit::Unit| unit.bars_unit.contains(&at);
            !pack.units[at].needs_unit.is_empty() || !pack.units[at].bars_unit.is_empty() || pack.units.iter().any(asks)
        };
        let mut stands: Vec<Option<Variable>> = vec![None; pack.units.len()];
        let mut slots: Vec<Sum> = vec![Sum::default(); pack.roles.len()];
        for (at, unit) in pack.units.iter().enumerate() {
            let sum = of_unit(at);
            if let Some(most) = unit.most.or(pack.limits.most_alike) {
                all.push((Limit::UnitMost(at), sum.clone(), Le, f64::from(most)));
            }
            if asked(at) {
                let here = programme.problem.add_binary_var(0.0);
                let mut under = sum.clone();
                under.terms.push((here, -self.most_of_unit(at)));
                programme.limit(&under, Le, 0.0);
                stands[at] = Some(here);
            }
            let slot = &mut slots[unit.role];
            if unit.per_slot <= 1 {
                slot.terms.extend(sum.terms);
                slot.fixed += sum.fixed;
            } else if !sum.terms.is_empty() || sum.fixed > 0.0 {
                // Slots are a ceiling: at least as many as hold them, and none of them empty.
                let per_slot = f64::from(unit.per_slot);
                let filled = programme.problem.add_integer_var(0.0, (0, 1_000));
                let mut holds = sum.clone();
                holds.terms.push((filled, -per_slot));
                programme.limit(&holds, Le, 0.0);
                programme.limit(&holds, Ge, 1.0 - per_slot);
                slot.terms.push((filled, 1.0));
            }
        }
        for (at, unit) in pack.units.iter().enumerate() {
            let Some(here) = stands[at] else { continue };
            if !unit.needs_unit.is_empty() {
                let mut sum = Sum { terms: vec![(here, -1.0)], fixed: 0.0 };
                for other in &unit.needs_unit {
                    let others = of_unit(*other);
                    sum.terms.extend(others.terms);
                    sum.fixed += others.fixed;
                }
                all.push((Limit::Requires(at), merged(sum), Ge, 0.0));
            }
            for other in &unit.bars_unit {
                let Some(there) = stands[*other] else { continue };
                let sum = Sum { terms: vec![(here, 1.0), (there, 1.0)], fixed: 0.0 };
                all.push((Limit::Excludes(at, *other), merged(sum), Le, 1.0));
            }
        }
        for (at, role) in pack.roles.iter().enumerate() {
            let points =
                self.sum(&counts, |line, _, points| if pack.units[line.unit].role == at { points as f64 } else { 0.0 });
            if role.least > 0 {
                all.push((Limit::RoleLeast(at), slots[at].clone(), Ge, f64::from(role.least)));
            }
            if let Some(most) = role.most {
                all.push((Limit::RoleMost(at), slots[at].clone(), Le, f64::from(most)));
            }
            if let Some(share) = role.most_share {
                let most = (u64::from(self.order.limit) * u64::from(share) / 100) as f64;
                all.push((Limit::ShareMost(at), points.clone(), Le, most));
            }
            if let Some(share) = role.least_share {
                let least = (u64::from(self.order.limit) * u64::from(share)).div_ceil(100) as f64;
                all.push((Limit::ShareLeast(at), points, Ge, least));
            }
        }
        all
    }

    /// The limits that there are.
    pub(super) fn all_limits(&self) -> Vec<Limit> {
        let mut programme = Programme { problem: Problem::new(OptimizationDirection::Maximize), counts: Vec::new() };
        for one in self.candidates {
            programme.counts.push(programme.problem.add_integer_var(0.0, (0, self.most_of(one))));
        }
        self.limits(&mut programme).into_iter().map(|(limit, ..)| limit).collect()
    }

    /// No list has more of a unit.
    fn most_of_unit(&self, unit: usize) -> f64 {
        let kept: u32 = self.kept.iter().filter(|(line, _)| line.unit == unit).map(|(line, _)| line.count).sum();
        let of_unit = self.candidates.iter().filter(|one| one.line.unit == unit);
        let most = of_unit.map(|one| self.most_of(one)).max().unwrap_or(0);
        f64::from(most.max(1)) + f64::from(kept)
    }

    /// Candidates that no best list needs: another of the same unit costs no more and is worth no less, and it is as new
    /// as they are. Roles that must cost a share of the points keep all of theirs.
    fn needless(&self) -> Vec<bool> {
        let known = |at: usize| self.before.iter().any(|plan| plan[at] > 0);
        let beats = |other: usize, at: usize| {
            let (one, better) = (&self.candidates[at], &self.candidates[other]);
            let (less, more) = (&self.values[at], &self.values[other]);
            let no_worse = better.points <= one.points
                && more.total >= less.total
                && more.soldiers >= less.soldiers
                && more.armour >= less.armour;
            let same = better.points == one.points && more == less;
            no_worse && (!same || other < at)
        };
        let of_unit = |unit: usize| {
            let at = |at: usize| self.candidates[at].line.unit;
            (0..self.candidates.len()).filter(move |one| at(*one) == unit)
        };
        let needless = |at: usize| {
            let unit = self.candidates[at].line.unit;
            self.pack.roles[self.pack.units[unit].role].least_share.is_none()
                && of_unit(unit).any(|other| other != at && !known(other) && beats(other, at))
        };
        (0..self.candidates.len()).map(needless).collect()
    }
}
