//! The two numbers that the mathematics runs with: `f64` for answers, [`Exact`] for fractions.
use dashu_int::UBig;
use dashu_int::ops::{BitTest, Gcd};
use std::fmt;

/// What a chance is made of. Never negative: nothing here subtracts, so no digits are lost in small tails.
pub trait Number: Clone + PartialEq + fmt::Debug + Send + Sync + 'static {
    /// Nothing.
    fn zero() -> Self;
    /// Certainty.
    fn one() -> Self;
    /// `p` of `q`; `q` is not 0.
    fn ratio(p: u64, q: u64) -> Self;
    /// So many ways out of `all`; `all` is not 0.
    fn of_ways(ways: u128, all: u128) -> Self;
    /// The nearest value to an exact one.
    fn from_exact(value: &Exact) -> Self;
    /// The decimal that a double prints as; for chances that come of geometry.
    fn from_double(value: f64) -> Self;
    /// Exactly nothing.
    fn is_zero(&self) -> bool;
    /// Adds `other` to itself.
    fn add(&mut self, other: &Self);
    /// The product of both.
    fn times(&self, other: &Self) -> Self;
    /// The quotient; `other` is not zero.
    fn over(&self, other: &Self) -> Self;
    /// The nearest double.
    fn to_f64(&self) -> f64;
    /// The exact value, where the number type has one.
    fn exact(&self) -> Option<Exact>;
    /// Adds `a * b` to itself.
    fn add_product(&mut self, a: &Self, b: &Self) {
        self.add(&a.times(b));
    }
    /// Adds `scale` times each of `from` to the same place of `onto`; `onto` is at least as long.
    fn add_scaled(onto: &mut [Self], scale: &Self, from: &[Self]) {
        if scale.is_zero() {
            return;
        }
        for (sum, value) in onto.iter_mut().zip(from) {
            if !value.is_zero() {
                sum.add_product(scale, value);
            }
        }
    }
    /// The chances that 0, 1 … `times` of as many tries come, of which each fails or comes with these chances (neither of
    /// them zero); nothing where the number type has no way that is quicker than sums.
    fn binomial(_fails: &Self, _comes: &Self, _times: u32) -> Option<Vec<Self>> {
        None
    }
    /// Divides rounding errors out of chances that add up to one; exact numbers have none.
    fn normalise(_chances: &mut [Self]) {}
}

impl Number for f64 {
    fn zero() -> Self {
        0.0
    }
    fn one() -> Self {
        1.0
    }
    fn ratio(p: u64, q: u64) -> Self {
        p as f64 / q as f64
    }
    fn of_ways(ways: u128, all: u128) -> Self {
        ways as f64 / all as f64
    }
    fn from_exact(value: &Exact) -> Self {
        value.to_f64()
    }
    fn from_double(value: f64) -> Self {
        value
    }
    fn is_zero(&self) -> bool {
        *self == 0.0
    }
    fn add(&mut self, other: &Self) {
        *self += other;
    }
    fn times(&self, other: &Self) -> Self {
        self * other
    }
    fn over(&self, other: &Self) -> Self {
        self / other
    }
    fn to_f64(&self) -> f64 {
        *self
    }
    fn exact(&self) -> Option<Exact> {
        None
    }
    fn add_product(&mut self, a: &Self, b: &Self) {
        *self += a * b;
    }
    fn add_scaled(onto: &mut [Self], scale: &Self, from: &[Self]) {
        // No test for zeros: the plain loop is what the compiler turns into vector instructions.
        for (sum, value) in onto.iter_mut().zip(from) {
            *sum += scale * value;
        }
    }
    /// # Formula
    /// From the likeliest number both ways, each from the one beside it: `(n - k) / (k + 1) * comes / fails`. What they
    /// add up to is divided out.
    fn binomial(fails: &Self, comes: &Self, times: u32) -> Option<Vec<Self>> {
        let all = times as usize;
        let likeliest = ((f64::from(times) + 1.0) * comes) as usize;
        let likeliest = likeliest.min(all);
        let mut chances = vec![0.0; all + 1];
        chances[likeliest] = 1.0;
        let (more, fewer) = (comes / fails, fails / comes);
        for k in likeliest..all {
            chances[k + 1] = chances[k] * ((all - k) as f64 / (k + 1) as f64 * more);
        }
        for k in (0..likeliest).rev() {
            chances[k] = chances[k + 1] * ((k + 1) as f64 / (all - k) as f64 * fewer);
        }
        f64::normalise(&mut chances);
        Some(chances)
    }
    fn normalise(chances: &mut [Self]) {
        let total: f64 = chances.iter().sum();
        if total > 0.0 {
            chances.iter_mut().for_each(|chance| *chance /= total);
        }
    }
}

