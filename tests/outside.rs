//! Values that others have published, asked of Pipwright, each with its source beside it.
//!
//! "From memory" says that the source was recalled and not read again; such a value was worked out anew
//! by a second, independent way before it was written down here.
use num_rational::BigRational;
use num_traits::{One, Zero};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

mod areas;
mod chains;
mod custom;
mod duels;
mod opposed;
mod rolls;
mod tails;
mod templates;
mod walks;

/// A number as printed in a source.
#[track_caller]
fn printed(ours: f64, theirs: &str) {
    let (digits, power) = theirs.split_once('e').unwrap_or((theirs, "0"));
    let after = digits.split_once('.').map_or(0, |(_, after)| after.len());
    let power = power.parse::<i32>().expect("a power") - i32::try_from(after).expect("a short number");
    // Half of the last printed digit, and no more than what an f64 itself blurs.
    let reach = 0.5 * 10f64.powi(power) + f64::EPSILON * ours.abs();
    let value: f64 = theirs.parse().expect("a number");
    assert!((ours - value).abs() <= reach, "{ours} is not printed as {theirs}");
}

/// `p^n`.
fn power(p: &str, n: i32) -> BigRational {
    pipwright_tests::play::number::fraction(p).pow(n)
}

/// The exact answer to a check, with these tries.
fn check(dice: &str, needs: &str, tries: u32) -> Value {
    ask("check", json!({"dice": dice, "needs": needs, "tries": tries, "exact": true}))
}

/// The fraction of a row of a summary.
fn of(summary: &Value, value: i64) -> BigRational {
    pipwright_tests::compare::exact_rows(summary).remove(&value).unwrap_or_else(BigRational::zero)
}

/// The exact chance of a value or more.
fn at_least(summary: &Value, value: i64) -> BigRational {
    pipwright_tests::compare::exact_rows(summary).into_iter().filter(|(v, _)| *v >= value).map(|(_, c)| c).sum()
}

/// `n` over `k`.
fn choose(n: u32, k: u32) -> BigRational {
    (0..k).fold(BigRational::one(), |so_far, i| so_far * BigRational::new((n - i).into(), (i + 1).into()))
}
