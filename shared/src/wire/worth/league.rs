//! The league as its answer.
use super::{LeftOut, PreparedWorth, Verdict, WorthAnswer, WorthRow};
use crate::analysis::league::{self, League, METHOD, Row};
use crate::points::instance_cost;
use crate::rules::model::Named;

/// The answer of a league.
pub(super) fn answer(of: &PreparedWorth, league: League) -> WorthAnswer {
    let pack = &of.pack;
    let named = |unit: usize| &pack.units[of.units[unit].unit].named;
    let rows = league.rows.iter().map(|row| {
        let unit = &of.units[row.unit];
        let counted = pack.units[unit.unit].counting(pack).named(unit.models);
        WorthRow {
            index: row.unit,
            value: league.given[row.unit].value,
            ..answer_row(row, named(row.unit), (unit.models, counted))
        }
    });
    let last = league.rows.len() as u32 + 1;
    let not_compared = league.left_out.iter().map(|(at, _)| {
        let (unit, given) = (&of.units[*at], league.given[*at]);
        let points = instance_cost(pack, unit);
        WorthRow {
            rank: last,
            index: *at,
            unit: named(*at).id.clone(),
            name: named(*at).label.clone(),
            models: unit.models,
            counted: pack.units[unit.unit].counting(pack).named(unit.models),
            points,
            damage_rate: given.damage_rate,
            survival: given.survival,
            fair_price: points as f64,
            off: 0.0,
            worth: 1.0,
            verdict: Verdict::Fair,
            value: given.value,
            compared: Some(false),
        }
    });
    let left_out = league.left_out.iter().map(|(unit, why)| LeftOut {
        unit: named(*unit).id.clone(),
        name: named(*unit).label.clone(),
        why: sentence(*why).to_owned(),
    });
    WorthAnswer {
        pack: pack.named.id.clone(),
        hash: pack.hash.clone(),
        turns: of.turns,
        board: of.board.iter().map(|unit| pack.units[unit.unit].named.label.clone()).collect(),
        rows: rows.chain(not_compared).collect(),
        left_out: left_out.collect(),
        spread: league.spread,
        marked_from: league.marked_from,
        method: METHOD.to_owned(),
    }
}

fn answer_row(row: &Row, named: &Named, (models, counted): (u32, String)) -> WorthRow {
    WorthRow {
        rank: row.rank,
        unit: named.id.clone(),
        name: named.label.clone(),
        models,
        counted,
        points: row.points,
        damage_rate: row.damage_rate,
        survival: row.survival,
        fair_price: row.fair_price,
        off: row.points as f64 - row.fair_price,
        worth: row.worth,
        verdict: match row.verdict {
            league::Verdict::Fair => Verdict::Fair,
            league::Verdict::Dear => Verdict::Dear,
            league::Verdict::Cheap => Verdict::Cheap,
        },
        ..WorthRow::default()
    }
}

fn sentence(why: league::LeftOut) -> &'static str {
    match why {
        league::LeftOut::Free => "it is free",
        league::LeftOut::Harmless => "it can't hurt anybody on the board",
        league::LeftOut::Unharmed => "nobody on the board can hurt it",
    }
}
