//! Packs that are built on others: the files of each layer merged into one table, in which every value keeps its place.
//!
//! A table with an id changes the one of that id beneath it: the keys that it has take the place of those there. `stats`,
//! `sets` and the tables that there is one of are merged key by key; everything else is replaced as a whole.
use super::super::fault::Source;
use super::super::files::pack_of;
use super::super::model::{Layer, Origins};
use super::node::{Faults, Node};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

/// The most packs that may stand on each other.
pub const MOST_LAYERS: usize = 8;

/// Tables that are merged key by key, where both have one.
const BY_KEY: [&str; 6] = ["stats", "sets", "limits", "words", "formation", "board"];
/// What a file says of itself: each layer says it anew.
const HEAD: [&str; 7] = ["format", "pack", "name", "text", "also", "extends", "remove"];
/// What can be taken away again, by its id.
const SECTIONS: [&str; 15] = [
    "arc",
    "range",
    "cover",
    "flag",
    "kind",
    "chart",
    "breach",
    "step",
    "procedure",
    "rule",
    "check",
    "aftermath",
    "role",
    "weapon",
    "unit",
];

/// The files of each layer, by the pack that they name, the lowest first. One layer only where nothing is built on anything.
pub(super) fn of(files: &[Source]) -> Vec<Vec<&Source>> {
    let mut layers: Vec<(Option<String>, Vec<&Source>)> = Vec::new();
    for file in files {
        let id = pack_of(file);
        match layers.last_mut() {
            Some((known, own)) if *known == id => own.push(file),
            _ => layers.push((id, vec![file])),
        }
    }
    let built =
        layers.iter().skip(1).all(|(_, own)| own.iter().any(|file| super::super::files::extends(file).is_some()));
    if built { layers.into_iter().map(|(_, own)| own).collect() } else { vec![files.iter().collect()] }
}

/// The files of all layers as one, and where each of them begins in it.
pub(super) fn as_one(layers: &[Vec<&Source>]) -> (Source, Vec<Vec<usize>>) {
    let (mut parts, mut end) = (Vec::new(), 0);
    let mut begin = |file: &Source| {
        let start = end;
        parts.push((start, file.clone()));
        // The end of a file has a place of its own, too.
        end += file.text.len() + 1;
        start
    };
    let starts = layers.iter().map(|own| own.iter().map(|file| begin(file)).collect()).collect();
    (Source::of_parts(parts), starts)
}

/// A table whose places are counted from the beginning of all files.
fn shifted<'a>(table: DeTable<'a>, by: usize) -> DeTable<'a> {
    let mut moved = DeTable::new();
    for (key, value) in table {
        let span = key.span().start + by..key.span().end + by;
        moved.insert(Spanned::new(span, key.into_inner()), shifted_value(value, by));
    }
    moved
}

/// The table of a file, its places counted from there on.
pub(super) fn parsed(file: &Source, start: usize) -> DeTable<'_> {
    shifted(DeTable::parse_recoverable(&file.text).0.into_inner(), start)
}

fn shifted_value<'a>(value: Spanned<DeValue<'a>>, by: usize) -> Spanned<DeValue<'a>> {
    let span = value.span().start + by..value.span().end + by;
    let inner = match value.into_inner() {
        DeValue::Table(table) => DeValue::Table(shifted(table, by)),
        DeValue::Array(array) => DeValue::Array(array.into_iter().map(|one| shifted_value(one, by)).collect()),
        other => other,
    };
    Spanned::new(span, inner)
}

/// What the files of the layers say together.
pub(super) struct Merged<'a> {
    pub(super) table: DeTable<'a>,
    pub(super) layers: Vec<Layer>,
    pub(super) origins: Origins,
}

/// An item of a section, and the layer that it is from or was last changed by.
type Item<'a> = (usize, Spanned<DeValue<'a>>);

