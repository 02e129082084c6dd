//! An amount of work, or a size that work comes from: counted upwards only, and never past its end.
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul};

/// An amount of work, or a size that it comes from.
///
/// Sums and products stay at [`Work::UNPAYABLE`] once they have come there: they saturate and never wrap, so that a price
/// is never smaller than what it is made of. There is no way from here to a plain number but [`Work::units`], and none
/// to a smaller number type.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Work(u64);

impl Work {
    /// None at all.
    pub const NONE: Self = Self(0);
    /// Once.
    pub const ONE: Self = Self(1);
    /// More than anybody pays, whatever the budget.
    pub const UNPAYABLE: Self = Self(u64::MAX);

    /// So many units.
    pub const fn new(units: u64) -> Self {
        Self(units)
    }

    /// The largest of the values that something takes; below zero there is nothing to do.
    pub fn of_value(value: i64) -> Self {
        Self(u64::try_from(value).unwrap_or(0))
    }

    /// The bits that a number is written with.
    pub fn bits_of(number: u32) -> Self {
        Self::from(u32::BITS.saturating_sub(number.leading_zeros()))
    }

    /// Two, so many times multiplied by itself.
    pub fn doubled(times: usize) -> Self {
        let power = u32::try_from(times).ok().and_then(|times| 1u64.checked_shl(times));
        power.map_or(Self::UNPAYABLE, Self)
    }

    /// Itself, so many times multiplied by itself.
    #[must_use]
    pub fn power(self, times: u32) -> Self {
        Self(self.0.saturating_pow(times))
    }

    /// What is left of it without `other`; nothing is left of more than anybody pays but that.
    #[must_use]
    pub fn without(self, other: Self) -> Self {
        if self == Self::UNPAYABLE { self } else { Self(self.0.saturating_sub(other.0)) }
    }

    /// The units, to be written down.
    pub const fn units(self) -> u64 {
        self.0
    }

    /// Whether a budget of so many units is enough. Nothing is enough for [`Work::UNPAYABLE`].
    pub fn is_within(self, budget: u64) -> bool {
        self != Self::UNPAYABLE && self.0 <= budget
    }
}

impl From<u32> for Work {
    fn from(size: u32) -> Self {
        Self(size.into())
    }
}

impl From<u64> for Work {
    fn from(size: u64) -> Self {
        Self(size)
    }
}

impl From<usize> for Work {
    fn from(size: usize) -> Self {
        Self(u64::try_from(size).unwrap_or(u64::MAX))
    }
}

impl Add for Work {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Add<u64> for Work {
    type Output = Self;

    fn add(self, other: u64) -> Self {
        Self(self.0.saturating_add(other))
    }
}

impl AddAssign for Work {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Mul for Work {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        Self(self.0.saturating_mul(other.0))
    }
}

impl Mul<u64> for Work {
    type Output = Self;

    fn mul(self, other: u64) -> Self {
        Self(self.0.saturating_mul(other))
    }
}

impl Div<u64> for Work {
    type Output = Self;

    /// A part of it, rounded down. A part of more than anybody pays is still that, and so is what no number divides.
    fn div(self, parts: u64) -> Self {
        if self == Self::UNPAYABLE { self } else { self.0.checked_div(parts).map_or(Self::UNPAYABLE, Self) }
    }
}

impl Sum for Work {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::NONE, |sum, one| sum + one)
    }
}

impl fmt::Display for Work {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if *self == Self::UNPAYABLE { f.write_str("far too much") } else { self.0.fmt(f) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums and products of random sizes, held against the same in numbers that are wide enough never to wrap.
    #[test]
    fn sums_and_products_never_come_out_smaller_than_they_are() {
        let mut seed = 1u64;
        let mut next = || {
            // A linear congruence, from memory; any row of numbers would do.
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            seed >> (seed >> 58)
        };
        for _ in 0..100_000 {
            let (a, b) = (next(), next());
            let wide = |wide: u128| u64::try_from(wide).unwrap_or(u64::MAX);
            assert_eq!((Work::new(a) + Work::new(b)).units(), wide(u128::from(a) + u128::from(b)));
            assert_eq!((Work::new(a) * Work::new(b)).units(), wide(u128::from(a) * u128::from(b)));
        }
    }

    #[test]
    fn what_nobody_pays_stays_so() {
        let all = Work::UNPAYABLE;
        for more in [all + Work::ONE, all * 2, all / 7, all.without(Work::new(5)), Work::ONE / 0, Work::doubled(64)] {
            assert_eq!(more, all);
        }
        assert!(!all.is_within(u64::MAX) && Work::new(7).is_within(7) && !Work::new(8).is_within(7));
        assert_eq!([all, all, Work::ONE].into_iter().sum::<Work>(), all);
        assert_eq!(Work::of_value(-4), Work::NONE);
    }
}
