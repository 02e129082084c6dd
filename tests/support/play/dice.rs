//! Dice expressions, read and thrown.
use super::{Luck, number};
use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{ToPrimitive, Zero};
use serde_json::Value;

/// `N`, `NdS`, `NdS+K`, or an odd die given by its distribution.
#[derive(Clone, Debug)]
pub enum Dice {
    Group { count: u32, sides: u32, plus: i64 },
    Odd { values: Vec<i64>, weights: Vec<u64> },
}

impl Dice {
    /// A fixed number.
    pub fn fixed(value: u32) -> Self {
        Self::Group { count: 0, sides: 1, plus: i64::from(value) }
    }

    /// `1dS`.
    pub fn one(sides: u32) -> Self {
        Self::Group { count: 1, sides, plus: 0 }
    }

    /// From the field, or the default where it is absent.
    pub fn field(of: &Value, name: &str, default: Self) -> Self {
        of.get(name).filter(|v| !v.is_null()).map_or(default, Self::read)
    }

    /// From its JSON.
    pub fn read(value: &Value) -> Self {
        match value {
            Value::Number(n) => Self::fixed(u32::try_from(n.as_u64().expect("whole")).expect("small")),
            Value::String(text) => Self::parse(text),
            _ => Self::odd(value["distribution"].as_array().expect("dice or a distribution")),
        }
    }

    fn parse(text: &str) -> Self {
        let text = text.to_lowercase();
        let Some((count, rest)) = text.split_once('d') else { return Self::fixed(text.parse().expect("a number")) };
        let (sides, plus) = match rest.split_once(['+', '-']) {
            Some((sides, k)) => (sides, k.parse::<i64>().expect("K") * if rest.contains('-') { -1 } else { 1 }),
            None => (rest, 0),
        };
        let count = if count.is_empty() { 1 } else { count.parse().expect("N") };
        Self::Group { count, sides: sides.parse().expect("S"), plus }
    }

    fn odd(rows: &[Value]) -> Self {
        let chances: Vec<_> = rows.iter().map(number::chance).collect();
        let common = chances.iter().fold(BigInt::from(1), |so_far, c| so_far.lcm(c.denom()));
        let weight =
            |c: &num_rational::BigRational| (c.numer() * (&common / c.denom())).to_u64().expect("a weight that fits");
        let values = rows.iter().map(|row| row["value"].as_i64().expect("a value"));
        let (values, weights) = values.zip(&chances).filter(|(_, c)| !c.is_zero()).map(|(v, c)| (v, weight(c))).unzip();
        Self::Odd { values, weights }
    }

    /// The faces shown. An odd die shows its value; a fixed number shows nothing.
    pub fn throw(&self, luck: &mut dyn Luck) -> Vec<i64> {
        match self {
            Self::Group { count, sides, .. } => (0..*count).map(|_| i64::from(luck.even(*sides)) + 1).collect(),
            Self::Odd { values, weights } => vec![values[luck.weighted(weights)]],
        }
    }

    /// What is added to the faces.
    pub fn plus(&self) -> i64 {
        match self {
            Self::Group { plus, .. } => *plus,
            Self::Odd { .. } => 0,
        }
    }

    /// The total of a throw, never below 0.
    pub fn total(&self, luck: &mut dyn Luck) -> i64 {
        (self.throw(luck).iter().sum::<i64>() + self.plus()).max(0)
    }

    /// The highest face of one die.
    pub fn sides(&self) -> i64 {
        match self {
            Self::Group { sides, .. } => i64::from(*sides),
            Self::Odd { values, .. } => *values.iter().max().expect("a value"),
        }
    }
}
