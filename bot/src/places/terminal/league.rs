//! The league of a pack: which unit gives most for its points. It takes a while, so it shows how far it has come.
use super::draw::wrapped;
use crate::client::Api;
use crate::saying::percent;
use indicatif::{ProgressBar, ProgressStyle};
use pipwright_shared::wire::worth::{Verdict, WorthAnswer, WorthRow};
use std::io::{self, Write};
use unicode_width::UnicodeWidthStr;

/// Works it out and prints it; whoever interrupts the program stops the work, too.
///
/// # Errors
/// Where the output can't be written.
pub async fn league(
    api: &Api,
    pack: Option<&str>,
    turns: Option<u32>,
    (out, complaints): (&mut dyn Write, &mut dyn Write),
) -> io::Result<bool> {
    let turns = turns.map(|turns| turns.to_string());
    let query: Vec<(&str, &str)> = [("pack", pack), ("turns", turns.as_deref())]
        .into_iter()
        .filter_map(|(name, said)| Some((name, said?)))
        .collect();
    // It draws on a terminal, and nowhere else.
    let bar = ProgressBar::no_length().with_style(
        ProgressStyle::with_template("{wide_bar} {pos} of {len} pairs")
            .unwrap_or_else(|_| ProgressStyle::default_bar()),
    );
    // It stands there from the beginning, however soon the answer comes.
    bar.tick();
    let answer = api
        .watch("/v1/worth/events", &query, |done, of| {
            bar.set_length(of);
            bar.set_position(done);
        })
        .await;
    bar.finish_and_clear();
    let told =
        answer.and_then(|answer| serde_json::from_value(answer).map_err(|_| crate::client::Trouble::InvalidResponse));
    match told {
        Ok(league) => {
            out.write_all(table(&league, super::width()).as_bytes())?;
            Ok(true)
        }
        Err(trouble) => {
            writeln!(complaints, "{trouble}")?;
            Ok(false)
        }
    }
}

fn table(of: &WorthAnswer, width: usize) -> String {
    let name = |row: &WorthRow| format!("{}. {}", row.rank, row.counted);
    let verdict = |row: &WorthRow| match row.verdict {
        Verdict::Fair => String::new(),
        Verdict::Dear => format!("{:.0} too dear", row.off),
        Verdict::Cheap => format!("{:.0} too cheap", -row.off),
    };
    let head = ["", "points", "fair", "worth", ""].map(str::to_owned);
    let rows = of.rows.iter().filter(|row| row.compared != Some(false)).map(|row| {
        [name(row), row.points.to_string(), format!("{:.0}", row.fair_price), format!("{:.2}", row.worth), verdict(row)]
    });
    let rows: Vec<[String; 5]> = std::iter::once(head).chain(rows).collect();
    let wide = |column: usize| rows.iter().map(|row| row[column].width()).max().unwrap_or(0);
    let widths = [wide(0), wide(1), wide(2), wide(3)];
    let mut out = String::new();
    for row in &rows {
        let pad = |column: usize| " ".repeat(widths[column] - row[column].width());
        let line = format!(
            "{}{}  {}{}  {}{}  {}{}  {}",
            row[0],
            pad(0),
            pad(1),
            row[1],
            pad(2),
            row[2],
            pad(3),
            row[3],
            row[4]
        );
        out.push_str(line.trim_end());
        out.push('\n');
    }
    for left in &of.left_out {
        out.push_str(&wrapped(&format!("{} is left out: {}.", left.name, left.why), width));
    }
    let about = format!(
        "A fair price is what a unit would cost if it gave as much for its points as the others. Prices of this book are \
         typically within {} of it, and those that are more than {} off are marked. {}",
        percent(of.spread),
        percent(of.marked_from),
        of.method
    );
    out.push_str(&wrapped(&about, width));
    out
}
