//! How unusual a result is that happened.
use super::distribution::Distribution;
use super::number::Number;

/// A value held against its distribution.
#[derive(Clone, Debug, PartialEq)]
pub struct Luck<N> {
    /// The chance of exactly this value.
    pub exactly: N,
    /// Of this value or less.
    pub at_most: N,
    /// Of this value or more.
    pub at_least: N,
}

impl<N: Number> Luck<N> {
    /// Where `value` stands in the distribution; it need not be one that can happen.
    ///
    /// # Formula
    /// `at_most + at_least = 1 + exactly`; each tail is summed from its own far end.
    pub fn of(distribution: &Distribution<N>, value: i64) -> Self {
        Self {
            exactly: distribution.chance(value),
            at_most: distribution.at_most(value),
            at_least: distribution.at_least(value),
        }
    }
}
