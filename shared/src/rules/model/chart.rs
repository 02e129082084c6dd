//! Charts: from what stands on the table to a need, a number or dice.
use super::{
    Named,
    stat::{Axis, Scope, Value},
    sum::Sum,
};

/// A chart of the pack.
#[derive(Clone, Debug)]
pub struct ChartPlan {
    /// What it is called.
    pub named: Named,
    /// How it is read.
    pub rows: Rows,
}

/// How a chart is read.
#[derive(Clone, Debug)]
pub enum Rows {
    /// By one or two entries of the table.
    Table {
        /// What is looked up, outer first.
        by: Vec<Lookup>,
        /// All cells, the outer entry's rows one after another.
        cells: Vec<Value>,
    },
    /// By a sum: the first row that fits.
    Difference(Sum, Vec<Row>),
    /// By the ratio of two sums: the first row that fits.
    Ratio(Sum, Sum, Vec<Row>),
}

/// One entry that a table is looked up by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lookup {
    /// The words of a range, cover or arc.
    Axis(Axis, usize),
    /// The words of a stat, and how many there are.
    Words(Scope, usize, usize),
    /// A stat that holds a number: the highest of these that it reaches, else the lowest.
    Numbers(Scope, usize, Vec<i32>),
}

impl Lookup {
    /// How many rows it tells apart.
    pub fn len(&self) -> usize {
        match self {
            Self::Axis(_, count) | Self::Words(_, _, count) => *count,
            Self::Numbers(_, _, numbers) => numbers.len(),
        }
    }

    /// Whether it tells nothing apart.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A row of a chart by difference or by ratio.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Row {
    /// When it fits.
    pub bound: Bound,
    /// What it gives.
    pub gives: Value,
}

/// When a row fits; the number is a fraction `top / bottom`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// This or more.
    AtLeast(i32, i32),
    /// More than this.
    Above(i32, i32),
    /// Just this.
    Equal(i32, i32),
    /// This or less.
    AtMost(i32, i32),
    /// Less than this.
    Below(i32, i32),
    /// Always.
    Else,
}

impl Bound {
    /// Whether `over / under` fits, for an `under` above 0.
    pub fn fits(self, over: i32, under: i32) -> bool {
        let compare = |top: i32, bottom: i32| {
            (i64::from(over) * i64::from(bottom)).cmp(&(i64::from(top) * i64::from(under.max(1))))
        };
        match self {
            Self::AtLeast(top, bottom) => compare(top, bottom).is_ge(),
            Self::Above(top, bottom) => compare(top, bottom).is_gt(),
            Self::Equal(top, bottom) => compare(top, bottom).is_eq(),
            Self::AtMost(top, bottom) => compare(top, bottom).is_le(),
            Self::Below(top, bottom) => compare(top, bottom).is_lt(),
            Self::Else => true,
        }
    }
}
