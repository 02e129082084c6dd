//! How a target stands after a chain: models, points missing and marks together, which one distribution each does not tell.
use super::super::cancellation::{CancellationToken, Cancelled};
use super::armour::ArmourSpace;
use super::gate::Attempts;
use super::graph::Graph;
use super::run::Run;
use super::soldiers::SoldierSpace;
use super::state_space::StateSpace;
use super::{Armoured, Chain, Soldiers, Target};

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
        match &self.target {
            Target::Soldiers(soldiers) => self.soldiers_stand(soldiers, token),
            Target::Armoured(armoured) => self.armour_stands(armoured, marks, token),
        }
    }

    fn soldiers_stand(&self, soldiers: &Soldiers, token: &CancellationToken) -> Result<Vec<(Stand, f64)>, Cancelled> {
        let last = SoldierSpace::new(soldiers, None);
        let mut chances = vec![0.0; StateSpace::<f64>::states(&last)];
        chances[StateSpace::<f64>::start(&last)] = 1.0;
        for volley in &self.volleys {
            let space = SoldierSpace::new(soldiers, Some(volley));
            let graph = Graph::new(volley, &soldiers.groups);
            chances = Run::new(&graph, &space).apply_attacks(chances, &Attempts::of(volley), token)?;
        }
        let stand = |state: usize| Stand { standing: last.standing(state), hurt: last.hurt(state) as u32, marks: 0 };
        Ok(likely(chances, stand))
    }

    fn armour_stands(
        &self,
        armoured: &Armoured,
        marks: &[String],
        token: &CancellationToken,
    ) -> Result<Vec<(Stand, f64)>, Cancelled> {
        let space = |volley| ArmourSpace::new(armoured, volley, &self.volleys, &[]).keeping(marks);
        let last = space(None);
        let mut chances = vec![0.0; StateSpace::<f64>::states(&last)];
        chances[StateSpace::<f64>::start(&last)] = 1.0;
        for volley in &self.volleys {
            let (space, graph) = (space(Some(volley)), Graph::new(volley, &[]));
            chances = Run::new(&graph, &space).apply_attacks(chances, &Attempts::of(volley), token)?;
        }
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
