//! How likely a chain does at least so much to its target: only the attacks are applied, no counts.
use super::super::cancellation::{CancellationToken, Cancelled};
use super::super::number::{Number, Possible};
use super::counted::CountedSpace;
use super::gate::Attempts;
use super::prepared::Prepared;
use super::state_space::StateSpace;
use super::{Chain, Target, Volley};
use std::ops::ControlFlow;

/// What is wanted of a chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// Nothing is left.
    Destroyed,
    /// So many models removed, or units wrecked.
    Removed(u32),
    /// So many points of health or structure lost.
    Lost(u32),
}

impl Goal {
    /// Whether it is met in each state of the target.
    fn met<N: Number>(self, space: &CountedSpace<'_, N>) -> Vec<bool> {
        let all = space.standing(space.start());
        let met = |state: usize| match self {
            Self::Destroyed => space.standing(state) == 0,
            Self::Removed(wanted) => all - space.standing(state) >= wanted,
            // States before the start, of a target that is hurt already, are never entered.
            Self::Lost(wanted) => space.lost(state) >= i64::from(wanted),
        };
        (0..space.states()).map(met).collect()
    }
}

impl Chain {
    /// The chance that the goal is met.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    pub fn reaches<N: Number>(&self, goal: Goal, token: &CancellationToken) -> Result<N, Cancelled> {
        let (state, met) = self.struck(goal, token)?;
        Ok(sum(&state, &met))
    }

    /// The target's states after all volleys, and whether each of them meets the goal.
    fn struck<N: Number>(&self, goal: Goal, token: &CancellationToken) -> Result<(Vec<N>, Vec<bool>), Cancelled> {
        let prepared = Prepared::plain(self);
        let state = prepared.struck(token)?;
        let met = goal.met(prepared.space());
        Ok((state, met))
    }

    /// Whether the goal may not be met, however unlikely that is.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    pub fn can_miss(&self, goal: Goal, token: &CancellationToken) -> Result<bool, Cancelled> {
        let (state, met) = self.struck::<Possible>(goal, token)?;
        Ok(can_miss(&state, &met))
    }

    /// Whether every further attacker goes on where the one before it left off, so that [`Chain::climb`] is right:
    /// with several volleys an attacker of the first shoots before all of the second, and where hits after a wreck
    /// are wasted it matters which attacks belong to one volley; one roll may let all of them attack or none.
    pub fn is_one_by_one(&self) -> bool {
        let wasted = matches!(&self.target, Target::Armoured(armoured) if armoured.overflow_wasted);
        let together = |volley: &Volley| volley.gate.as_ref().is_some_and(|gate| gate.per_volley);
        self.volleys.len() == 1 && !wasted && !self.volleys.iter().any(together)
    }

    /// The chances that the goal is met with no attacker, one, two … up to `most`, until `each` has seen enough.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    ///
    /// # Cost
    /// All the attacks are applied once.
    pub fn climb<N: Number>(
        &self,
        goal: Goal,
        most: u32,
        token: &CancellationToken,
        mut each: impl FnMut(N) -> ControlFlow<()>,
    ) -> Result<(), Cancelled> {
        self.for_each_attacker(goal, most, token, |_, state, met| each(sum(state, met)))
    }

    /// The smallest number of attackers from which the goal cannot be missed any more; climbs as [`Chain::climb`] does.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    pub fn certain_from(&self, goal: Goal, most: u32, token: &CancellationToken) -> Result<Option<u32>, Cancelled> {
        let mut from = None;
        self.for_each_attacker::<Possible>(goal, most, token, |attackers, state, met| {
            if can_miss(state, met) {
                return ControlFlow::Continue(());
            }
            from = Some(attackers);
            ControlFlow::Break(())
        })?;
        Ok(from)
    }

    /// The target's states with no attacker, one, two … and whether each meets the goal.
    fn for_each_attacker<N: Number>(
        &self,
        goal: Goal,
        most: u32,
        token: &CancellationToken,
        mut each: impl FnMut(u32, &[N], &[bool]) -> ControlFlow<()>,
    ) -> Result<(), Cancelled> {
        let Some(volley) = self.volleys.first() else { return Ok(()) };
        let prepared = Prepared::plain(self);
        let run = prepared.run(0);
        let met = goal.met(prepared.space());
        let attacks = Attempts::by(volley.gate.as_ref(), 1, &volley.attacks.distribution());
        let mut state = prepared.start(1);
        for attacker in 0..=most {
            if each(attacker, &state, &met).is_break() || attacker == most {
                break;
            }
            state = run.apply_attacks(state, &attacks, token)?;
        }
        Ok(())
    }
}

fn can_miss(state: &[Possible], met: &[bool]) -> bool {
    state.iter().zip(met).any(|(possible, met)| !met && !possible.is_zero())
}

fn sum<N: Number>(state: &[N], met: &[bool]) -> N {
    let mut sum = N::zero();
    // From the far end: what is rarest comes first, so that small chances keep their digits.
    state.iter().zip(met).rev().filter(|(_, met)| **met).for_each(|(chance, _)| sum.add(chance));
    sum
}
