//! A double that counts what is done with it: how much work a calculation really is.
use pipwright_shared::odds::number::{Exact, Number};
use std::cell::Cell;

thread_local! {
    static DONE: Cell<u64> = const { Cell::new(0) };
}

/// A double; each operation with it is counted, on the thread that does it.
#[derive(Clone, Debug, PartialEq)]
pub struct Counted(f64);

/// The operations that `work` does with [`Counted`] numbers.
pub fn operations<T>(work: impl FnOnce() -> T) -> (T, u64) {
    DONE.set(0);
    let result = work();
    (result, DONE.get())
}

fn count(operations: usize) {
    DONE.set(DONE.get() + operations as u64);
}

impl Number for Counted {
    fn zero() -> Self {
        Self(0.0)
    }
    fn one() -> Self {
        Self(1.0)
    }
    fn ratio(p: u64, q: u64) -> Self {
        count(1);
        Self(f64::ratio(p, q))
    }
    fn of_ways(ways: u128, all: u128) -> Self {
        count(1);
        Self(f64::of_ways(ways, all))
    }
    fn from_exact(value: &Exact) -> Self {
        count(1);
        Self(f64::from_exact(value))
    }
    fn from_double(value: f64) -> Self {
        Self(value)
    }
    fn is_zero(&self) -> bool {
        self.0 == 0.0
    }
    fn add(&mut self, other: &Self) {
        count(1);
        self.0 += other.0;
    }
    fn times(&self, other: &Self) -> Self {
        count(1);
        Self(self.0 * other.0)
    }
    fn over(&self, other: &Self) -> Self {
        count(1);
        Self(self.0 / other.0)
    }
    fn to_f64(&self) -> f64 {
        self.0
    }
    fn exact(&self) -> Option<Exact> {
        None
    }
    fn add_product(&mut self, a: &Self, b: &Self) {
        count(1);
        self.0 += a.0 * b.0;
    }
    /// As doubles do it: zeros are not left out.
    fn add_scaled(onto: &mut [Self], scale: &Self, from: &[Self]) {
        count(from.len().min(onto.len()));
        onto.iter_mut().zip(from).for_each(|(sum, value)| sum.0 += scale.0 * value.0);
    }
    fn normalise(chances: &mut [Self]) {
        count(2 * chances.len());
        let total: f64 = chances.iter().map(|chance| chance.0).sum();
        chances.iter_mut().for_each(|chance| chance.0 /= total);
    }
}
