//! The same duel with something of it changed that cannot make it wrong.
use super::{Duel, First, Side};
use crate::odds::chain::Target;
use crate::odds::repair::Mend;

impl Duel {
    /// With another repair of side a, or none.
    #[must_use]
    pub fn with_repair_of_a(&self, repair: Option<Mend>) -> Self {
        Self { a: Side { repair, ..self.a.clone() }, ..self.clone() }
    }

    /// Side b attacks once, all of side a standing, and that is all: nothing is mended, and nothing rolled afterwards.
    #[must_use]
    pub fn one_attack_of_b(&self) -> Self {
        let mut duel = self.with_repair_of_a(None);
        duel.a.attack.clear();
        duel.a.aftermath.clear();
        duel.b.aftermath.clear();
        // Templates are laid on all who stand at the start anyway.
        duel.b.attack.iter_mut().for_each(|timed| timed.thinned = false);
        (duel.first, duel.turns) = (First::B, 1);
        duel
    }

    /// With more models or units of side a, its last ones being more of the same, as far as a target goes.
    #[must_use]
    pub fn with_more_of_a(&self, more: u32) -> Self {
        let mut duel = self.clone();
        let more = more.min(self.most_more_of_a());
        match &mut duel.a.target {
            Target::Soldiers(soldiers) => {
                if let Some(last) = soldiers.groups.last_mut() {
                    last.models += more;
                }
            }
            Target::Armoured(armoured) => armoured.units += more,
        }
        duel
    }

    /// How many more models or units side a may have.
    pub fn most_more_of_a(&self) -> u32 {
        self.a.target.most_of_kind().saturating_sub(self.a.target.count())
    }
}
