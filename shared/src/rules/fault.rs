//! What is wrong in a file, and where.
use std::fmt;

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
        write!(f, "{}:{}:{}: {weight}{}", self.file, self.line, self.column, self.message)?;
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
        Self { name: name.into(), text, starts }
    }

    /// Line and column, from 1, of a byte.
    pub fn place(&self, offset: usize) -> (u32, u32) {
        let line = self.starts.partition_point(|start| *start <= offset).max(1);
        let start = self.starts[line - 1];
        let before = self.text.get(start..offset).map_or(0, |text| text.chars().count());
        (line as u32, before as u32 + 1)
    }

    /// A fault at a span of bytes.
    pub fn fault(&self, span: std::ops::Range<usize>, weight: Weight, message: impl Into<String>) -> Fault {
        let (line, column) = self.place(span.start);
        let words = self.text.get(span).unwrap_or_default();
        let words: String = words.lines().next().unwrap_or_default().chars().take(60).collect();
        Fault { file: self.name.clone(), line, column, weight, words, message: message.into(), suggestion: None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_lines_and_characters() {
        let source = Source::new("a", "one\ntwö = 3\n");
        assert_eq!(source.place(0), (1, 1));
        assert_eq!(source.place(4), (2, 1));
        assert_eq!(source.place(11), (2, 7));
        assert_eq!(source.fault(4..8, Weight::Mistake, "no").to_string(), "a:2:1: no");
    }
}
