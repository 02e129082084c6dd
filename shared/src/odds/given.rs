//! A distribution that somebody worked out before, as it was given: only what can happen, however far apart it lies.
use super::distribution::Distribution;
use super::number::{Exact, Number};
use std::sync::Arc;

/// Values with their chances, ascending. Never empty, each chance above zero, and together one.
///
/// # Cost
/// Memory for the values that were given, and none for the gaps between them: those are filled only where the
/// distribution is worked with, and by then they are paid for.
#[derive(Clone, Debug, PartialEq)]
pub struct Given(Arc<[(i64, Exact)]>);

impl Given {
    /// From values, each once, with their weights; the sum of these is divided out.
    ///
    /// # Errors
    /// `None` where no weight is above zero.
    pub fn new(mut weights: Vec<(i64, Exact)>) -> Option<Self> {
        weights.retain(|(_, weight)| !weight.is_zero());
        weights.sort_by_key(|(value, _)| *value);
        let mut total = Exact::zero();
        weights.iter().for_each(|(_, weight)| total.add(weight));
        if weights.is_empty() {
            return None;
        }
        if total != Exact::one() {
            weights.iter_mut().for_each(|(_, weight)| *weight = weight.over(&total));
        }
        Some(Self(weights.into()))
    }

    /// The values that can happen, ascending, each with its chance.
    pub fn rows(&self) -> &[(i64, Exact)] {
        &self.0
    }

    /// The lowest value.
    pub fn lowest(&self) -> i64 {
        self.0.first().map_or(0, |(value, _)| *value)
    }

    /// The highest value.
    pub fn highest(&self) -> i64 {
        self.0.last().map_or(0, |(value, _)| *value)
    }

    /// The bits of its longest denominator.
    pub fn bits(&self) -> usize {
        self.0.iter().map(|(_, chance)| chance.bits()).max().unwrap_or(0)
    }

    /// The distribution, its gaps filled.
    pub fn distribution<N: Number>(&self) -> Distribution<N> {
        let mut chances = vec![N::zero(); (self.highest() - self.lowest()) as usize + 1];
        for (value, chance) in self.rows() {
            chances[(value - self.lowest()) as usize] = N::from_exact(chance);
        }
        Distribution::new(self.lowest(), chances).unwrap_or_else(|| Distribution::certain(self.lowest()))
    }
}

impl From<&Distribution<Exact>> for Given {
    fn from(of: &Distribution<Exact>) -> Self {
        let rows = of.iter().filter(|(_, chance)| !chance.is_zero());
        Self(rows.map(|(value, chance)| (value, chance.clone())).collect())
    }
}
