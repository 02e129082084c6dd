//! What the counters of a target come to in the end, and what their thresholds bring.
use super::super::cancellation::{CancellationToken, Cancelled};
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::Chain;
use super::counted::CountedSpace;
use super::evaluate::project;
use super::prepared::Prepared;

/// The values of counters, and the chances of effects, each by its name.
type Counted<N> = (Vec<(String, Distribution<N>)>, Vec<(String, N)>);

impl Chain {
    /// All counters and effects. `read` are the counters that the volleys read: they are followed whatever is asked.
    ///
    /// # Cost
    /// All attacks once more for each set of counters that one effect needs together, on the target's states times the
    /// values of the set and of those that are read.
    pub(super) fn counted<N: Number>(
        &self,
        read: &[usize],
        token: &CancellationToken,
    ) -> Result<Counted<N>, Cancelled> {
        let counters = self.target.counters();
        let mut values: Vec<Option<Distribution<N>>> = vec![None; counters.all.len()];
        let names = counters.effects();
        let mut chances: Vec<Option<N>> = vec![None; names.len()];
        for set in counters.followed(read) {
            let prepared = Prepared::following(self, &set);
            let end = prepared.struck(token)?;
            let space = prepared.space();
            for counter in &set {
                if values[*counter].is_none() {
                    let value = |state| space.value(state, *counter).unwrap_or(0) as i64;
                    values[*counter] = Some(project(&end, value));
                }
            }
            for (effect, chance) in names.iter().zip(&mut chances).filter(|(_, chance)| chance.is_none()) {
                *chance = self.holds(effect, space, &end);
            }
        }
        let known = |name: &str| name.to_owned();
        let values = counters.all.iter().zip(values).filter_map(|(of, value)| Some((known(&of.name), value?)));
        let chances = names.iter().zip(chances).filter_map(|(name, chance)| Some((known(name), chance?)));
        Ok((values.collect(), chances.collect()))
    }

    /// The chance that an effect holds; nothing where one of its counters is not followed.
    fn holds<N: Number>(&self, effect: &str, space: &CountedSpace<'_, N>, end: &[N]) -> Option<N> {
        let counters = self.target.counters();
        let mut rows = Vec::new();
        for row in counters.thresholds.iter().filter(|row| row.effect == effect) {
            let counter = counters.position(&row.counter)?;
            space.value(0, counter)?;
            rows.push((counter, row));
        }
        let mut sum = N::zero();
        for (state, chance) in end.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            let holds = rows.iter().any(|(counter, row)| {
                let value = space.value(state, *counter).unwrap_or(0);
                value >= row.at_least as usize && (row.even_destroyed || !space.is_gone(state))
            });
            if holds {
                sum.add(chance);
            }
        }
        Some(sum)
    }
}
