//! What the joint chances of both sides come to.
use super::DuelTurn;
use super::joint::Joint;
use super::side::PreparedSide;
use crate::odds::distribution::Distribution;
use crate::odds::number::Number;

impl<N: Number> Joint<N> {
    /// The value of a counter of the side that acts; nothing where it is not followed.
    pub(super) fn counter(&self, side: &PreparedSide<'_, N>, counter: usize) -> Option<Distribution<N>> {
        let mut chances = vec![N::zero(); side.side.target.counters().all.get(counter)?.most as usize + 1];
        for (index, chance) in self.chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            chances[side.own.value(index % self.own, counter)?].add(chance);
        }
        Distribution::new(0, chances).map(Distribution::normalised)
    }

    /// The end of a turn; `a` is the side that acts in this orientation.
    pub(super) fn row(&self, a: &PreparedSide<'_, N>, b: &PreparedSide<'_, N>) -> DuelTurn<N> {
        let mut row = DuelTurn { a_destroyed: N::zero(), b_destroyed: N::zero(), both_standing: N::zero() };
        for (index, chance) in self.chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            let a_gone = a.own.standing(index % self.own) == 0;
            let b_gone = b.own.standing(index / self.own) == 0;
            if a_gone {
                row.a_destroyed.add(chance);
            }
            if b_gone {
                row.b_destroyed.add(chance);
            }
            if !a_gone && !b_gone {
                row.both_standing.add(chance);
            }
        }
        row
    }

    /// What is left of both.
    pub(super) fn left(&self, a: &PreparedSide<'_, N>, b: &PreparedSide<'_, N>) -> (Distribution<N>, Distribution<N>) {
        let most = |side: &PreparedSide<'_, N>| side.own.standing(0) as usize + 1;
        let (mut of_a, mut of_b) = (vec![N::zero(); most(a)], vec![N::zero(); most(b)]);
        for (index, chance) in self.chances.iter().enumerate() {
            of_a[a.own.standing(index % self.own) as usize].add(chance);
            of_b[b.own.standing(index / self.own) as usize].add(chance);
        }
        let whole =
            |chances: Vec<N>| Distribution::new(0, chances).unwrap_or_else(|| Distribution::certain(0)).normalised();
        (whole(of_a), whole(of_b))
    }

    /// Points that both miss, on average.
    pub(super) fn missing(&self, a: &PreparedSide<'_, N>, b: &PreparedSide<'_, N>) -> (N, N) {
        let (mut of_a, mut of_b) = (vec![N::zero(); self.own], vec![N::zero(); self.other()]);
        for (index, chance) in self.chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            of_a[index % self.own].add(chance);
            of_b[index / self.own].add(chance);
        }
        let mean = |side: &PreparedSide<'_, N>, chances: &[N]| {
            let mut sum = N::zero();
            for (state, chance) in chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
                let points = side.own.lost(state) + i64::from(side.side.target.hurt());
                sum.add_product(&N::ratio(points.unsigned_abs(), 1), chance);
            }
            sum
        };
        (mean(a, &of_a), mean(b, &of_b))
    }
}
