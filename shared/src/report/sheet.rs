//! A sheet: a long answer in parts, each with sentences, tables and pictures. Every form is made from it.
use super::chart::{self, Chart};
use super::curves::{self, Curves};
use super::heat::{self, Heat};
use super::hull::{self, Hull};
use super::pairs::{self, Pairs};
use super::palette::Theme;

/// A sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// What it is about.
    pub title: String,
    /// The line below the title.
    pub about: String,
    /// What it comes to, a sentence each.
    pub lead: Vec<String>,
    /// The figures that matter most.
    pub figures: Vec<Figure>,
    /// Its parts.
    pub parts: Vec<Part>,
    /// What stands at the end: the method, the pack, the link.
    pub foot: Vec<String>,
}

/// A figure that stands by itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Figure {
    /// As people read it.
    pub said: String,
    /// What it is.
    pub label: String,
}

/// Sentences that belong together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct List {
    /// What they are about; nothing where the part's own heading says it.
    pub heading: String,
    /// The sentences.
    pub items: Vec<String>,
}

/// A part of a sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Part {
    /// Its heading.
    pub heading: String,
    /// Sentences, each a paragraph.
    pub text: Vec<String>,
    /// Lists of sentences.
    pub lists: Vec<List>,
    /// Pictures.
    pub pictures: Vec<Picture>,
    /// Tables.
    pub tables: Vec<Table>,
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// The heads of its columns.
    pub head: Vec<String>,
    /// Its rows, as long as the head.
    pub rows: Vec<Vec<Cell>>,
}

/// A cell of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// As people read it.
    pub said: String,
    /// As programs read it, where it is a number.
    pub number: Option<f64>,
}

/// A picture.
#[derive(Clone, Debug, PartialEq)]
pub enum Picture {
    /// Bars.
    Chart(Chart),
    /// Curves over turns.
    Curves(Curves),
    /// A board.
    Heat(Heat),
    /// A hull from above.
    Hull(Hull),
    /// Bars with and without.
    Pairs(Pairs),
}

impl Cell {
    /// Words.
    pub fn words(said: impl Into<String>) -> Self {
        Self { said: said.into(), number: None }
    }

    /// A number and how people read it.
    pub fn number(number: f64, said: impl Into<String>) -> Self {
        Self { said: said.into(), number: Some(number) }
    }
}

impl Picture {
    /// The drawing.
    pub fn svg(&self, theme: Theme) -> String {
        match self {
            Self::Chart(chart) => chart::svg(chart, theme),
            Self::Curves(curves) => curves::svg(curves, theme),
            Self::Heat(heat) => heat::svg(heat, theme),
            Self::Hull(hull) => hull::svg(hull, theme),
            Self::Pairs(pairs) => pairs::svg(pairs, theme),
        }
    }

    /// What it says, for those who can't see it.
    pub fn alt(&self) -> &str {
        match self {
            Self::Chart(chart) => &chart.alt,
            Self::Curves(curves) => &curves.alt,
            Self::Heat(heat) => &heat.alt,
            Self::Hull(hull) => &hull.alt,
            Self::Pairs(pairs) => &pairs.alt,
        }
    }
}

impl Sheet {
    /// All pictures, in order.
    pub fn pictures(&self) -> impl Iterator<Item = &Picture> {
        self.parts.iter().flat_map(|part| &part.pictures)
    }
}
