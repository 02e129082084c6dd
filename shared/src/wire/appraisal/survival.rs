//! How long the unit survives: under attackers that come on, from each side, with and without each protection.
use super::answer::{AppraisalAnswer, SurvivalRow};
use super::review::ApproachRow;
use super::sheet::{chance, head};
use super::voice::{at, other};
use crate::report::curves::{Curve, Curves};
use crate::report::pairs::{PairOfBars, Pairs};
use crate::report::saying::{count, listed, mean_of, means_apart, percent};
use crate::report::sheet::{Cell, Part, Picture, Table};

/// Less than this many turns are not worth a line of the table.
const LITTLE: f64 = 0.01;
/// More protections than this are left to the table.
const MOST_PAIRS: usize = 6;

/// How long it survives.
pub(super) fn part(of: &AppraisalAnswer) -> Option<Part> {
    let heading = "How long it survives".to_owned();
    if of.survival.is_empty() && of.approach.is_empty() {
        let text = vec!["No attacker of the board can use a weapon on it.".to_owned()];
        return Some(Part { heading, text, ..Part::default() });
    }
    let turns = count(u64::from(of.turns), "turn", "turns");
    let whole: Vec<&ApproachRow> = of.approach.iter().filter(|life| life.without.is_none()).collect();
    let worst = whole.iter().min_by(|a, b| a.stood.total_cmp(&b.stood));
    let mut pictures: Vec<Picture> = worst.map(|worst| Picture::Curves(curves(of, worst))).into_iter().collect();
    pictures.extend(pairs(of).map(Picture::Pairs));
    let mut tables = Vec::new();
    if !whole.is_empty() {
        let row = |life: &&ApproachRow| {
            vec![
                Cell::words(life.attacker_counted.clone()),
                survived(of, life.stood, &life.standing),
                chance(life.standing.last().copied().unwrap_or(0.0)),
            ]
        };
        let how = if of.approach_turns.is_empty() { "each at its best range" } else { "each coming on as stated" };
        tables.push(Table {
            caption: format!("{turns} under each attacker, {how}, without hitting back"),
            head: head(&["attacker", "turns survived", "alive at the end"]),
            rows: whole.iter().map(row).collect(),
        });
    }
    tables.push(Table {
        caption: format!("{turns} from one side all the time, at the attacker's best range"),
        head: head(&["attacker", "turns survived, from each side that makes a difference"]),
        rows: by_side(of),
    });
    let (mut rows, mut hardly) = (Vec::new(), 0);
    for keep in &of.protections {
        for under in &keep.under {
            if (under.with - under.without).abs() < LITTLE {
                hardly += 1;
                continue;
            }
            let said = means_apart(&[under.with, under.without]);
            rows.push(vec![
                Cell::words(keep.rule.clone()),
                Cell::words(format!("{}, {}, {}", under.attacker_counted, under.arc, under.range)),
                Cell::number(under.with, said[0].clone()),
                Cell::number(under.without, said[1].clone()),
            ]);
        }
    }
    let mut text: Vec<String> = coming_on(of).into_iter().collect();
    if hardly > 0 {
        let pairs = count(hardly, "pair", "pairs");
        text.push(format!("In {pairs} of protection and attacker the difference is under {LITTLE} turns at best."));
    }
    if !rows.is_empty() {
        tables.push(Table {
            caption: "Turns survived with and without each protection, where it does most against each attacker"
                .to_owned(),
            head: head(&["protection", "against", "with", "without"]),
            rows,
        });
    }
    tables.retain(|table| !table.rows.is_empty());
    Some(Part { heading, text, pictures, tables, ..Part::default() })
}

