//! Counters that a side takes off itself at the start of each of its turns.
use crate::odds::chain::Counter;
use crate::odds::chain::counted::CountedSpace;
use crate::odds::check::pass_and_fail;
use crate::odds::dice::Amount;
use crate::odds::distribution::Distribution;
use crate::odds::number::Number;
use crate::odds::roll::Roll;

/// What a side takes off one of its counters at the start of each of its turns, while something of it is left.
#[derive(Clone, Debug, PartialEq)]
pub struct Shed {
    /// The counter.
    pub counter: String,
    /// How much, never below 0; nothing: all of it.
    pub amount: Option<Amount>,
    /// The roll that does it.
    pub roll: Roll,
}

/// A shed ready to be applied to the states of its side.
pub(super) struct PreparedShed<N> {
    counter: usize,
    /// For each value of the counter, what is left of it.
    left: Vec<Distribution<N>>,
}

impl<N: Number> PreparedShed<N> {
    pub(super) fn new(shed: &Shed, index: usize, counter: &Counter) -> Self {
        let (comes, fails) = pass_and_fail::<N>(&shed.roll);
        let amount: Option<Distribution<N>> = shed.amount.as_ref().map(Amount::distribution);
        let left = |value: u32| {
            let mut chances = vec![N::zero(); value as usize + 1];
            chances[value as usize].add(&fails);
            match &amount {
                None => chances[0].add(&comes),
                Some(amount) => {
                    for (less, chance) in amount.iter() {
                        let left = i64::from(value).saturating_sub(less).max(0);
                        chances[left as usize].add_product(chance, &comes);
                    }
                }
            }
            Distribution::new(0, chances).unwrap_or_else(|| Distribution::certain(i64::from(value)))
        };
        Self { counter: index, left: (0..=counter.most).map(left).collect() }
    }

    /// Where a state leads, each with its chance; nothing where the counter is not followed, or nothing of the side is left.
    pub(super) fn ends(&self, own: &CountedSpace<'_, N>, state: usize) -> Option<Vec<(usize, &N)>> {
        let value = own.value(state, self.counter).filter(|_| !own.is_gone(state))?;
        let left = self.left.get(value)?;
        Some(left.iter().map(|(left, chance)| (own.with_value(state, self.counter, left as usize), chance)).collect())
    }
}
