//! The drawing of a chart, as SVG that needs nothing from outside: no script, no style sheet, no identifiers.
//!
//! Bars lie, one below the other, so that their words stay readable on a phone. Those that the question is about are
//! full, the others striped: never colour alone. Every part names its class, so that a page may give it other colours.
use super::drawing::{EDGE, TOP, WIDTH, cut, escaped, open, widest, words};
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
    /// Of a distribution: for each bar the chance of that much or more. Drawn as a curve that has 1 where the bars' place
    /// ends; the figures then stand in a column behind it.
    pub at_least: Vec<f64>,
    /// The length that fills the width, where no bar is longer.
    pub full: f64,
}

/// One bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bar {
    /// What it stands for.
    pub label: String,
    /// Its length, from 0; the longest bar fills the width, unless the chart says what does.
    pub length: f64,
    /// The length, as people read it.
    pub said: String,
    /// Whether it is one of those that the question is about.
    pub strong: bool,
}

const ROW: u32 = 24;
const BAR: u32 = 14;
/// The line below that says what the curve is.
const KEY: u32 = 18;
const KEY_WORDS: &str = "that much or more: 100% at the thin line";

/// A curve of two points says nothing that the bars do not.
fn has_curve(chart: &Chart) -> bool {
    chart.bars.len() > 2 && chart.at_least.len() == chart.bars.len()
}

/// The height of a chart's drawing.
///
/// # Units
/// Those of [`WIDTH`].
pub fn height(chart: &Chart) -> u32 {
    let key = if has_curve(chart) { KEY } else { 0 };
    TOP + ROW * u32::try_from(chart.bars.len()).unwrap_or(0) + key + EDGE
}

/// Draws a chart.
///
/// # Example
/// ```
/// use pipwright_shared::report::chart::{Bar, Chart, svg};
/// use pipwright_shared::report::palette::Theme;
///
/// let bar = Bar { label: "2 or more".into(), length: 0.25, said: "25.0%".into(), strong: true };
/// let chart = Chart { title: "Models lost".into(), alt: "Mostly 2.".into(), bars: vec![bar], ..Chart::default() };
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
    let high = height(chart);
    open(out, &chart.title, &chart.alt, high, theme)?;
    let labels: Vec<String> = chart.bars.iter().map(|bar| cut(&bar.label)).collect();
    let left = EDGE * 2 + widest(labels.iter().map(String::as_str));
    let room = WIDTH - left - widest(chart.bars.iter().map(|bar| bar.said.as_str())) - EDGE * 2;
    let most = chart.bars.iter().map(|bar| bar.length).fold(f64::MIN_POSITIVE.max(chart.full), f64::max);
    let column = has_curve(chart);
    let foot = TOP + ROW * u32::try_from(chart.bars.len()).unwrap_or(0);
    write!(out, r#"<path class="rule" d="M{left} {TOP}V{foot}" stroke="{}" stroke-width="1"/>"#, colours.ink)?;
    let mut y = TOP;
    for (bar, label) in chart.bars.iter().zip(&labels) {
        let long = (bar.length / most).clamp(0.0, 1.0) * f64::from(room);
        bar_at(out, (f64::from(left), y + (ROW - BAR) / 2), long, bar.strong, theme)?;
        // Behind its bar, or where a curve would cross it, in a column at the right edge.
        let (below, at, anchor) = (
            y + ROW / 2 + 4,
            if column { f64::from(WIDTH - EDGE) } else { f64::from(left + EDGE) + long },
            if column { "end" } else { "start" },
        );
        let (label, words) = (escaped(label), escaped(&bar.said));
        write!(
            out,
            r#"<text class="words" x="{}" y="{below}" text-anchor="end" fill="{}">{label}</text><text class="words said" x="{at:.1}" y="{below}" text-anchor="{anchor}" fill="{}">{words}</text>"#,
            left - EDGE,
            colours.ink,
            colours.ink
        )?;
        y += ROW;
    }
    if has_curve(chart) {
        let (left, right) = (f64::from(left), f64::from(left + room));
        write!(out, r#"<path class="rule" d="M{right} {TOP}V{foot}" stroke="{}" stroke-width="0.5"/>"#, colours.ink)?;
        curve(out, &chart.at_least, (left, right), f64::from(high - EDGE / 2), theme)?;
    }
    out.push_str("</svg>");
    Ok(())
}

/// A thin line with a dot at each bar, and below it what it is.
fn curve(out: &mut String, at_least: &[f64], (left, right): (f64, f64), foot: f64, theme: Theme) -> fmt::Result {
    let ink = theme.palette().ink;
    let room = right - left;
    let mut y = f64::from(TOP) + f64::from(ROW) / 2.0;
    let mut places = Vec::new();
    for chance in at_least {
        places.push((left + chance.clamp(0.0, 1.0) * room, y));
        y += f64::from(ROW);
    }
    out.push_str(r#"<path class="curve" d=""#);
    for (index, (x, y)) in places.iter().enumerate() {
        write!(out, "{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' })?;
    }
    write!(out, r#"" fill="none" stroke="{ink}" stroke-width="1" stroke-dasharray="2 2"/>"#)?;
    for (x, y) in places.into_iter().chain([(f64::from(EDGE) + 3.0, foot - 4.0)]) {
        write!(out, r#"<circle class="dot" cx="{x:.1}" cy="{y:.1}" r="2.5" fill="{ink}"/>"#)?;
    }
    words(out, (f64::from(EDGE) + 12.0, foot), "start", KEY_WORDS, theme)
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
