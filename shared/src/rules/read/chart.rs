//! Charts.
use super::super::model::chart::{Bound, ChartPlan, Lookup, Row, Rows};
use super::super::model::situation::Situations;
use super::super::model::stat::{Axis, Holds, Value};
use super::ids::{Section, named};
use super::node::{Fields, Node};
use super::stat::read_value;
use super::sum::Terms;

/// What each chart gives: needed before anything that names a chart is read.
pub(super) fn read_gives(charts: &Section<'_>) -> Vec<Holds> {
    let holds = |fields: &Fields<'_>| match fields.get("holds")?.as_text()? {
        "needs" => Some(Holds::Needs),
        "dice" => Some(Holds::Dice),
        _ => None,
    };
    charts.tables.iter().map(|fields| holds(fields).unwrap_or(Holds::Number)).collect()
}

pub(super) fn read_chart(fields: &Fields<'_>, terms: &Terms<'_>, words: &Situations) -> Option<ChartPlan> {
    let named = named(fields);
    let holds = fields.need("holds").and_then(|node| node.word_of(&["number", "needs", "dice"]));
    let holds = [Holds::Number, Holds::Needs, Holds::Dice][holds.unwrap_or_default()].clone();
    let (by, difference, ratio) = (fields.get("by"), fields.get("difference"), fields.get("ratio"));
    let rows = fields.need("rows");
    fields.finish();
    let rows = rows?;
    let rows = match (by, difference, ratio) {
        (Some(by), None, None) => read_table(by, rows, &holds, terms, words)?,
        (None, Some(sum), None) => {
            let sum = terms.number(sum);
            let rows = read_rows(rows, &holds);
            Rows::Difference(sum?, rows)
        }
        (None, None, Some(ratio)) => {
            let ratio = ratio.fields()?;
            let over = ratio.need("of").and_then(|node| terms.number(node));
            let under = ratio.need("to").and_then(|node| terms.number(node));
            ratio.finish();
            let rows = read_rows(rows, &holds);
            Rows::Ratio(over?, under?, rows)
        }
        _ => {
            fields.wrong("say how the chart is read: one of by, difference or ratio");
            return None;
        }
    };
    Some(ChartPlan { named, rows })
}

fn read_rows(node: Node<'_>, holds: &Holds) -> Vec<Row> {
    let nodes = node.list(100);
    let mut rows: Vec<Row> = Vec::new();
    for part in &nodes {
        let Some(fields) = part.fields() else { continue };
        let mut bounds = Vec::new();
        for (key, make) in BOUNDS {
            if let Some((top, bottom)) = fields.get(key).and_then(read_fraction) {
                bounds.push(make(top, bottom));
            }
        }
        let gives = fields.need("gives").and_then(|node| read_value(holds, node));
        fields.finish();
        if bounds.len() > 1 {
            part.wrong("one bound to a row: the first row that fits counts");
        }
        if rows.iter().any(|row| covers(row.bound, bounds.first().copied().unwrap_or(Bound::Else))) {
            part.wrong_with(
                "this row is never reached: an earlier one takes all that it would",
                Some("the first row that fits counts".to_owned()),
            );
        }
        // A row whose value is wrong keeps its place: it leaves no gap.
        let gives = gives.unwrap_or(Value::Number(0));
        rows.push(Row { bound: bounds.first().copied().unwrap_or(Bound::Else), gives });
    }
    if !nodes.is_empty() && !rows.iter().any(|row| row.bound == Bound::Else) && !closes(&rows) {
        node.wrong_with(
            "the rows leave a gap",
            Some("end with a row without a bound, which takes the rest: { gives = … }".to_owned()),
        );
    }
    if nodes.is_empty() {
        node.wrong("at least one row, please");
    }
    rows
}

