//! What may be taken with the unit or beside it, and in its place.
use super::answer::{AppraisalAnswer, Worth};
use super::review::{OptionRow, TogetherRow};
use super::sentences::ROUNDED;
use super::sheet::{chance, head, number};
use crate::report::saying::{either, is_several as several, listed, share, the_unit as the};
use crate::report::sheet::{Cell, List, Part, Table};

/// More options than this are left to the JSON.
const MOST: usize = 12;
/// More neighbours of either sort than this are.
const MOST_NEAR: usize = 6;

fn points(of: u64) -> Cell {
    Cell::number(of as f64, of.to_string())
}

fn worth(of: &Worth) -> Cell {
    of.per_point.map_or_else(|| Cell::words("free"), |worth| Cell::number(worth, format!("{worth:.3}")))
}

/// Each option: worth it or not, and for what.
pub(super) fn options(of: &AppraisalAnswer) -> Option<Part> {
    if of.options.is_empty() {
        return None;
    }
    let row = |row: &OptionRow| {
        let moved = row.moved.map_or_else(
            || Cell::words("\u{2013}"),
            |moved| {
                let sign = if moved > 0.0 { "+" } else { "\u{2212}" };
                Cell::number(
                    moved,
                    if moved == 0.0 { "0%".to_owned() } else { format!("{sign}{}", share(moved.abs())) },
                )
            },
        );
        vec![
            Cell::words(row.option.clone()),
            points(row.points),
            number(row.with.takes),
            chance(row.with.stands),
            moved,
        ]
    };
    let table = Table {
        caption: "With each option, against without it".to_owned(),
        head: head(&["option", "adds", "destroys", "survives", "for its points"]),
        rows: of.options.iter().take(MOST).map(row).collect(),
    };
    let mut items: Vec<String> = of.options.iter().take(MOST).map(|row| row.text.clone()).collect();
    if of.options.len() > MOST {
        items.push(format!("{} more options are not shown here.", of.options.len() - MOST));
    }
    let lists = vec![List { heading: String::new(), items }];
    Some(Part { heading: "Options".to_owned(), lists, tables: vec![table], ..Part::default() })
}

fn makes_no_difference(row: &TogetherRow) -> bool {
    row.gained.abs() <= ROUNDED && row.repair.is_none() && row.checks.is_empty()
}

/// Who goes well with it.
pub(super) fn together(of: &AppraisalAnswer) -> Option<Part> {
    let list = |heading: &str, rows: &[TogetherRow], same: fn(&[&TogetherRow]) -> String| {
        // Those that make no difference at all are named together.
        let (idle, rows): (Vec<&TogetherRow>, Vec<&TogetherRow>) =
            rows.iter().partition(|row| makes_no_difference(row));
        let mut items: Vec<String> = rows.iter().take(MOST_NEAR).map(|row| row.text.clone()).collect();
        if rows.len() > MOST_NEAR {
            items.push(format!("{} more gain less for the points.", rows.len() - MOST_NEAR));
        }
        if !idle.is_empty() {
            items.push(same(&idle));
        }
        (!items.is_empty()).then(|| List { heading: heading.to_owned(), items })
    };
    let lists = [
        list("Whose presence changes it", &of.helpers, |idle| {
            let names: Vec<String> = idle.iter().map(|row| the(&row.near)).collect();
            let gives = if several(&idle[0].unit) { "They give" } else { "It gives" };
            format!("{gives} as many points in a game near {} as alone.", either(&names))
        }),
        list("Whom its presence changes", &of.helped, |idle| {
            let names: Vec<String> = idle.iter().map(|row| the(&row.unit)).collect();
            format!("It adds nothing to the game of {}.", listed(&names))
        }),
    ];
    let part = Part {
        heading: "Who goes well with it".to_owned(),
        text: if of.helpers.is_empty() && of.helped.is_empty() {
            vec!["Nobody's presence changes it, and its presence changes nobody.".to_owned()]
        } else {
            vec!["A gain is points destroyed in a game times the share of it survived, together less alone.".to_owned()]
        },
        lists: lists.into_iter().flatten().collect(),
        ..Part::default()
    };
    Some(part)
}

/// Two others for the same points.
pub(super) fn comparators(of: &AppraisalAnswer) -> Option<Part> {
    if of.comparators.is_empty() {
        return None;
    }
    let line = |name: String, cost: u64, of: &Worth| {
        vec![Cell::words(name), points(cost), number(of.takes), chance(of.stands), worth(of)]
    };
    let mut rows = vec![line(of.counted.clone(), of.cost.points, &of.worth)];
    rows.extend(of.comparators.iter().map(|other| line(other.counted.clone(), other.points, &other.worth)));
    let table = Table {
        caption: "For the same points, as nearly as whole models allow".to_owned(),
        head: head(&["unit", "points", "destroys", "survives", "worth"]),
        rows,
    };
    Some(Part { heading: "Beside others".to_owned(), tables: vec![table], ..Part::default() })
}
