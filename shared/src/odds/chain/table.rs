//! A table among the steps: hit locations, wounds of different kinds.
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::super::roll::Roll;
use super::{Change, Counts, Gain};
use std::borrow::Cow;

/// A roll without success or failure: the highest row that its total reaches acts.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// The dice, the modifier and what is rolled again; what it needs is not looked at.
    pub roll: Roll,
    /// Ascending.
    pub rows: Vec<TableRow>,
}

/// One row of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct TableRow {
    /// The total from which it counts.
    pub at_least: i64,
    /// What the success gets.
    pub gain: Gain,
    /// The attack ends here.
    pub ends: bool,
    /// What it adds to the target's counters.
    pub counts: Counts,
}

/// The index of each row that may act, or nothing below all of them, with its chance.
pub(super) fn score<N: Number>(table: &Table, change: &Change) -> Vec<(Option<usize>, N)> {
    let moved = change.modifier.is_some() || change.plus.modifier != 0;
    let roll = if moved {
        let modifier = change.modifier.unwrap_or(table.roll.modifier).saturating_add(change.plus.modifier);
        Cow::Owned(Roll { modifier, ..table.roll.clone() })
    } else {
        Cow::Borrowed(&table.roll)
    };
    let totals: Distribution<N> = roll.totals();
    let mut found: Vec<(Option<usize>, N)> = Vec::with_capacity(table.rows.len() + 1);
    for (total, chance) in totals.iter().filter(|(_, chance)| !chance.is_zero()) {
        // Rows go up with the total, so that what acts twice stands last.
        let row = table.rows.partition_point(|row| row.at_least <= total).checked_sub(1);
        match found.last_mut().filter(|(known, _)| *known == row) {
            Some((_, sum)) => sum.add(chance),
            None => found.push((row, chance.clone())),
        }
    }
    found
}

/// The chance that one ordinary roll does not end the attack.
pub(super) fn goes_on<N: Number>(table: &Table) -> N {
    let mut sum = N::zero();
    let ends = |row: Option<usize>| row.is_some_and(|row| table.rows[row].ends);
    let all = score::<N>(table, &Change::default());
    all.iter().filter(|(row, _)| !ends(*row)).for_each(|(_, chance)| sum.add(chance));
    sum
}
