//! Rows of charts that nobody comes to.
use super::super::fault::Fault;
use super::super::model::Pack;
use super::super::model::chart::{Bound, ChartPlan, Lookup, Row, Rows};
use super::super::model::stat::Holds;
use super::places::{Places, Spot};
use super::values::Values;
use std::collections::BTreeSet;

/// The most pairs of numbers that a chart by ratio is tried with.
const MOST_PAIRS: usize = 200_000;

pub(super) fn find(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    let values = Values::new(pack);
    for chart in &pack.charts {
        let rows = places.of("chart", &chart.named.id).under("rows");
        of_chart(pack, chart, &rows, &values, faults);
    }
    breaches(pack, places, &values, faults);
}

fn of_chart(pack: &Pack, chart: &ChartPlan, place: &Spot<'_>, values: &Values<'_>, faults: &mut Vec<Fault>) {
    match &chart.rows {
        Rows::Difference(sum, rows) => {
            let Some(numbers) = values.sum(sum).filter(|numbers| !numbers.is_empty()) else { return };
            let read = numbers.iter().map(|number| (*number, 1));
            let (first, last) = (numbers.first().copied(), numbers.last().copied());
            let span = first.zip(last).map_or_else(String::new, |(first, last)| format!("from {first} to {last}"));
            by_rows(rows, read, &span, place, faults);
        }
        Rows::Ratio(over, under, rows) => {
            let (Some(over), Some(under)) = (values.sum(over), values.sum(under)) else { return };
            if over.is_empty() || under.is_empty() || over.len() * under.len() > MOST_PAIRS {
                return;
            }
            let read = over.iter().flat_map(|a| under.iter().map(move |b| (*a, *b)));
            by_rows(rows, read, "in other ratios", place, faults);
        }
        Rows::Table { by, .. } => {
            let Some(outer) = by.first() else { return };
            by_table(pack, outer, place, values, faults);
        }
    }
}

/// Rows of which the first that fits counts. The row that takes the rest has to be there, whether it is come to or not.
fn by_rows(
    rows: &[Row],
    read: impl Iterator<Item = (i32, i32)>,
    span: &str,
    place: &Spot<'_>,
    faults: &mut Vec<Fault>,
) {
    let taken: BTreeSet<usize> =
        read.filter_map(|(over, under)| rows.iter().position(|row| row.bound.fits(over, under))).collect();
    for (at, row) in rows.iter().enumerate() {
        if row.bound != Bound::Else && !taken.contains(&at) {
            let message = format!("nobody comes to this row: with these units and weapons the chart is read {span}");
            faults.push(place.nth(at).warning(message, "leave it out, or look at the stats that it is read by"));
        }
    }
}

fn by_table(pack: &Pack, outer: &Lookup, place: &Spot<'_>, values: &Values<'_>, faults: &mut Vec<Fault>) {
    let (scope, stat, keys): (_, _, Vec<String>) = match outer {
        Lookup::Words(scope, stat, _) => match &pack.stats.of(*scope)[*stat].holds {
            Holds::Word(words) => (*scope, *stat, words.clone()),
            _ => return,
        },
        Lookup::Numbers(scope, stat, numbers) => (*scope, *stat, numbers.iter().map(i32::to_string).collect()),
        Lookup::Axis(..) => return,
    };
    let held = values.stat(scope, stat);
    if held.is_empty() {
        return;
    }
    let taken: BTreeSet<usize> = match outer {
        Lookup::Numbers(_, _, numbers) => {
            held.iter().map(|held| numbers.partition_point(|number| number <= held).saturating_sub(1)).collect()
        }
        _ => held.iter().map(|word| *word as usize).collect(),
    };
    let label = &pack.stats.of(scope)[stat].label;
    for (_, key) in keys.iter().enumerate().filter(|(at, _)| !taken.contains(at)) {
        let message = format!("nobody comes to this row: no {label} of the books is {key}");
        faults.push(place.key(key).warning(message, "leave it out, or give it to somebody"));
    }
}

/// Rows of a breach chart that its roll can't show, whatever rules add to it.
fn breaches(pack: &Pack, places: &Places<'_>, values: &Values<'_>, faults: &mut Vec<Fault>) {
    let (mut less, mut more) = (0, 0);
    let effects = pack.rules.iter().flat_map(|rule| &rule.changes).map(|change| &change.effects);
    for sum in effects.filter_map(|effects| effects.chart_modifier.as_ref()) {
        let Some(numbers) = values.sum(sum) else { return };
        less += numbers.first().copied().unwrap_or(0).min(0);
        more += numbers.last().copied().unwrap_or(0).max(0);
    }
    for breach in &pack.breaches {
        let Some(own) = values.sum(&breach.modifier) else { continue };
        let own = (own.first().copied().unwrap_or(0), own.last().copied().unwrap_or(0));
        let lowest = (i64::from(breach.dice.count()) + i64::from(breach.dice.plus())).max(0) + i64::from(own.0 + less);
        let highest = breach.dice.highest() + i64::from(own.1 + more);
        let rows = places.of("breach", &breach.named.id).under("rows");
        for (at, row) in breach.rows.iter().enumerate() {
            let next = breach.rows.get(at + 1).map_or(i64::MAX, |next| i64::from(next.at_least));
            let message = match () {
                () if i64::from(row.at_least) > highest => format!("this row is never rolled: {highest} is the most"),
                () if next <= lowest => format!("this row is never rolled: {lowest} is the least"),
                () => continue,
            };
            faults.push(rows.nth(at).warning(message, "leave it out, or change the dice or the row"));
        }
    }
}
