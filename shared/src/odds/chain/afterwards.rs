//! What is rolled when the volleys are over.
use super::super::cancellation::{CancellationToken, Cancelled};
use super::super::check::pass_and_fail;
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::super::roll::Roll;
use super::count::Tally;
use super::evaluate::most_counted;
use super::gate::Attempts;
use super::prepared::Prepared;
use super::{Chain, Lost, Target, Volley};

/// A roll made after the volleys, while something of the target is left; its success brings the effect.
#[derive(Clone, Debug, PartialEq)]
pub struct Aftermath {
    /// What is counted.
    pub when: When,
    /// The smallest count that makes them roll.
    pub at_least: u32,
    /// The roll; `auto` where the effect follows for certain.
    pub roll: Roll,
    /// Added to the modifier for each one counted.
    pub per_point: i32,
    /// What it brings.
    pub effect: String,
    /// In a duel: the effect takes all that is left of the target out of the fight.
    pub ends: bool,
    /// It happens even where nothing of the target is left.
    pub even_destroyed: bool,
    /// An attack that comes with it on a target of its own, once however often it was counted.
    pub attack: Option<Box<Chain>>,
}

/// What an aftermath counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum When {
    /// Models removed.
    Models,
    /// Health lost.
    HealthLost,
    /// Units wrecked.
    Wrecked,
    /// Successes past a step of this name, saved or not.
    Passed(String),
}

impl Chain {
    /// For each roll that counts a step that was passed while something is left: the chance of each count together with
    /// something left, from 0; nothing for the others.
    ///
    /// # Cost
    /// The states of the target times the counts, for each such roll.
    pub(super) fn passed_while_left<N: Number>(
        &self,
        prepared: &Prepared<'_, N>,
        token: &CancellationToken,
    ) -> Result<Vec<Option<Vec<N>>>, Cancelled> {
        let one = |after: &Aftermath| match &after.when {
            When::Passed(step) if !after.even_destroyed => self.counted_while_left(step, prepared, token).map(Some),
            _ => Ok(None),
        };
        self.aftermath.iter().map(one).collect()
    }

    fn counted_while_left<N: Number>(
        &self,
        step: &str,
        prepared: &Prepared<'_, N>,
        token: &CancellationToken,
    ) -> Result<Vec<N>, Cancelled> {
        let index = |volley: &Volley| volley.steps.iter().position(|other| other.name == step);
        let counters: Vec<_> = self.volleys.iter().map(|volley| index(volley).map(Tally::Passed)).collect();
        let attacks: Vec<Attempts<N>> = self.volleys.iter().map(Attempts::of).collect();
        let most =
            |at: usize| counters[at].map_or(0, |counter| most_counted(&prepared.graphs[at], counter, &attacks[at]));
        let aux_width = (0..attacks.len()).map(most).sum::<usize>() + 1;
        let mut state = prepared.start(aux_width);
        for (at, attacks) in attacks.iter().enumerate() {
            state = prepared.run_for_counts(at).count_on(state, attacks, counters[at], aux_width, token)?;
        }
        let mut counts = vec![N::zero(); aux_width];
        let left = state.chunks(aux_width).enumerate().filter(|(state, _)| !prepared.space().is_gone(*state));
        left.for_each(|(_, part)| N::add_scaled(&mut counts, &N::one(), part));
        Ok(counts)
    }
}

impl Aftermath {
    /// The chance of the effect, given the chance of each count.
    pub(super) fn chance<'n, N: Number>(&self, counts: impl Iterator<Item = (i64, &'n N)>) -> N {
        let mut sum = N::zero();
        for (value, chance) in counts.filter(|(value, _)| *value >= i64::from(self.at_least)) {
            sum.add_product(&pass_and_fail(&self.roll_for(value)).0, chance);
        }
        sum
    }

    /// The same of what the target lost: who lost all there was has nothing left.
    pub(super) fn chance_of<N: Number>(
        &self,
        target: &Target,
        lost: &Lost<N>,
        passed: &[(String, Distribution<N>)],
    ) -> N {
        let (counts, all) = match (&self.when, lost) {
            (When::Models, Lost::Soldiers { models, .. }) => (models.clone(), i64::from(target.count())),
            (When::HealthLost, Lost::Soldiers { health, .. }) => (health.clone(), health_of(target)),
            (When::Wrecked, Lost::Armoured { wrecked, .. }) => (wrecked.clone(), i64::from(target.count())),
            (When::Passed(step), _) => {
                let named = passed.iter().filter(|(name, _)| name == step);
                (named.fold(Distribution::certain(0), |sum, (_, count)| sum.convolve(count)), i64::MAX)
            }
            _ => (Distribution::certain(0), i64::MAX),
        };
        self.chance(counts.iter().filter(|(value, _)| self.even_destroyed || *value < all))
    }

    /// The roll after so many were counted.
    pub(crate) fn roll_for(&self, count: i64) -> Roll {
        let more = self.per_point.saturating_mul(count as i32);
        Roll { modifier: self.roll.modifier.saturating_add(more), ..self.roll.clone() }
    }
}

/// All points of health of soldiers, less those missing at the start.
fn health_of(target: &Target) -> i64 {
    match target {
        Target::Soldiers(soldiers) => {
            let each = soldiers.groups.iter().map(|group| i64::from(group.models) * i64::from(group.health));
            each.sum::<i64>() - i64::from(soldiers.hurt)
        }
        Target::Armoured(_) => i64::MAX,
    }
}
