//! Where a thing stands in the files, found by its section and its id.
use super::super::fault::{Fault, Source, Weight};
use std::collections::{BTreeSet, HashMap, HashSet};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The parsed files.
pub(super) type Tables<'a> = Vec<(&'a Source, Spanned<DeTable<'a>>)>;

/// The tables of files that were read without a mistake before.
pub(super) fn parse(files: &[Source]) -> Tables<'_> {
    files.iter().map(|source| (source, DeTable::parse_recoverable(&source.text).0)).collect()
}

/// All that the files say, by section and id.
#[derive(Debug)]
pub(super) struct Places<'a> {
    files: &'a Tables<'a>,
    things: HashMap<(&'a str, &'a str), Spot<'a>>,
    /// Every text that is no name, label or sentence of a thing itself, without a minus before it.
    said: HashSet<&'a str>,
    /// Every key.
    keys: HashSet<&'a str>,
}

/// A place in a file and what stands there.
#[derive(Clone, Debug)]
pub(super) struct Spot<'a> {
    source: &'a Source,
    span: Range<usize>,
    value: Option<&'a DeValue<'a>>,
}

/// Keys whose texts speak of the thing itself and name nothing else.
const OWN: [&str; 6] = ["id", "label", "text", "also", "name", "pack"];

impl<'a> Places<'a> {
    pub(super) fn new(files: &'a Tables<'a>) -> Self {
        let mut places = Self { files, things: HashMap::new(), said: HashSet::new(), keys: HashSet::new() };
        // Of what a pack changes of the one that it is built on, its own place counts: its files stand last.
        for (source, table) in files.iter().rev() {
            for (section, value) in table.get_ref() {
                for item in value.get_ref().as_array().into_iter().flatten() {
                    let Some((id, span)) = id_of(item) else { continue };
                    let spot = Spot { source, span, value: Some(item.get_ref()) };
                    places.things.entry((section.get_ref(), id)).or_insert(spot);
                }
                if !OWN.contains(&section.get_ref().as_ref()) {
                    places.gather(value.get_ref());
                }
            }
        }
        places
    }

    fn gather(&mut self, value: &'a DeValue<'a>) {
        match value {
            DeValue::String(text) => {
                self.said.insert(text.strip_prefix('-').unwrap_or(text));
            }
            DeValue::Array(parts) => parts.iter().for_each(|part| self.gather(part.get_ref())),
            DeValue::Table(table) => {
                for (key, value) in table {
                    self.keys.insert(key.get_ref());
                    if !OWN.contains(&key.get_ref().as_ref()) {
                        self.gather(value.get_ref());
                    }
                }
            }
            _ => {}
        }
    }

    /// Whether any part of the pack names this.
    pub(super) fn says(&self, text: &str) -> bool {
        self.said.contains(text)
    }

    /// Whether a key of this name stands anywhere.
    pub(super) fn has_key(&self, key: &str) -> bool {
        self.keys.contains(key)
    }

    /// The thing of a section; the file's beginning where it is not there.
    pub(super) fn of(&self, section: &'a str, id: &'a str) -> Spot<'a> {
        self.things.get(&(section, id)).cloned().unwrap_or_else(|| self.top())
    }

    /// The key at the end of a path from the top of some file, such as `["stats", "unit", "aim"]`.
    pub(super) fn key(&self, path: &[&str]) -> Spot<'a> {
        let found = self.files.iter().rev().find_map(|(source, table)| {
            let mut table = table.get_ref();
            let (last, way) = path.split_last()?;
            for step in way {
                table = table.get(*step)?.get_ref().as_table()?;
            }
            let (key, value) = table.get_key_value(*last)?;
            Some(Spot { source, span: key.span(), value: Some(value.get_ref()) })
        });
        found.unwrap_or_else(|| self.top())
    }

    /// The beginning of the first file.
    pub(super) fn top(&self) -> Spot<'a> {
        static NOTHING: std::sync::LazyLock<Source> = std::sync::LazyLock::new(|| Source::new("pack", ""));
        let source = self.files.first().map_or(&*NOTHING, |(source, _)| source);
        Spot { source, span: 0..0, value: None }
    }
}

