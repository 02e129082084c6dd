//! The league as its answer.
use super::{LeftOut, Verdict, WorthAnswer, WorthReady, WorthRow};
use crate::analysis::league::{self, League, METHOD, Row};
use crate::rules::model::Named;

/// The answer of a league.
pub(super) fn answer(of: &WorthReady, league: League) -> WorthAnswer {
    let pack = &of.pack;
    let named = |unit: usize| &pack.units[of.units[unit].unit].named;
    let rows = league.rows.iter().map(|row| {
        let unit = &of.units[row.unit];
        let counted = pack.units[unit.unit].counting(pack).named(unit.models);
        answer_row(row, named(row.unit), (unit.models, counted))
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
        rows: rows.collect(),
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
    }
}

fn sentence(why: league::LeftOut) -> &'static str {
    match why {
        league::LeftOut::Free => "it is free",
        league::LeftOut::Harmless => "it can't hurt anybody on the board",
        league::LeftOut::Unharmed => "nobody on the board can hurt it",
    }
}
