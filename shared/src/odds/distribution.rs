//! A finite distribution over whole numbers: one value, its chance, no gaps.
use super::number::{Exact, Number};
use dashu_int::UBig;
use smallvec::{SmallVec, smallvec};

/// Chances side by side; one or two stand in place.
pub(crate) type Chances<N> = SmallVec<[N; 2]>;

/// So many chances of nothing.
fn zeros<N: Number>(many: usize) -> Chances<N> {
    Chances::from_elem(N::zero(), many)
}

/// The chances of the values `lowest`, `lowest + 1`, … : never empty, and together one.
#[derive(Clone, Debug, PartialEq)]
pub struct Distribution<N> {
    lowest: i64,
    chances: Chances<N>,
}

impl<N: Number> Distribution<N> {
    /// Always `value`.
    pub fn certain(value: i64) -> Self {
        Self { lowest: value, chances: smallvec![N::one()] }
    }

    /// One of `1..=sides`, each equally likely.
    pub fn uniform(sides: u32) -> Self {
        Self { lowest: 1, chances: Chances::from_elem(N::ratio(1, u64::from(sides.max(1))), sides.max(1) as usize) }
    }

    /// From chances that add up to one, the first of them that of `lowest`. Zeros at the ends are cut off.
    ///
    /// # Errors
    /// `None` where no chance is above zero.
    pub fn new(lowest: i64, chances: impl Into<SmallVec<[N; 2]>>) -> Option<Self> {
        let mut chances = chances.into();
        let last = chances.iter().rposition(|c| !c.is_zero())?;
        chances.truncate(last + 1);
        let first = chances.iter().position(|c| !c.is_zero())?;
        if first > 0 {
            chances.drain(..first);
        }
        Some(Self { lowest: lowest + first as i64, chances })
    }

    /// From the ways to each value, out of `all`.
    pub(crate) fn from_ways(lowest: i64, ways: &[UBig], all: &UBig) -> Self {
        let exact = |w: &UBig| Exact::new(w.clone(), all.clone()).unwrap_or_else(Exact::zero);
        Self { lowest, chances: ways.iter().map(|w| N::from_exact(&exact(w))).collect() }
    }

    /// From pairs of value and weight in any order; weights of one value add up, and the sum is divided out.
    ///
    /// # Errors
    /// `None` where no weight is above zero.
    pub fn from_weights(pairs: impl IntoIterator<Item = (i64, N)> + Clone) -> Option<Self> {
        let mut total = N::zero();
        let (mut lowest, mut highest) = (i64::MAX, i64::MIN);
        for (value, weight) in pairs.clone() {
            total.add(&weight);
            (lowest, highest) = (lowest.min(value), highest.max(value));
        }
        if total.is_zero() {
            return None;
        }
        let mut chances = zeros::<N>((highest - lowest) as usize + 1);
        for (value, weight) in pairs {
            chances[(value - lowest) as usize].add(&weight);
        }
        if total != N::one() {
            chances.iter_mut().for_each(|c| *c = c.over(&total));
        }
        Self::new(lowest, chances)
    }

    /// The lowest value that can happen.
    pub fn lowest(&self) -> i64 {
        self.lowest
    }

    /// The highest value that can happen.
    pub fn highest(&self) -> i64 {
        self.lowest + self.chances.len() as i64 - 1
    }

    /// The chances from the lowest value up.
    pub fn chances(&self) -> &[N] {
        &self.chances
    }

    /// Each value with its chance, zeros in between included.
    pub fn iter(&self) -> impl Iterator<Item = (i64, &N)> + Clone {
        (self.lowest..).zip(&self.chances)
    }

    /// The chance of exactly `value`.
    pub fn chance(&self, value: i64) -> N {
        usize::try_from(value - self.lowest).ok().and_then(|i| self.chances.get(i)).cloned().unwrap_or_else(N::zero)
    }

    /// The chance of `value` or more, summed from the far end so that small tails keep their digits.
    pub fn at_least(&self, value: i64) -> N {
        let from = usize::try_from(value - self.lowest).unwrap_or(0).min(self.chances.len());
        let mut sum = N::zero();
        self.chances[from..].iter().rev().for_each(|chance| sum.add(chance));
        sum
    }

    /// The chance of `value` or less.
    pub fn at_most(&self, value: i64) -> N {
        let until = usize::try_from(value - self.lowest + 1).unwrap_or(0).min(self.chances.len());
        let mut sum = N::zero();
        self.chances[..until].iter().for_each(|chance| sum.add(chance));
        sum
    }

    /// The mean.
    pub fn expected(&self) -> f64 {
        self.iter().map(|(value, chance)| value as f64 * chance.to_f64()).sum()
    }

