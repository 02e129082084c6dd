//! The words of a pack that a sheet may use: what the files of its rules call things, by id and by label.
use super::super::fault::Source;
use super::super::model::stat::Axis;
use super::super::names::plain;
use std::collections::HashMap;
use toml::de::{DeTable, DeValue};

/// Ids, each with its label, in their order, and how they are found.
#[derive(Clone, Debug, Default)]
pub(super) struct Names {
    pub(super) list: Vec<(String, String)>,
    ids: HashMap<String, usize>,
    plain: HashMap<String, usize>,
}

impl Names {
    pub(super) fn push(&mut self, (id, label): (String, String)) {
        let at = self.list.len();
        // Of two that are called alike the first is meant, and an id before a label.
        self.ids.entry(id.clone()).or_insert(at);
        for name in [&label, &id] {
            self.plain.entry(plain(name)).or_insert(at);
        }
        self.list.push((id, label));
    }

    /// The id of what a person calls so, by its id or its label, forms of spelling aside; none where there is no such thing.
    pub(super) fn find(&self, said: &str) -> Option<&str> {
        let said = said.trim();
        let at = self.ids.get(said).or_else(|| self.plain.get(&plain(said)));
        at.map(|at| self.list[*at].0.as_str())
    }

    /// What an id is called.
    pub(super) fn label<'a>(&'a self, id: &'a str) -> &'a str {
        self.ids.get(id).map_or(id, |at| self.list[*at].1.as_str())
    }
}

/// What the files of a pack call things.
#[derive(Clone, Debug, Default)]
pub struct Vocabulary {
    /// The stats of units.
    pub(super) unit: Vec<StatColumn>,
    /// The stats of weapons.
    pub(super) weapon: Vec<StatColumn>,
    pub(super) kinds: Names,
    pub(super) roles: Names,
    pub(super) rules: Names,
    pub(super) arcs: Names,
    pub(super) ranges: Names,
    pub(super) covers: Names,
    /// Weapons that the files have already.
    pub(super) weapons: Names,
    /// Units that the files have already.
    pub(super) units: Names,
}

/// A stat that has a column, or one for each word of its axis.
#[derive(Clone, Debug)]
pub(super) struct StatColumn {
    pub(super) id: String,
    pub(super) label: String,
    pub(super) holds: Held,
    pub(super) per: Option<Axis>,
}

/// What a stat holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Held {
    Number,
    Needs,
    Dice,
    Word(Vec<String>),
}

impl Vocabulary {
    /// The words of these files.
    pub fn of(files: &[Source]) -> Self {
        let mut words = Self::default();
        for file in files {
            let (table, _) = DeTable::parse_recoverable(&file.text);
            let table = table.get_ref();
            for (key, names) in [
                ("kind", &mut words.kinds),
                ("role", &mut words.roles),
                ("rule", &mut words.rules),
                ("arc", &mut words.arcs),
                ("range", &mut words.ranges),
                ("cover", &mut words.covers),
                ("weapon", &mut words.weapons),
                ("unit", &mut words.units),
            ] {
                let things = table.get(key).and_then(|value| value.get_ref().as_array());
                things
                    .into_iter()
                    .flatten()
                    .filter_map(|thing| named(thing.get_ref()))
                    .for_each(|named| names.push(named));
            }
            for (scope, columns) in [("unit", &mut words.unit), ("weapon", &mut words.weapon)] {
                let stats = table.get("stats").and_then(|stats| stats.get_ref().get(scope));
                let Some(stats) = stats.and_then(|stats| stats.get_ref().as_table()) else { continue };
                let mut stats: Vec<_> = stats.iter().collect();
                stats.sort_by_key(|(key, _)| key.span().start);
                columns.extend(stats.into_iter().map(|(id, value)| stat(id.get_ref(), value.get_ref())));
            }
        }
        words
    }

    /// The words that a stat may differ by.
    pub(super) fn axis(&self, axis: Axis) -> &Names {
        match axis {
            Axis::Arc => &self.arcs,
            Axis::Range => &self.ranges,
            Axis::Cover => &self.covers,
        }
    }
}

fn text<'a>(value: &'a DeValue<'_>, key: &str) -> Option<&'a str> {
    value.get(key)?.get_ref().as_str()
}

fn named(thing: &DeValue<'_>) -> Option<(String, String)> {
    let id = text(thing, "id")?.to_owned();
    let label = text(thing, "label").map_or_else(|| id.replace('-', " "), str::to_owned);
    Some((id, label))
}

fn stat(id: &str, value: &DeValue<'_>) -> StatColumn {
    let words = value.get("words").and_then(|words| words.get_ref().as_array());
    let words = words.into_iter().flatten().filter_map(|word| word.get_ref().as_str().map(str::to_owned));
    let holds = match text(value, "holds") {
        Some("needs") => Held::Needs,
        Some("dice") => Held::Dice,
        Some("word") => Held::Word(words.collect()),
        _ => Held::Number,
    };
    let per = match text(value, "per") {
        Some("arc") => Some(Axis::Arc),
        Some("range") => Some(Axis::Range),
        Some("cover") => Some(Axis::Cover),
        _ => None,
    };
    let label = text(value, "label").map_or_else(|| id.to_owned(), str::to_owned);
    StatColumn { id: id.to_owned(), label, holds, per }
}

/// An id for what is called so.
pub(super) fn id_for(label: &str) -> String {
    let small = label.to_lowercase().replace(['\'', '’'], "");
    let words = small.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-")
}
