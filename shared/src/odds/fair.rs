//! Whether a die is fair: how often its faces came, held against how often they should.
use super::cancellation::{CancellationToken, Cancelled};
use super::number::{Exact, Number};
use dashu_int::UBig;
use dashu_int::ops::Gcd;

mod face;
mod sizes;
mod tables;
mod tail;
pub use face::two_sided;
pub(crate) use sizes::Sizes;
pub use tail::{chi_square_tail, throws_needed};

/// More throws than this nobody writes down.
pub const MOST_THROWS: u64 = 1_000_000;
/// The largest weight of a face.
pub const LARGEST_WEIGHT: u32 = 1_000_000_000;

/// The log of a die.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Log {
    seen: Vec<u32>,
    weights: Vec<u32>,
    throws: u32,
}

/// What can be wrong with a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LogError {
    /// A die of one side, or of very many.
    #[error("a die has 2 to 100 sides")]
    Sides,
    /// More throws than anybody writes down.
    #[error("at most 1000000 throws in all")]
    Throws,
    /// A face that never comes, or a weight without end; counted from 0.
    #[error("a weight is a whole number from 1 to 1000000000")]
    Weight(usize),
}

/// How a chance was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Summed over all tables of counts.
    Exact,
    /// The tail of the chi-square distribution: there are too many tables.
    ChiSquare,
}

/// The face whose number of throws is the most surprising by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceOdds {
    /// Which face, from 0.
    pub face: usize,
    /// How often it came.
    pub seen: u32,
    /// How often it should have.
    pub expected: f64,
    /// The chance of a number at most as likely as this one.
    pub chance: f64,
}

/// What a log says about its die.
#[derive(Clone, Debug, PartialEq)]
pub struct FairAnswer {
    /// The chance that a fair die brings counts at most as likely as these.
    pub chance: f64,
    /// The same exactly, where that is short enough to be worked out.
    pub fraction: Option<Exact>,
    /// How it was found.
    pub method: Method,
    /// Pearson's statistic.
    pub chi_square: f64,
    /// Its degrees of freedom.
    pub degrees: u32,
    /// The most surprising face.
    pub face: FaceOdds,
    /// How many throws it takes to find a die of these shares; nothing where chance alone makes such shares.
    pub throws_needed: Option<u64>,
}

impl Log {
    /// How often each face came, and how much each weighs; no weights say that all weigh the same.
    ///
    /// # Errors
    /// Every mistake found.
    pub fn new(seen: Vec<u32>, weights: Option<Vec<u32>>) -> Result<Self, Vec<LogError>> {
        let mut errors = Vec::new();
        if !(2..=100).contains(&seen.len()) {
            errors.push(LogError::Sides);
        }
        let throws: u64 = seen.iter().map(|seen| u64::from(*seen)).sum();
        if throws > MOST_THROWS {
            errors.push(LogError::Throws);
        }
        let mut weights = weights.unwrap_or_else(|| vec![1; seen.len()]);
        let bad = |weight: &u32| !(1..=LARGEST_WEIGHT).contains(weight);
        errors.extend(weights.iter().enumerate().filter(|(_, w)| bad(w)).map(|(at, _)| LogError::Weight(at)));
        if !errors.is_empty() {
            return Err(errors);
        }
        let common = weights.iter().fold(0, |common, weight| divisor(common, *weight));
        weights.iter_mut().for_each(|weight| *weight /= common.max(1));
        weights.resize(seen.len(), 1);
        Ok(Self { seen, weights, throws: u32::try_from(throws).unwrap_or(u32::MAX) })
    }

    /// How often each face came.
    pub fn seen(&self) -> &[u32] {
        &self.seen
    }

    /// How much each face weighs, in lowest terms.
    pub fn weights(&self) -> &[u32] {
        &self.weights
    }

    /// All the throws.
    pub fn throws(&self) -> u32 {
        self.throws
    }

    /// Whether all faces weigh the same.
    pub fn is_even(&self) -> bool {
        self.weights.iter().all(|weight| *weight == 1)
    }

    /// The weight of all faces together.
    pub fn whole(&self) -> u64 {
        self.weights.iter().map(|weight| u64::from(*weight)).sum()
    }

    /// What the log says.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    ///
    /// # Cost
    /// The number of tables, where they are few enough; for each unlike weight the number of throws.
    pub fn evaluate(&self, token: &CancellationToken) -> Result<FairAnswer, Cancelled> {
        let degrees = self.seen.len() as u32 - 1;
        let (chi_square, excess) = self.chi_square();
        let sizes = Sizes::of(self);
        let (chance, fraction) = match sizes.tables {
            None => (chi_square_tail(chi_square, degrees), None),
            Some(_) if sizes.in_fractions() => {
                let fraction = tables::exact(self, token)?;
                (fraction.to_f64(), Some(fraction))
            }
            Some(_) => (tables::doubles(self, token)?, None),
        };
        Ok(FairAnswer {
            chance: chance.min(1.0),
            fraction,
            method: if sizes.tables.is_some() { Method::Exact } else { Method::ChiSquare },
            chi_square,
            degrees,
            face: face::most_surprising(self, token)?,
            throws_needed: throws_needed(excess, degrees),
        })
    }

    /// Pearson's statistic, and by how much it passes its degrees of freedom for each throw: 0 where it does not.
    ///
    /// # Formula
    /// With `n` throws, `o` of a face and its share `p`: `sum(o^2 / p) / n - n`, in whole numbers until the end, so that
    /// what is nothing comes out as nothing.
    ///
    /// # Source
    /// Pearson, On the criterion that a given system of deviations ... (1900).
    fn chi_square(&self) -> (f64, f64) {
        if self.throws == 0 {
            return (0.0, 0.0);
        }
        let (whole, throws) = (UBig::from(self.whole()), UBig::from(self.throws));
        let mut squares = (UBig::ZERO, UBig::ONE);
        for (seen, weight) in self.seen.iter().zip(&self.weights) {
            let top = UBig::from(*seen) * *seen * &whole;
            let bottom = UBig::from(*weight);
            let common = (&squares.1).gcd(&bottom);
            squares.0 = squares.0 * (&bottom / &common) + top * (&squares.1 / &common);
            squares.1 *= bottom / common;
        }
        // The squares are never below `n^2`: Cauchy and Schwarz.
        let above = |less: UBig| if squares.0 >= less { &squares.0 - less } else { UBig::ZERO };
        let expected = &throws * &throws * &squares.1;
        let by_chance = UBig::from(self.seen.len() - 1) * &throws * &squares.1;
        let ratio = |top: UBig, bottom: UBig| Exact::new(top, bottom).map_or(0.0, |exact| exact.to_f64());
        let chi_square = ratio(above(expected.clone()), &squares.1 * &throws);
        (chi_square, ratio(above(expected + by_chance), &squares.1 * &throws * &throws))
    }
}

/// The greatest number that divides both.
fn divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { divisor(b, a % b) }
}
