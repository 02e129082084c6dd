//! A card as text of a given width, with a chart of block characters.
use crate::card::{Card, Chart, Step};
use crate::saying::percent;
use unicode_width::UnicodeWidthStr;

/// Draws a card; the steps only where `all` is wanted at once.
pub fn card(card: &Card, width: usize, all: bool) -> String {
    let mut page = Page { width, text: String::new() };
    page.paragraph(&card.headline, "", "");
    // A misreading is seen before a number.
    if !card.read_as.is_empty() {
        page.paragraph(&card.read_as, "read as: ", "         ");
    }
    for text in &card.text {
        text.lines().for_each(|line| page.paragraph(line, "", ""));
    }
    page.lines(card);
    if let Some(chart) = &card.chart {
        page.chart(chart);
    }
    if all {
        page.steps(&card.steps);
    }
    for note in &card.notes {
        page.paragraph(note, "note: ", "      ");
    }
    if let Some(link) = &card.link {
        page.text.push_str(&format!("link: {link}\n"));
    }
    let mut ways: Vec<String> = card.follow_ups.iter().map(|way| way.says.clone()).collect();
    if !all && !card.steps.is_empty() {
        ways.push("steps".into());
    }
    if !ways.is_empty() && !all {
        page.paragraph(&ways.join(" | "), "ask on: ", "        ");
    }
    page.text
}

/// Draws the steps of a card alone.
pub fn steps(card: &Card, width: usize) -> String {
    let mut page = Page { width, text: String::new() };
    page.steps(&card.steps);
    page.text
}

/// A paragraph, so wide at most.
pub fn wrapped(text: &str, width: usize) -> String {
    let mut page = Page { width, text: String::new() };
    page.paragraph(text, "", "");
    page.text
}

struct Page {
    width: usize,
    text: String,
}

impl Page {
    /// Words broken at the width, the first line after `first`, the others after `rest`.
    fn paragraph(&mut self, text: &str, first: &str, rest: &str) {
        let mut line = first.to_owned();
        let mut empty = true;
        for word in text.split_whitespace() {
            if !empty && line.width() + 1 + word.width() > self.width {
                self.text.push_str(line.trim_end());
                self.text.push('\n');
                line = rest.to_owned();
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    fn lines(&mut self, card: &Card) {
        let widest = card.lines.iter().map(|line| line.label.width()).max().unwrap_or(0).min(self.width / 2);
        for line in &card.lines {
            let first = format!("  {}  ", padded(&line.label, widest));
            let rest = " ".repeat(first.width());
            self.paragraph(&line.value, &first, &rest);
        }
    }

    fn chart(&mut self, chart: &Chart) {
        let labels = chart.bars.iter().map(|bar| bar.label.width()).max().unwrap_or(0);
        let room = self.width.saturating_sub(labels + 14).clamp(8, 48);
        let most = chart.full();
        self.text.push_str(&format!("  {}\n", chart.title));
        for bar in &chart.bars {
            let label = format!("{}{}", " ".repeat(labels - bar.label.width()), bar.label);
            let drawn = blocks(bar.chance / most, room, bar.strong);
            self.text.push_str(format!("  {label} {drawn} {}", percent(bar.chance)).trim_end());
            self.text.push('\n');
        }
    }

    fn steps(&mut self, steps: &[Step]) {
        for step in steps {
            self.paragraph(&step.text, &format!("  {}: ", step.name), "    ");
            // A step without words of its own only lists.
            let lead = if step.text.is_empty() { "    - " } else { "    because " };
            for reason in &step.because {
                self.paragraph(reason, lead, "      ");
            }
        }
    }
}

fn padded(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(text.width())))
}

/// A bar of eighths; those that the question is not about are drawn light.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "a bar of at most 48 blocks"
)]
fn blocks(share: f64, room: usize, strong: bool) -> String {
    const EIGHTHS: [&str; 8] = ["", "▏", "▎", "▍", "▌", "▋", "▊", "▉"];
    let eighths = (share * room as f64 * 8.0).round() as usize;
    if !strong {
        return "░".repeat(eighths.div_ceil(8).max(usize::from(share > 0.0)));
    }
    let mut bar = "█".repeat(eighths / 8);
    bar.push_str(EIGHTHS[eighths % 8]);
    if bar.is_empty() {
        bar.push('▏');
    }
    bar
}
