//! A file's tables and values, each knowing its place.
use super::super::fault::{Fault, MOST, Source, Weight};
use super::super::names::{close_word, shortened};
use crate::odds::cancellation::CancellationToken;
use std::cell::{Cell, RefCell};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Where faults are gathered, up to as many as anybody mends at once.
#[derive(Debug)]
pub(super) struct Faults {
    found: RefCell<Vec<Fault>>,
    /// How many words may still be compared with what is written, to say which was meant.
    comparisons: Cell<usize>,
    token: Option<CancellationToken>,
}

/// More words than these are not compared in one reading.
const COMPARISONS: usize = 50_000;
/// The most characters of a message.
const MESSAGE: usize = 400;

impl Faults {
    pub(super) fn new(token: Option<CancellationToken>) -> Self {
        Self { found: RefCell::default(), comparisons: Cell::new(COMPARISONS), token }
    }

    pub(super) fn push(&self, fault: Fault) {
        let mut found = self.found.borrow_mut();
        if found.len() < MOST {
            let suggestion = fault.suggestion.map(|suggestion| shortened(suggestion, MESSAGE));
            found.push(Fault { message: shortened(fault.message, MESSAGE), suggestion, ..fault });
        }
    }

    /// Whether reading goes on: not where nobody waits for it any more, and not where no fault more would be told.
    pub(super) fn go_on(&self) -> bool {
        self.found.borrow().len() < MOST && self.token.as_ref().is_none_or(|token| token.check().is_ok())
    }

    /// Whether so many words may be compared yet.
    pub(super) fn may_compare(&self, words: usize) -> bool {
        let left = self.comparisons.get().checked_sub(words);
        left.inspect(|left| self.comparisons.set(*left)).is_some()
    }

    pub(super) fn is_empty(&self) -> bool {
        self.found.borrow().is_empty()
    }

    /// All of them, in the order of their places.
    pub(super) fn sorted(self) -> Vec<Fault> {
        let mut found = self.found.into_inner();
        found.sort();
        found.dedup();
        found
    }
}

/// A value in a file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node<'a> {
    pub(super) faults: &'a Faults,
    pub(super) source: &'a Source,
    value: &'a Spanned<DeValue<'a>>,
}

/// A table in a file; what is not asked for by the end is unknown.
#[derive(Debug)]
pub(super) struct Fields<'a> {
    pub(super) faults: &'a Faults,
    pub(super) source: &'a Source,
    table: &'a DeTable<'a>,
    span: Range<usize>,
    known: RefCell<Vec<&'static str>>,
}

impl<'a> Node<'a> {
    pub(super) fn span(&self) -> Range<usize> {
        self.value.span()
    }

    /// Notes a mistake at this value.
    pub(super) fn wrong(&self, message: impl Into<String>) {
        self.wrong_with(message, None);
    }

    pub(super) fn wrong_with(&self, message: impl Into<String>, suggestion: Option<String>) {
        let fault = self.source.fault(self.span(), Weight::Mistake, message);
        self.faults.push(Fault { suggestion, ..fault });
    }

    pub(super) fn value(&self) -> &'a DeValue<'a> {
        self.value.get_ref()
    }

    pub(super) fn as_text(&self) -> Option<&'a str> {
        self.value().as_str()
    }

    pub(super) fn text(&self) -> Option<&'a str> {
        let text = self.as_text();
        if text.is_none() {
            self.wrong("this should be text in quotes");
        }
        text
    }

    pub(super) fn as_number(&self) -> Option<i64> {
        let integer = self.value().as_integer()?;
        i64::from_str_radix(&integer.as_str().replace('_', ""), integer.radix()).ok()
    }

    /// A whole number within a range.
    pub(super) fn number(&self, range: std::ops::RangeInclusive<i32>) -> Option<i32> {
        let number = self.as_number().filter(|n| (i64::from(*range.start())..=i64::from(*range.end())).contains(n));
        if number.is_none() {
            self.wrong(format!("this should be a whole number from {} to {}", range.start(), range.end()));
        }
        number.map(|n| n as i32)
    }

    /// A whole number from 0 (or another start) up.
    pub(super) fn count(&self, range: std::ops::RangeInclusive<u32>) -> Option<u32> {
        self.number(*range.start() as i32..=*range.end() as i32).map(|n| n as u32)
    }

    pub(super) fn truth(&self) -> Option<bool> {
        let truth = self.value().as_bool();
        if truth.is_none() {
            self.wrong("this should be true or false");
        }
        truth
    }

    /// The values of a list; a single value counts as a list of one.
    pub(super) fn many(&self) -> Vec<Node<'a>> {
        match self.value().as_array() {
            Some(array) => array.iter().map(|value| Node { value, ..*self }).collect(),
            None => vec![*self],
        }
    }

    /// The values of a list of at most so many.
    pub(super) fn list(&self, most: usize) -> Vec<Node<'a>> {
        if self.value().as_array().is_none() {
            let hint =
                self.is_table().then(|| "a table that there may be several of has two brackets: [[…]]".to_owned());
            self.wrong_with("this should be a list in square brackets", hint);
            return Vec::new();
        }
        let list = self.many();
        if list.len() > most {
            self.wrong(format!("at most {most} here"));
        }
        list
    }

    pub(super) fn is_table(&self) -> bool {
        self.value().is_table()
    }

    pub(super) fn fields(&self) -> Option<Fields<'a>> {
        let Some(table) = self.value().as_table() else {
            self.wrong("this should be a table in curly brackets");
            return None;
        };
        let known = RefCell::default();
        Some(Fields { faults: self.faults, source: self.source, table, span: self.span(), known })
    }

    /// One of some words, by index.
    pub(super) fn word_of(&self, words: &[&str]) -> Option<usize> {
        let text = self.text()?;
        let found = words.iter().position(|word| *word == text);
        if found.is_none() {
            let close = close_word(text, words.iter().copied()).map(|word| format!("did you mean {word:?}?"));
            self.wrong_with(format!("{text:?} is none of {}", listed(words)), close);
        }
        found
    }
}

