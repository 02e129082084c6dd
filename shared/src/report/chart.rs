//! The drawing of a chart, as SVG that needs nothing from outside: no script, no style sheet, no identifiers.
//!
//! Bars lie, one below the other, so that their words stay readable on a phone. Those that the question is about are
//! full, the others striped: never colour alone. Every part names its class, so that a page may give it other colours.
use super::palette::Theme;
use std::fmt::{self, Write as _};

/// A chart, as data.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chart {
    /// What is counted.
    pub title: String,
    /// What it says, for those who can't see it.
    pub alt: String,
    /// The bars, from above.
    pub bars: Vec<Bar>,
}

/// One bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bar {
    /// What it stands for.
    pub label: String,
    /// Its length, from 0; the longest bar fills the width.
    pub length: f64,
    /// The length, as people read it.
    pub said: String,
    /// Whether it is one of those that the question is about.
    pub strong: bool,
}

/// The width of a drawing.
///
/// # Units
/// Of the drawing's own, about a pixel each on a phone.
pub const WIDTH: u32 = 340;

const ROW: u32 = 22;
const TOP: u32 = 32;
const BAR: u32 = 14;
const EDGE: u32 = 8;
/// About the width of a letter of 12 units, for words of which nobody knows the font.
const LETTER: u32 = 7;
/// Labels longer than this are cut.
const LONGEST_LABEL: usize = 18;

/// The height of a chart's drawing.
///
/// # Units
/// Those of [`WIDTH`].
pub fn height(chart: &Chart) -> u32 {
    TOP + ROW * u32::try_from(chart.bars.len()).unwrap_or(0) + EDGE
}

/// Draws a chart.
///
/// # Example
/// ```
/// use pipwright_shared::report::chart::{Bar, Chart, svg};
/// use pipwright_shared::report::palette::Theme;
///
/// let bar = Bar { label: "2 or more".into(), length: 0.25, said: "25.0%".into(), strong: true };
/// let chart = Chart { title: "Models lost".into(), alt: "Mostly 2.".into(), bars: vec![bar] };
/// let drawing = svg(&chart, Theme::Light);
/// assert!(drawing.starts_with("<svg ") && drawing.contains("25.0%"));
/// ```
pub fn svg(chart: &Chart, theme: Theme) -> String {
    let mut drawing = String::new();
    // Writing into a string does not fail.
    let _ = write(&mut drawing, chart, theme);
    drawing
}

fn write(out: &mut String, chart: &Chart, theme: Theme) -> fmt::Result {
    let colours = theme.palette();
    let (title, alt, high) = (escaped(&chart.title), escaped(&chart.alt), height(chart));
    write!(
        out,
        r#"<svg xmlns="http://www.w3.org/2000/svg" class="chart" role="img" aria-label="{alt}" viewBox="0 0 {WIDTH} {high}" font-family="sans-serif" font-size="12"><title>{title}</title><desc>{alt}</desc><rect class="ground" width="{WIDTH}" height="{high}" fill="{}"/><text class="words" x="{EDGE}" y="19" font-weight="bold" fill="{}">{title}</text>"#,
        colours.slip, colours.ink,
    )?;
    let labels: Vec<String> = chart.bars.iter().map(|bar| cut(&bar.label)).collect();
    let left = EDGE * 2 + widest(labels.iter().map(String::as_str));
    let room = WIDTH - left - widest(chart.bars.iter().map(|bar| bar.said.as_str())) - EDGE * 2;
    let most = chart.bars.iter().map(|bar| bar.length).fold(f64::MIN_POSITIVE, f64::max);
    write!(out, r#"<path class="rule" d="M{left} {TOP}V{}" stroke="{}" stroke-width="1"/>"#, high - EDGE, colours.ink)?;
    let mut y = TOP;
    for (bar, label) in chart.bars.iter().zip(&labels) {
        let long = (bar.length / most).clamp(0.0, 1.0) * f64::from(room);
        bar_at(out, (f64::from(left), y + (ROW - BAR) / 2), long, bar.strong, theme)?;
        let (below, said) = (y + ROW / 2 + 4, f64::from(left + EDGE) + long);
        let (label, words) = (escaped(label), escaped(&bar.said));
        write!(
            out,
            r#"<text class="words" x="{}" y="{below}" text-anchor="end" fill="{}">{label}</text><text class="words" x="{said:.1}" y="{below}" fill="{}">{words}</text>"#,
            left - EDGE,
            colours.ink,
            colours.ink
        )?;
        y += ROW;
    }
    out.push_str("</svg>");
    Ok(())
}

/// A full bar, or an outline with upright stripes.
fn bar_at(out: &mut String, (x, y): (f64, u32), long: f64, strong: bool, theme: Theme) -> fmt::Result {
    let colours = theme.palette();
    // What can happen is seen, be it ever so unlikely.
    let long = if long > 0.0 { long.max(1.5) } else { return Ok(()) };
    if strong {
        return write!(
            out,
            r#"<rect class="strong" x="{x}" y="{y}" width="{long:.1}" height="{BAR}" fill="{}"/>"#,
            colours.strong
        );
    }
    write!(out, r#"<path class="faint" d="M{x} {y}h{long:.1}v{BAR}h-{long:.1}z"#)?;
    let mut stripe = 5.0;
    while stripe < long {
        write!(out, "M{:.1} {y}v{BAR}", x + stripe)?;
        stripe += 5.0;
    }
    write!(out, r#"" fill="none" stroke="{}" stroke-width="1.5"/>"#, colours.faint)
}

fn widest<'a>(texts: impl Iterator<Item = &'a str>) -> u32 {
    texts.map(|text| LETTER * u32::try_from(text.chars().count().min(LONGEST_LABEL)).unwrap_or(0)).max().unwrap_or(0)
}

fn cut(label: &str) -> String {
    if label.chars().count() <= LONGEST_LABEL {
        return label.to_owned();
    }
    label.chars().take(LONGEST_LABEL - 1).chain(['\u{2026}']).collect()
}

/// Text as XML has it: markup is words here, and what XML forbids is left out.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => escaped.push(' '),
            c => escaped.push(c),
        }
    }
    escaped
}