fn numbers(value: &DeValue<'_>, into: &mut BTreeSet<i64>) {
    let digits = |text: &str, into: &mut BTreeSet<i64>| {
        into.extend(text.split(|c: char| !c.is_ascii_digit()).filter_map(|number| number.parse::<i64>().ok()));
    };
    match value {
        DeValue::Integer(number) => digits(number.as_str(), into),
        DeValue::String(text) => digits(text, into),
        DeValue::Array(parts) => parts.iter().for_each(|part| numbers(part.get_ref(), into)),
        DeValue::Table(table) => {
            let own = table.iter().filter(|(key, _)| !OWN.contains(&key.get_ref().as_ref()));
            own.for_each(|(_, value)| numbers(value.get_ref(), into));
        }
        _ => {}
    }
}

fn id_of<'a>(item: &'a Spanned<DeValue<'a>>) -> Option<(&'a str, Range<usize>)> {
    let id = item.get_ref().as_table()?.get("id")?;
    Some((id.get_ref().as_str()?, id.span()))
}

impl<'a> Spot<'a> {
    fn to(&self, value: &'a Spanned<DeValue<'a>>) -> Self {
        Self { source: self.source, span: value.span(), value: Some(value.get_ref()) }
    }

    /// The value under a key; this place itself where there is none.
    pub(super) fn under(&self, key: &str) -> Self {
        self.value.and_then(|value| value.get(key)).map_or_else(|| self.clone(), |value| self.to(value))
    }

    /// The key itself; this place where there is none.
    pub(super) fn key(&self, key: &str) -> Self {
        let found = self.value.and_then(DeValue::as_table).and_then(|table| table.get_key_value(key));
        found.map_or_else(
            || self.clone(),
            |(key, value)| Self { source: self.source, span: key.span(), value: Some(value.get_ref()) },
        )
    }

    /// The text under a key.
    pub(super) fn text(&self, key: &str) -> Option<&'a str> {
        self.value?.get(key)?.get_ref().as_str()
    }

    /// Every whole number here, signs aside, also those in dice and needs; what the thing says of itself is left out.
    pub(super) fn numbers(&self, into: &mut BTreeSet<i64>) {
        self.value.into_iter().for_each(|value| numbers(value, into));
    }

    /// One of a list, by its place.
    pub(super) fn nth(&self, at: usize) -> Self {
        self.value.and_then(|value| value.get(at)).map_or_else(|| self.clone(), |value| self.to(value))
    }

    /// The text in this list, or the table in it that names it.
    pub(super) fn naming(&self, text: &str) -> Self {
        if self.value.and_then(DeValue::as_str) == Some(text) {
            return self.clone();
        }
        let parts = self.value.and_then(DeValue::as_array).into_iter().flatten();
        let mut named = parts.filter(|part| {
            let part = part.get_ref();
            part.as_str().or_else(|| part.as_table()?.values().find_map(|v| v.get_ref().as_str())) == Some(text)
        });
        named.next().map_or_else(|| self.clone(), |part| self.to(part))
    }

    /// The option of this unit, or of its options, with this id.
    pub(super) fn option(&self, id: &str) -> Self {
        self.find_option(id).unwrap_or_else(|| self.clone())
    }

    fn find_option(&self, id: &str) -> Option<Self> {
        let options = self.value?.get("option")?.get_ref().as_array()?;
        options.iter().find_map(|item| match id_of(item) {
            Some((own, span)) if own == id => Some(Self { span, ..self.to(item) }),
            _ => self.to(item).find_option(id),
        })
    }

    /// Whether a key under this place is true.
    pub(super) fn is_true(&self, key: &str) -> bool {
        self.value.and_then(|value| value.get(key)).is_some_and(|value| value.get_ref().as_bool() == Some(true))
    }

    /// A warning here.
    pub(super) fn warning(&self, message: impl Into<String>, suggestion: impl Into<String>) -> Fault {
        let suggestion = Some(suggestion.into()).filter(|text: &String| !text.is_empty());
        Fault { suggestion, ..self.source.fault(self.span.clone(), Weight::Warning, message) }
    }
}
