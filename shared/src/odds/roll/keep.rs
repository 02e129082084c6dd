//! The total of the highest or lowest few of several dice.
use super::super::{distribution::Distribution, number::Number};
use super::Keep;

/// The total of the kept ones among `count` dice with the given faces.
///
/// # Formula
/// Faces are visited from the kept end. Of the dice not yet seen, the number that show this very face is
/// binomial in the chance of the face among the faces left; those of them that fit into the kept number count.
/// To stay without divisions the binomial is written out: `C(left, k) * chance^k`, the rest of the dice
/// staying undecided until the last face, which must take them all.
///
/// # Cost
/// `faces * count * count * total` products.
pub(super) fn total<N: Number>(face: &Distribution<N>, count: u32, keep: Keep) -> Distribution<N> {
    let kept = keep.of(count) as usize;
    if kept == count as usize {
        return face.repeated(count);
    }
    let mut faces: Vec<(i64, N)> = face.iter().map(|(value, chance)| (value, chance.clone())).collect();
    if matches!(keep, Keep::Highest(_)) {
        faces.reverse();
    }
    let count = count as usize;
    let widest = faces.iter().map(|(value, _)| *value).max().unwrap_or(1) as usize * kept;
    // decided[d][t]: d dice have shown an earlier face, the kept ones among them total t.
    let mut decided = vec![vec![N::zero(); widest + 1]; count + 1];
    decided[0][0] = N::one();
    for (value, chance) in &faces {
        let mut next = decided.clone();
        for seen in 0..count {
            let mut weight = N::one();
            for more in 1..=count - seen {
                weight = weight.times(chance).times(&N::ratio((count - seen - more + 1) as u64, more as u64));
                let counted = more.min(kept.saturating_sub(seen));
                let added = counted * *value as usize;
                let (from, onto) = (&decided[seen], &mut next[seen + more]);
                N::add_scaled(&mut onto[added..], &weight, &from[..=widest - added]);
            }
        }
        decided = next;
    }
    let totals = decided.pop().unwrap_or_default();
    Distribution::new(0, totals).unwrap_or_else(|| Distribution::certain(0)).normalised()
}
