//! The drawing of a hull seen from above: its sides, where they meet, and what each has.
use super::drawing::{TOP, WIDTH, broken, open, words};
use super::palette::Theme;
use std::fmt::{self, Write as _};

/// A hull, as data.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hull {
    /// What is shown.
    pub title: String,
    /// What it says, for those who can't see it.
    pub alt: String,
    /// Its sides, clockwise.
    pub sides: Vec<Side>,
}

/// One side.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Side {
    /// What it is called.
    pub label: String,
    /// Where it begins: degrees clockwise from straight ahead.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// What it has, as people read it.
    pub values: Vec<String>,
}

const HIGH: u32 = 236;
/// How far from the middle words stand, across and along.
const AWAY: (f64, f64) = (112.0, 96.0);
/// Half of the hull's width and of its length.
const HALF: (f64, f64) = (34.0, 62.0);
const LINE: f64 = 16.0;

/// Draws a hull.
///
/// # Example
/// ```
/// use pipwright_shared::report::hull::{Hull, Side, svg};
/// use pipwright_shared::report::palette::Theme;
///
/// let side = |label: &str, from, to, value: &str| Side { label: label.into(), from, to, values: vec![value.into()] };
/// let sides = vec![side("front", -45.0, 45.0, "14"), side("rear", 45.0, 315.0, "10")];
/// let hull = Hull { title: "Armour".into(), alt: "Front 14, rear 10.".into(), sides };
/// let drawing = svg(&hull, Theme::Light);
/// assert!(drawing.contains("front") && drawing.contains("10"));
/// ```
pub fn svg(hull: &Hull, theme: Theme) -> String {
    let mut drawing = String::new();
    // Writing into a string does not fail.
    let _ = write(&mut drawing, hull, theme);
    drawing
}

fn write(out: &mut String, hull: &Hull, theme: Theme) -> fmt::Result {
    open(out, &hull.title, &hull.alt, TOP + HIGH, theme)?;
    let colours = theme.palette();
    let (x, y) = (f64::from(WIDTH) / 2.0, f64::from(TOP + HIGH / 2));
    // The bow is up the page.
    let (wide, long) = HALF;
    write!(
        out,
        r#"<path class="hull" d="M{:.1} {:.1}L{x:.1} {:.1}L{:.1} {:.1}V{:.1}H{:.1}Z" fill="none" stroke="{}" stroke-width="2.5"/>"#,
        x - wide,
        y - long * 0.55,
        y - long,
        x + wide,
        y - long * 0.55,
        y + long,
        x - wide,
        colours.ink
    )?;
    if hull.sides.len() > 1 {
        for side in &hull.sides {
            let (sin, cos) = side.from.to_radians().sin_cos();
            write!(
                out,
                r#"<path class="border" d="M{x:.1} {y:.1}L{:.1} {:.1}" fill="none" stroke="{}" stroke-width="1.5" stroke-dasharray="4 3"/>"#,
                x + 84.0 * sin,
                y - 84.0 * cos,
                colours.strong
            )?;
        }
    }
    for side in &hull.sides {
        let (sin, cos) = f64::midpoint(side.from, side.to).to_radians().sin_cos();
        let lines: Vec<String> =
            broken(&side.label, 12, 2).into_iter().chain(side.values.iter().take(2).cloned()).collect();
        let high = LINE * lines.len().saturating_sub(1) as f64;
        let (middle, mut at) = (x + AWAY.0 * sin, y - AWAY.1 * cos + 4.0 - high / 2.0);
        for line in lines {
            words(out, (middle, at), "middle", &line, theme)?;
            at += LINE;
        }
    }
    out.push_str("</svg>");
    Ok(())
}
