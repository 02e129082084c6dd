//! A turn in which the volleys of both sides are made from the highest order down.
use super::joint::{Joint, Moment};
use super::side::PreparedSide;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::number::Number;

impl<N: Number> Joint<N> {
    /// After all volleys of a turn, those of one order at once. What ends a side is rolled after the last order in which the
    /// other side makes volleys in this turn, whatever has become of that side, for all that was lost since the turn's
    /// repairs, harm of the own side's making counted in.
    ///
    /// # Cost
    /// That of a turn for each order; where something may end a side, once for each pair of states that it begins in.
    pub(super) fn ordered(
        self,
        a: &PreparedSide<'_, N>,
        b: &PreparedSide<'_, N>,
        turn: u32,
        token: &CancellationToken,
    ) -> Result<Self, Cancelled> {
        if !a.ends(turn) && !b.ends(turn) {
            return self.made(a, b, turn, None, token);
        }
        let mut after = self.nowhere();
        for start in self.likely() {
            let end = self.only(start).made(a, b, turn, Some(start), token)?;
            after.join(&end);
        }
        Ok(after)
    }

    /// After all volleys of a turn; of a turn that began in one pair of states with what ends a side.
    fn made(
        self,
        a: &PreparedSide<'_, N>,
        b: &PreparedSide<'_, N>,
        turn: u32,
        start: Option<(usize, usize)>,
        token: &CancellationToken,
    ) -> Result<Self, Cancelled> {
        let mut orders: Vec<i32> = a.orders(turn).chain(b.orders(turn)).collect();
        orders.sort_unstable_by(|one, other| other.cmp(one));
        orders.dedup();
        let mut joint = self;
        for order in orders {
            let moment = Moment { turn, order: Some(order) };
            let acts = |side: &PreparedSide<'_, N>| side.orders(turn).any(|known| known == order);
            joint = match (acts(a), acts(b)) {
                (true, true) => joint.together(a, b, moment, token)?,
                (true, false) => joint.attacked(a, moment, token)?,
                (false, true) => joint.turned().attacked(b, moment, token)?.turned(),
                (false, false) => joint,
            };
            let Some((own, other)) = start else { continue };
            let is_last = |side: &PreparedSide<'_, N>| side.orders(turn).min() == Some(order);
            if is_last(a) && a.ends(turn) {
                joint = joint.ended(a, b, turn, other);
            }
            if is_last(b) && b.ends(turn) {
                joint = joint.turned().ended(b, a, turn, own).turned();
            }
        }
        Ok(joint)
    }

    /// After the other side has rolled what may end it, for what it lost since it stood in a state.
    fn ended(self, side: &PreparedSide<'_, N>, other: &PreparedSide<'_, N>, turn: u32, start: usize) -> Self {
        let space = &other.own;
        self.moved(|state| {
            if space.is_gone(state) {
                return None;
            }
            let models = i64::from(space.standing(start)) - i64::from(space.standing(state));
            let (leaves, stays) = side.leaves(turn, models, space.lost(state) - space.lost(start));
            (!leaves.is_zero()).then(|| [(space.gone_from(state), leaves), (state, stays)])
        })
    }
}
