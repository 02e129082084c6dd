//! The chart of a card, as data: bars with their labels. Text is drawn by the place, pictures by the one drawing code.
use crate::report::saying::{mean, percent, unproven};
use crate::report::{chart, palette::Theme, picture};
use crate::wire::summary::{Row, Summary};

/// A chart of a distribution.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chart {
    /// What is counted.
    pub title: String,
    /// The bars, by value.
    pub bars: Vec<Bar>,
    /// What it says, for those who can't see it.
    pub alt: String,
    /// Of a distribution: for each bar the chance of that much or more.
    pub at_least: Vec<f64>,
    /// Whether a bar of 100% would fill the width, not the longest one.
    pub whole: bool,
}

/// One bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bar {
    /// The value, or the values.
    pub label: String,
    /// Its chance.
    pub chance: f64,
    /// Whether it is one of those that the question is about.
    pub strong: bool,
}

/// More bars than this don't fit a phone.
const MOST: usize = 16;
/// Ends less likely than this are drawn in one bar.
const FAINT: f64 = 0.001;
/// Rows less likely than this read as nothing.
const NOTHING: f64 = 0.0001;

impl Chart {
    /// The chart of a distribution; `strong` says which values the question is about.
    pub fn of(title: impl Into<String>, summary: &Summary, strong: impl Fn(u64) -> bool) -> Self {
        let rows = &summary.distribution;
        let title = title.into();
        // What is next to nothing at an end is one bar: of many rows what is faint together, else rows that read as nothing.
        let (each, together) = if rows.len() > MOST { (1.0, FAINT) } else { (NOTHING, 1.0) };
        let faint = |tail: &mut dyn Iterator<Item = &Row>| {
            let (mut sum, mut first) = (0.0, None);
            tail.take_while(|row| {
                sum += row.chance;
                let alike = *first.get_or_insert_with(|| strong(row.count())) == strong(row.count());
                row.chance < each && sum < together && alike
            })
            .count()
        };
        let (mut from, mut to) = (faint(&mut rows.iter()), rows.len() - faint(&mut rows.iter().rev()));
        // One row is not gathered, and not all of them are.
        from = if from < 2 || from >= to { 0 } else { from };
        to = if rows.len() - to < 2 || to <= from { rows.len() } else { to };
        let mut bars: Vec<Bar> = Vec::new();
        if from > 0 {
            bars.push(bar(&rows[..from], &strong, Some("to ")));
        }
        let width = (to - from).div_ceil(MOST).max(1);
        // A bar is of those that the question is about, or of the others: it begins or ends where they meet.
        let runs = rows[from..to].chunk_by(|a, b| strong(a.count()) == strong(b.count()));
        for (at, run) in runs.enumerate() {
            let first = if at == 0 { run.len() % width } else { 0 };
            let (head, rest) = run.split_at(first);
            if !head.is_empty() {
                bars.push(bar(head, &strong, None));
            }
            bars.extend(rest.chunks(width).map(|rows| bar(rows, &strong, None)));
        }
        if to < rows.len() {
            bars.push(bar(&rows[to..], &strong, Some("from ")));
        }
        // Of several bars none is certain, whatever a sum rounds to.
        if bars.len() > 1 {
            bars.iter_mut().for_each(|bar| bar.chance = unproven(bar.chance));
        }
        let alt = alt(&title, summary);
        let at_least = (0..bars.len()).map(|at| bars[at..].iter().map(|bar| bar.chance).sum()).collect();
        Self { title, bars, alt, at_least, whole: false }
    }

    /// The chart painted; none where it can't be, and the answer then goes without.
    ///
    /// # Errors
    /// Why it can't be.
    pub fn png(&self) -> Result<Vec<u8>, picture::PictureError> {
        picture::png(&self.svg(Theme::Light), &self.alt)
    }

    /// The chart drawn, for places that show pictures.
    pub fn svg(&self, theme: Theme) -> String {
        let bar = |bar: &Bar| chart::Bar {
            label: bar.label.clone(),
            length: bar.chance,
            said: percent(bar.chance),
            strong: bar.strong,
        };
        let bars = self.bars.iter().map(bar).collect();
        let (title, alt, at_least) = (self.title.clone(), self.alt.clone(), self.at_least.clone());
        chart::svg(&chart::Chart { title, alt, bars, at_least, full: self.full() }, theme)
    }

    /// The chance that fills the width.
    pub fn full(&self) -> f64 {
        let longest = self.bars.iter().map(|bar| bar.chance).fold(f64::MIN_POSITIVE, f64::max);
        if self.whole { longest.max(1.0) } else { longest }
    }
}

fn bar(rows: &[Row], strong: &impl Fn(u64) -> bool, end: Option<&str>) -> Bar {
    let (first, last) = (rows[0].value, rows[rows.len() - 1].value);
    let label = match end {
        Some("to ") => format!("to {last}"),
        Some(_) => format!("{first} up"),
        None if first == last => first.to_string(),
        None => format!("{first}-{last}"),
    };
    Bar { label, chance: rows.iter().map(|row| row.chance).sum(), strong: rows.iter().all(|row| strong(row.count())) }
}

fn alt(title: &str, summary: &Summary) -> String {
    let most = summary.distribution.iter().max_by(|a, b| a.chance.total_cmp(&b.chance));
    let most = most.map_or_else(String::new, |row| format!(", most often {} ({})", row.value, percent(row.chance)));
    format!("Bar chart of {title}: {} on average{most}.", mean(summary.expected))
}
