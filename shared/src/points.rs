//! What a list costs, what breaks which limit, and what the points left could buy.
mod buys;
mod limits;
mod mends;
mod problems;
mod several;
mod tally;
pub mod text;
mod words;

pub use buys::{Buy, buys, ways};
pub use problems::{Code, Problem, mended, problems};

use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use crate::rules::model::unit::{Per, Unit};

/// A list of units, all names looked up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct List {
    /// The points limit.
    pub limit: u32,
    /// Its lines.
    pub lines: Vec<Line>,
}

/// One line of a list: some units alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The number that a person finds it by: of the line in a text, or in the request, from 1.
    pub number: u32,
    /// The unit, by index.
    pub unit: usize,
    /// How many such units.
    pub count: u32,
    /// Models of each.
    pub models: u32,
    /// Options of each, by index, and how often.
    pub options: Vec<(usize, u32)>,
}

/// What a line costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineCost {
    /// One unit without options.
    pub unit: u64,
    /// Each option of one unit, in the line's order.
    pub options: Vec<u64>,
    /// All of the line.
    pub total: u64,
}

/// What an option costs a unit of so many models that takes it so often.
pub fn option_cost(unit: &Unit, option: usize, times: u32, models: u32) -> u64 {
    let option = &unit.options[option];
    let paid = match option.per {
        Per::Unit | Per::Weapon => 1,
        Per::Model => models,
    };
    u64::from(option.points).saturating_mul(u64::from(times)).saturating_mul(u64::from(paid))
}

/// What a line costs.
pub fn line_cost(pack: &Pack, line: &Line) -> LineCost {
    let unit = &pack.units[line.unit];
    let options: Vec<u64> =
        line.options.iter().map(|(option, times)| option_cost(unit, *option, *times, line.models)).collect();
    let base = unit.cost(line.models);
    let one = options.iter().fold(base, |sum, option| sum.saturating_add(*option));
    LineCost { unit: base, total: one.saturating_mul(u64::from(line.count)), options }
}

/// What so many models of a unit cost with their options; more than one unit may have are several units.
pub fn instance_cost(pack: &Pack, instance: &UnitInstance) -> u64 {
    let unit = &pack.units[instance.unit];
    let units = unit.units_of(instance.models);
    let first = u64::from(unit.points) * u64::from(units);
    let more = u64::from(unit.each_more) * u64::from(instance.models.saturating_sub(units * unit.models.0));
    let option = |(option, times): &(usize, u32)| match unit.options[*option].per {
        Per::Model => option_cost(unit, *option, *times, instance.models),
        Per::Unit | Per::Weapon => option_cost(unit, *option, *times, 1) * u64::from(units),
    };
    first + more + instance.options.iter().map(option).sum::<u64>()
}

/// Whether a line breaks a limit by itself, under a limit of so many points.
pub fn is_refused(pack: &Pack, limit: u32, line: &Line) -> bool {
    !limits::of_line(pack, limit, 0, line).is_empty()
}

/// Whether a problem of this sort is one of a line by itself, whatever else the list holds.
pub fn is_of_line(code: Code) -> bool {
    use Code::{Models, OptionExcludes, OptionReplaces, OptionRequires, OptionTimes, UnitShare};
    matches!(code, Models | OptionExcludes | OptionReplaces | OptionRequires | OptionTimes | UnitShare)
}

/// What the whole list costs.
pub fn total(pack: &Pack, list: &List) -> u64 {
    list.lines.iter().map(|line| line_cost(pack, line).total).fold(0, u64::saturating_add)
}

/// What a list holds of one role.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RoleUse {
    /// Slots filled.
    pub slots: u64,
    /// Units.
    pub units: u64,
    /// Points.
    pub points: u64,
}

/// What a list holds of each role, in the pack's order. Several units that share a slot fill it together.
pub fn roles(pack: &Pack, list: &List) -> Vec<RoleUse> {
    tally::Tally::new(pack, list).roles()
}
