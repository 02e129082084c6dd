//! Chances of several things, each with its own.
use super::exchange::Throw;
use std::collections::BTreeMap;

/// Things that can be, each with its chance.
pub type Chances<T> = Vec<(T, f64)>;

/// The same things put together.
pub fn merged<T: Ord>(parts: impl IntoIterator<Item = (T, f64)>) -> Chances<T> {
    let mut all: BTreeMap<T, f64> = BTreeMap::new();
    for (thing, chance) in parts {
        *all.entry(thing).or_default() += chance;
    }
    all.into_iter().collect()
}

/// What follows from each.
pub fn follow<T, U: Ord>(from: Chances<T>, next: impl Fn(T) -> Chances<U>) -> Chances<U> {
    merged(from.into_iter().flat_map(|(thing, chance)| {
        next(thing).into_iter().map(move |(to, part)| (to, part * chance)).collect::<Vec<_>>()
    }))
}

/// The totals of dice, never below 0.
pub fn thrown(throw: Throw) -> Chances<i64> {
    let mut totals = vec![(0, 1.0)];
    for _ in 0..throw.count {
        totals = merged(totals.iter().flat_map(|(total, chance)| {
            (1..=throw.sides).map(move |face| (total + i64::from(face), chance / f64::from(throw.sides)))
        }));
    }
    merged(totals.into_iter().map(|(total, chance)| ((total + throw.plus).max(0), chance)))
}

/// The sum of so many alike.
pub fn summed(one: &Chances<i64>, times: usize) -> Chances<i64> {
    (0..times).fold(vec![(0, 1.0)], |so_far, _| both(&so_far, one))
}

/// The sum of two.
pub fn both(one: &Chances<i64>, other: &Chances<i64>) -> Chances<i64> {
    merged(one.iter().flat_map(|(a, p)| other.iter().map(move |(b, q)| (a + b, p * q))))
}

/// How many of so many come up, each with the same chance.
pub fn binomial(of: i64, chance: f64) -> Chances<i64> {
    let one = vec![(0, 1.0 - chance), (1, chance)];
    summed(&one, usize::try_from(of).expect("not below 0"))
}

/// The mean of a number.
#[expect(clippy::cast_precision_loss, reason = "small numbers")]
pub fn mean<T>(of: &Chances<T>, number: impl Fn(&T) -> i64) -> f64 {
    of.iter().map(|(thing, chance)| number(thing) as f64 * chance).sum()
}

/// The chance that something holds.
pub fn chance<T>(of: &Chances<T>, holds: impl Fn(&T) -> bool) -> f64 {
    of.iter().filter(|(thing, _)| holds(thing)).map(|(_, chance)| chance).sum()
}
