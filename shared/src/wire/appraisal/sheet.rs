//! The appraisal as a sheet, from which its page, its Markdown and its CSV are made.
use super::answer::{AppraisalAnswer, AttackRow, SurvivalRow};
use crate::report::curves::{Curve, Curves};
use crate::report::heat::{Heat, HeatCell, HeatRow};
use crate::report::saying::{count, mean, percent, share};
use crate::report::sheet::{Cell, Part, Picture, Sheet, Table};

/// More changes than this are left to the JSON.
const MOST_CHANGES: usize = 12;

/// The sheet of an appraisal.
pub fn sheet(of: &AppraisalAnswer) -> Sheet {
    let cost = &of.cost;
    let counted = if of.counted == of.name { String::new() } else { format!("{}, ", of.counted) };
    Sheet {
        title: of.name.clone(),
        about: format!(
            "{counted}{}, {}, {}. {}",
            count(cost.points, "point", "points"),
            cost.role,
            match cost.per_slot {
                1 => "one to a slot".to_owned(),
                several => format!("up to {several} to a slot"),
            },
            of.text
        ),
        lead: of.verdict.iter().map(|row| row.text.clone()).collect(),
        parts: [Some(price(of)), attacks(of), lives(of), tests(of), drives(of)].into_iter().flatten().collect(),
        foot: vec![
            format!(
                "A game has {}. Targets and attackers are those of the pack's board unless others were named. {} Worth is \
                 the average number of points destroyed in a game, times the average share of a game's turns that the \
                 unit survives, for each point that it costs. Every chance is worked out; nothing is sampled.",
                count(u64::from(of.turns), "turn", "turns"),
                of.method
            ),
            format!("Pack {}, content {}.", of.pack, &of.hash[..of.hash.len().min(12)]),
        ],
    }
}

