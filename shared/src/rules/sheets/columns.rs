//! The columns of each sheet: what they are called and what stands in them.
use super::super::names::plain;
use super::name::{Held, Names, StatColumn, Vocabulary};

/// A sheet of a book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Sheet {
    Units,
    Weapons,
    Options,
    /// Models of a unit that are unlike the others.
    Models,
}

impl Sheet {
    pub(super) const ALL: [Self; 4] = [Self::Units, Self::Weapons, Self::Options, Self::Models];

    /// What it is called.
    pub(super) fn title(self) -> &'static str {
        match self {
            Self::Units => "Units",
            Self::Weapons => "Weapons",
            Self::Options => "Options",
            Self::Models => "Models",
        }
    }

    /// The sheet that is called so.
    pub(super) fn called(title: &str) -> Option<Self> {
        let title = plain(title);
        Self::ALL.into_iter().find(|sheet| plain(sheet.title()) == title)
    }

    fn fixed(self) -> &'static [(&'static str, &'static str, Kind)] {
        match self {
            Self::Units => UNITS,
            Self::Weapons => WEAPONS,
            Self::Options => OPTIONS,
            Self::Models => MODELS,
        }
    }
}

/// What the names in a column are the names of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    Kinds,
    Roles,
    Rules,
    Weapons,
    Units,
    /// Options of the same unit.
    Options,
}

/// What stands in a column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Kind {
    Text,
    Number,
    Yes,
    Word(&'static [&'static str]),
    One(Of),
    Many(Of),
    /// Several texts.
    Texts,
    /// `5`, or `5-10`.
    Range,
    /// `2`, or `1 per 5 models`.
    Most,
    /// Weapons with how many there are of each.
    WeaponCounts,
    /// A table, written as in a unit book.
    Table,
    /// Further keys, written as in a unit book.
    More,
    /// The stat of this index, for all or for one word of its axis.
    Stat(usize, Option<usize>),
}

/// Columns by their keys in a unit book, with the words that people read above them.
type Fixed = &'static [(&'static str, &'static str, Kind)];

/// The option's unit and the option that it is part of: no keys of a unit book, whose tables lie within each other.
pub(super) const UNIT: &str = "unit";
pub(super) const OPTION: &str = "option";
pub(super) const INSIDE: &str = "inside";
pub(super) const MORE: &str = "more";

const UNITS: Fixed = &[
    ("label", "Name", Kind::Text),
    ("id", "Id", Kind::Text),
    ("also", "Also called", Kind::Texts),
    ("kind", "Kind", Kind::One(Of::Kinds)),
    ("role", "Role", Kind::One(Of::Roles)),
    ("models", "Models", Kind::Range),
    ("points", "Points", Kind::Number),
    ("each_more", "Each more", Kind::Number),
    ("rules", "Rules", Kind::Many(Of::Rules)),
    ("weapons", "Weapons", Kind::WeaponCounts),
    ("unique", "Unique", Kind::Yes),
    ("most", "Most", Kind::Number),
    ("per_slot", "Per slot", Kind::Number),
    ("needs_unit", "Needs unit", Kind::Many(Of::Units)),
    ("bars_unit", "Bars unit", Kind::Many(Of::Units)),
    ("singular", "Singular", Kind::Text),
    ("plural", "Plural", Kind::Text),
    ("counted", "Counted", Kind::Word(&["models", "units"])),
    ("formation", "Formation", Kind::Table),
    ("text", "Text", Kind::Text),
    (MORE, "More", Kind::More),
];

const WEAPONS: Fixed = &[
    ("label", "Name", Kind::Text),
    ("id", "Id", Kind::Text),
    ("also", "Also called", Kind::Texts),
    ("reach", "Reach", Kind::Number),
    ("least_reach", "Least reach", Kind::Number),
    ("rules", "Rules", Kind::Many(Of::Rules)),
    ("template", "Template", Kind::Table),
    ("text", "Text", Kind::Text),
    (MORE, "More", Kind::More),
];

