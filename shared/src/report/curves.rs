//! The drawing of curves over turns: what is still standing, with one thing and without it.
//!
//! Each curve has its own dashes and its own marks beside its colour, and below the drawing its name and where it ends.
use super::drawing::{EDGE, TOP, WIDTH, cut_to, open, words};
use super::palette::Theme;
use super::saying::percent;
use std::fmt::{self, Write as _};

/// Curves, as data.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Curves {
    /// What is shown.
    pub title: String,
    /// What it says, for those who can't see it.
    pub alt: String,
    /// What the steps to the right are, such as `turn`.
    pub along: String,
    /// The curves; those past the sixth are not drawn.
    pub curves: Vec<Curve>,
}

/// One curve.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Curve {
    /// What it stands for.
    pub label: String,
    /// Chances, from 0 to 1, from the start on.
    pub chances: Vec<f64>,
    /// Whether it is the one that the others are held against.
    pub strong: bool,
}

/// More than this no eye tells apart.
const MOST: usize = 6;
const HIGH: f64 = 150.0;
const LEFT: f64 = 44.0;
const LINE: u32 = 22;
const DASHES: [&str; MOST] = ["", "7 4", "2 3", "9 3 2 3", "12 5", "4 2"];

/// Draws curves.
///
/// # Example
/// ```
/// use pipwright_shared::report::curves::{Curve, Curves, svg};
/// use pipwright_shared::report::palette::Theme;
///
/// let curve = Curve { label: "as it is".into(), chances: vec![1.0, 0.8, 0.6], strong: true };
/// let curves = Curves { title: "Standing".into(), alt: "Falls.".into(), along: "turn".into(), curves: vec![curve] };
/// let drawing = svg(&curves, Theme::Light);
/// assert!(drawing.starts_with("<svg ") && drawing.contains("as it is") && drawing.contains("60%"));
/// ```
pub fn svg(curves: &Curves, theme: Theme) -> String {
    let mut drawing = String::new();
    // Writing into a string does not fail.
    let _ = write(&mut drawing, curves, theme);
    drawing
}

fn write(out: &mut String, curves: &Curves, theme: Theme) -> fmt::Result {
    let shown = &curves.curves[..curves.curves.len().min(MOST)];
    let below = f64::from(TOP) + HIGH;
    let keys = LINE * u32::try_from(shown.len()).unwrap_or(0);
    let high = TOP + 150 + 24 + 14 + keys + EDGE;
    open(out, &curves.title, &curves.alt, high, theme)?;
    let colours = theme.palette();
    let right = f64::from(WIDTH - EDGE * 2);
    let steps = shown.iter().map(|curve| curve.chances.len().saturating_sub(1)).max().unwrap_or(0).max(1);
    let at = |step: usize, chance: f64| {
        (LEFT + (right - LEFT) * step as f64 / steps as f64, below - HIGH * chance.clamp(0.0, 1.0))
    };
    for quarter in 0..=4 {
        let (_, y) = at(0, f64::from(quarter) / 4.0);
        write!(
            out,
            r#"<path class="rule" d="M{LEFT} {y:.1}H{right:.1}" stroke="{}" stroke-width="1"/>"#,
            colours.rule
        )?;
        if quarter % 2 == 0 {
            words(out, (LEFT - 6.0, y + 4.0), "end", &format!("{}%", quarter * 25), theme)?;
        }
    }
    let every = steps.div_ceil(10);
    for step in (0..=steps).step_by(every) {
        let (x, _) = at(step, 0.0);
        words(out, (x, below + 16.0), "middle", &step.to_string(), theme)?;
    }
    words(out, (f64::midpoint(LEFT, right), below + 30.0), "middle", &curves.along, theme)?;
    for (index, curve) in shown.iter().enumerate() {
        let points: Vec<(f64, f64)> =
            curve.chances.iter().enumerate().map(|(step, chance)| at(step, *chance)).collect();
        line(out, &points, index, curve.strong, theme)?;
        let y = below + 48.0 + f64::from(LINE) * index as f64;
        line(out, &[(f64::from(EDGE), y - 4.0), (f64::from(EDGE) + 28.0, y - 4.0)], index, curve.strong, theme)?;
        let end = curve.chances.last().copied().unwrap_or(0.0);
        words(out, (f64::from(EDGE) + 38.0, y), "start", &cut_to(&curve.label, 30), theme)?;
        words(out, (right + f64::from(EDGE), y), "end", &percent(end), theme)?;
    }
    out.push_str("</svg>");
    Ok(())
}

fn line(out: &mut String, points: &[(f64, f64)], index: usize, strong: bool, theme: Theme) -> fmt::Result {
    let colours = theme.palette();
    let (class, colour, width) = if strong { ("strong", colours.strong, 2.5) } else { ("faint", colours.faint, 1.75) };
    write!(out, r#"<path class="{class} line" d=""#)?;
    for (at, (x, y)) in points.iter().enumerate() {
        write!(out, "{}{x:.1} {y:.1}", if at == 0 { 'M' } else { 'L' })?;
    }
    write!(out, r#"" fill="none" stroke="{colour}" stroke-width="{width}" stroke-dasharray="{}"/>"#, DASHES[index])?;
    for (x, y) in points {
        mark(out, (*x, *y), index, class, colour)?;
    }
    Ok(())
}

/// A mark of the curve's own: disc, square, diamond, triangle, ring, cross.
fn mark(out: &mut String, (x, y): (f64, f64), index: usize, class: &str, colour: &str) -> fmt::Result {
    let path = match index {
        0 => format!("M{:.1} {y:.1}a3 3 0 1 0 6 0a3 3 0 1 0 -6 0z", x - 3.0),
        1 => format!("M{:.1} {:.1}h5v5h-5z", x - 2.5, y - 2.5),
        2 => format!("M{x:.1} {:.1}l3.5 3.5l-3.5 3.5l-3.5 -3.5z", y - 3.5),
        3 => format!("M{x:.1} {:.1}l3.5 6h-7z", y - 3.5),
        4 => format!("M{:.1} {y:.1}h6m-3 -3v6", x - 3.0),
        _ => format!("M{:.1} {:.1}l5 5m0 -5l-5 5", x - 2.5, y - 2.5),
    };
    write!(out, r#"<path class="{class} mark" d="{path}" fill="{colour}" stroke="{colour}" stroke-width="1"/>"#)
}
