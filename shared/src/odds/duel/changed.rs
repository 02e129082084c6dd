//! The same duel with something of it changed that cannot make it wrong.
use super::{Duel, First, Side};
use crate::odds::chain::{Kind, Target};
use crate::odds::dice::Amount;
use crate::odds::repair::Mend;

impl Duel {
    /// With another repair of side a, or none.
    #[must_use]
    pub fn with_repair_of_a(&self, repair: Option<Mend>) -> Self {
        Self { a: Side { repair, ..self.a.clone() }, ..self.clone() }
    }

    /// What backfires on side a, or on side b, does it no harm.
    #[must_use]
    pub fn without_own_harm(&self, of_b: bool) -> Self {
        let mut duel = self.clone();
        let side = if of_b { &mut duel.b } else { &mut duel.a };
        for gate in side.attack.iter_mut().filter_map(|timed| timed.volley.gate.as_mut()) {
            gate.harm = Amount::fixed(0);
        }
        for step in side.attack.iter_mut().flat_map(|timed| &mut timed.volley.steps) {
            if let Kind::Roll(roll) = &mut step.kind {
                roll.backfire.harm = Amount::fixed(0);
            }
        }
        duel
    }

    /// Side b attacks once, all of side a standing, and that is all: nothing is mended, and nothing rolled afterwards.
    #[must_use]
    pub fn one_attack_of_b(&self) -> Self {
        let mut duel = self.with_repair_of_a(None);
        duel.a.attack.clear();
        duel.a.aftermath.clear();
        duel.b.aftermath.clear();
        // Templates are laid on all who stand at the start anyway.
        duel.b.attack.iter_mut().for_each(|timed| timed.bases_follow_survivors = false);
        (duel.first, duel.turns) = (First::B, 1);
        duel
    }

    /// With so many more of side a, each as whole as the one before it and standing behind it, as far as a target goes.
    #[must_use]
    pub fn with_more_of_a(&self, times: u32) -> Self {
        let mut duel = self.clone();
        let times = times.min(self.most_more_of_a());
        match &mut duel.a.target {
            Target::Soldiers(soldiers) => match soldiers.groups.as_mut_slice() {
                [alike] => alike.models *= times + 1,
                unlike => {
                    let again = std::iter::repeat_n(unlike.to_vec(), times as usize + 1);
                    soldiers.groups = again.flatten().collect();
                }
            },
            Target::Armoured(armoured) => armoured.units *= times + 1,
        }
        duel
    }

    /// How many times side a may stand behind itself: as far as a target goes, and unlike models as far as they can still
    /// be told apart without much work.
    pub fn most_more_of_a(&self) -> u32 {
        const MOST_GROUPS: u32 = 200;
        let times = self.a.target.most_of_kind() / self.a.target.count().max(1);
        let most = match &self.a.target {
            Target::Soldiers(soldiers) if soldiers.groups.len() > 1 => {
                times.min(MOST_GROUPS / soldiers.groups.len() as u32)
            }
            _ => times,
        };
        most.saturating_sub(1)
    }
}
