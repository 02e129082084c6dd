//! Units side by side as a sheet: one picture, one table.
use super::{Beside, SideBySideAnswer};
use crate::report::heat::{Heat, HeatCell, HeatRow};
use crate::report::saying::{count, listed, mean, means_apart, percent};
use crate::report::sheet::{Cell, Part, Picture, Sheet, Table};
use crate::wire::appraisal::{several, the};

/// Which gives most for its points, with the figures of all.
pub(super) fn verdict(units: &[Beside]) -> String {
    let mut priced: Vec<(&str, f64)> =
        units.iter().filter_map(|unit| Some((unit.label.as_str(), unit.worth.per_point?))).collect();
    priced.sort_by(|a, b| b.1.total_cmp(&a.1));
    let said = means_apart(&priced.iter().map(|(_, worth)| *worth).collect::<Vec<_>>());
    let all: Vec<String> = priced.iter().zip(&said).map(|((label, _), said)| format!("{label} {said}")).collect();
    match priced.as_slice() {
        [] => "None of them costs anything: there is no worth for its points to compare.".to_owned(),
        [(first, most), .., (_, least)] if most > least => {
            let (its, gives) = if several(first) { ("their", "give") } else { ("its", "gives") };
            format!("For {its} points {} {gives} most: {}.", the(first), listed(&all))
        }
        [_] => format!("Only one of them costs anything: {}.", listed(&all)),
        _ => format!("For their points they give the same: {}.", listed(&all)),
    }
}

/// The sheet.
pub fn sheet(of: &SideBySideAnswer) -> Sheet {
    let labels: Vec<String> = of.units.iter().map(|unit| unit.label.clone()).collect();
    let turns = count(u64::from(of.turns), "turn", "turns");
    let drawn = picture(of).map(Picture::Heat);
    let nothing = drawn.is_none().then(|| "None of them destroys anything of these targets.".to_owned());
    Sheet {
        title: format!("{} side by side", listed(&labels)),
        about: format!("{turns} against the same board"),
        lead: vec![of.verdict.clone()],
        figures: Vec::new(),
        parts: vec![Part {
            heading: "Against each target".to_owned(),
            text: nothing.into_iter().collect(),
            pictures: drawn.into_iter().collect(),
            tables: vec![table(of, labels)],
            ..Part::default()
        }],
        foot: vec![
            "Worth is the average number of points destroyed in a game, times the average share of a game's turns survived, \
             for each point of cost. Whoever attacks is never attacked back; attackers come on as the pack's board says. \
             Every chance is worked out; nothing is sampled."
                .to_owned(),
            format!("Pack {}, content {}.", of.pack, &of.hash[..of.hash.len().min(12)]),
        ],
    }
}

/// Points destroyed for each hundred spent, by target and unit.
fn picture(of: &SideBySideAnswer) -> Option<Heat> {
    let each = |unit: &Beside, at: usize| {
        let points = unit.damage.get(at).copied().flatten()?;
        (unit.points > 0).then(|| 100.0 * points / unit.points as f64)
    };
    let all = of.units.iter().flat_map(|unit| (0..of.targets.len()).filter_map(move |at| each(unit, at)));
    let most = all.fold(0.0, f64::max);
    if most <= 0.0 {
        return None;
    }
    let row = |(at, target): (usize, &String)| HeatRow {
        label: target.clone(),
        cells: of
            .units
            .iter()
            .map(|unit| each(unit, at).map(|points| HeatCell { part: points / most, said: format!("{points:.0}") }))
            .collect(),
    };
    Some(Heat {
        title: "Points destroyed for each 100 spent".to_owned(),
        alt: format!("Points destroyed in a game for each 100 points spent, by target and unit; {}", of.verdict),
        columns: of.units.iter().map(|unit| unit.label.clone()).collect(),
        rows: of.targets.iter().enumerate().map(row).collect(),
    })
}

fn table(of: &SideBySideAnswer, labels: Vec<String>) -> Table {
    let row = |label: String, cell: &dyn Fn(&Beside) -> Cell| {
        std::iter::once(Cell::words(label)).chain(of.units.iter().map(cell)).collect::<Vec<_>>()
    };
    let number = |of: Option<f64>| of.map_or_else(|| Cell::words("\u{2013}"), |of| Cell::number(of, mean(of)));
    let mut rows = vec![
        row("points".to_owned(), &|unit| Cell::number(unit.points as f64, unit.points.to_string())),
        row("structure or health".to_owned(), &|unit| {
            Cell::number(f64::from(unit.capacity), unit.capacity.to_string())
        }),
        row("destroys in a game, average".to_owned(), &|unit| number(Some(unit.worth.takes))),
        row("of a game survived, average".to_owned(), &|unit| {
            Cell::number(unit.worth.stands, percent(unit.worth.stands))
        }),
        row("worth for each point".to_owned(), &|unit| number(unit.worth.per_point)),
    ];
    let mut stats: Vec<&str> = Vec::new();
    for stat in of.units.iter().flat_map(|unit| &unit.profile) {
        if !stats.contains(&stat.name.as_str()) {
            stats.push(&stat.name);
        }
    }
    for name in stats {
        rows.push(row(name.to_owned(), &|unit| {
            let value = unit.profile.iter().find(|stat| stat.name == name);
            Cell::words(value.map_or("\u{2013}", |stat| &stat.value))
        }));
    }
    for (at, target) in of.targets.iter().enumerate() {
        let label = format!("points destroyed of {}", the(target));
        rows.push(row(label, &|unit| number(unit.damage.get(at).copied().flatten())));
    }
    for (at, attacker) in of.attackers.iter().enumerate() {
        let label = format!("turns survived under {}", the(attacker));
        rows.push(row(label, &|unit| number(unit.survival.get(at).copied().flatten())));
    }
    let head = std::iter::once("what".to_owned()).chain(labels).collect();
    Table { caption: "All figures".to_owned(), head, rows }
}
