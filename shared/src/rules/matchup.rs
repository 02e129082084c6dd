//! What is asked of the compiler: two units and a situation.
use super::model::change::{Rule, RuleScope};
use super::model::chart::{Lookup, Rows};
use super::model::stat::{Axis, StatValue};
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

impl Matchup {
    /// Whether the side that is hit may change a number. Armour always has sides; soldiers have them where a number of theirs,
    /// of the table, or a rule of somebody's goes by the arc.
    pub fn arc_matters(&self) -> bool {
        let pack = &*self.pack;
        let unit = &pack.units[self.target.unit];
        let goes_by_arc = |of: &Option<StatValue>, per: Option<Axis>| {
            matches!(of, Some(StatValue::Each(_))) && per == Some(Axis::Arc)
        };
        let own = unit.profile.iter().zip(&pack.stats.unit).any(|(value, stat)| goes_by_arc(value, stat.per));
        let groups = unit.groups.iter().chain(unit.options.iter().flat_map(|option| &option.groups));
        let mut sets = groups.flat_map(|group| &group.sets).chain(unit.options.iter().flat_map(|option| &option.sets));
        let set = sets.any(|(stat, _)| pack.stats.unit[*stat].per == Some(Axis::Arc));
        let table = || {
            let by_arc = |lookup: &Lookup| matches!(lookup, Lookup::Axis(Axis::Arc, _));
            pack.situations.arcs.iter().any(|arc| arc.profile.iter().any(Option::is_some))
                || pack.procedures.iter().any(|procedure| procedure.when.asks_for_arc())
                || pack.aftermath.iter().any(|plan| plan.when.asks_for_arc())
                || pack
                    .charts
                    .iter()
                    .any(|chart| matches!(&chart.rows, Rows::Table { by, .. } if by.iter().any(by_arc)))
        };
        let sides = || [&self.attacker, &self.target].into_iter();
        let carried = |side: &UnitInstance| {
            let unit = &pack.units[side.unit];
            let options = unit.options.iter();
            let weapons = unit.weapons.iter().chain(unit.options.iter().flat_map(|option| &option.weapons));
            let mut rules = unit.rules.clone();
            rules.extend(options.flat_map(|option| &option.rules));
            rules.extend(weapons.flat_map(|weapon| &pack.weapons[weapon.weapon].rules));
            rules.extend(side.near.iter().flat_map(|near| near.rules(pack)));
            rules
        };
        let asks =
            |rule: &Rule| rule.when.asks_for_arc() || rule.changes.iter().any(|change| change.when.asks_for_arc());
        let of_all = |rule: &Rule| {
            rule.side == RuleScope::Table || rule.changes.iter().any(|change| change.side == RuleScope::Table)
        };
        pack.kinds[unit.kind].body.is_armoured()
            || own
            || set
            || table()
            || pack.rules.iter().any(|rule| of_all(rule) && asks(rule))
            || sides().flat_map(carried).chain(self.with.iter().copied()).any(|rule| asks(&pack.rules[rule]))
    }
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
