//! What all drawings share: their frame, their words, their measures.
use super::palette::Theme;
use std::fmt::{self, Write as _};

/// The width of a drawing.
///
/// # Units
/// Of the drawing's own, about a pixel each on a phone.
pub const WIDTH: u32 = 340;

/// Empty space along the edges.
pub(super) const EDGE: u32 = 8;
/// Where the title ends.
pub(super) const TOP: u32 = 32;
/// About the width of a letter of 13 units, for words of which nobody knows the font.
pub(super) const LETTER: u32 = 8;
/// Labels longer than this are cut.
const LONGEST_LABEL: usize = 18;
/// Titles longer than this are cut where they are drawn; those who can't see the drawing get them whole.
const LONGEST_TITLE: usize = 42;

/// Opens a drawing: its size, its words for those who can't see it, its ground and its title.
pub(super) fn open(out: &mut String, title: &str, alt: &str, high: u32, theme: Theme) -> fmt::Result {
    let (shown, title, alt, colours) =
        (escaped(&cut_to(title, LONGEST_TITLE)), escaped(title), escaped(alt), theme.palette());
    write!(
        out,
        r#"<svg xmlns="http://www.w3.org/2000/svg" class="chart" role="img" aria-label="{alt}" viewBox="0 0 {WIDTH} {high}" font-family="sans-serif" font-size="13"><title>{title}</title><desc>{alt}</desc><rect class="ground" width="{WIDTH}" height="{high}" fill="{}"/><text class="words" x="{EDGE}" y="19" font-weight="bold" fill="{}">{shown}</text>"#,
        colours.slip, colours.ink,
    )
}

/// Words at a place; `anchor` is `start`, `middle` or `end`.
pub(super) fn words(out: &mut String, (x, y): (f64, f64), anchor: &str, text: &str, theme: Theme) -> fmt::Result {
    let (ink, text) = (theme.palette().ink, escaped(text));
    write!(out, r#"<text class="words" x="{x:.1}" y="{y:.1}" text-anchor="{anchor}" fill="{ink}">{text}</text>"#)
}

/// The room that the widest of some labels takes.
pub(super) fn widest<'a>(texts: impl Iterator<Item = &'a str>) -> u32 {
    texts.map(|text| LETTER * u32::try_from(text.chars().count().min(LONGEST_LABEL)).unwrap_or(0)).max().unwrap_or(0)
}

/// A label in lines of so many letters, broken between words where that can be done; what does not fit is cut.
pub(super) fn broken(label: &str, letters: usize, most_lines: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in label.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(cut_to(word, letters)),
        }
    }
    if lines.len() > most_lines {
        let rest = lines.split_off(most_lines.saturating_sub(1)).join(" ");
        lines.push(cut_to(&rest, letters));
    }
    lines
}

/// A label short enough for its place.
pub(super) fn cut(label: &str) -> String {
    cut_to(label, LONGEST_LABEL)
}

/// A label of so many letters at most.
pub(super) fn cut_to(label: &str, most: usize) -> String {
    if label.chars().count() <= most {
        return label.to_owned();
    }
    label.chars().take(most.saturating_sub(1)).chain(['\u{2026}']).collect()
}

/// Text as XML has it: markup is words here, and what XML forbids is left out.
pub fn escaped(text: &str) -> String {
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