const OPTIONS: Fixed = &[
    (UNIT, "Unit", Kind::One(Of::Units)),
    ("label", "Name", Kind::Text),
    ("id", "Id", Kind::Text),
    ("also", "Also called", Kind::Texts),
    (INSIDE, "Part of", Kind::One(Of::Options)),
    ("points", "Points", Kind::Number),
    ("per", "Per", Kind::Word(&["unit", "model", "weapon"])),
    ("most", "Most", Kind::Most),
    ("weapons", "Weapons", Kind::WeaponCounts),
    ("replaces", "Replaces", Kind::Many(Of::Weapons)),
    ("rules", "Rules", Kind::Many(Of::Rules)),
    ("requires", "Requires", Kind::Many(Of::Options)),
    ("excludes", "Excludes", Kind::Many(Of::Options)),
    ("text", "Text", Kind::Text),
    (MORE, "More", Kind::More),
];

const MODELS: Fixed = &[
    (UNIT, "Unit", Kind::One(Of::Units)),
    (OPTION, "Option", Kind::One(Of::Options)),
    ("label", "Name", Kind::Text),
    ("id", "Id", Kind::Text),
    ("also", "Also called", Kind::Texts),
    ("models", "Models", Kind::Number),
    ("text", "Text", Kind::Text),
    (MORE, "More", Kind::More),
];

/// A column.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Column {
    /// Its key in a unit book; of a stat, its id.
    pub(super) key: String,
    /// What stands above it.
    pub(super) head: String,
    pub(super) kind: Kind,
    /// What else may stand above it, in its plain form.
    called: Vec<String>,
}

impl Column {
    /// Whether somebody calls it so.
    pub(super) fn is_called(&self, head: &str) -> bool {
        self.called.iter().any(|name| *name == plain(head))
    }
}

/// The stats of a sheet: those of weapons, or those of units.
pub(super) fn stats(sheet: Sheet, words: &Vocabulary) -> &[StatColumn] {
    if sheet == Sheet::Weapons { &words.weapon } else { &words.unit }
}

/// Every column that a sheet can have, in the order in which they are written: the stats stand before the last ones.
pub(super) fn all(sheet: Sheet, words: &Vocabulary) -> Vec<Column> {
    let mut columns: Vec<Column> = Vec::new();
    let fixed = sheet.fixed().iter().map(|(key, head, kind)| Column {
        key: (*key).to_owned(),
        head: (*head).to_owned(),
        kind: *kind,
        called: vec![plain(head), plain(key)],
    });
    let (behind, before): (Vec<_>, Vec<_>) =
        fixed.partition(|column| ["text", MORE, "formation", "template"].contains(&column.key.as_str()));
    columns.extend(before);
    let own: Vec<String> = columns.iter().chain(&behind).flat_map(|column| column.called.clone()).collect();
    for (at, stat) in stats(sheet, words).iter().enumerate() {
        let mut add = |head: String, id: String, word: Option<usize>| {
            // A stat that is called like another column has `stat` before its id.
            let taken = own.contains(&plain(&head)) || columns.iter().any(|column| column.is_called(&head));
            let sure = format!("stat {id}");
            let head = if taken { sure.clone() } else { head };
            let called = [&head, &sure, &id].into_iter().map(|name| plain(name));
            let called = called.filter(|name| *name == plain(&sure) || !own.contains(name)).collect();
            columns.push(Column { key: stat.id.clone(), head, kind: Kind::Stat(at, word), called });
        };
        add(stat.label.clone(), stat.id.clone(), None);
        let words = stat.per.map(|axis| words.axis(axis));
        for (word, (id, label)) in words.into_iter().flat_map(|words| &words.list).enumerate() {
            add(format!("{} {label}", stat.label), format!("{} {id}", stat.id), Some(word));
        }
    }
    columns.extend(behind);
    columns
}

/// The words that a cell of this column may hold, where they are few and given.
pub(super) fn choices(column: &Column, sheet: Sheet, words: &Vocabulary) -> Vec<String> {
    let labels = |names: &Names| names.list.iter().map(|(_, label)| label.clone()).collect();
    match column.kind {
        Kind::Yes => vec!["yes".to_owned(), "no".to_owned()],
        Kind::Word(words) => words.iter().map(|word| (*word).to_owned()).collect(),
        Kind::One(Of::Kinds) => labels(&words.kinds),
        Kind::One(Of::Roles) => labels(&words.roles),
        // Several may stand in one cell, so others than these are let in, too.
        Kind::Many(Of::Rules) => labels(&words.rules),
        Kind::Stat(at, _) => match &stats(sheet, words)[at].holds {
            Held::Word(words) => words.clone(),
            _ => Vec::new(),
        },
        _ => Vec::new(),
    }
}