/// Merges the tables of the layers, the lowest first.
pub(super) fn merge<'a>(faults: &Faults, source: &Source, layers: Vec<Vec<DeTable<'a>>>) -> Merged<'a> {
    let mut merged = Merged { table: DeTable::new(), layers: Vec::new(), origins: Origins::default() };
    let mut sections: Vec<(Spanned<DeString<'a>>, Vec<Item<'a>>)> = Vec::new();
    let last = layers.len() - 1;
    for (layer, files) in layers.into_iter().enumerate() {
        let mut named = Layer::default();
        for table in files {
            for (key, value) in table {
                let text = value.get_ref().as_str();
                match (key.get_ref().as_ref(), text) {
                    ("pack", Some(text)) => named.id = text.to_owned(),
                    ("name", Some(text)) => named.label = text.to_owned(),
                    ("remove", _) if layer > 0 => {
                        remove(faults, source, &value, layer, &mut sections);
                        continue;
                    }
                    _ => {}
                }
                if HEAD.contains(&key.get_ref().as_ref()) {
                    if layer == last {
                        merged.table.insert(key, value);
                    }
                } else if value.get_ref().is_array() {
                    let items = add(&mut sections, key);
                    let name = items.0.clone();
                    let more = into_array(value);
                    items_into(items.1, more, layer, &name, &mut merged.origins);
                } else {
                    under(&mut merged.table, key, value);
                }
            }
        }
        if named.label.is_empty() {
            named.label = named.id.replace('-', " ");
        }
        merged.layers.push(named);
    }
    for (key, items) in sections {
        let span = key.span();
        let items: Vec<Spanned<DeValue<'a>>> = items.into_iter().map(|(_, item)| item).collect();
        let array = items.into_iter().collect();
        merged.table.insert(key, Spanned::new(span, DeValue::Array(array)));
    }
    merged
}

fn add<'s, 'a>(
    sections: &'s mut Vec<(Spanned<DeString<'a>>, Vec<Item<'a>>)>,
    key: Spanned<DeString<'a>>,
) -> (String, &'s mut Vec<Item<'a>>) {
    let name = key.get_ref().to_string();
    let at = sections.iter().position(|(known, _)| known.get_ref() == key.get_ref()).unwrap_or_else(|| {
        sections.push((key, Vec::new()));
        sections.len() - 1
    });
    (name, &mut sections[at].1)
}

fn into_array(value: Spanned<DeValue<'_>>) -> Vec<Spanned<DeValue<'_>>> {
    match value.into_inner() {
        DeValue::Array(array) => array.into_iter().collect(),
        _ => Vec::new(),
    }
}

fn id_of<'t>(item: &'t Spanned<DeValue<'_>>) -> Option<&'t str> {
    item.get_ref().get("id")?.get_ref().as_str()
}

/// Adds the items of a layer to those beneath: one with an id changes the one of that id.
fn items_into<'a>(
    items: &mut Vec<Item<'a>>,
    more: Vec<Spanned<DeValue<'a>>>,
    layer: usize,
    section: &str,
    origins: &mut Origins,
) {
    for item in more {
        let id = id_of(&item).unwrap_or_default().to_owned();
        // One of the same layer is a second one of that id, and told as such.
        let beneath =
            items.iter().position(|(from, known)| *from < layer && !id.is_empty() && id_of(known) == Some(&id));
        match beneath {
            Some(at) => {
                let known = std::mem::replace(&mut items[at], (layer, Spanned::new(0..0, DeValue::Boolean(false)))).1;
                items[at] = (layer, over(known, item));
                origins.changed(section, &id, layer);
            }
            None => {
                origins.made(section, &id, layer);
                items.push((layer, item));
            }
        }
    }
}

/// One value laid over another: tables key by key.
fn over<'a>(below: Spanned<DeValue<'a>>, above: Spanned<DeValue<'a>>) -> Spanned<DeValue<'a>> {
    let span = above.span();
    match (below.into_inner(), above.into_inner()) {
        (DeValue::Table(mut table), DeValue::Table(more)) => {
            for (key, value) in more {
                under(&mut table, key, value);
            }
            Spanned::new(span, DeValue::Table(table))
        }
        (_, above) => Spanned::new(span, above),
    }
}

