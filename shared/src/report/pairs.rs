//! The drawing of pairs of bars: how much with something, and how much without it.
use super::drawing::{EDGE, LETTER, TOP, WIDTH, broken, open, words};
use super::palette::Theme;
use std::fmt::{self, Write as _};

/// Pairs, as data.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pairs {
    /// What is counted.
    pub title: String,
    /// What it says, for those who can't see it.
    pub alt: String,
    /// What the full bars are, and what the striped ones are.
    pub names: (String, String),
    /// The pairs, from above.
    pub pairs: Vec<PairOfBars>,
    /// The length that fills the width.
    pub full: f64,
}

/// One pair.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PairOfBars {
    /// What it stands for; it stands whole above its bars.
    pub label: String,
    /// The length of the full bar, and as people read it.
    pub with: (f64, String),
    /// The length of the striped bar, and as people read it.
    pub without: (f64, String),
}

const BAR: u32 = 14;
const GAP: u32 = 4;
const LINE: u32 = 17;
const BELOW: u32 = 10;
/// Letters that fit a line of a label, and its lines.
const NAME: (usize, usize) = (44, 3);

fn label(pair: &PairOfBars) -> Vec<String> {
    broken(&pair.label, NAME.0, NAME.1)
}

/// The height of the drawing.
///
/// # Units
/// Those of [`WIDTH`].
pub fn height(pairs: &Pairs) -> u32 {
    let one = |pair: &PairOfBars| LINE * u32::try_from(label(pair).len()).unwrap_or(0) + 2 * (BAR + GAP) + BELOW;
    TOP + pairs.pairs.iter().map(one).sum::<u32>() + EDGE
}

/// Draws pairs.
///
/// # Example
/// ```
/// use pipwright_shared::report::pairs::{PairOfBars, Pairs, svg};
/// use pipwright_shared::report::palette::Theme;
///
/// let pair = PairOfBars { label: "Screen".into(), with: (3.0, "3".into()), without: (2.0, "2".into()) };
/// let names = ("with".into(), "without".into());
/// let pairs = Pairs { title: "Turns".into(), alt: "One more.".into(), names, pairs: vec![pair], full: 6.0 };
/// let drawing = svg(&pairs, Theme::Light);
/// assert!(drawing.contains("Screen") && drawing.contains("without"));
/// ```
pub fn svg(pairs: &Pairs, theme: Theme) -> String {
    let mut drawing = String::new();
    // Writing into a string does not fail.
    let _ = write(&mut drawing, pairs, theme);
    drawing
}

fn write(out: &mut String, pairs: &Pairs, theme: Theme) -> fmt::Result {
    open(out, &pairs.title, &pairs.alt, height(pairs), theme)?;
    let colours = theme.palette();
    let named = |name: &str| LETTER * u32::try_from(name.chars().count().min(10)).unwrap_or(0);
    let left = EDGE * 2 + named(&pairs.names.0).max(named(&pairs.names.1));
    let room = f64::from(WIDTH - left - 9 * LETTER - EDGE);
    let mut y = TOP;
    for pair in &pairs.pairs {
        for line in label(pair) {
            words(out, (f64::from(EDGE), f64::from(y + 12)), "start", &line, theme)?;
            y += LINE;
        }
        for (name, (length, said), strong) in
            [(&pairs.names.0, &pair.with, true), (&pairs.names.1, &pair.without, false)]
        {
            let long = (length / pairs.full.max(f64::MIN_POSITIVE)).clamp(0.0, 1.0) * room;
            words(out, (f64::from(left - EDGE), f64::from(y + 12)), "end", name, theme)?;
            let x = f64::from(left);
            if strong && long > 0.0 {
                write!(
                    out,
                    r#"<rect class="strong" x="{x}" y="{y}" width="{:.1}" height="{BAR}" fill="{}"/>"#,
                    long.max(1.5),
                    colours.strong
                )?;
            } else if long > 0.0 {
                write!(out, r#"<path class="faint" d="M{x} {y}h{long:.1}v{BAR}h-{long:.1}z"#)?;
                let mut stripe = 5.0;
                while stripe < long {
                    write!(out, "M{:.1} {y}v{BAR}", x + stripe)?;
                    stripe += 5.0;
                }
                write!(out, r#"" fill="none" stroke="{}" stroke-width="1.5"/>"#, colours.faint)?;
            }
            words(out, (x + long + 6.0, f64::from(y + 12)), "start", said, theme)?;
            y += BAR + GAP;
        }
        y += BELOW;
    }
    out.push_str("</svg>");
    Ok(())
}
