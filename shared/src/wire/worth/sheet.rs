//! The league as a sheet.
use super::{Verdict, WorthAnswer, WorthRow};
use crate::report::chart::{Bar, Chart};
use crate::report::saying::{mean, percent};
use crate::report::sheet::{Cell, Part, Picture, Sheet, Table};

/// More bars than this fill no page.
const MOST_BARS: usize = 40;

/// The sheet of a league.
pub fn sheet(of: &WorthAnswer) -> Sheet {
    let marked = |verdict: Verdict| of.rows.iter().filter(move |row| row.verdict == verdict);
    let mut lead: Vec<String> = marked(Verdict::Cheap).map(|row| said(row, "less")).collect();
    lead.extend(marked(Verdict::Dear).map(|row| said(row, "more")));
    if lead.is_empty() {
        let spread = percent(of.marked_from);
        lead.push(format!("No price of this book is off by more than {spread} of the fair one."));
    }
    let bars = of.rows.iter().take(MOST_BARS).map(|row| Bar {
        label: row.name.clone(),
        length: row.worth,
        said: format!("{:.2}", row.worth),
        strong: row.verdict != Verdict::Fair,
    });
    let best = of.rows.first().map_or_else(String::new, |row| format!(", most {} at {:.2}", row.name, row.worth));
    let chart = Chart {
        title: "Worth for its points, 1 is fair".to_owned(),
        alt: format!("What each unit gives for its points{best}; full bars are marked as cheap or dear."),
        bars: bars.collect(),
        ..Chart::default()
    };
    let row = |row: &WorthRow| {
        vec![
            Cell::words(format!("{}. {}", row.rank, row.name)),
            Cell::number(row.points as f64, row.points.to_string()),
            Cell::number(row.fair_price, format!("{:.0}", row.fair_price)),
            Cell::number(row.worth, format!("{:.2}", row.worth)),
            Cell::number(row.damage_rate, mean(row.damage_rate)),
            Cell::number(row.survival, mean(row.survival)),
            Cell::words(match row.verdict {
                Verdict::Fair => "",
                Verdict::Dear => "dear",
                Verdict::Cheap => "cheap",
            }),
        ]
    };
    let head = ["unit", "points", "fair", "worth", "damage", "turns", "mark"];
    let table = Table {
        caption: format!("All against all, {} turns", of.turns),
        head: head.map(str::to_owned).to_vec(),
        rows: of.rows.iter().map(row).collect(),
    };
    let left_out = of.left_out.iter().map(|left| format!("{}: {}", left.name, left.why)).collect();
    Sheet {
        title: format!("League of {}", of.pack),
        about: format!("{} units against {}", of.rows.len(), of.board.len()),
        lead,
        parts: vec![Part {
            heading: "The league".to_owned(),
            pictures: if of.rows.is_empty() { Vec::new() } else { vec![Picture::Chart(chart)] },
            tables: vec![table],
            text: left_out,
        }],
        foot: vec![of.method.clone(), format!("Pack {}, content {}.", of.pack, &of.hash[..of.hash.len().min(12)])],
    }
}

fn said(row: &WorthRow, than: &str) -> String {
    format!(
        "{}, {} points: {:.0} {than} than its fair price ({:.0}).",
        row.name,
        row.points,
        row.off.abs(),
        row.fair_price
    )
}
