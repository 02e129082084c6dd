//! How a target stands after a chain: models, points missing and marks together, which one distribution each does not tell.
use super::super::cancellation::{CancellationToken, Cancelled};
use super::Chain;
use super::either::EitherSpace;
use super::prepared::Prepared;

/// How a target stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Stand {
    /// Models or units that are left.
    pub standing: u32,
    /// Points that the first of them misses.
    pub hurt: u32,
    /// Its marks, of those that were asked about: a bit for each.
    pub marks: u32,
}

impl Chain {
    /// How the target stands after all volleys, with the chance of each; of its marks those named are told.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    ///
    /// # Cost
    /// The attacks of a chain's evaluation, for armour once more for each mark: its states are so many times two.
    pub fn stands(&self, marks: &[String], token: &CancellationToken) -> Result<Vec<(Stand, f64)>, Cancelled> {
        let inner = |volley| match EitherSpace::new(&self.target, Some(volley), &self.volleys) {
            EitherSpace::Armour(space) => EitherSpace::Armour(space.keeping(marks)),
            soldiers => soldiers,
        };
        let prepared = Prepared::new(self, &self.target.counters().read_by(&self.volleys, false), inner);
        let chances = prepared.space().alone(&prepared.struck(token)?, 1);
        let last = &prepared.space().inner;
        let stand = |state: usize| Stand {
            standing: last.standing(state),
            hurt: last.hurt(state) as u32,
            marks: last.marks_of(state, marks),
        };
        Ok(likely(chances, stand))
    }
}

/// What can happen, each thing once.
fn likely(chances: Vec<f64>, stand: impl Fn(usize) -> Stand) -> Vec<(Stand, f64)> {
    let mut all: Vec<(Stand, f64)> = Vec::new();
    for (state, chance) in chances.into_iter().enumerate().filter(|(_, chance)| *chance > 0.0) {
        let stand = stand(state);
        match all.iter_mut().rev().find(|(known, _)| *known == stand) {
            Some((_, sum)) => *sum += chance,
            None => all.push((stand, chance)),
        }
    }
    all
}