/// Puts a value into a table: merged with what is there where both are tables that are merged, or lists of things with ids.
fn under<'a>(table: &mut DeTable<'a>, key: Spanned<DeString<'a>>, value: Spanned<DeValue<'a>>) {
    let by_key = BY_KEY.contains(&key.get_ref().as_ref()) && value.get_ref().is_table();
    let by_id = ["option", "group"].contains(&key.get_ref().as_ref()) && value.get_ref().is_array();
    let below = if by_key || by_id { table.remove(&key) } else { None };
    // The new key has the place that is told.
    table.remove(&key);
    let value = match below {
        Some(below) if by_key && below.get_ref().is_table() => deep(below, value),
        Some(below) if by_id && below.get_ref().is_array() => {
            let span = value.span();
            let mut items: Vec<Item<'a>> = into_array(below).into_iter().map(|item| (0, item)).collect();
            items_into(&mut items, into_array(value), 1, "", &mut Origins::default());
            Spanned::new(span, DeValue::Array(items.into_iter().map(|(_, item)| item).collect()))
        }
        _ => value,
    };
    table.insert(key, value);
}

/// `stats.unit.aim` of a file is under two tables: these are merged all the way down to what is declared.
fn deep<'a>(below: Spanned<DeValue<'a>>, above: Spanned<DeValue<'a>>) -> Spanned<DeValue<'a>> {
    let span = above.span();
    match (below.into_inner(), above.into_inner()) {
        (DeValue::Table(mut table), DeValue::Table(more)) => {
            for (key, value) in more {
                let scope = ["unit", "weapon", "range", "cover", "arc"].contains(&key.get_ref().as_ref());
                let old = table.remove(&key);
                let value = match old {
                    // A unit's stat of that name holds no table of stats.
                    Some(old) if scope && is_declared(&old) && is_declared(&value) => deep(old, value),
                    _ => value,
                };
                table.insert(key, value);
            }
            Spanned::new(span, DeValue::Table(table))
        }
        (_, above) => Spanned::new(span, above),
    }
}

/// Whether this is a table of tables, such as the stats that are declared of units.
fn is_declared(value: &Spanned<DeValue<'_>>) -> bool {
    value.get_ref().as_table().is_some_and(|table| table.values().all(|value| value.get_ref().is_table()))
}

/// `remove = { rule = ["…"], unit = ["…"] }`: takes away what the layers beneath have.
fn remove<'a>(
    faults: &Faults,
    source: &Source,
    value: &Spanned<DeValue<'a>>,
    layer: usize,
    sections: &mut [(Spanned<DeString<'a>>, Vec<Item<'a>>)],
) {
    let wrong = |span: Range<usize>, message: String| {
        faults.push(source.fault(span, super::super::fault::Weight::Mistake, message));
    };
    let Some(table) = value.get_ref().as_table() else {
        wrong(value.span(), "this should be a table, such as { rule = [\"…\"], unit = [\"…\"] }".to_owned());
        return;
    };
    for (key, names) in table {
        let section = key.get_ref().as_ref();
        if !SECTIONS.contains(&section) {
            wrong(key.span(), format!("{section:?} is none of {}", super::node::listed(&SECTIONS)));
            continue;
        }
        let one = std::slice::from_ref(names);
        let all = names.get_ref().as_array().map_or(one, |names| names);
        for name in all {
            let id = name.get_ref().as_str().unwrap_or_default();
            let found = sections.iter_mut().find(|(known, _)| known.get_ref().as_ref() == section);
            let at = found.and_then(|(_, items)| {
                let at = items.iter().position(|(from, item)| *from < layer && id_of(item) == Some(id))?;
                items.remove(at);
                Some(at)
            });
            if at.is_none() {
                wrong(name.span(), format!("the pack beneath has no {section} called {id:?}"));
            }
        }
    }
}

/// A pack that is not there to be built on is told at the word that names it.
pub(super) fn without_base(node: Node<'_>) {
    if let Some(name) = node.text() {
        node.wrong(format!("this pack is built on {name:?}, whose files are not here"));
    }
}
