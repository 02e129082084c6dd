//! What is asked of the compiler: two units and a situation.
use super::model::{Named, Pack};
use std::sync::Arc;

/// An attacker, a target and a situation, all names looked up.
#[derive(Clone, Debug)]
pub struct Matchup {
    /// The pack that both are of.
    pub pack: Arc<Pack>,
    /// Who attacks.
    pub attacker: UnitInstance,
    /// Who is attacked.
    pub target: UnitInstance,
    /// What the table adds.
    pub situation: Situation,
    /// Rules, by index, that act as if they were carried.
    pub with: Vec<usize>,
    /// Rules, by index, that do not act.
    pub without: Vec<usize>,
}

/// A unit near another, with the options that it has.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Neighbour {
    /// Its options, by index.
    pub options: Vec<usize>,
    /// Which, by index.
    pub unit: usize,
}

impl Neighbour {
    /// The rules that it carries.
    pub fn rules<'a>(&'a self, pack: &'a Pack) -> impl Iterator<Item = usize> + 'a {
        let unit = &pack.units[self.unit];
        let taken = self.options.iter().flat_map(|option| &unit.options[*option].rules);
        unit.rules.iter().chain(taken).copied()
    }

    /// Its unit and its options, by id, as a request names it: `convoy-master + night-bell-ringer`.
    pub fn id(&self, pack: &Pack) -> String {
        self.named(pack, |named| &named.id)
    }

    /// The same as people read it.
    pub fn label(&self, pack: &Pack) -> String {
        self.named(pack, |named| &named.label)
    }

    fn named(&self, pack: &Pack, name: impl Fn(&Named) -> &String) -> String {
        let unit = &pack.units[self.unit];
        let options = self.options.iter().map(|option| &unit.options[*option].named);
        let names: Vec<&str> = std::iter::once(&unit.named).chain(options).map(|named| name(named).as_str()).collect();
        names.join(" + ")
    }
}

/// A unit as it stands on the table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct UnitInstance {
    /// Which, by index.
    pub unit: usize,
    /// How many models stand; more than the unit may have means several units of it.
    pub models: u32,
    /// How many there were, where some have fallen already; 0 where all stand.
    pub whole: u32,
    /// Its options, by index, and how often each.
    pub options: Vec<(usize, u32)>,
    /// The weapons that it uses, by index; all that can be used where this is empty.
    pub weapons: Vec<usize>,
    /// Units of its side that are near it.
    pub near: Vec<Neighbour>,
    /// Points that its first model misses.
    pub hurt: u32,
    /// Marks that it bears.
    pub statuses: Vec<String>,
}

/// What the table adds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Situation {
    /// The arc that is hit, by index.
    pub arc: usize,
    /// The range band, by index.
    pub range: usize,
    /// The distance, where it was said.
    pub distance: Option<u32>,
    /// The target's cover, by index.
    pub cover: usize,
    /// Whether the attacker moved.
    pub moved: bool,
    /// The pack's own flags, in its order.
    pub flags: Vec<bool>,
}

impl Situation {
    /// The situation that stands where nothing is said.
    pub fn usual(pack: &Pack) -> Self {
        let (arc, range, cover) = pack.situations.usual;
        let flags = vec![false; pack.situations.flags.len()];
        Self { arc, range, distance: None, cover, moved: false, flags }
    }
}
