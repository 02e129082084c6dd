//! The names of a pack, as sentences have them.
use crate::report::counting::Counting;
use crate::wire::packs::{PackAnswer, UnitHead};

/// What a name is the name of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NameKind {
    /// A unit.
    Unit,
    /// Something that a unit carries.
    Extra,
    /// A rule.
    Rule,
    /// A check.
    Check,
    /// An arc.
    Arc,
    /// A range band.
    Range,
    /// A kind of cover.
    Cover,
    /// A word of the pack's situations.
    Situation,
}

impl PackAnswer {
    /// A unit by its id.
    pub fn unit(&self, id: &str) -> Option<&UnitHead> {
        self.units.iter().find(|unit| unit.id == id)
    }

    /// How a unit is counted aloud.
    pub fn counting<'a>(&'a self, unit: &'a UnitHead) -> Counting<'a> {
        unit.counting((self.label("model"), self.label("models")))
    }

    /// A unit by the name that people read.
    pub fn unit_called(&self, name: &str) -> Option<&UnitHead> {
        self.units.iter().find(|unit| unit.name == name)
    }

    /// The club's own word for a word of the contract, else that word.
    pub fn label<'a>(&'a self, word: &'a str) -> &'a str {
        self.labels.get(word).map_or(word, String::as_str)
    }

    /// The names of one kind, as `(id, name)`.
    pub fn names(&self, kind: NameKind) -> Vec<(&str, &str)> {
        self.called(kind).map(|(id, name, _)| (id, name)).collect()
    }

    /// The names of one kind with what else people call each, as `(id, name, others)`.
    pub fn called(&self, kind: NameKind) -> impl Iterator<Item = (&str, &str, &[String])> {
        let list = match kind {
            NameKind::Unit => &[],
            NameKind::Extra => self.options.as_slice(),
            NameKind::Rule => &self.rules,
            NameKind::Check => &self.checks,
            NameKind::Arc => &self.arcs,
            NameKind::Range => &self.ranges,
            NameKind::Cover => &self.cover,
            NameKind::Situation => &self.situation,
        };
        // Whether the attacker moved has an option of its own, which also knows `not moved`.
        let list = list.iter().filter(move |named| kind != NameKind::Situation || named.id != "moved");
        let units = if kind == NameKind::Unit { self.units.as_slice() } else { &[] };
        let units = units.iter().map(|unit| (unit.id.as_str(), unit.name.as_str(), unit.also.as_slice()));
        units.chain(list.map(|named| (named.id.as_str(), named.name.as_str(), named.also.as_slice())))
    }
}
