//! From measures to a league: parity by a robust line, and the prices that lie off it.
use super::super::lookup;
use super::measure::Measured;
use super::{LeftOut, Verdict, WorthAnswer, WorthRow};
use crate::odds::parity::Parity;
use crate::rules::matchup::Fielded;
use crate::rules::model::Pack;

/// No price is marked that is less than this share off.
const LEAST: f64 = 0.08;
/// Nor one within so many deviations of what is usual in the book.
const DEVIATIONS: f64 = 3.0;

const METHOD: &str = "Each unit attacks each unit of the board, itself too, at the range that is best for it, with \
nobody answering and always more to hit: the points it takes in a turn are its pace. The same board attacks it: the turns \
in which that wears it down, its repair counted over a game, are its stay. Parity is the price that a robust line through the logarithms of all prices, \
paces and stays gives it (least absolute deviations), so that some wrong prices do not bend it. What is not seen: movement \
and reach beyond the choice of range, arcs other than the usual one, cover, tests, what a unit does for others, and roles. A \
price is marked where it is off by more than three times the usual spread of the book, and by at least 8%.";

pub(super) fn league(
    pack: &Pack,
    units: &[Fielded],
    board: &[Fielded],
    turns: u32,
    measured: &[Measured],
) -> WorthAnswer {
    let mut rows = Vec::new();
    let mut left_out = Vec::new();
    for (unit, measured) in units.iter().zip(measured) {
        let named = &pack.units[unit.unit].named;
        let points = lookup::cost(pack, unit);
        let why = match (points, measured) {
            (0, _) => "It is free.",
            (_, Measured { pace: ..=0.0, .. }) => "It takes nothing from anybody on the board.",
            (_, Measured { worn: ..=0.0, .. }) => "Nobody on the board can wear it down.",
            _ => {
                rows.push(WorthRow {
                    unit: named.id.clone(),
                    name: named.label.clone(),
                    models: unit.models,
                    points,
                    pace: measured.pace,
                    stay: 1.0 / measured.worn,
                    ..WorthRow::default()
                });
                continue;
            }
        };
        left_out.push(LeftOut { unit: named.id.clone(), name: named.label.clone(), why: why.to_owned() });
    }
    let prices: Vec<f64> = rows.iter().map(|row| row.points as f64).collect();
    let measures: Vec<Vec<f64>> = rows.iter().map(|row| vec![row.pace, row.stay]).collect();
    let fit = Parity::fit(&prices, &measures);
    let spread = fit.as_ref().map_or(0.0, |fit| fit.spread);
    let marked_from = LEAST.max(DEVIATIONS * spread);
    for row in &mut rows {
        row.parity = fit.as_ref().map_or(row.points as f64, |fit| fit.price(&[row.pace, row.stay]));
        row.off = row.points as f64 - row.parity;
        row.worth = row.parity / row.points as f64;
        // The same distance either way: a quarter more and a fifth less are one.
        row.verdict = match row.worth.ln() {
            distance if distance > marked_from.ln_1p() => Verdict::Cheap,
            distance if distance < -marked_from.ln_1p() => Verdict::Dear,
            _ => Verdict::Fair,
        };
    }
    rows.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    for at in 0..rows.len() {
        rows[at].rank = match at.checked_sub(1) {
            Some(before) if rows[before].worth == rows[at].worth => rows[before].rank,
            _ => at as u32 + 1,
        };
    }
    WorthAnswer {
        pack: pack.named.id.clone(),
        hash: pack.hash.clone(),
        turns,
        board: board.iter().map(|unit| pack.units[unit.unit].named.label.clone()).collect(),
        rows,
        left_out,
        spread,
        marked_from,
        method: METHOD.to_owned(),
    }
}
