//! Points that somebody wrote behind a name, held against what it costs.
use super::super::{Code, List, Problem, line_cost, total};
use super::entry::option_prices;
use crate::rules::model::Pack;

/// Points that somebody wrote.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Claim {
    /// The line that says so.
    pub(super) line: u32,
    /// What is said to cost that.
    pub(super) of: Of,
    /// How many.
    pub(super) points: u32,
}

/// What points are claimed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// The whole list.
    All,
    /// A line, by index, or one unit of it, with its options or without.
    Line(usize),
    /// An option of a line.
    Option { at: usize, option: usize, times: u32 },
}

impl Claim {
    /// The problem, where nothing that could be meant costs that.
    pub(super) fn check(&self, pack: &Pack, list: &List) -> Option<Problem> {
        let of_line = |at: usize| {
            let line = list.lines.get(at)?;
            let (cost, count) = (line_cost(pack, line), u64::from(line.count));
            let label = pack.units[line.unit].named.label.clone();
            let with = cost.options.iter().fold(cost.unit, |sum, option| sum.saturating_add(*option));
            Some((label, vec![cost.total, with, cost.unit, cost.unit.saturating_mul(count)], cost.total))
        };
        let (what, costs, usual) = match self.of {
            Of::All => {
                let all = total(pack, list);
                ("the lines that were read".to_owned(), vec![all], all)
            }
            Of::Line(at) => of_line(at)?,
            Of::Option { at, option, times } => {
                let line = list.lines.get(at)?;
                let unit = &pack.units[line.unit];
                let prices = option_prices(unit, option, times, line.models, line.count);
                // Behind the last option the whole line may be meant.
                let whole = of_line(at)?;
                let said = u64::from(self.points);
                let nearer = prices[1].abs_diff(said) < whole.2.abs_diff(said) && !whole.1.contains(&said);
                if prices.contains(&said) || nearer {
                    (unit.options[option].named.label.clone(), prices.to_vec(), prices[1])
                } else {
                    whole
                }
            }
        };
        if costs.contains(&u64::from(self.points)) {
            return None;
        }
        let comes = points(usual);
        let cost = match self.of {
            Of::All => "come to",
            Of::Line(_) | Of::Option { .. } => "costs",
        };
        let text = format!("the list says {} here, and {what} {cost} {comes}", points(u64::from(self.points)));
        let mend = format!("write {usual}, or say what else belongs to it");
        Some(Problem::new(Code::PointsDiffer, Some(self.line), text, mend))
    }
}

fn points(number: u64) -> String {
    if number == 1 { "1 point".to_owned() } else { format!("{number} points") }
}