fn head(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

fn price(of: &AppraisalAnswer) -> Part {
    let cost = &of.cost;
    let what = if cost.armoured { "point of structure" } else { "point of health" };
    let mut rows = vec![
        vec![Cell::words("points"), Cell::number(cost.points as f64, cost.points.to_string())],
        vec![Cell::words(format!("for each {what} ({})", cost.capacity)), number(cost.points_each)],
    ];
    if cost.most_models > of.models {
        let label = format!("with {} models, its most", cost.most_models);
        rows.push(vec![Cell::words(label), Cell::number(cost.most_points as f64, cost.most_points.to_string())]);
    }
    for option in &cost.options {
        let label = format!("{} adds", option.option);
        rows.push(vec![Cell::words(label), Cell::number(option.points as f64, option.points.to_string())]);
    }
    let worth = &of.worth;
    rows.push(vec![Cell::words("points destroyed in a game, average of the board"), number(worth.takes)]);
    rows.push(vec![Cell::words("share of a game that it survives"), chance(worth.stands)]);
    if let Some(per_point) = worth.per_point {
        rows.push(vec![
            Cell::words("worth for each point of its cost"),
            Cell::number(per_point, format!("{per_point:.3}")),
        ]);
    }
    let table =
        Table { caption: "What it costs and what it is worth".to_owned(), head: head(&["what", "value"]), rows };
    Part { heading: "Cost".to_owned(), tables: vec![table], ..Part::default() }
}

fn number(of: f64) -> Cell {
    Cell::number(of, mean(of))
}

fn chance(of: f64) -> Cell {
    Cell::number(of, percent(of))
}

fn attacks(of: &AppraisalAnswer) -> Option<Part> {
    if of.attacks.is_empty() {
        let text = vec!["None of its weapons can be used on any target of the board.".to_owned()];
        return Some(Part { heading: "What it does".to_owned(), text, ..Part::default() });
    }
    let mut sizes: Vec<u32> = of.attacks.iter().map(|row| row.models).collect();
    sizes.sort_unstable();
    sizes.dedup();
    let board = |models: &u32| Picture::Heat(board(of, *models));
    let game = |game: &super::answer::DamageRow| {
        vec![
            Cell::words(game.target_counted.clone()),
            Cell::words(game.range.clone()),
            number(game.left),
            chance(game.destroyed),
            number(game.points),
            game.per_point.map_or_else(|| Cell::words("free"), number),
        ]
    };
    let games = Table {
        caption: format!(
            "A game of {} against each target, at its best range",
            count(u64::from(of.turns), "turn", "turns")
        ),
        head: head(&["target", "range", "left", "all gone", "points destroyed", "per point spent"]),
        rows: of.damage.iter().map(game).collect(),
    };
    let turn = |row: &AttackRow| {
        vec![
            Cell::words(place(row)),
            Cell::words(row.range.clone()),
            number(row.expected),
            chance(row.destroyed),
            number(row.points),
        ]
    };
    let best = Table {
        caption: "One turn against each target, at the range that destroys most points".to_owned(),
        head: head(&["target", "range", "lost", "all gone", "points destroyed"]),
        rows: best_of_each(of).into_iter().map(turn).collect(),
    };
    Some(Part {
        heading: "What it does".to_owned(),
        pictures: sizes.iter().map(board).collect(),
        tables: vec![games, best],
        ..Part::default()
    })
}

fn place(row: &AttackRow) -> String {
    match &row.arc {
        Some(arc) => format!("{}, {arc}", row.target_counted),
        None => row.target_counted.clone(),
    }
}

/// Of the rows that differ in range only the best one, for the unit's own size.
fn best_of_each(of: &AppraisalAnswer) -> Vec<&AttackRow> {
    let mut best: Vec<&AttackRow> = Vec::new();
    for row in of.attacks.iter().filter(|row| row.models == of.models) {
        match best.iter_mut().find(|known| place(known) == place(row)) {
            Some(known) if row.points > known.points => *known = row,
            Some(_) => {}
            None => best.push(row),
        }
    }
    best
}

fn board(of: &AppraisalAnswer, models: u32) -> Heat {
    let own: Vec<&AttackRow> = of.attacks.iter().filter(|row| row.models == models).collect();
    let mut columns: Vec<String> = Vec::new();
    let mut places: Vec<(String, String)> = Vec::new();
    for row in &own {
        if !columns.contains(&row.range) {
            columns.push(row.range.clone());
        }
        if !places.iter().any(|(place_known, _)| *place_known == place(row)) {
            // The name stands at the first of its arcs.
            let named = own.iter().find(|other| other.target == row.target && other.target_models == row.target_models);
            let first = named.is_some_and(|first| first.arc == row.arc);
            let short = if first { row.target.clone() } else { row.arc.clone().unwrap_or_default() };
            places.push((place(row), short));
        }
    }
    let most = own.iter().map(|row| row.points).fold(f64::MIN_POSITIVE, f64::max);
    let cell = |at: &str, range: &String| {
        let row = own.iter().find(|row| row.range == *range && place(row) == at)?;
        Some(HeatCell { part: row.points / most, said: short(row.points) })
    };
    let rows = places
        .iter()
        .map(|(at, label)| HeatRow {
            label: label.clone(),
            cells: columns.iter().map(|range| cell(at, range)).collect(),
        })
        .collect();
    let who = if models == 1 { String::new() } else { format!(", {models} models") };
    let strongest = own.iter().max_by(|a, b| a.points.total_cmp(&b.points));
    let alt = strongest.map_or_else(String::new, |row| {
        format!(
            "Points destroyed in one turn by target and range{who}: most, {}, of {} at {}.",
            mean(row.points),
            place(row),
            row.range
        )
    });
    Heat { title: format!("Points destroyed in a turn{who}"), alt, columns, rows }
}

/// A number for a small cell.
fn short(number: f64) -> String {
    if number >= 9.95 { format!("{number:.0}") } else { format!("{number:.1}") }
}

fn lives(of: &AppraisalAnswer) -> Option<Part> {
    if of.survival.is_empty() {
        let text = vec!["No attacker of the board can use a weapon on it.".to_owned()];
        return Some(Part { heading: "How long it lives".to_owned(), text, ..Part::default() });
    }
    // The attacker that is hardest on it, seen from the usual arc, without each protection, and from the others.
    let usual = of.survival.iter().filter(|life| life.without.is_none());
    let worst = usual.min_by(|a, b| a.stood.total_cmp(&b.stood));
    let pictures = worst.map(|worst| Picture::Curves(curves(of, worst))).into_iter().collect();
    let row = |life: &SurvivalRow| {
        vec![
            Cell::words(life.attacker_counted.clone()),
            Cell::words(life.arc.clone().unwrap_or_else(|| "any".to_owned())),
            Cell::words(life.range.clone()),
            number(life.stood),
            chance(life.standing.last().copied().unwrap_or(0.0)),
        ]
    };
    let all = Table {
        caption: format!("{} under each attacker, without hitting back", count(u64::from(of.turns), "turn", "turns")),
        head: head(&["attacker", "from", "range", "turns survived", "alive at the end"]),
        rows: of.survival.iter().filter(|life| life.without.is_none()).map(row).collect(),
    };
    let keep = |keep: &super::answer::ProtectionRow| {
        vec![Cell::words(keep.rule.clone()), number(keep.with), number(keep.without), number(keep.gained)]
    };
    let mut tables = vec![all];
    if !of.protections.is_empty() {
        tables.push(Table {
            caption: "Turns survived with and without each rule that bears on them, where it applies".to_owned(),
            head: head(&["rule", "with it", "without", "gained"]),
            rows: of.protections.iter().map(keep).collect(),
        });
    }
    Some(Part { heading: "How long it lives".to_owned(), pictures, tables, ..Part::default() })
}

fn curves(of: &AppraisalAnswer, worst: &SurvivalRow) -> Curves {
    let same = |life: &&SurvivalRow| life.attacker == worst.attacker && life.attacker_models == worst.attacker_models;
    let here = |life: &&SurvivalRow| same(life) && life.arc == worst.arc;
    let label = |life: &SurvivalRow| match (&life.without, &life.arc) {
        (Some(rule), _) => format!("without {rule}"),
        (None, Some(arc)) => format!("as it is, from the {arc}"),
        (None, None) => "as it is".to_owned(),
    };
    let curve = |life: &SurvivalRow, strong: bool| Curve {
        label: label(life),
        chances: std::iter::once(1.0).chain(life.standing.iter().copied()).collect(),
        strong,
    };
    let mut all = vec![curve(worst, true)];
    all.extend(of.survival.iter().filter(here).filter(|life| life.without.is_some()).map(|life| curve(life, false)));
    all.extend(
        of.survival
            .iter()
            .filter(same)
            .filter(|life| life.without.is_none() && life.arc != worst.arc)
            .map(|life| curve(life, false)),
    );
    let attacker = worst.attacker_counted.clone();
    let alt = format!(
        "Chance of being alive at the end of each turn under {attacker}: {} at the end of turn {} as it is.",
        percent(worst.standing.last().copied().unwrap_or(0.0)),
        of.turns
    );
    Curves { title: format!("Alive under {attacker}"), alt, along: "turn".to_owned(), curves: all }
}

fn tests(of: &AppraisalAnswer) -> Option<Part> {
    let mut tables = Vec::new();
    if !of.checks.is_empty() {
        let row = |check: &super::answer::CheckRow| {
            let label = match (&check.asks, check.asked) {
                (Some(asks), Some(asked)) => format!("{}, {asks} {asked}", check.check),
                _ => check.check.clone(),
            };
            vec![Cell::words(label), chance(check.passes), chance(check.fails_once)]
        };
        tables.push(Table {
            caption: "Tests".to_owned(),
            head: head(&["test", "passes", &format!("fails at least one of {}", of.turns)]),
            rows: of.checks.iter().map(row).collect(),
        });
    }
    if let Some(mend) = &of.repair {
        let rows = vec![
            vec![Cell::words("one roll"), chance(mend.chance)],
            vec![
                Cell::words(format!("something back in {}", count(u64::from(of.turns), "turn", "turns"))),
                chance(mend.any_restored),
            ],
            vec![Cell::words("points back on average"), number(mend.restored)],
        ];
        tables.push(Table {
            caption: format!("{}, {} of {} missing", mend.rule, mend.missing, mend.capacity),
            head: head(&["repair", "chance or points"]),
            rows,
        });
    }
    (!tables.is_empty()).then(|| Part { heading: "Tests and repair".to_owned(), tables, ..Part::default() })
}

fn drives(of: &AppraisalAnswer) -> Option<Part> {
    if of.sensitivities.is_empty() {
        return None;
    }
    let row = |drive: &super::answer::SensitivityRow| {
        let sign = if drive.moved > 0.0 { "+" } else { "\u{2212}" };
        vec![
            Cell::words(drive.change.clone()),
            Cell::number(drive.points as f64, drive.points.to_string()),
            number(drive.takes),
            chance(drive.stands),
            Cell::number(drive.moved, format!("{sign}{}", share(drive.moved.abs()))),
        ]
    };
    let table = Table {
        caption: "One change at a time, the biggest swing first".to_owned(),
        head: head(&["change", "points", "destroys", "survives", "worth"]),
        rows: of.sensitivities.iter().take(MOST_CHANGES).map(row).collect(),
    };
    Some(Part { heading: "What drives it".to_owned(), tables: vec![table], ..Part::default() })
}