/// A row for each attacker: turns survived from each side.
fn by_side(of: &AppraisalAnswer) -> Vec<Vec<Cell>> {
    let mut rows: Vec<(&SurvivalRow, Vec<String>)> = Vec::new();
    for life in of.survival.iter().filter(|life| life.without.is_none()) {
        let side = life.arc.as_deref().unwrap_or("any side");
        let said = format!("{side} {} ({})", survived(of, life.stood, &life.standing).said, life.range);
        match rows
            .iter_mut()
            .find(|(first, _)| first.attacker == life.attacker && first.attacker_models == life.attacker_models)
        {
            Some((_, sides)) => sides.push(said),
            None => rows.push((life, vec![said])),
        }
    }
    let row = |(life, sides): (&SurvivalRow, Vec<String>)| {
        vec![Cell::words(life.attacker_counted.clone()), Cell::words(sides.join(", "))]
    };
    rows.into_iter().map(row).collect()
}

/// Turns survived: the whole game only where that is certain.
fn survived(of: &AppraisalAnswer, stood: f64, standing: &[f64]) -> Cell {
    let sure = standing.last().is_some_and(|last| *last >= 1.0);
    Cell::number(stood, mean_of(stood, u64::from(of.turns), sure))
}

/// How attackers come on, in a sentence: equal turns together.
fn coming_on(of: &AppraisalAnswer) -> Option<String> {
    let mut stages: Vec<(u32, u32, String)> = Vec::new();
    for row in &of.approach_turns {
        let place = format!("{} from the {}", at(of, &row.range), row.arc);
        match stages.last_mut().filter(|stage| stage.2 == place) {
            Some(stage) => stage.1 = row.turn,
            None => stages.push((row.turn, row.turn, place)),
        }
    }
    let said: Vec<String> = stages
        .iter()
        .map(|(from, to, place)| match from == to {
            true => format!("in turn {from} {place}"),
            false => format!("in turns {from} to {to} {place}"),
        })
        .collect();
    (!said.is_empty()).then(|| format!("Attackers come on as the pack says: {}.", listed(&said)))
}

fn curves(of: &AppraisalAnswer, worst: &ApproachRow) -> Curves {
    let same = |life: &&ApproachRow| {
        life.attacker == worst.attacker && life.attacker_models == worst.attacker_models && life.without.is_some()
    };
    let curve = |life: &ApproachRow| Curve {
        label: life.without.as_ref().map_or_else(|| "as it is".to_owned(), |rule| format!("without {rule}")),
        chances: std::iter::once(1.0).chain(life.standing.iter().copied()).collect(),
        strong: life.without.is_none(),
    };
    let mut all = vec![curve(worst)];
    all.extend(of.approach.iter().filter(same).map(curve));
    let attacker = other(of, &worst.attacker, &worst.attacker_counted);
    let alt = format!(
        "Chance of being alive at the end of each turn under {attacker}: {} at the end of turn {} as it is.",
        percent(worst.standing.last().copied().unwrap_or(0.0)),
        of.turns
    );
    Curves { title: format!("Alive under {attacker}"), alt, along: "turn".to_owned(), curves: all }
}

fn pairs(of: &AppraisalAnswer) -> Option<Pairs> {
    let pair = |keep: &super::answer::ProtectionRow| {
        let under = keep.under.get(keep.best)?;
        let place = format!("{}, {}, {}", under.attacker_counted, under.arc, under.range);
        let said = means_apart(&[keep.with, keep.without]);
        Some(PairOfBars {
            label: format!("{}: {place}", keep.rule),
            with: (keep.with, said[0].clone()),
            without: (keep.without, said[1].clone()),
        })
    };
    let pairs: Vec<PairOfBars> = of.protections.iter().take(MOST_PAIRS).filter_map(pair).collect();
    let first = pairs.first()?;
    let alt = format!(
        "Turns survived with and without each protection where it does most; {}: {} with it, {} without.",
        first.label, first.with.1, first.without.1
    );
    let names = ("with".to_owned(), "without".to_owned());
    Some(Pairs { title: "Turns survived".to_owned(), alt, names, pairs, full: f64::from(of.turns) })
}
