//! The best legal lists: what a candidate is worth against a board, and which of them together keep to every limit.
//!
//! Candidates are units at a few sizes with few options (`candidates`). The best list is looked for as an integer
//! programme by a solver (`model`); where there is none, the smallest set of limits that clash is told (`clash`).
mod candidates;
mod clash;
mod model;
mod programme;
pub use candidates::{Candidate, candidates};
pub use clash::Clash;

use super::evaluator::Evaluator;
use super::league::{Given, given_against};
use crate::odds::cancellation::Cancelled;
use crate::points::{Line, List, line_cost, total};
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use model::{Model, Solved};

/// The most plans.
pub const MOST_PLANS: usize = 5;

/// A plan is proven where its value lies below the bound by no more than this share of it.
const PROVEN: f64 = 1e-6;

/// What makes one list better than another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Objective {
    /// The highest smallest sum over the groups of targets.
    #[default]
    Balanced,
    /// The highest sum over all targets.
    Total,
}

/// Whom a list is built against.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// The unit.
    pub unit: UnitInstance,
    /// Its points.
    pub points: u64,
    /// How much it counts.
    pub weight: f64,
    /// Whether it is armoured.
    pub armoured: bool,
}

/// What is looked for.
#[derive(Clone, Debug)]
pub struct Order {
    /// The points limit.
    pub limit: u32,
    /// What makes one list better than another.
    pub objective: Objective,
    /// Lines that are in the list whatever else is.
    pub keep: Vec<Line>,
    /// Units, by index, that are not to be added.
    pub exclude: Vec<usize>,
    /// How many plans.
    pub plans: usize,
}

/// Values of a line or a list.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Value {
    /// The weighted mean over all targets.
    pub total: f64,
    /// Over soldiers, where there are any.
    pub soldiers: f64,
    /// Over armour, where there is any.
    pub armour: f64,
}

impl Value {
    /// The weighted means of what one unit gives against each target.
    fn of(given: &[Given], targets: &[Target]) -> Self {
        let mean = |counts: &dyn Fn(&Target) -> bool| {
            let all = || given.iter().zip(targets).filter(|(_, target)| counts(target));
            let weight: f64 = all().map(|(_, target)| target.weight).sum();
            let sum: f64 = all().map(|(given, target)| given.value * target.weight).sum();
            if weight > 0.0 { sum / weight } else { 0.0 }
        };
        let total = mean(&|_| true);
        Self { total, soldiers: mean(&|target| !target.armoured), armour: mean(&|target| target.armoured) }
    }

    fn add(&mut self, other: &Self, times: u32) {
        let times = f64::from(times);
        self.total += other.total * times;
        self.soldiers += other.soldiers * times;
        self.armour += other.armour * times;
    }
}

/// One list.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Its lines: those kept first, then those added.
    pub lines: Vec<(Line, Value)>,
    /// What it costs.
    pub total: u64,
    /// What it is worth.
    pub value: Value,
    /// The most that any legal list could reach, given the plans before.
    pub bound: f64,
    /// Whether no list is better.
    pub proven: bool,
}

/// What was found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Built {
    /// The plans, the best first.
    pub plans: Vec<Plan>,
    /// Where there is none: the limits that clash.
    pub clash: Vec<Clash>,
    /// How many candidates there were.
    pub candidates: usize,
}

/// The kinds of targets that there are: soldiers, armour.
pub fn groups(targets: &[Target]) -> (bool, bool) {
    (targets.iter().any(|target| !target.armoured), targets.iter().any(|target| target.armoured))
}

/// One unit of a line.
fn instance(line: &Line) -> UnitInstance {
    UnitInstance { unit: line.unit, models: line.models, options: line.options.clone(), ..UnitInstance::default() }
}

/// The best legal lists of a pack against some targets.
///
/// # Errors
/// [`Cancelled`] where the token was called meanwhile.
pub fn build(evaluator: &Evaluator<'_>, order: &Order, targets: &[Target]) -> Result<Built, Cancelled> {
    let pack: &Pack = evaluator.pack;
    let board: Vec<(UnitInstance, u64)> = targets.iter().map(|target| (target.unit.clone(), target.points)).collect();
    let all = candidates(pack, order);
    evaluator.token.expect((all.len() + order.keep.len()) as u64);
    let worth = |line: &Line| -> Result<Value, Cancelled> {
        let given = given_against(evaluator, &instance(line), &board)?;
        evaluator.token.step();
        Ok(Value::of(&given, targets))
    };
    let values = all.iter().map(|one| worth(&one.line)).collect::<Result<Vec<Value>, _>>()?;
    let kept = order.keep.iter().map(|line| Ok((line.clone(), worth(line)?))).collect::<Result<Vec<_>, Cancelled>>()?;
    let mut model = Model {
        pack,
        order,
        candidates: &all,
        values: &values,
        kept: &kept,
        groups: groups(targets),
        before: Vec::new(),
    };
    let mut built = Built { candidates: all.len(), ..Built::default() };
    for _ in 0..order.plans {
        match model.solve(evaluator.token)? {
            Solved::Best(counts, bound) => {
                built.plans.push(plan(&model, &counts, bound));
                model.before.push(counts);
            }
            Solved::Nothing if built.plans.is_empty() => {
                built.clash = clash::smallest(&model, evaluator.token)?;
                break;
            }
            Solved::Nothing | Solved::Unknown => break,
        }
    }
    Ok(built)
}

/// A list from how many of each candidate it takes.
fn plan(model: &Model<'_>, counts: &[u32], bound: f64) -> Plan {
    let mut lines: Vec<(Line, Value)> = model.kept.to_vec();
    let taken = counts.iter().enumerate().filter(|(_, count)| **count > 0);
    lines.extend(
        taken.map(|(at, count)| (Line { count: *count, ..model.candidates[at].line.clone() }, model.values[at])),
    );
    for (at, (line, _)) in lines.iter_mut().enumerate() {
        line.number = at as u32 + 1;
    }
    let mut value = Value::default();
    lines.iter().for_each(|(line, each)| value.add(each, line.count));
    let reached = model.primary(&value);
    // A bound below what is there is rounding.
    let bound = bound.max(reached);
    let list = List { limit: model.order.limit, lines: lines.iter().map(|(line, _)| line.clone()).collect() };
    Plan { total: total(model.pack, &list), lines, value, bound, proven: reached >= bound * (1.0 - PROVEN) }
}

/// What one line costs.
pub(crate) fn cost(pack: &Pack, line: &Line) -> u64 {
    line_cost(pack, line).total
}