/// Whether something can happen at all: what is left of a chance where only certainty matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Possible(bool);

impl Number for Possible {
    fn zero() -> Self {
        Self(false)
    }
    fn one() -> Self {
        Self(true)
    }
    fn ratio(p: u64, _q: u64) -> Self {
        Self(p > 0)
    }
    fn of_ways(ways: u128, _all: u128) -> Self {
        Self(ways > 0)
    }
    fn from_exact(value: &Exact) -> Self {
        Self(!value.is_zero())
    }
    fn from_double(value: f64) -> Self {
        Self(value > 0.0)
    }
    fn is_zero(&self) -> bool {
        !self.0
    }
    fn add(&mut self, other: &Self) {
        self.0 |= other.0;
    }
    fn times(&self, other: &Self) -> Self {
        Self(self.0 && other.0)
    }
    fn over(&self, _other: &Self) -> Self {
        *self
    }
    fn to_f64(&self) -> f64 {
        f64::from(u8::from(self.0))
    }
    fn exact(&self) -> Option<Exact> {
        None
    }
}

/// A non-negative fraction of whole numbers without bound.
///
/// It is not reduced until it is shown or compared: the chances of one distribution share a
/// denominator, so that sums are sums of numerators.
///
/// # Cost
/// A product costs two whole products; a sum costs one comparison where the denominators agree.
#[derive(Clone, Debug)]
pub struct Exact {
    numerator: UBig,
    denominator: UBig,
}

impl Exact {
    /// `p` of `q`.
    ///
    /// # Errors
    /// `None` where `q` is 0.
    pub fn new(p: UBig, q: UBig) -> Option<Self> {
        (!q.is_zero()).then_some(Self { numerator: p, denominator: q })
    }

    /// Reads `"p/q"`, a whole number or a decimal (`0.1` is 1/10, `2.5e-3` is 1/400).
    ///
    /// # Errors
    /// `None` for anything else, for a zero below the line and for more than 1,100 digits.
    pub fn parse(text: &str) -> Option<Self> {
        if text.len() > 1_100 {
            return None;
        }
        let whole =
            |t: &str| (!t.is_empty() && t.bytes().all(|b| b.is_ascii_digit())).then(|| t.parse::<UBig>().ok())?;
        if let Some((p, q)) = text.split_once('/') {
            return Self::new(whole(p)?, whole(q)?);
        }
        let (digits, power) = match text.split_once(['e', 'E']) {
            Some((digits, power)) => (digits, power.parse::<i32>().ok().filter(|p| p.abs() <= 1_100)?),
            None => (text, 0),
        };
        let (before, after) = digits.split_once('.').unwrap_or((digits, ""));
        let numerator = whole(&format!("{before}{after}"))?;
        let power = power - i32::try_from(after.len()).ok()?;
        let scale = UBig::from(10u8).pow(power.unsigned_abs() as usize);
        Some(if power < 0 {
            Self { numerator, denominator: scale }
        } else {
            Self { numerator: numerator * scale, denominator: UBig::ONE }
        })
    }

    /// The decimal that a double prints as, exactly.
    ///
    /// # Errors
    /// `None` for negative values, infinities and NaN.
    pub fn from_decimal(value: f64) -> Option<Self> {
        Self::parse(&format!("{value:e}"))
    }

