//! Charts as terms, and the words of an attack that every pack has: breach, graze, structure.
use super::super::describe;
use super::super::model::Pack;
use super::super::model::attack::Form;
use super::super::model::change::RollId;
use super::super::model::chart::{Bound, Lookup, Row, Rows};
use super::super::model::stat::{Axis, Value};
use super::super::question::Reading;
use super::{Table, Term, of_named, roll};

pub(super) fn chart(pack: &Pack, at: usize, rolls: &[RollId]) -> Term {
    let chart = &pack.charts[at];
    let mut names: Vec<String> = rolls.iter().map(|roll| describe::roll_name(pack, *roll)).collect();
    names.dedup();
    let goes = (!names.is_empty()).then(|| format!("goes into: {}", names.join(", ")));
    let (by, table) = match &chart.rows {
        Rows::Difference(sum, rows) => (describe::sum(pack, sum), by_bound(describe::sum(pack, sum), rows)),
        Rows::Ratio(over, under, rows) => {
            let by = format!("{} for each {}", describe::sum(pack, over), describe::sum(pack, under));
            (by.clone(), by_bound(by, rows))
        }
        Rows::Table { by, cells } => {
            let names: Vec<String> = by.iter().map(|lookup| looked_up(pack, lookup)).collect();
            (names.join(" and "), cross(pack, by, cells))
        }
    };
    let lines = std::iter::once(format!("looked up by {by}")).chain(goes).collect();
    Term { lines, table: Some(table), ..of_named("chart", &chart.named) }
}

fn by_bound(by: String, rows: &[Row]) -> Table {
    let fraction = |top: i32, bottom: i32| if bottom == 1 { top.to_string() } else { format!("{top}/{bottom}") };
    let row = |row: &Row| {
        let bound = match row.bound {
            Bound::AtLeast(top, bottom) => format!("{} or more", fraction(top, bottom)),
            Bound::Above(top, bottom) => format!("more than {}", fraction(top, bottom)),
            Bound::Equal(top, bottom) => fraction(top, bottom),
            Bound::AtMost(top, bottom) => format!("{} or less", fraction(top, bottom)),
            Bound::Below(top, bottom) => format!("less than {}", fraction(top, bottom)),
            Bound::Else => "otherwise".to_owned(),
        };
        vec![bound, row.gives.to_string()]
    };
    Table { head: vec![by, "gives".to_owned()], rows: rows.iter().map(row).collect() }
}

fn looked_up(pack: &Pack, lookup: &Lookup) -> String {
    match lookup {
        Lookup::Axis(Axis::Arc, _) => "arc".to_owned(),
        Lookup::Axis(Axis::Range, _) => "range".to_owned(),
        Lookup::Axis(Axis::Cover, _) => "cover".to_owned(),
        Lookup::Words(scope, at, _) | Lookup::Numbers(scope, at, _) => pack.stats.of(*scope)[*at].label.clone(),
    }
}

fn entries(pack: &Pack, lookup: &Lookup) -> Vec<String> {
    let table = &pack.situations;
    match lookup {
        Lookup::Axis(Axis::Arc, _) => table.arcs.iter().map(|word| word.named.label.clone()).collect(),
        Lookup::Axis(Axis::Range, _) => table.ranges.iter().map(|band| band.word.named.label.clone()).collect(),
        Lookup::Axis(Axis::Cover, _) => table.covers.iter().map(|word| word.named.label.clone()).collect(),
        Lookup::Words(scope, at, count) => {
            let stat = &pack.stats.of(*scope)[*at];
            (0..*count).map(|word| stat.write(Value::Word(word))).collect()
        }
        Lookup::Numbers(_, _, numbers) => numbers.iter().map(|number| format!("{number} or more")).collect(),
    }
}

/// A table by one entry, or by one down and another across.
fn cross(pack: &Pack, by: &[Lookup], cells: &[Value]) -> Table {
    let Some((first, rest)) = by.split_first() else { return Table::default() };
    let across: Vec<String> = rest.first().map_or_else(|| vec!["gives".to_owned()], |lookup| entries(pack, lookup));
    let width = across.len().max(1);
    let head = std::iter::once(looked_up(pack, first)).chain(across).collect();
    let row = |(index, name): (usize, String)| {
        let values = cells.iter().skip(index * width).take(width).map(ToString::to_string);
        std::iter::once(name).chain(values).collect()
    };
    Table { head, rows: entries(pack, first).into_iter().enumerate().map(row).collect() }
}

pub(super) fn breach(pack: &Pack, at: usize) -> Term {
    let breach = &pack.breaches[at];
    let rows = breach.rows.iter().map(|row| {
        let mut does: Vec<String> = row.status.iter().cloned().collect();
        if row.structure.as_constant() != Some(0) {
            does.push(format!("{} more {} lost", row.structure, pack.word("structure")));
        }
        does.extend(row.wrecked.then(|| "wrecked".to_owned()));
        if let Some((structure, wrecked)) = &row.repeated {
            let again =
                if *wrecked { "wrecked".to_owned() } else { format!("{structure} {} lost", pack.word("structure")) };
            does.push(format!("where it has that already: {again}"));
        }
        vec![format!("{} or more", row.at_least), does.join("; ")]
    });
    let modifier = if breach.modifier.0.is_empty() {
        String::new()
    } else {
        format!(" + {}", describe::sum(pack, &breach.modifier))
    };
    let dice = format!("{}{modifier}", breach.dice);
    let table = Table { head: vec![dice.clone(), "does".to_owned()], rows: rows.collect() };
    Term {
        lines: vec![format!("rolled on with {dice} for each breach")],
        table: Some(table),
        ..of_named("chart", &breach.named)
    }
}

/// Words of an attack on armour that every pack has.
pub(super) fn engine(pack: &Pack, reading: &Reading) -> Option<Term> {
    let word = reading
        .words
        .iter()
        .find_map(|word| ["breach", "graze", "structure"].into_iter().find(|known| *known == word.plain))?;
    let rolls = pack.steps.iter().enumerate().filter_map(|(at, step)| match &step.form {
        Form::Penetrate(plan) => Some((at, plan)),
        Form::Roll(_) => None,
    });
    let structure = pack.word("structure");
    let mut lines = Vec::new();
    let mut table = None;
    for (at, plan) in rolls {
        lines.extend(roll::step(pack, at).lines.into_iter().skip(1));
        let breach_costs = describe::sum(pack, &plan.breach);
        lines.push(if plan.equal_breaches {
            format!("a breach costs {breach_costs} {structure}; there are no grazes")
        } else {
            format!("a graze costs {} {structure}, a breach {breach_costs}", describe::sum(pack, &plan.graze))
        });
        table = table.or_else(|| plan.chart.and_then(|chart| breach(pack, chart).table));
    }
    if lines.is_empty() {
        return None;
    }
    let text = match word {
        "breach" => "A roll against armour that goes through.",
        "graze" => "A roll against armour that only equals it, where that is not a breach already.",
        _ => "What a unit of armour has; without any left it is wrecked.",
    };
    let name = if word == "structure" { super::label_of(pack, word) } else { word.to_owned() };
    Some(Term { sort: "term", id: word.to_owned(), name, text: text.to_owned(), lines, table, ..Term::default() })
}
