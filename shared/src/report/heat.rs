//! The drawing of a board: a cell for each pair, its number in it, a bar below the number, and a ground as strong.
use super::drawing::{EDGE, TOP, WIDTH, broken, open, words};
use super::palette::Theme;
use std::fmt::{self, Write as _};

/// A board, as data.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Heat {
    /// What is shown.
    pub title: String,
    /// What it says, for those who can't see it.
    pub alt: String,
    /// The columns, from the left.
    pub columns: Vec<String>,
    /// The rows, from above.
    pub rows: Vec<HeatRow>,
}

/// One row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeatRow {
    /// What it stands for.
    pub label: String,
    /// A cell for each column; nothing where there is no number.
    pub cells: Vec<Option<HeatCell>>,
}

/// One cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeatCell {
    /// From 0 to 1: how strong it is.
    pub part: f64,
    /// The number, as people read it.
    pub said: String,
}

const LEFT: u32 = EDGE;
/// The cells of a row; its name stands whole above them.
const ROW: u32 = 23;
/// A line of a name.
const LINE: u32 = 16;
/// Letters that fit a line of a name, and the lines that the longest name takes.
const NAME: (usize, usize) = (44, 3);

fn wide(heat: &Heat) -> f64 {
    f64::from(WIDTH - LEFT - EDGE) / heat.columns.len().max(1) as f64
}

/// The lines of each column's head: broken between words, so that they fit the column.
fn heads(heat: &Heat) -> Vec<Vec<String>> {
    let room = (wide(heat) / 7.0) as usize;
    heat.columns.iter().map(|column| broken(column, room, 3)).collect()
}

fn name(row: &HeatRow) -> Vec<String> {
    broken(&row.label, NAME.0, NAME.1)
}

fn count(lines: &[String]) -> u32 {
    u32::try_from(lines.len()).unwrap_or(0)
}

fn head(heads: &[Vec<String>]) -> u32 {
    let lines = heads.iter().map(Vec::len).max().unwrap_or(0).max(1);
    6 + LINE * u32::try_from(lines).unwrap_or(1)
}

/// The height of a board's drawing.
///
/// # Units
/// Those of [`WIDTH`].
pub fn height(heat: &Heat) -> u32 {
    TOP + head(&heads(heat)) + heat.rows.iter().map(|row| ROW + LINE * count(&name(row)) + 2).sum::<u32>() + EDGE
}

/// Draws a board.
///
/// # Example
/// ```
/// use pipwright_shared::report::heat::{Heat, HeatCell, HeatRow, svg};
/// use pipwright_shared::report::palette::Theme;
///
/// let cells = vec![Some(HeatCell { part: 0.5, said: "50%".into() }), None];
/// let rows = vec![HeatRow { label: "five soldiers".into(), cells }];
/// let columns = vec!["near".into(), "far".into()];
/// let heat = Heat { title: "Removed".into(), alt: "Half at near.".into(), columns, rows };
/// let drawing = svg(&heat, Theme::Light);
/// assert!(drawing.contains("50%") && drawing.contains("five soldiers"));
/// ```
pub fn svg(heat: &Heat, theme: Theme) -> String {
    let mut drawing = String::new();
    // Writing into a string does not fail.
    let _ = write(&mut drawing, heat, theme);
    drawing
}

fn write(out: &mut String, heat: &Heat, theme: Theme) -> fmt::Result {
    open(out, &heat.title, &heat.alt, height(heat), theme)?;
    let colours = theme.palette();
    let (wide, heads) = (wide(heat), heads(heat));
    let top = TOP + head(&heads);
    for (index, lines) in heads.iter().enumerate() {
        let x = f64::from(LEFT) + wide * (index as f64 + 0.5);
        // The last line stands on the column.
        let mut y = f64::from(top) - 8.0 - f64::from(LINE) * lines.len().saturating_sub(1) as f64;
        for line in lines {
            words(out, (x, y), "middle", line, theme)?;
            y += f64::from(LINE);
        }
    }
    let mut y = f64::from(top);
    for row in &heat.rows {
        for line in name(row) {
            words(out, (f64::from(LEFT), y + 12.0), "start", &line, theme)?;
            y += f64::from(LINE);
        }
        for (place, cell) in row.cells.iter().enumerate() {
            let x = f64::from(LEFT) + wide * place as f64;
            let (wide, high) = (wide - 2.0, f64::from(ROW) - 2.0);
            write!(
                out,
                r#"<rect class="cell" x="{x:.1}" y="{y:.1}" width="{wide:.1}" height="{high:.1}" fill="none" stroke="{}"/>"#,
                colours.rule
            )?;
            let Some(cell) = cell else {
                words(out, (x + wide / 2.0, y + 15.0), "middle", "\u{2013}", theme)?;
                continue;
            };
            let part = cell.part.clamp(0.0, 1.0);
            // Pale enough that ink stays readable on the strongest.
            write!(
                out,
                r#"<rect class="strong" x="{x:.1}" y="{y:.1}" width="{wide:.1}" height="{high:.1}" fill="{}" fill-opacity="{:.2}"/>"#,
                colours.strong,
                part * 0.3
            )?;
            // Painters complain of a bar without a width, which nobody would see.
            if wide * part >= 0.05 {
                write!(
                    out,
                    r#"<rect class="strong" x="{x:.1}" y="{:.1}" width="{:.1}" height="3" fill="{}"/>"#,
                    y + high - 3.0,
                    wide * part,
                    colours.strong
                )?;
            }
            words(out, (x + wide / 2.0, y + 14.0), "middle", &cell.said, theme)?;
        }
        y += f64::from(ROW) + 2.0;
    }
    out.push_str("</svg>");
    Ok(())
}
