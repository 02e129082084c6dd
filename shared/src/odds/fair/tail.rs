//! The chi-square distribution, central and not, with a whole number of degrees of freedom.
use libm::{erfc, exp, sqrt};
use std::f64::consts::PI;

/// The line that is usual for a test, and how often what is there should be found.
const LINE: f64 = 0.05;
const FOUND: f64 = 0.95;
/// Beyond so many throws no number is named.
const FAR: f64 = 1e15;

/// The chance that a chi-square of so many degrees of freedom is `x` or more.
///
/// # Formula
/// With `h = x / 2`, for an even number of degrees the sum of `exp(-h) h^i / i!` for `i` below half of it; for an odd
/// one `erfc(sqrt(h))` and the sum of `exp(-h) h^(i - 1/2) / gamma(i + 1/2)` for `i` up to half of it, rounded down.
/// Nothing in it is negative, so no digits are lost.
///
/// # Source
/// Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.4.4 and 26.4.5.
pub fn chi_square_tail(x: f64, degrees: u32) -> f64 {
    if x <= 0.0 {
        return 1.0;
    }
    let sums = tails(x, degrees % 2 == 1).nth(degrees as usize / 2);
    sums.unwrap_or(1.0).min(1.0)
}

/// The tails of 0, 2, 4 and so on degrees of freedom, or of 1, 3, 5 and so on: each has one part more than the one before.
fn tails(x: f64, odd: bool) -> impl Iterator<Item = f64> {
    let half = x / 2.0;
    let (mut sum, mut term, mut next) =
        if odd { (erfc(sqrt(half)), 2.0 * exp(-half) * sqrt(half / PI), 1.5) } else { (0.0, exp(-half), 1.0) };
    std::iter::repeat_with(move || {
        let tail = sum;
        sum += term;
        term *= half / next;
        next += 1.0;
        tail
    })
}

/// The fewest throws at which a test at 5% finds a die that is off by so much in 95% of series; nothing where it is not off
/// at all, or by so little that nobody throws as often.
///
/// # Formula
/// A statistic of `n` throws is about a chi-square around `n` times `off`: a mixture of central ones with two degrees
/// more each, by a Poisson distribution of mean `n off / 2`. `off` is the sum of `(p - q)^2 / q` over the faces.
///
/// # Source
/// Abramowitz and Stegun (1964), 26.4.25.
pub fn throws_needed(off: f64, degrees: u32) -> Option<u64> {
    if off <= 0.0 {
        return None;
    }
    let line = bisect(0.0, 1_000.0, |x| chi_square_tail(x, degrees) <= LINE);
    let tails: Vec<f64> = tails(line, degrees % 2 == 1).skip(degrees as usize / 2).take(600).collect();
    let found = |around: f64| {
        let mean = around / 2.0;
        let (mut weight, mut sum) = (exp(-mean), 0.0);
        for (at, tail) in tails.iter().enumerate() {
            sum += weight * tail;
            weight *= mean / (at + 1) as f64;
        }
        sum
    };
    let around = bisect(0.0, 400.0, |around| found(around) >= FOUND);
    let throws = (around / off).ceil();
    if throws > FAR {
        return None;
    }
    // A quotient may round past a whole number.
    let near = [throws - 1.0, throws, throws + 1.0];
    let least = near.into_iter().find(|throws| *throws >= 1.0 && found(throws * off) >= FOUND);
    Some(least.unwrap_or(throws) as u64)
}

/// Where a condition that holds from some number on begins to hold, to the last digit.
fn bisect(mut low: f64, mut high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    loop {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            return high;
        }
        if holds(middle) { high = middle } else { low = middle }
    }
}
