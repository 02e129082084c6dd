//! What is wrong in a file, and where.
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// The most faults that are told of the files of one pack: more of them nobody mends at once.
pub const MOST: usize = 500;

/// One file of a pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// What it is called in messages.
    pub name: String,
    /// All of it.
    pub text: String,
    starts: Vec<usize>,
    /// Where a text that was made from a spreadsheet has each piece from, in the order of the pieces' beginnings.
    cells: Arc<[(Range<usize>, Place)]>,
    /// Of a text that stands for several files: each of them, and where it begins.
    parts: Arc<[(usize, Source)]>,
    /// What the checker says of it besides, of a text that was made from a spreadsheet.
    remarks: Arc<[Fault]>,
}

/// A cell of a spreadsheet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The file.
    pub file: Arc<str>,
    /// The sheet, where the file has several.
    pub sheet: Option<Arc<str>>,
    /// The row, from 0.
    pub row: u32,
    /// The column, from 0.
    pub column: u32,
}

impl Place {
    /// The cell as spreadsheets call it: `Weapons!D7`.
    pub fn name(&self) -> String {
        let mut letters = Vec::new();
        let mut left = self.column + 1;
        while left > 0 {
            letters.push(b'A' + ((left - 1) % 26) as u8);
            left = (left - 1) / 26;
        }
        let letters: String = letters.iter().rev().map(|letter| char::from(*letter)).collect();
        let sheet = self.sheet.as_ref().map_or_else(String::new, |sheet| format!("{sheet}!"));
        format!("{sheet}{letters}{}", self.row + 1)
    }

    /// A fault at this cell.
    pub fn fault(&self, weight: Weight, message: impl Into<String>) -> Fault {
        Fault {
            file: self.file.to_string(),
            line: self.row + 1,
            column: self.column + 1,
            cell: Some(self.name()),
            weight,
            words: String::new(),
            message: message.into(),
            suggestion: None,
        }
    }
}

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// The file can't be used.
    Mistake,
    /// The file can be used, but hardly as meant.
    Warning,
}

/// One mistake or warning.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// The file's name.
    pub file: String,
    /// Its line, from 1.
    pub line: u32,
    /// The character in that line, from 1.
    pub column: u32,
    /// In a spreadsheet, the cell; line and column are its own.
    pub cell: Option<String>,
    /// How bad it is.
    pub weight: Weight,
    /// The words at fault.
    pub words: String,
    /// What is wrong.
    pub message: String,
    /// What would mend it, where that is known.
    pub suggestion: Option<String>,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let weight = if self.weight == Weight::Warning { "warning: " } else { "" };
        match &self.cell {
            Some(cell) => write!(f, "{}: {cell}: {weight}{}", self.file, self.message)?,
            None => write!(f, "{}:{}:{}: {weight}{}", self.file, self.line, self.column, self.message)?,
        }
        match &self.suggestion {
            Some(suggestion) => write!(f, " ({suggestion})"),
            None => Ok(()),
        }
    }
}

impl Source {
    /// A file's name and text.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { name: name.into(), text, starts, cells: Arc::default(), parts: Arc::default(), remarks: Arc::default() }
    }

    /// A text that was made from a spreadsheet, with the cell of each of its pieces; a piece may lie in another one.
    pub fn of_cells(name: impl Into<String>, text: impl Into<String>, mut cells: Vec<(Range<usize>, Place)>) -> Self {
        cells.sort_by_key(|(range, _)| (range.start, std::cmp::Reverse(range.end)));
        Self { cells: cells.into(), ..Self::new(name, text) }
    }

    /// The same, with what the checker says of it besides.
    #[must_use]
    pub fn remarked(self, remarks: Vec<Fault>) -> Self {
        Self { remarks: remarks.into(), ..self }
    }

    /// What the checker says of it besides.
    pub fn remarks(&self) -> &[Fault] {
        &self.remarks
    }

    /// Several files read as one, each from the byte on where it begins.
    pub fn of_parts(parts: Vec<(usize, Self)>) -> Self {
        Self { parts: parts.into(), ..Self::new("", "") }
    }

    /// The file that a byte is in, and its place there.
    pub fn part(&self, offset: usize) -> (&Self, usize) {
        let before = self.parts.partition_point(|(start, _)| *start <= offset);
        match self.parts[..before].last() {
            Some((start, source)) => (source, offset - start),
            None => (self, offset),
        }
    }

    /// The cell that a byte is from: the smallest piece around it, else the one before.
    fn cell(&self, offset: usize) -> Option<&Place> {
        let before = &self.cells[..self.cells.partition_point(|(range, _)| range.start <= offset)];
        let around = before.iter().rev().take(400).find(|(range, _)| range.contains(&offset));
        around.or(before.last()).or(self.cells.first()).map(|(_, place)| place)
    }

    /// Line and column, from 1, of a byte.
    pub fn place(&self, offset: usize) -> (u32, u32) {
        let line = self.starts.partition_point(|start| *start <= offset).max(1);
        let start = self.starts[line - 1];
        let before = self.text.get(start..offset).map_or(0, |text| text.chars().count());
        (line as u32, before as u32 + 1)
    }

    /// A fault at a span of bytes.
    pub fn fault(&self, span: Range<usize>, weight: Weight, message: impl Into<String>) -> Fault {
        if !self.parts.is_empty() {
            let (source, start) = self.part(span.start);
            return source.fault(start..start + span.len(), weight, message);
        }
        let cell = self.cell(span.start).cloned();
        let (line, column) = self.place(span.start);
        let words = self.text.get(span).unwrap_or_default();
        let words: String = words.lines().next().unwrap_or_default().chars().take(60).collect();
        let message = message.into();
        match cell {
            Some(cell) => Fault { words, ..cell.fault(weight, message) },
            None => {
                Fault { file: self.name.clone(), line, column, cell: None, weight, words, message, suggestion: None }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_called_as_in_a_spreadsheet() {
        let place = |column, row| Place { file: "a.xlsx".into(), sheet: Some("Weapons".into()), row, column }.name();
        assert_eq!([place(3, 6), place(25, 0), place(26, 0)], ["Weapons!D7", "Weapons!Z1", "Weapons!AA1"]);
        assert_eq!([place(701, 0), place(702, 9)], ["Weapons!ZZ1", "Weapons!AAA10"]);
    }

    #[test]
    fn counts_lines_and_characters() {
        let source = Source::new("a", "one\ntwö = 3\n");
        assert_eq!(source.place(0), (1, 1));
        assert_eq!(source.place(4), (2, 1));
        assert_eq!(source.place(11), (2, 7));
        assert_eq!(source.fault(4..8, Weight::Mistake, "no").to_string(), "a:2:1: no");
    }
}