type MakeBound = fn(i32, i32) -> Bound;
const BOUNDS: [(&str, MakeBound); 5] = [
    ("at_least", Bound::AtLeast),
    ("above", Bound::Above),
    ("equal", Bound::Equal),
    ("at_most", Bound::AtMost),
    ("below", Bound::Below),
];

/// A whole number, or a fraction in quotes: `"1/2"`.
fn read_fraction(node: Node<'_>) -> Option<(i32, i32)> {
    if node.as_number().is_some() {
        return node.number(-10_000..=10_000).map(|number| (number, 1));
    }
    let parts = node.text()?.split_once('/');
    let fraction = parts.and_then(|(top, bottom)| Some((top.parse().ok()?, bottom.parse().ok()?)));
    let fraction = fraction.filter(|(top, bottom): &(i32, i32)| top.abs() <= 10_000 && (1..=10_000).contains(bottom));
    if fraction.is_none() {
        node.wrong("a whole number, or a fraction such as \"1/2\"");
    }
    fraction
}

/// Whether an earlier row takes everything that a later one would.
fn covers(earlier: Bound, later: Bound) -> bool {
    let value = |(top, bottom): (i32, i32)| f64::from(top) / f64::from(bottom);
    match (earlier, later) {
        (Bound::Else, _) => true,
        (Bound::AtLeast(a, b), Bound::AtLeast(c, d) | Bound::Above(c, d) | Bound::Equal(c, d))
        | (Bound::Above(a, b), Bound::Above(c, d)) => value((c, d)) >= value((a, b)),
        (Bound::Above(a, b), Bound::AtLeast(c, d) | Bound::Equal(c, d)) => value((c, d)) > value((a, b)),
        (Bound::AtMost(a, b), Bound::AtMost(c, d) | Bound::Below(c, d) | Bound::Equal(c, d))
        | (Bound::Below(a, b), Bound::Below(c, d)) => value((c, d)) <= value((a, b)),
        (Bound::Below(a, b), Bound::AtMost(c, d) | Bound::Equal(c, d)) => value((c, d)) < value((a, b)),
        (Bound::Equal(a, b), Bound::Equal(c, d)) => value((a, b)) == value((c, d)),
        _ => false,
    }
}

/// Whether two rows take everything between them.
fn closes(rows: &[Row]) -> bool {
    let value = |top: i32, bottom: i32| f64::from(top) / f64::from(bottom);
    let down = rows.iter().filter_map(|row| match row.bound {
        Bound::AtLeast(a, b) => Some((value(a, b), true)),
        Bound::Above(a, b) => Some((value(a, b), false)),
        _ => None,
    });
    let lowest = down.min_by(|a, b| a.0.total_cmp(&b.0));
    rows.iter().any(|row| match (row.bound, lowest) {
        (Bound::AtMost(a, b), Some((from, _))) => value(a, b) >= from,
        (Bound::Below(a, b), Some((from, included))) => value(a, b) > from || (included && value(a, b) == from),
        _ => false,
    })
}

/// A key, its place and its value.
type Entry<'a> = (&'a str, std::ops::Range<usize>, Node<'a>);

