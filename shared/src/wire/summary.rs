//! Chances and distributions as answers.
use crate::odds::distribution::Distribution;
use crate::odds::number::{Exact, Number};
use crate::report::saying::unproven;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Rows at the ends of a distribution that are less likely than this are left off.
const NEGLIGIBLE: f64 = 1e-300;

/// A chance on its own.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Chance {
    /// From 0 to 1.
    #[schema(minimum = 0, maximum = 1)]
    pub chance: f64,
    /// The exact value in lowest terms, where it was worked out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(example = "5/36")]
    pub fraction: Option<String>,
}

/// A distribution: its mean, its standard deviation, and a row for each value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Summary {
    /// The mean.
    pub expected: f64,
    /// The standard deviation.
    pub deviation: f64,
    /// From the lowest value that can happen to the highest, without gaps.
    pub distribution: Vec<Row>,
}

/// One value of a distribution.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Row {
    /// The value.
    pub value: i64,
    /// The chance of exactly this value.
    #[schema(minimum = 0, maximum = 1)]
    pub chance: f64,
    /// The chance of this value or more.
    #[schema(minimum = 0, maximum = 1)]
    pub at_least: f64,
    /// The exact chance, on request.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(example = "5/36")]
    pub fraction: Option<String>,
}

impl<N: Number> From<&N> for Chance {
    fn from(value: &N) -> Self {
        // Rounding may leave a double a hair above certainty.
        Self { chance: value.to_f64().min(1.0), fraction: value.exact().map(|exact| exact.to_string()) }
    }
}

impl Chance {
    /// The chance with its fraction, whatever the answer is worked out in.
    pub fn with_fraction(chance: f64, exact: &Exact) -> Self {
        Self { chance, fraction: Some(exact.to_string()) }
    }
}

impl Summary {
    /// Whether it comes to one value only.
    pub fn is_sure(&self) -> bool {
        self.distribution.len() == 1
    }

    /// The chance of `value` or more: 1 only where nothing less can come, whatever a double rounds to.
    pub fn at_least(&self, value: u64) -> f64 {
        let value = i64::try_from(value).unwrap_or(i64::MAX);
        let reaches = |row: &&Row| row.value >= value;
        let chance = self.distribution.iter().find(reaches).map_or(0.0, |row| row.at_least);
        if self.distribution.first().is_some_and(|row| reaches(&row)) { 1.0 } else { unproven(chance) }
    }

    /// The highest value that can come; 0 where it is below.
    pub fn highest(&self) -> u64 {
        self.distribution.last().map_or(0, Row::count)
    }

    /// The lowest value that can come; 0 where it is below.
    pub fn lowest(&self) -> u64 {
        self.distribution.first().map_or(0, Row::count)
    }

    /// The largest value that is reached at least half of the time; 0 where it is below.
    pub fn median(&self) -> u64 {
        self.distribution.iter().rev().find(|row| row.at_least >= 0.5).map_or(0, Row::count)
    }
}

impl Row {
    /// Its value where things are counted, of which there are no fewer than none.
    pub fn count(&self) -> u64 {
        u64::try_from(self.value).unwrap_or(0)
    }
}

impl<N: Number> From<&Distribution<N>> for Summary {
    fn from(of: &Distribution<N>) -> Self {
        let mut rows = Vec::with_capacity(of.chances().len());
        let mut at_least = N::zero();
        for (value, chance) in of.iter().collect::<Vec<_>>().into_iter().rev() {
            at_least.add(chance);
            rows.push(Row {
                value,
                chance: chance.to_f64().min(1.0),
                at_least: at_least.to_f64().min(1.0),
                fraction: chance.exact().map(|exact| exact.to_string()),
            });
        }
        rows.reverse();
        if rows.first().is_some_and(|row| row.fraction.is_none()) {
            let first = rows.iter().position(|row| row.chance >= NEGLIGIBLE).unwrap_or(0);
            let last = rows.iter().rposition(|row| row.chance >= NEGLIGIBLE).unwrap_or(0);
            rows.truncate(last + 1);
            rows.drain(..first);
            // The lowest value or more is certain, whatever rounding makes of the sum.
            if let Some(lowest) = rows.first_mut() {
                lowest.at_least = 1.0;
            }
        }
        Self { expected: of.expected(), deviation: of.deviation(), distribution: rows }
    }
}

#[cfg(test)]
mod tests {
    use super::{Row, Summary};

    /// A roll of three faces, less two.
    fn below_zero() -> Summary {
        let row = |value, at_least| Row { value, chance: 1.0 / 3.0, at_least, fraction: None };
        Summary {
            expected: 0.0,
            deviation: 0.8,
            distribution: vec![row(-1, 1.0), row(0, 2.0 / 3.0), row(1, 1.0 / 3.0)],
        }
    }

    #[test]
    fn totals_may_lie_below_nothing() {
        let text = serde_json::to_string(&below_zero()).expect("a summary is JSON");
        let total: Summary = serde_json::from_str(&text).expect("and is read back");
        assert_eq!(total, below_zero());
        assert_eq!((total.lowest(), total.highest(), total.is_sure()), (0, 1, false));
        assert_eq!((total.at_least(0), total.at_least(1), total.at_least(2)), (2.0 / 3.0, 1.0 / 3.0, 0.0));
        assert_eq!(total.median(), 0);
    }
}
