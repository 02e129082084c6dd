//! A game played many times with thrown dice, and whether a claimed chance can be right.
use crate::play::{Game, Key, Luck, Progress};
use std::collections::BTreeMap;

/// How often each value of each quantity was seen.
pub struct Counted {
    pub runs: u64,
    pub seen: BTreeMap<Key, BTreeMap<i64, u64>>,
}

/// Plays the game so many times, the same with the same seed.
pub fn simulate<G: Game>(game: &G, seed: u64, runs: u64) -> Counted {
    let mut thrown = Thrown { rng: fastrand::Rng::with_seed(seed), seen: BTreeMap::new() };
    for _ in 0..runs {
        let mut state = game.start();
        while game.advance(&mut state, &mut thrown) != Progress::Over {}
    }
    Counted { runs, seen: thrown.seen }
}

struct Thrown {
    rng: fastrand::Rng,
    seen: BTreeMap<Key, BTreeMap<i64, u64>>,
}

impl Luck for Thrown {
    fn even(&mut self, n: u32) -> u32 {
        self.rng.u32(0..n)
    }

    fn weighted(&mut self, weights: &[u64]) -> usize {
        let mut left = self.rng.u64(0..weights.iter().sum());
        let reached = |weight: &u64| {
            let here = left < *weight;
            left = left.wrapping_sub(*weight);
            here
        };
        weights.iter().position(reached).expect("a weight above the draw")
    }

    fn note(&mut self, key: Key, value: i64) {
        *self.seen.entry(key).or_default().entry(value).or_default() += 1;
    }

    fn anew(&mut self) -> bool {
        true
    }
}

/// Whether a chance can be right when it was seen `seen` times in `runs`.
///
/// Hoeffding's inequality in its sharp form (W. Hoeffding, J. Amer. Statist. Assoc. 58 (1963) 13-30, Theorem 1, from
/// memory): a share as far off as `a` from the chance `p`, on its side, comes about with at most the chance
/// `exp(-runs * d)`, where `d = a ln(a/p) + (1-a) ln((1-a)/(1-p))`. `doubt` is the chance, both sides together, with
/// which a right claim is turned down.
pub fn may_be(chance: f64, seen: u64, runs: u64, doubt: f64) -> bool {
    #[expect(clippy::cast_precision_loss, reason = "counts of runs are far below 2^52")]
    let (share, runs) = (seen as f64 / runs as f64, runs as f64);
    let part = |a: f64, p: f64| if a == 0.0 { 0.0 } else { a * (a / p).ln() };
    let apart = part(share, chance) + part(1.0 - share, 1.0 - chance);
    runs * apart <= (2.0 / doubt).ln()
}