fn read_table(by: Node<'_>, rows: Node<'_>, holds: &Holds, terms: &Terms<'_>, words: &Situations) -> Option<Rows> {
    let keys = by.many();
    if keys.is_empty() || keys.len() > 2 {
        by.wrong("a table is looked up by one or two entries");
        return None;
    }
    let outer = rows.fields()?;
    let outer_keys = outer.entries();
    let (first, first_keys) = lookup(keys[0], &outer_keys, rows, terms, words)?;
    let Some(second) = keys.get(1) else {
        let cells = place(&first_keys, &outer, &outer_keys, rows, |node| read_value(holds, node))?;
        return Some(Rows::Table { by: vec![first], cells });
    };
    // The inner keys are those of the first row; every row must have the same.
    let inner_of = |node: Node<'_>| -> Option<Vec<(String, usize)>> {
        Some(node.fields()?.entries().into_iter().map(|(key, span, _)| (key.to_owned(), span.start)).collect())
    };
    let pattern = inner_of(outer_keys.first()?.2)?;
    let mut lookup_inner = None;
    let mut cells = Vec::new();
    let rows_in_order = place(&first_keys, &outer, &outer_keys, rows, Some)?;
    for node in rows_in_order {
        let fields = node.fields()?;
        let entries = fields.entries();
        let (inner, inner_keys) = lookup(*second, &entries, node, terms, words)?;
        if entries.len() != pattern.len() || lookup_inner.as_ref().is_some_and(|before| *before != inner) {
            node.wrong("each row of the table must have the same entries");
            return None;
        }
        cells.extend(place(&inner_keys, &fields, &entries, node, |node| read_value(holds, node))?);
        lookup_inner = Some(inner);
    }
    Some(Rows::Table { by: vec![first, lookup_inner?], cells })
}

/// What one key of a table is looked up by, and its entries in order.
fn lookup(
    by: Node<'_>,
    entries: &[Entry<'_>],
    rows: Node<'_>,
    terms: &Terms<'_>,
    words: &Situations,
) -> Option<(Lookup, Vec<String>)> {
    let axis = |axis, ids: Vec<String>| Some((Lookup::Axis(axis, ids.len()), ids));
    match by.text()? {
        "arc" => return axis(Axis::Arc, words.arcs.iter().map(|w| w.named.id.clone()).collect()),
        "range" => return axis(Axis::Range, words.ranges.iter().map(|b| b.word.named.id.clone()).collect()),
        "cover" => return axis(Axis::Cover, words.covers.iter().map(|w| w.named.id.clone()).collect()),
        _ => {}
    }
    let (scope, at, holds) = terms.stat(by)?;
    match holds {
        Holds::Word(words) => Some((Lookup::Words(scope, at, words.len()), words.clone())),
        Holds::Number => {
            let mut numbers: Vec<i32> = entries.iter().filter_map(|(key, ..)| key.parse().ok()).collect();
            numbers.sort_unstable();
            if numbers.len() != entries.len() || numbers.is_empty() {
                rows.wrong("the entries of this table are whole numbers");
                return None;
            }
            let keys = numbers.iter().map(i32::to_string).collect();
            Some((Lookup::Numbers(scope, at, numbers), keys))
        }
        _ => {
            by.wrong("a table is looked up by a stat that holds a number or a word, or by arc, range or cover");
            None
        }
    }
}

/// The entries in the order of the keys; each key once, and no others.
fn place<'a, T>(
    keys: &[String],
    table: &Fields<'a>,
    entries: &[Entry<'a>],
    rows: Node<'a>,
    read: impl Fn(Node<'a>) -> Option<T>,
) -> Option<Vec<T>> {
    let mut good = true;
    for (key, span, _) in entries {
        if !keys.iter().any(|known| known == key) {
            let close = super::super::names::close_word(key, keys.iter().map(String::as_str));
            let close = close.map(|close| format!("did you mean {close:?}?"));
            table.wrong_key(span.clone(), format!("{key:?} is none of {}", super::node::listed(keys)), close);
            good = false;
        }
    }
    let placed: Vec<Option<T>> = keys
        .iter()
        .map(|key| match entries.iter().find(|(entry, ..)| entry == key) {
            Some((_, _, node)) => read(*node),
            None => {
                rows.wrong(format!("the table has no entry for {key:?}"));
                None
            }
        })
        .collect();
    placed.into_iter().collect::<Option<Vec<T>>>().filter(|_| good)
}

/// A chart that stands in for one that could not be read, so that others keep their index.
pub(super) fn blank(fields: &Fields<'_>) -> ChartPlan {
    let row = Row { bound: Bound::Else, gives: Value::Number(0) };
    ChartPlan { named: named(fields), rows: Rows::Difference(Default::default(), vec![row]) }
}
