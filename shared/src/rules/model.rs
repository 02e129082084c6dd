//! A pack as it stands once it was read and checked: everything that names something else does so by its index,
//! so past this point no name can be unknown and no number out of range.
pub mod attack;
pub mod change;
pub mod chart;
pub mod condition;
pub mod limits;
pub mod roll;
pub mod situation;
pub mod stat;
pub mod sum;
pub mod unit;

use super::names::Names;
use attack::{Breach, Kind, Procedure, StepPlan};
use change::Rule;
use chart::ChartPlan;
use limits::{Board, Limits, Role};
use roll::{AftermathPlan, CheckPlan};
use situation::Situations;
use stat::Stats;
use std::collections::HashMap;
use unit::{Formation, Unit, Weapon};

/// What people call a thing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Named {
    /// The word that files and requests use.
    pub id: String,
    /// The words that players read.
    pub label: String,
    /// What it does, in sentences; may be empty.
    pub text: String,
    /// Further words that people say for it.
    pub also: Vec<String>,
}

/// A pack in a stack of packs of which each is built on the one before.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layer {
    /// Its id.
    pub id: String,
    /// Its name.
    pub label: String,
}

/// Which layer made what, and which changed it last.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Origins(HashMap<String, HashMap<String, (usize, usize)>>);

impl Origins {
    pub(super) fn made(&mut self, section: &str, id: &str, layer: usize) {
        self.0.entry(section.to_owned()).or_default().insert(id.to_owned(), (layer, layer));
    }

    pub(super) fn changed(&mut self, section: &str, id: &str, layer: usize) {
        if let Some((_, last)) = self.0.get_mut(section).and_then(|ids| ids.get_mut(id)) {
            *last = layer;
        }
    }
}

/// Where a rule or a unit comes from, in a pack that is built on others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Origin<'a> {
    /// The pack that has made it.
    pub made: &'a Layer,
    /// The pack that has changed it last.
    pub changed: Option<&'a Layer>,
}

/// One set of house rules with its unit books.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Its id, label and description.
    pub named: Named,
    /// The packs that it is built on, the lowest first, and itself at the end; none where it is built on nothing.
    pub layers: Vec<Layer>,
    /// What comes from which of them.
    pub origins: Origins,
    /// How requests name it: by its id, or by its content where it is kept by that alone.
    pub reference: String,
    /// SHA-256 of all its files, in hexadecimal.
    pub hash: String,
    /// The files.
    pub files: std::sync::Arc<[super::fault::Source]>,
    /// The club's own words for ordinary ones: `("points", "marks")`.
    pub words: Vec<(String, String)>,
    /// Arcs, range bands, covers and flags.
    pub situations: Situations,
    /// The pack's own numbers.
    pub stats: Stats,
    /// What kinds of target there are.
    pub kinds: Vec<Kind>,
    /// Charts that give a need, a number or dice.
    pub charts: Vec<ChartPlan>,
    /// Charts of what a breach does.
    pub breaches: Vec<Breach>,
    /// The rolls of an attack.
    pub steps: Vec<StepPlan>,
    /// Which of them make up which attack.
    pub procedures: Vec<Procedure>,
    /// Keywords and general rules.
    pub rules: Vec<Rule>,
    /// Tests that units take.
    pub checks: Vec<CheckPlan>,
    /// Rolls made when an attack is over.
    pub aftermath: Vec<AftermathPlan>,
    /// What units count as in a list.
    pub roles: Vec<Role>,
    /// What a list must keep to.
    pub limits: Limits,
    /// How models stand, where nobody says.
    pub formation: Formation,
    /// The units that others are measured against.
    pub board: Board,
    /// All weapons of the books.
    pub weapons: Vec<Weapon>,
    /// All units of the books.
    pub units: Vec<Unit>,
    /// How all these are found.
    pub find: Finder,
}

/// The names of a pack, each pointing to its index.
#[derive(Clone, Debug, Default)]
pub struct Finder {
    /// Units.
    pub units: Names,
    /// Weapons.
    pub weapons: Names,
    /// Rules.
    pub rules: Names,
    /// Checks.
    pub checks: Names,
    /// Arcs.
    pub arcs: Names,
    /// Range bands.
    pub ranges: Names,
    /// Covers.
    pub covers: Names,
    /// Flags of the situation.
    pub flags: Names,
}

impl Pack {
    /// Where a thing of a section comes from, by its id; nothing where the pack is built on nothing.
    pub fn origin(&self, section: &str, id: &str) -> Option<Origin<'_>> {
        let (made, changed) = *self.origins.0.get(section)?.get(id)?;
        let changed = (changed > made).then(|| self.layers.get(changed)).flatten();
        Some(Origin { made: self.layers.get(made)?, changed })
    }

    /// The club's own word for an ordinary one.
    pub fn word<'a>(&'a self, ordinary: &'a str) -> &'a str {
        self.words.iter().find(|(word, _)| word == ordinary).map_or(ordinary, |(_, own)| own)
    }
}