    /// The standard deviation.
    ///
    /// # Formula
    /// The square root of the sum of `chance * (value - expected)^2`.
    pub fn deviation(&self) -> f64 {
        let mean = self.expected();
        self.iter().map(|(value, chance)| (value as f64 - mean).powi(2) * chance.to_f64()).sum::<f64>().sqrt()
    }

    /// The sum of two independent draws.
    ///
    /// # Cost
    /// The product of both lengths.
    #[must_use]
    pub fn convolve(&self, other: &Self) -> Self {
        let mut chances = zeros::<N>(self.chances.len() + other.chances.len() - 1);
        let (short, long) = if self.chances.len() < other.chances.len() { (self, other) } else { (other, self) };
        for (i, chance) in short.chances.iter().enumerate() {
            N::add_scaled(&mut chances[i..], chance, &long.chances);
        }
        Self { lowest: self.lowest + other.lowest, chances }
    }

    /// The sum of `times` independent draws: of two values at once, of more by doubling.
    #[must_use]
    pub fn repeated(&self, times: u32) -> Self {
        if let [_] = self.chances[..] {
            return Self::certain(self.lowest * i64::from(times));
        }
        if let ([fails, comes], 2..) = (&self.chances[..], times)
            && let Some(chances) = N::binomial(fails, comes, times)
        {
            return Self { lowest: self.lowest * i64::from(times), chances: chances.into() };
        }
        let mut sum: Option<Self> = None;
        for bit in (0..32 - times.leading_zeros()).rev() {
            sum = sum.map(|s| s.convolve(&s));
            if times >> bit & 1 == 1 {
                sum = Some(sum.map_or_else(|| self.clone(), |s| s.convolve(self)));
            }
        }
        sum.unwrap_or_else(|| Self::certain(0))
    }

    /// The distribution of `change(value)`.
    #[must_use]
    pub fn map(&self, change: impl Fn(i64) -> i64) -> Self {
        let ends = self.iter().map(|(v, _)| change(v));
        let (lowest, highest) = ends.fold((i64::MAX, i64::MIN), |(l, h), v| (l.min(v), h.max(v)));
        let mut chances = zeros::<N>((highest - lowest) as usize + 1);
        for (value, chance) in self.iter() {
            chances[(change(value) - lowest) as usize].add(chance);
        }
        Self::new(lowest, chances).unwrap_or_else(|| Self::certain(lowest))
    }

    /// The same with `by` added to every value.
    #[must_use]
    pub fn shifted(mut self, by: i64) -> Self {
        self.lowest += by;
        self
    }

    /// A mixture: with each chance, a draw of that distribution. The chances add up to one.
    ///
    /// # Errors
    /// `None` where no chance is above zero.
    pub fn mix<'a>(parts: impl IntoIterator<Item = (N, &'a Self)> + Clone) -> Option<Self> {
        let ends =
            parts.clone().into_iter().filter(|(chance, _)| !chance.is_zero()).map(|(_, d)| (d.lowest(), d.highest()));
        let (lowest, highest) = ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
        let mut chances = zeros::<N>((highest - lowest) as usize + 1);
        for (chance, part) in parts {
            if !chance.is_zero() {
                N::add_scaled(&mut chances[(part.lowest - lowest) as usize..], &chance, &part.chances);
            }
        }
        Self::new(lowest, chances)
    }

    /// The sum of as many independent draws of `one` as `self` says.
    ///
    /// # Cost
    /// The highest count times the length of the answer times the length of `one`.
    #[must_use]
    pub fn compound(&self, one: &Self) -> Self {
        if let [_] = self.chances[..] {
            return one.repeated(u32::try_from(self.lowest).unwrap_or(0));
        }
        let mut sum = one.repeated(u32::try_from(self.lowest).unwrap_or(0));
        let lowest = sum.lowest.min(self.highest() * one.lowest);
        let highest = sum.highest().max(self.highest() * one.highest());
        let mut chances = zeros::<N>((highest - lowest) as usize + 1);
        for (count, chance) in self.iter() {
            N::add_scaled(&mut chances[(sum.lowest - lowest) as usize..], chance, &sum.chances);
            if count < self.highest() {
                sum = sum.convolve(one);
            }
        }
        Self::new(lowest, chances).unwrap_or_else(|| Self::certain(0))
    }

    /// The same chances in another number type.
    pub fn convert<M: Number>(&self, change: impl Fn(&N) -> M) -> Distribution<M> {
        Distribution { lowest: self.lowest, chances: self.chances.iter().map(change).collect() }
    }

    /// Divides rounding errors out (nothing to do for exact numbers) and cuts zeros off the ends.
    #[must_use]
    pub fn normalised(self) -> Self {
        let Self { lowest, mut chances } = self;
        N::normalise(&mut chances);
        Self::new(lowest, chances).unwrap_or_else(|| Self::certain(lowest))
    }
}
