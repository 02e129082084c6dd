//! The league as a sheet.
use super::{Verdict, WorthAnswer, WorthRow};
use crate::report::chart::{Bar, Chart};
use crate::report::saying::{count, mean, percent};
use crate::report::sheet::{Cell, Part, Picture, Sheet, Table};

/// More bars than this fill no page.
const MOST_BARS: usize = 40;

/// The sheet of a league.
pub fn sheet(of: &WorthAnswer) -> Sheet {
    let rows: Vec<&WorthRow> = of.rows.iter().filter(|row| row.compared != Some(false)).collect();
    let marked = |verdict: Verdict| of.rows.iter().filter(move |row| row.verdict == verdict);
    let mut lead: Vec<String> = marked(Verdict::Cheap).map(|row| said(row, "less")).collect();
    lead.extend(marked(Verdict::Dear).map(|row| said(row, "more")));
    if lead.is_empty() {
        let from = percent(of.marked_from);
        lead.push(format!("Every price of this book is within {from} of its fair price."));
    }
    let bars = rows.iter().take(MOST_BARS).map(|row| Bar {
        label: row.counted.clone(),
        length: row.worth,
        said: format!("{:.2}", row.worth),
        strong: row.verdict != Verdict::Fair,
    });
    let best =
        rows.first().map_or_else(String::new, |row| format!(", most of all {} at {:.2}", row.counted, row.worth));
    let chart = Chart {
        title: "Worth for its points: 1 is a fair price".to_owned(),
        alt: format!("What each unit gives for its points{best}; full bars are those that are too cheap or too dear."),
        bars: bars.collect(),
        ..Chart::default()
    };
    let row = |row: &WorthRow| {
        vec![
            Cell::words(format!("{}. {}", row.rank, row.counted)),
            Cell::number(row.points as f64, row.points.to_string()),
            Cell::number(row.fair_price, format!("{:.0}", row.fair_price)),
            Cell::number(row.worth, format!("{:.2}", row.worth)),
            Cell::number(row.damage_rate, mean(row.damage_rate)),
            Cell::number(row.survival, mean(row.survival)),
            Cell::words(match row.verdict {
                Verdict::Fair => "",
                Verdict::Dear => "too dear",
                Verdict::Cheap => "too cheap",
            }),
        ]
    };
    let head = ["unit", "points", "fair", "worth", "damage", "turns", "mark"];
    let table = Table {
        caption: format!("All against all, {}", count(u64::from(of.turns), "turn", "turns")),
        head: head.map(str::to_owned).to_vec(),
        rows: rows.iter().copied().map(row).collect(),
    };
    let left_out = of.left_out.iter().map(|left| format!("{} is left out: {}.", left.name, left.why)).collect();
    Sheet {
        title: format!("League of {}", of.pack),
        about: format!("{} against {}", count(rows.len() as u64, "unit", "units"), of.board.len()),
        lead,
        figures: Vec::new(),
        parts: vec![Part {
            heading: "The league".to_owned(),
            pictures: if rows.is_empty() { Vec::new() } else { vec![Picture::Chart(chart)] },
            tables: vec![table],
            text: left_out,
            ..Part::default()
        }],
        foot: vec![of.method.clone(), format!("Pack {}, content {}.", of.pack, &of.hash[..of.hash.len().min(12)])],
    }
}

fn said(row: &WorthRow, than: &str) -> String {
    format!(
        "{} for {}: {} {than} than a fair price ({}).",
        row.counted,
        count(row.points, "point", "points"),
        mean(row.off.abs().round()),
        mean(row.fair_price.round())
    )
}
