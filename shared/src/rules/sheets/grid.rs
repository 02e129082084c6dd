//! What stands in a sheet, whatever kind of file it came from.
use super::super::fault::{Fault, Place, Weight};
use super::{MOST_CELLS, MOST_COLUMNS, MOST_ROWS, MOST_TEXT};
use std::collections::BTreeMap;
use std::sync::Arc;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// Text.
    Text(String),
    /// A number.
    Number(f64),
    /// True or false.
    Bool(bool),
    /// A date or a time, as it is shown.
    Date(String),
    /// What a formula that fails leaves, such as `#REF!`.
    Error(String),
}

impl Content {
    /// The text that a person would say stands there.
    pub(super) fn said(&self) -> String {
        match self {
            Self::Text(text) | Self::Date(text) | Self::Error(text) => text.clone(),
            Self::Number(number) => number.to_string(),
            Self::Bool(truth) => if *truth { "yes" } else { "no" }.to_owned(),
        }
    }
}

/// One sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    /// The file that it stands in.
    pub file: Arc<str>,
    /// Its name; none where the file is one sheet.
    pub name: Option<Arc<str>>,
    /// What stands where, by row and column from 0; empty cells are left out.
    pub cells: BTreeMap<(u32, u32), Content>,
    /// Cells whose content a formula has left there.
    pub formulas: Vec<(u32, u32)>,
    /// First and last cell of each group that is merged into one.
    pub merged: Vec<((u32, u32), (u32, u32))>,
}

impl Grid {
    /// An empty sheet.
    pub fn new(file: &str, name: Option<&str>) -> Self {
        let (cells, formulas, merged) = (BTreeMap::new(), Vec::new(), Vec::new());
        Self { file: file.into(), name: name.map(Into::into), cells, formulas, merged }
    }

    /// What people call it: the sheet, or the file without its ending.
    pub(super) fn title(&self) -> &str {
        let stem = || {
            let name = self.file.rsplit(['/', '\\']).next().unwrap_or_default();
            name.rsplit_once('.').map_or(name, |(stem, _)| stem)
        };
        self.name.as_deref().unwrap_or_else(stem)
    }

    /// A cell as a place that can be told.
    pub(super) fn place(&self, (row, column): (u32, u32)) -> Place {
        Place { file: Arc::clone(&self.file), sheet: self.name.clone(), row, column }
    }

    /// What is wrong with a cell.
    pub(super) fn fault(&self, at: (u32, u32), message: impl Into<String>, suggestion: Option<String>) -> Fault {
        let words = self.cells.get(&at).map(Content::said).unwrap_or_default();
        let words: String = words.lines().next().unwrap_or_default().chars().take(60).collect();
        Fault { suggestion, words, ..self.place(at).fault(Weight::Mistake, message) }
    }

    /// Puts a content into its place, if there is room: the sheet's sizes are held against their bounds before anything
    /// is kept. `so_far` counts the cells of the whole book.
    ///
    /// # Errors
    /// The fault that says which bound it is.
    pub(super) fn put(&mut self, at: (u32, u32), content: Content, so_far: &mut usize) -> Result<(), Fault> {
        if matches!(&content, Content::Text(text) if text.trim().is_empty()) {
            return Ok(());
        }
        let refuse =
            |message: String| Err(Fault { suggestion: None, ..self.place(at).fault(Weight::Mistake, message) });
        if at.0 >= MOST_ROWS {
            return refuse(format!("this sheet goes on to row {} and may have {MOST_ROWS}", at.0 + 1));
        }
        if at.1 >= MOST_COLUMNS {
            return refuse(format!("this sheet goes on to column {} and may have {MOST_COLUMNS}", at.1 + 1));
        }
        if matches!(&content, Content::Text(text) if super::super::names::is_longer(text, MOST_TEXT)) {
            return refuse(format!("a cell has up to {MOST_TEXT} characters"));
        }
        *so_far += 1;
        if *so_far > MOST_CELLS {
            return refuse(format!("a book may have {MOST_CELLS} cells that are not empty"));
        }
        self.cells.insert(at, content);
        Ok(())
    }
}
