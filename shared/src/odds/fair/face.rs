//! One face by itself: the two-sided exact binomial test.
use super::tables::{NEAR, NOTHING, product};
use super::{FaceOdds, Log};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::number::Number;
use dashu_int::UBig;
use std::collections::HashMap;

/// The face whose number is the least likely by itself; of equals the first.
pub(super) fn most_surprising(log: &Log, token: &CancellationToken) -> Result<FaceOdds, Cancelled> {
    let (throws, whole) = (log.throws(), log.whole());
    let mut rows: HashMap<u32, Vec<f64>> = HashMap::new();
    let mut most: Option<FaceOdds> = None;
    for (face, (seen, weight)) in log.seen().iter().zip(log.weights()).enumerate() {
        token.check()?;
        let row = rows.entry(*weight).or_insert_with(|| row(throws, *weight, whole));
        let chance = two_sided_of(row, *seen, *weight, whole);
        // Equal chances that were summed in another order may differ in their last digits.
        if most.as_ref().is_none_or(|most| chance < most.chance * (1.0 - 1e-12)) {
            let expected = f64::from(throws) * f64::ratio(u64::from(*weight), whole);
            most = Some(FaceOdds { face, seen: *seen, expected, chance });
        }
    }
    Ok(most.unwrap_or(FaceOdds { face: 0, seen: 0, expected: 0.0, chance: 1.0 }))
}

/// The chance of a number of successes that is at most as likely as `seen`, of so many throws that succeed `weight`
/// times in `whole`.
///
/// # Formula
/// The sum of all binomial chances that are at most that of `seen`; equal ones are told by whole numbers.
pub fn two_sided(throws: u32, seen: u32, weight: u32, whole: u64) -> f64 {
    two_sided_of(&row(throws, weight, whole), seen, weight, whole)
}

fn row(throws: u32, weight: u32, whole: u64) -> Vec<f64> {
    if throws == 0 {
        return vec![1.0];
    }
    let (fails, comes) = (f64::ratio(whole - u64::from(weight), whole), f64::ratio(u64::from(weight), whole));
    f64::binomial(&fails, &comes, throws).unwrap_or_default()
}

fn two_sided_of(row: &[f64], seen: u32, weight: u32, whole: u64) -> f64 {
    let came = row[seen as usize];
    let throws = row.len() - 1;
    let counts_in = |at: usize| {
        let chance = row[at];
        if at == seen as usize {
            true
        } else if (chance - came).abs() > NEAR * came || came < NOTHING {
            chance <= came
        } else {
            is_at_most(at as u64, u64::from(seen), throws as u64, weight, whole)
        }
    };
    // The chances rise to the likeliest number and fall from it: each tail is summed from its end.
    let peak = (0..=throws).max_by(|a, b| row[*a].total_cmp(&row[*b])).unwrap_or(0);
    let low = (0..peak).take_while(|at| counts_in(*at)).count();
    let high = (peak + 1..=throws).rev().take_while(|at| counts_in(*at)).count();
    if low + high == throws && counts_in(peak) {
        return 1.0;
    }
    let sum = row[..low].iter().sum::<f64>() + row[throws + 1 - high..].iter().rev().sum::<f64>();
    sum.min(1.0)
}

/// Whether `one` is at most as likely as `other`, in whole numbers.
///
/// # Formula
/// From `k - 1` to `k` successes the chance is multiplied by `(n - k + 1) w` over `k (W - w)`.
fn is_at_most(one: u64, other: u64, throws: u64, weight: u32, whole: u64) -> bool {
    let (low, high) = (one.min(other), one.max(other));
    let up = product((low + 1..=high).map(|k| UBig::from(throws - k + 1) * weight).collect());
    let down = product((low + 1..=high).map(|k| UBig::from(k) * (whole - u64::from(weight))).collect());
    // The chance of the higher number is `up / down` that of the lower one.
    if one == high { up <= down } else { down <= up }
}
