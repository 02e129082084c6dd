//! What a pack's index tells: the names that a message may use. The only reader of that answer.
use crate::typing::scan::folded;
use crate::typing::spelling::Vocabulary;
use crate::understand::names::Names;
use serde::Deserialize;
use std::collections::{BTreeMap, HashMap};
use std::sync::OnceLock;

/// The names of one pack.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct PackIndex {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// What else people call it.
    pub also: Vec<String>,
    /// The content hash.
    pub hash: String,
    /// One sentence.
    pub about: String,
    /// The faces of the die that the pack rolls.
    pub die: Option<u32>,
    /// Its units.
    pub units: Vec<UnitName>,
    /// Its rules.
    pub rules: Vec<Named>,
    /// Its checks.
    pub checks: Vec<Named>,
    /// Its arcs, the front first.
    pub arcs: Vec<Named>,
    /// Its range bands, the nearest first.
    pub ranges: Vec<Named>,
    /// Its kinds of cover.
    pub cover: Vec<Named>,
    /// What else a situation may say.
    pub situation: Vec<Named>,
    /// What units may carry.
    pub options: Vec<Named>,
    /// The club's own words for the contract's.
    pub labels: BTreeMap<String, String>,
    /// Its weapons.
    pub weapons: Vec<Named>,
    /// Marks that a target may bear.
    pub statuses: Vec<String>,
    /// What units count as.
    pub roles: Vec<Named>,
    /// The stats of its units.
    pub stats: Vec<Named>,
    /// Words of the pack that can be asked about.
    pub terms: Vec<Term>,
    /// How its soldiers stand where their unit does not say otherwise.
    pub formation: Option<Formation>,
    /// All ways to say its names, made when they are first needed.
    #[serde(skip)]
    sayings: OnceLock<Names>,
    /// Where each unit stands, by its id; made when it is first needed.
    #[serde(skip)]
    places: OnceLock<HashMap<String, usize>>,
    /// The words that are known beside it, made when they are first needed.
    #[serde(skip)]
    vocabulary: OnceLock<Vocabulary>,
}

/// How models stand side by side.
#[derive(Clone, Copy, Debug, Deserialize)]
pub struct Formation {
    /// The diameter of a base, in millimetres.
    pub base_mm: u64,
    /// The gap from edge to edge, in millimetres.
    pub gap_mm: u64,
    /// How many stand side by side.
    pub files: u64,
}

/// A word of the pack with what it means.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Term {
    /// What it is a word for.
    pub sort: String,
    /// As the pack's files have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// What the pack says of it.
    pub text: String,
}

/// What a unit may take.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct OptionName {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// What else people call it.
    pub also: Vec<String>,
    /// The weapons that it brings.
    pub weapons: Vec<String>,
    /// Whether it is taken in numbers.
    pub counted: bool,
}

/// A name.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Named {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// What else people call it.
    pub also: Vec<String>,
}

/// A unit's name.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct UnitName {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// What else people call it.
    pub also: Vec<String>,
    /// What it counts as.
    pub role: String,
    /// What it costs.
    pub points: u64,
    /// The name of one of what is counted.
    pub singular: String,
    /// The name of several.
    pub plural: String,
    /// What people count of it: `models` or `units`.
    pub counted: String,
    /// Its fewest models.
    pub least: u64,
    /// Its most models.
    pub most: u64,
    /// The most models of it that a list may hold.
    pub list_most: Option<u64>,
    /// Whether it loses structure and has arcs.
    pub armoured: bool,
    /// Its weapons.
    pub weapons: Vec<String>,
    /// What it may take.
    pub options: Vec<OptionName>,
}

impl UnitName {
    /// Whether its name is that of several: `the Dyke Hands have`, but `the Heron Carriage has`.
    pub fn counts_as_many(&self) -> bool {
        self.most > 1 && self.name == self.plural
    }

    /// Whether people count whole units of it that are several models each: two crews, not six people.
    pub fn is_counted_whole(&self) -> bool {
        let fixed = self.least == self.most;
        !self.armoured && self.least > 1 && (self.counted == "units" || self.counted.is_empty() && fixed)
    }
}

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

impl PackIndex {
    /// The club's own word for a word of the contract, else that word.
    pub fn label<'a>(&'a self, word: &'a str) -> &'a str {
        self.labels.get(word).map_or(word, String::as_str)
    }

    /// All ways to say its names.
    pub fn sayings(&self) -> &Names {
        self.sayings.get_or_init(|| Names::of(self))
    }

    /// The words that need no correction where this pack is chosen.
    pub fn vocabulary(&self) -> &Vocabulary {
        self.vocabulary.get_or_init(|| Vocabulary::of(Some(self)))
    }

    /// A unit by its id.
    pub fn unit(&self, id: &str) -> Option<&UnitName> {
        let place = |(at, unit): (usize, &UnitName)| (unit.id.clone(), at);
        let places = self.places.get_or_init(|| self.units.iter().enumerate().map(place).collect());
        places.get(id).and_then(|at| self.units.get(*at))
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

    /// Every word of every name.
    pub fn words(&self) -> impl Iterator<Item = String> {
        const KINDS: [NameKind; 8] = [
            NameKind::Unit,
            NameKind::Extra,
            NameKind::Rule,
            NameKind::Check,
            NameKind::Arc,
            NameKind::Range,
            NameKind::Cover,
            NameKind::Situation,
        ];
        let said = |(_, name, also): (&str, &str, &[String])| {
            std::iter::once(name).chain(also.iter().map(String::as_str)).flat_map(name_words).collect::<Vec<_>>()
        };
        KINDS.into_iter().flat_map(|kind| self.called(kind)).flat_map(said)
    }
}

/// The words of a name, in the form in which messages are compared.
pub fn name_words(name: &str) -> Vec<String> {
    let folded = folded(name).replace('\'', "");
    folded.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}
