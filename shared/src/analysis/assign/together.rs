//! The best plans of those in which some targets are destroyed together with a wanted chance.
//!
//! Targets are independent, so that chance is a product. Every way to serve those that must be destroyed is followed, as
//! long as it can still reach the chance and be among the best; the rest goes to the others in the best way.
use super::partition::{Best, NOWHERE, Ranked, Search};
use super::{EQUAL, Must, above};
use crate::odds::cancellation::{CancellationToken, Cancelled};

/// The search.
pub(super) struct Together<'a> {
    search: &'a Search<'a>,
    must: &'a Must,
    /// For each set of attackers, the best ways to part it among the targets that need not be destroyed.
    free: Vec<Best>,
    /// For each that must be destroyed and each set: the highest chance that it and those after it are destroyed by it.
    chances: Vec<Vec<f64>>,
    /// The same with the most that can come of it and of all others, whatever becomes of the chance.
    most: Vec<Vec<f64>>,
    /// For each that must be destroyed, the sets worth a try, the most likely first.
    sets: Vec<Vec<usize>>,
}

impl<'a> Together<'a> {
    pub(super) fn new(search: &'a Search<'a>, must: &'a Must, token: &CancellationToken) -> Result<Self, Cancelled> {
        let all = search.spread.len();
        let others: Vec<usize> = (0..search.sums.len()).filter(|target| !must.targets.contains(target)).collect();
        let free = search.part(&others, token)?;
        let value = |best: &Best| best.0.first().map_or(0.0, |best| best.value);
        let mut chances = vec![vec![1.0; all]];
        let mut most = vec![free.iter().map(value).collect::<Vec<f64>>()];
        let mut sets = Vec::new();
        for target in must.targets.iter().rev() {
            let (mut chance, mut value) = (vec![0.0_f64; all], vec![0.0_f64; all]);
            let (last_chance, last_value) = (&chances[chances.len() - 1], &most[most.len() - 1]);
            for whole in 0..all {
                token.check()?;
                let mut set = whole;
                loop {
                    if search.useful[*target][set] {
                        let rest = whole & !set;
                        chance[whole] = chance[whole].max(search.sums[*target].destroyed[set] * last_chance[rest]);
                        value[whole] = value[whole].max(search.value(*target, set) + last_value[rest]);
                    }
                    if set == 0 {
                        break;
                    }
                    set = (set - 1) & whole;
                }
            }
            let mut own: Vec<usize> = (0..all).filter(|set| search.useful[*target][*set]).collect();
            own.sort_by(|a, b| search.value(*target, *b).total_cmp(&search.value(*target, *a)));
            chances.push(chance);
            most.push(value);
            sets.push(own);
        }
        chances.reverse();
        most.reverse();
        sets.reverse();
        Ok(Self { search, must, free, chances, most, sets })
    }

    /// The highest chance that any plan has.
    pub(super) fn highest(&self) -> f64 {
        self.chances[0].last().copied().unwrap_or(0.0)
    }

    /// The best plans: of those that reach the wanted chance, or by their chance first.
    pub(super) fn find(&self, by_chance: bool, token: &CancellationToken) -> Result<Vec<Ranked>, Cancelled> {
        let mut best = Best::default();
        let all = self.search.spread.len() - 1;
        self.follow(0, all, Ranked::NOBODY, by_chance, &mut best, token)?;
        Ok(best.0)
    }

    fn follow(
        &self,
        at: usize,
        rest: usize,
        so_far: Ranked,
        by_chance: bool,
        best: &mut Best,
        token: &CancellationToken,
    ) -> Result<(), Cancelled> {
        let chance = so_far.chance * self.chances[at][rest];
        let most = so_far.value + self.most[at][rest];
        if !by_chance && chance < self.must.chance - EQUAL {
            return Ok(());
        }
        if let Some(last) = best.last() {
            let less_likely = by_chance && chance < last.chance - EQUAL;
            let no_likelier = !by_chance || chance <= last.chance + EQUAL;
            // Whoever is not sent anywhere yet goes to the first target at best.
            let first_digits = so_far.digits - self.search.spread[rest] * NOWHERE;
            let no_better = above(last.value, most) || (!above(most, last.value) && first_digits > last.digits);
            if less_likely || (no_likelier && no_better) {
                return Ok(());
            }
        }
        let Some(target) = self.must.targets.get(at) else {
            for plan in &self.free[rest].0 {
                let value = so_far.value + plan.value;
                // Both say of each attacker where it goes, and only one of them says it of each.
                let digits = so_far.digits & plan.digits;
                best.offer(Ranked { value, chance: so_far.chance, digits }, by_chance);
            }
            return Ok(());
        };
        token.check()?;
        for set in self.sets[at].iter().filter(|set| *set & !rest == 0) {
            let destroyed = self.search.sums[*target].destroyed[*set];
            let with = so_far.with(*target, self.search.spread[*set], self.search.value(*target, *set));
            let next = Ranked { chance: so_far.chance * destroyed, ..with };
            self.follow(at + 1, rest & !set, next, by_chance, best, token)?;
        }
        Ok(())
    }
}
