//! The first pass: which ids there are.
use super::super::model::Named;
use super::super::names::{LONGEST, close_word, is_longer};
use super::node::{Fields, Node};
use std::collections::HashMap;

/// The tables of one section, over all files, and their ids.
#[derive(Debug, Default)]
pub(super) struct Section<'a> {
    pub(super) tables: Vec<Fields<'a>>,
    pub(super) ids: Index,
}

/// Ids and their indices.
#[derive(Clone, Debug, Default)]
pub(super) struct Index {
    pub(super) order: Vec<String>,
    map: HashMap<String, usize>,
}

impl Index {
    pub(super) fn get(&self, id: &str) -> Option<usize> {
        self.map.get(id).copied()
    }

    /// Adds an id; false where it is there already.
    pub(super) fn add(&mut self, id: &str) -> bool {
        let fresh = !self.map.contains_key(id);
        if fresh {
            self.map.insert(id.to_owned(), self.order.len());
        }
        self.order.push(id.to_owned());
        fresh
    }

    /// The index of the id written at the node; an unknown one is a mistake that names the closest.
    pub(super) fn find(&self, node: Node<'_>, what: &str) -> Option<usize> {
        let text = node.text()?;
        let found = self.get(text);
        if found.is_none() {
            let suggestion = node.faults.may_compare(self.order.len()).then(|| self.suggest(text)).flatten();
            node.wrong_with(format!("no {what} is called {text:?}"), suggestion);
        }
        found
    }

    /// Those that a list of ids names.
    pub(super) fn find_all(&self, node: Option<Node<'_>>, what: &str) -> Vec<usize> {
        let nodes = node.map_or_else(Vec::new, |node| node.many());
        nodes.into_iter().filter_map(|node| self.find(node, what)).collect()
    }

    pub(super) fn suggest(&self, text: &str) -> Option<String> {
        let close = close_word(text, self.order.iter().map(String::as_str));
        close.map(|close| format!("did you mean {close:?}?")).or_else(|| {
            let few = self.order.len() <= 12 && !self.order.is_empty();
            few.then(|| format!("there are: {}", self.order.join(", ")))
        })
    }
}

/// Whether a text is a good id: lower-case letters and digits in words joined by hyphens.
fn is_id(text: &str) -> bool {
    let word = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    text.len() <= LONGEST && text.split('-').all(word)
}

impl<'a> Section<'a> {
    /// Adds the tables under a key of a file.
    pub(super) fn add(&mut self, file: &Fields<'a>, key: &'static str) {
        for node in file.list(key, 20_000) {
            if !node.faults.go_on() {
                return;
            }
            if let Some(fields) = node.fields() {
                self.add_table(fields);
            }
        }
    }

    pub(super) fn add_table(&mut self, fields: Fields<'a>) {
        let id = fields.need("id").and_then(|node| {
            let id = node.text()?;
            if !is_id(id) {
                node.wrong("an id is lower-case letters and digits in words joined by hyphens, such as \"long-gun\"");
            }
            if let Some(first) = self.ids.get(id).and_then(|first| self.tables.get(first)) {
                let (file, at) = first.source.part(first.head().start);
                let hint = format!("the first stands in line {} of {}", file.place(at).0, file.name);
                node.wrong_with(format!("{id:?} is here twice"), Some(hint));
            }
            Some(id)
        });
        // What is no id is no name for anything else either, and no text of any length is kept as one.
        self.ids.add(id.filter(|id| id.len() <= LONGEST).unwrap_or_default());
        self.tables.push(fields);
    }
}

/// What a table says about its own name.
pub(super) fn named(fields: &Fields<'_>) -> Named {
    let id = fields.get("id").and_then(|node| node.as_text()).unwrap_or_default().to_owned();
    let label = fields.get("label").and_then(|node| {
        let label = node.text()?;
        if label.trim().is_empty() || label.chars().count() > 64 {
            node.wrong("a label has 1 to 64 characters");
        }
        Some(label.to_owned())
    });
    let label = label.unwrap_or_else(|| id.replace('-', " "));
    let text = fields.get("text").and_then(explained).unwrap_or_default();
    let also = fields.get("also").map_or_else(Vec::new, further_names);
    Named { id, label, text, also }
}

/// The most characters of what players read about a rule or a unit.
const LONGEST_TEXT: usize = 2_000;
/// The most further names of one thing.
const MOST_NAMES: usize = 20;

/// What something means, in sentences.
pub(super) fn explained(node: Node<'_>) -> Option<String> {
    let text = node.text()?;
    if is_longer(text, LONGEST_TEXT) {
        node.wrong(format!("a text has up to {LONGEST_TEXT} characters"));
        return None;
    }
    Some(text.to_owned())
}

/// Further words for something.
pub(super) fn further_names(node: Node<'_>) -> Vec<String> {
    let nodes = node.many();
    if nodes.len() > MOST_NAMES {
        node.wrong(format!("at most {MOST_NAMES} further names here"));
        return Vec::new();
    }
    let name = |node: Node<'_>| {
        let name = node.text()?;
        if is_longer(name, LONGEST) {
            node.wrong(format!("a name has up to {LONGEST} characters"));
            return None;
        }
        Some(name.to_owned())
    };
    nodes.into_iter().filter_map(name).collect()
}