/// Words in a row: `a, b or c`.
pub(super) fn listed<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => "nothing".to_owned(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            format!("{} or {}", first.iter().map(AsRef::as_ref).collect::<Vec<_>>().join(", "), last.as_ref())
        }
    }
}

impl<'a> Fields<'a> {
    pub(super) fn of_file(faults: &'a Faults, source: &'a Source, table: &'a DeTable<'a>) -> Self {
        Self { faults, source, table, span: 0..0, known: RefCell::default() }
    }

    /// Where the table's name stands: its id if it has one, else its head.
    pub(super) fn head(&self) -> Range<usize> {
        self.table.get("id").map_or(self.span.clone(), Spanned::span)
    }

    /// The value of a key, if it is there.
    pub(super) fn get(&self, key: &'static str) -> Option<Node<'a>> {
        let mut known = self.known.borrow_mut();
        if !known.contains(&key) {
            known.push(key);
        }
        self.table.get(key).map(|value| Node { faults: self.faults, source: self.source, value })
    }

    /// The value of a key that must be there.
    pub(super) fn need(&self, key: &'static str) -> Option<Node<'a>> {
        let node = self.get(key);
        if node.is_none() {
            self.wrong(format!("{key:?} is missing here"));
        }
        node
    }

    /// Whether the key is there, without marking it as known.
    pub(super) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// Notes a mistake at a key of the table.
    pub(super) fn wrong_key(&self, span: Range<usize>, message: impl Into<String>, suggestion: Option<String>) {
        let fault = self.source.fault(span, Weight::Mistake, message);
        self.faults.push(Fault { suggestion, ..fault });
    }

    /// Notes a mistake at the table's head.
    pub(super) fn wrong(&self, message: impl Into<String>) {
        self.faults.push(self.source.fault(self.head(), Weight::Mistake, message));
    }

    /// All entries in the order of the file, with a node for the key's own place.
    pub(super) fn entries(&self) -> Vec<(&'a str, Range<usize>, Node<'a>)> {
        let mut entries: Vec<_> = self
            .table
            .iter()
            .map(|(key, value)| {
                let node = Node { faults: self.faults, source: self.source, value };
                (key.get_ref().as_ref(), key.span(), node)
            })
            .collect();
        entries.sort_by_key(|(_, span, _)| span.start);
        entries
    }

    /// Notes every key that nobody asked for.
    pub(super) fn finish(&self) {
        self.finish_but(&[]);
    }

    /// The same, but for keys that something else reads.
    pub(super) fn finish_but(&self, others: &[String]) {
        let known = self.known.borrow();
        let known: Vec<&str> = known.iter().copied().chain(others.iter().map(String::as_str)).collect();
        for (key, span, _) in self.entries() {
            if known.contains(&key) {
                continue;
            }
            if !self.faults.go_on() {
                return;
            }
            let suggestion =
                self.faults.may_compare(known.len()).then(|| match close_word(key, known.iter().copied()) {
                    Some(close) => format!("did you mean {close:?}?"),
                    None => format!("known here: {}", known.join(", ")),
                });
            self.wrong_key(span, format!("{key:?} is not known here"), suggestion);
        }
    }

    // The short ways to common values.

    pub(super) fn text(&self, key: &'static str) -> Option<String> {
        self.get(key)?.text().map(str::to_owned)
    }

    pub(super) fn truth(&self, key: &'static str) -> Option<bool> {
        self.get(key)?.truth()
    }

    pub(super) fn count(&self, key: &'static str, range: std::ops::RangeInclusive<u32>) -> Option<u32> {
        self.get(key)?.count(range)
    }

    pub(super) fn list(&self, key: &'static str, most: usize) -> Vec<Node<'a>> {
        self.get(key).map_or_else(Vec::new, |node| node.list(most))
    }
}
