//! A target of either kind, for what treats both alike.
use super::super::number::Number;
use super::armour::{ArmourField, Moves};
use super::field::Field;
use super::graph::Landing;
use super::soldiers::{Runs, SoldierField};
use super::{Target, Volley};

/// Soldiers or armour.
#[derive(Debug)]
pub(crate) enum EitherField<'a> {
    Soldiers(SoldierField<'a>),
    Armour(ArmourField<'a>),
}

/// What a landing does to one of them.
#[derive(Debug)]
pub(crate) enum EitherLaw<N> {
    Soldiers(Runs<N>),
    Armour(Moves<N>),
}

impl<'a> EitherField<'a> {
    /// The states of a target under one of several volleys, or under none.
    pub(crate) fn new(target: &'a Target, volley: Option<&'a Volley>, all: &'a [Volley]) -> Self {
        match target {
            Target::Soldiers(soldiers) => Self::Soldiers(SoldierField::new(soldiers, volley)),
            Target::Armoured(armoured) => Self::Armour(ArmourField::new(armoured, volley, all, &[])),
        }
    }

    /// Models or units that stand.
    pub(crate) fn standing(&self, state: usize) -> u32 {
        match self {
            Self::Soldiers(field) => field.standing(state),
            Self::Armour(field) => field.standing(state),
        }
    }

    /// Points lost in a state, counted from the start.
    pub(crate) fn lost(&self, state: usize) -> i64 {
        match self {
            Self::Soldiers(field) => field.health_lost(state),
            Self::Armour(field) => field.structure_lost(state),
        }
    }

    /// Points that the one hurt model or unit misses.
    pub(crate) fn hurt(&self, state: usize) -> usize {
        match self {
            Self::Soldiers(field) => field.hurt(state),
            Self::Armour(field) => field.hurt(state),
        }
    }

    /// The state with so many points of the hurt model or unit back.
    pub(crate) fn mended(&self, state: usize, points: usize) -> usize {
        match self {
            Self::Soldiers(_) => state - points,
            Self::Armour(field) => field.mended(state, points),
        }
    }

    /// The state in which nothing is left.
    pub(crate) fn gone(&self) -> usize {
        match self {
            Self::Soldiers(field) => field.gone(),
            Self::Armour(field) => field.gone(),
        }
    }
}

impl<N: Number> Field<N> for EitherField<'_> {
    type Law = EitherLaw<N>;

    fn states(&self) -> usize {
        match self {
            Self::Soldiers(field) => Field::<N>::states(field),
            Self::Armour(field) => Field::<N>::states(field),
        }
    }

    fn start(&self) -> usize {
        match self {
            Self::Soldiers(field) => Field::<N>::start(field),
            Self::Armour(field) => Field::<N>::start(field),
        }
    }

    fn law(&self, landing: &Landing<N>) -> EitherLaw<N> {
        match self {
            Self::Soldiers(field) => EitherLaw::Soldiers(field.law(landing)),
            Self::Armour(field) => EitherLaw::Armour(field.law(landing)),
        }
    }

    fn mixture(&self, landings: &[(N, &Landing<N>)], nothing: &N) -> EitherLaw<N> {
        match self {
            Self::Soldiers(field) => EitherLaw::Soldiers(field.mixture(landings, nothing)),
            Self::Armour(field) => EitherLaw::Armour(field.mixture(landings, nothing)),
        }
    }

    fn land(&self, law: &EitherLaw<N>, from: &[N], onto: &mut [N], lanes: usize) {
        match (self, law) {
            (Self::Soldiers(field), EitherLaw::Soldiers(law)) => field.land(law, from, onto, lanes),
            (Self::Armour(field), EitherLaw::Armour(law)) => field.land(law, from, onto, lanes),
            // A law comes from the field that it is used on.
            _ => {}
        }
    }

    fn land_times(&self, law: &EitherLaw<N>, from: &[N], times: u32, lanes: usize) -> Option<Vec<N>> {
        match (self, law) {
            (Self::Soldiers(field), EitherLaw::Soldiers(law)) => field.land_times(law, from, times, lanes),
            _ => None,
        }
    }

    fn variant(&self, state: usize) -> usize {
        match self {
            Self::Soldiers(field) => Field::<N>::variant(field, state),
            Self::Armour(field) => Field::<N>::variant(field, state),
        }
    }

    fn next_volley(&self, chances: &mut [N], lanes: usize) {
        match self {
            Self::Soldiers(field) => field.next_volley(chances, lanes),
            Self::Armour(field) => field.next_volley(chances, lanes),
        }
    }
}
