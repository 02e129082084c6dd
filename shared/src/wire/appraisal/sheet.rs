//! The appraisal as a sheet, from which its page, its Markdown and its CSV are made.
use super::advice::slots;
use super::answer::{AppraisalAnswer, AttackRow};
use super::voice::{self, Voice};
use super::{company, profile, survival};
use crate::report::curves::{Curve, Curves};
use crate::report::heat::{Heat, HeatCell, HeatRow};
use crate::report::saying::{count, mean, mean_of, percent, sentence, share};
use crate::report::sheet::{Cell, Figure, List, Part, Picture, Sheet, Table};

/// More changes than this are left to the JSON.
const MOST_CHANGES: usize = 8;

/// The sheet of an appraisal: a review that could be read aloud.
pub fn sheet(of: &AppraisalAnswer) -> Sheet {
    let counted = if of.counted == of.name { String::new() } else { format!("{}, ", of.counted) };
    let about = format!("{counted}{}. {}", slots(of), of.text);
    let parts = [
        profile::part(of),
        attacks(of),
        survival::part(of),
        tests(of),
        company::options(of),
        company::together(of),
        company::comparators(of),
        when(of),
        sensitivities(of),
    ];
    Sheet {
        title: of.name.clone(),
        about: about.trim_end().to_owned(),
        lead: of.verdict.iter().map(|row| row.text.clone()).collect(),
        figures: figures(of),
        parts: parts.into_iter().flatten().collect(),
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

/// The four figures that matter.
fn figures(of: &AppraisalAnswer) -> Vec<Figure> {
    let figure = |said: String, label: &str| Figure { said, label: label.to_owned() };
    let best = of.ranges.iter().filter(|range| range.points > 0.0);
    let best = best.reduce(|best, range| if range.points > best.points { range } else { best });
    let turns = of.worth.stands * f64::from(of.turns);
    vec![
        figure(mean(of.worth.takes), "points destroyed in a game, the average of the board"),
        figure(
            format!("{} of {}", mean_of(turns, u64::from(of.turns), of.worth.stands >= 1.0), of.turns),
            "turns survived, the average of the attackers",
        ),
        figure(
            best.map_or_else(|| "none".to_owned(), |range| range.at.clone()),
            "best range: most points destroyed in a turn",
        ),
        figure(of.worth.per_point.map_or_else(|| "free".to_owned(), mean), "worth for each point that it costs"),
    ]
}

/// When to use it, and when not.
fn when(of: &AppraisalAnswer) -> Option<Part> {
    let list = |heading: &str, speaks_for: bool| {
        let items: Vec<String> =
            of.advice.iter().filter(|row| row.speaks_for == speaks_for).map(|row| row.text.clone()).collect();
        (!items.is_empty()).then(|| List { heading: heading.to_owned(), items })
    };
    let lists: Vec<List> =
        [list("When to use it", true), list("When not, and what to watch", false)].into_iter().flatten().collect();
    (!lists.is_empty()).then(|| Part { heading: "How to use it".to_owned(), lists, ..Part::default() })
}

pub(super) fn head(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

pub(super) fn number(of: f64) -> Cell {
    Cell::number(of, mean(of))
}

pub(super) fn chance(of: f64) -> Cell {
    Cell::number(of, percent(of))
}

fn attacks(of: &AppraisalAnswer) -> Option<Part> {
    if of.attacks.is_empty() {
        let text = vec!["None of its weapons can be used on any target of the board.".to_owned()];
        return Some(Part { heading: "What it destroys".to_owned(), text, ..Part::default() });
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
    Some(Part {
        heading: "What it destroys".to_owned(),
        text: best_range(of).into_iter().collect(),
        pictures: sizes.iter().map(board).collect(),
        tables: vec![games],
        ..Part::default()
    })
}

/// Which range is best, in a sentence.
fn best_range(of: &AppraisalAnswer) -> Option<String> {
    let mut all: Vec<&super::review::MeanRow> = of.ranges.iter().collect();
    all.sort_by(|a, b| b.points.total_cmp(&a.points));
    let said: Vec<String> = all.iter().map(|range| format!("{} {}", range.at, mean(range.points))).collect();
    let best = all.first().filter(|best| best.points > 0.0)?;
    let voice = Voice::of(of);
    Some(format!(
        "{} {} most {}. Points destroyed in a turn, the average of the board: {}.",
        sentence(voice.they),
        voice.verb("destroy"),
        voice::at(of, &best.at),
        said.join(", ")
    ))
}

fn place(row: &AttackRow) -> String {
    match &row.arc {
        Some(arc) => format!("{}, {arc}", row.target_counted),
        None => row.target_counted.clone(),
    }
}

fn board(of: &AppraisalAnswer, models: u32) -> Heat {
    let own: Vec<&AttackRow> = of.attacks.iter().filter(|row| row.models == models).collect();
    let mut columns: Vec<String> = Vec::new();
    // Every row says its whole name, whatever stands above it.
    let mut places: Vec<String> = Vec::new();
    for row in &own {
        if !columns.contains(&row.range) {
            columns.push(row.range.clone());
        }
        if !places.contains(&place(row)) {
            places.push(place(row));
        }
    }
    let most = own.iter().map(|row| row.points).fold(f64::MIN_POSITIVE, f64::max);
    let cell = |at: &str, range: &String| {
        let row = own.iter().find(|row| row.range == *range && place(row) == at)?;
        Some(HeatCell { part: row.points / most, said: short(row.points) })
    };
    let rows = places
        .iter()
        .map(|at| HeatRow { label: at.clone(), cells: columns.iter().map(|range| cell(at, range)).collect() })
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

/// The chance that at least one test has failed by the end of each turn, with one every turn.
fn hazards(of: &AppraisalAnswer) -> Option<Curves> {
    let by_turn = |passes: f64| (0..=of.turns).map(|turn| 1.0 - passes.powf(f64::from(turn))).collect();
    let plain = of.checks.iter().filter(|check| check.asked.is_none() && check.passes < 1.0);
    let curves: Vec<Curve> = plain
        .take(4)
        .enumerate()
        .map(|(at, check)| Curve { label: check.check.clone(), chances: by_turn(check.passes), strong: at == 0 })
        .collect();
    let first = curves.first()?;
    let alt = format!(
        "Chance that at least one test has failed, with one every turn: {} {} by the end of turn {}.",
        first.label,
        percent(first.chances.last().copied().unwrap_or(0.0)),
        of.turns
    );
    Some(Curves {
        title: "At least one failed by the end of the turn".to_owned(),
        alt,
        along: "turn".to_owned(),
        curves,
    })
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
            caption: format!(
                "Tests of movement, hazard and nerve over {}, one every turn",
                count(u64::from(of.turns), "turn", "turns")
            ),
            head: head(&["test", "passes", &format!("fails at least one of {}", of.turns)]),
            rows: of.checks.iter().map(row).collect(),
        });
    }
    if let Some(mend) = &of.repair {
        let mut rows = vec![vec![Cell::words("by itself"), chance(mend.chance), number(mend.restored)]];
        for helper in &of.helpers {
            if let Some(pair) = &helper.repair {
                rows.push(vec![
                    Cell::words(format!("near the {}", helper.near)),
                    chance(pair.chance_with),
                    number(pair.restored_with),
                ]);
            }
        }
        tables.push(Table {
            caption: format!(
                "{}: {} of {} missing at the start, {} without further harm",
                mend.rule,
                mend.missing,
                mend.capacity,
                count(u64::from(of.turns), "turn", "turns")
            ),
            head: head(&["repair", "one roll succeeds", "points back on average"]),
            rows,
        });
    }
    let pictures = hazards(of).map(Picture::Curves).into_iter().collect();
    let heading = "Repair, movement and hazard".to_owned();
    (!tables.is_empty()).then(|| Part { heading, pictures, tables, ..Part::default() })
}

fn sensitivities(of: &AppraisalAnswer) -> Option<Part> {
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
