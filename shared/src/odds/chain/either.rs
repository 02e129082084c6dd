//! A target of either kind, for what treats both alike.
use super::super::number::Number;
use super::armour::{ArmourSpace, Moves};
use super::graph::AttackOutcome;
use super::soldiers::{Runs, SoldierSpace};
use super::state_space::StateSpace;
use super::{Target, Volley};

/// Soldiers or armour.
#[derive(Debug)]
pub(crate) enum EitherSpace<'a> {
    Soldiers(SoldierSpace<'a>),
    Armour(ArmourSpace<'a>),
}

/// What an outcome does to one of them.
#[derive(Debug)]
pub(crate) enum EitherKernel<N> {
    Soldiers(Runs<N>),
    Armour(Moves<N>),
}

impl<'a> EitherSpace<'a> {
    /// The states of a target under one of several volleys, or under none.
    pub(crate) fn new(target: &'a Target, volley: Option<&'a Volley>, all: &'a [Volley]) -> Self {
        match target {
            Target::Soldiers(soldiers) => Self::Soldiers(SoldierSpace::new(soldiers, volley)),
            Target::Armoured(armoured) => Self::Armour(ArmourSpace::new(armoured, volley, all, &[])),
        }
    }

    /// Models or units that stand.
    pub(crate) fn standing(&self, state: usize) -> u32 {
        match self {
            Self::Soldiers(space) => space.standing(state),
            Self::Armour(space) => space.standing(state),
        }
    }

    /// Points lost in a state, counted from the start.
    pub(crate) fn lost(&self, state: usize) -> i64 {
        match self {
            Self::Soldiers(space) => space.health_lost(state),
            Self::Armour(space) => space.structure_lost(state),
        }
    }

    /// Points that the one hurt model or unit misses.
    pub(crate) fn hurt(&self, state: usize) -> usize {
        match self {
            Self::Soldiers(space) => space.hurt(state),
            Self::Armour(space) => space.hurt(state),
        }
    }

    /// The state with so many points of the hurt model or unit back.
    pub(crate) fn mended(&self, state: usize, points: usize) -> usize {
        match self {
            Self::Soldiers(_) => state - points,
            Self::Armour(space) => space.mended(state, points),
        }
    }

    /// The marks of the unit that is hit, of these names: a bit for each.
    pub(crate) fn marks_of(&self, state: usize, names: &[String]) -> u32 {
        match self {
            Self::Soldiers(_) => 0,
            Self::Armour(space) => space.marks_of(state, names),
        }
    }

    /// Whether nothing is left in a state; of what only notes marks that came up, the same.
    pub(crate) fn is_nothing_left(&self, state: usize) -> bool {
        match self {
            Self::Soldiers(space) => state == space.gone(),
            Self::Armour(space) => space.is_nothing_left(state),
        }
    }

    /// The state in which nothing is left.
    pub(crate) fn gone(&self) -> usize {
        match self {
            Self::Soldiers(space) => space.gone(),
            Self::Armour(space) => space.gone(),
        }
    }
}

impl<N: Number> StateSpace<N> for EitherSpace<'_> {
    type Kernel = EitherKernel<N>;

    fn states(&self) -> usize {
        match self {
            Self::Soldiers(space) => StateSpace::<N>::states(space),
            Self::Armour(space) => StateSpace::<N>::states(space),
        }
    }

    fn start(&self) -> usize {
        match self {
            Self::Soldiers(space) => StateSpace::<N>::start(space),
            Self::Armour(space) => StateSpace::<N>::start(space),
        }
    }

    fn kernel(&self, outcome: &AttackOutcome<N>) -> EitherKernel<N> {
        match self {
            Self::Soldiers(space) => EitherKernel::Soldiers(space.kernel(outcome)),
            Self::Armour(space) => EitherKernel::Armour(space.kernel(outcome)),
        }
    }

    fn mixed_kernel(&self, outcomes: &[(N, &AttackOutcome<N>)], nothing: &N) -> EitherKernel<N> {
        match self {
            Self::Soldiers(space) => EitherKernel::Soldiers(space.mixed_kernel(outcomes, nothing)),
            Self::Armour(space) => EitherKernel::Armour(space.mixed_kernel(outcomes, nothing)),
        }
    }

    fn apply(&self, kernel: &EitherKernel<N>, from: &[N], onto: &mut [N], aux_width: usize) {
        match (self, kernel) {
            (Self::Soldiers(space), EitherKernel::Soldiers(kernel)) => space.apply(kernel, from, onto, aux_width),
            (Self::Armour(space), EitherKernel::Armour(kernel)) => space.apply(kernel, from, onto, aux_width),
            // A kernel comes from the space that it is applied to.
            _ => {}
        }
    }

    fn apply_power(&self, kernel: &EitherKernel<N>, from: &[N], times: u32, aux_width: usize) -> Option<Vec<N>> {
        match (self, kernel) {
            (Self::Soldiers(space), EitherKernel::Soldiers(kernel)) => {
                space.apply_power(kernel, from, times, aux_width)
            }
            _ => None,
        }
    }

    fn variant(&self, state: usize) -> usize {
        match self {
            Self::Soldiers(space) => StateSpace::<N>::variant(space, state),
            Self::Armour(space) => StateSpace::<N>::variant(space, state),
        }
    }

    fn next_volley(&self, chances: &mut [N], aux_width: usize) {
        match self {
            Self::Soldiers(space) => space.next_volley(chances, aux_width),
            Self::Armour(space) => space.next_volley(chances, aux_width),
        }
    }
}