    /// The same value in lowest terms.
    #[must_use]
    pub fn reduced(&self) -> Self {
        if self.numerator.is_zero() {
            return Self::zero();
        }
        let common = (&self.numerator).gcd(&self.denominator);
        Self { numerator: &self.numerator / &common, denominator: &self.denominator / &common }
    }

    /// The bits of the denominator as it stands: what one operation with it costs.
    pub fn bits(&self) -> usize {
        self.denominator.bit_len()
    }
}

impl fmt::Display for Exact {
    /// `p/q` in lowest terms, or a whole number.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { numerator, denominator } = self.reduced();
        if denominator.is_one() { write!(f, "{numerator}") } else { write!(f, "{numerator}/{denominator}") }
    }
}

impl PartialEq for Exact {
    fn eq(&self, other: &Self) -> bool {
        if self.denominator == other.denominator {
            return self.numerator == other.numerator;
        }
        &self.numerator * &other.denominator == &other.numerator * &self.denominator
    }
}

impl Eq for Exact {}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (&self.numerator * &other.denominator).cmp(&(&other.numerator * &self.denominator))
    }
}

impl Number for Exact {
    fn zero() -> Self {
        Self { numerator: UBig::ZERO, denominator: UBig::ONE }
    }
    fn one() -> Self {
        Self { numerator: UBig::ONE, denominator: UBig::ONE }
    }
    fn ratio(p: u64, q: u64) -> Self {
        Self { numerator: p.into(), denominator: q.into() }
    }
    fn of_ways(ways: u128, all: u128) -> Self {
        Self { numerator: ways.into(), denominator: all.into() }
    }
    fn from_exact(value: &Exact) -> Self {
        value.clone()
    }
    fn from_double(value: f64) -> Self {
        Self::from_decimal(value).unwrap_or_else(Self::zero)
    }
    fn is_zero(&self) -> bool {
        self.numerator.is_zero()
    }
    fn add(&mut self, other: &Self) {
        if other.is_zero() {
            return;
        }
        if self.is_zero() {
            *self = other.clone();
        } else if self.denominator == other.denominator {
            self.numerator += &other.numerator;
        } else {
            // Over the least common denominator, or sums of unlike fractions would grow without end.
            let common = (&self.denominator).gcd(&other.denominator);
            let ours = &other.denominator / &common;
            let theirs = &self.denominator / &common;
            self.numerator = &self.numerator * &ours + &other.numerator * theirs;
            self.denominator = &self.denominator * ours;
        }
    }
    fn times(&self, other: &Self) -> Self {
        if self.is_zero() || other.is_zero() {
            return Self::zero();
        }
        Self { numerator: &self.numerator * &other.numerator, denominator: &self.denominator * &other.denominator }
    }
    fn over(&self, other: &Self) -> Self {
        Self { numerator: &self.numerator * &other.denominator, denominator: &self.denominator * &other.numerator }
            .reduced()
    }
    /// The nearest double, ties to even (below 2^-1022 to within one unit of the last place).
    fn to_f64(&self) -> f64 {
        if self.numerator.is_zero() {
            return 0.0;
        }
        // Enough quotient bits for correct rounding, a last bit that remembers the remainder, then the power of two.
        let shift = 66 + self.denominator.bit_len() as i64 - self.numerator.bit_len() as i64;
        let (top, bottom) = if shift >= 0 {
            (&self.numerator << shift as usize, self.denominator.clone())
        } else {
            (self.numerator.clone(), &self.denominator << (-shift) as usize)
        };
        let quotient = &top / &bottom;
        let exact = &quotient * &bottom == top;
        let bits = u128::try_from(&quotient).unwrap_or(u128::MAX) | u128::from(!exact);
        let half = (-shift / 2) as i32;
        (bits as f64) * 2f64.powi(half) * 2f64.powi((-shift) as i32 - half)
    }
    fn exact(&self) -> Option<Exact> {
        Some(self.clone())
    }
}
