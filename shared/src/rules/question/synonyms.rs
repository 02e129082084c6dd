//! Ordinary words for what packs have words of their own for: data, in the file beside this one.
use std::sync::LazyLock;

/// Words that mean one thing of the table: a name of the pack that stands in a row has all words of that row.
pub(super) static SAME: LazyLock<Vec<Vec<&'static str>>> = LazyLock::new(|| {
    let rows = include_str!("synonyms.txt").lines().filter(|line| !line.starts_with('#'));
    rows.map(|row| row.split(", ").collect()).collect()
});
