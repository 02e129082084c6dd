//! Two lists against each other: what each row takes and stands, and what a list has no answer to, fought out by the
//! second player.
use super::differences::Differences;
use super::leagues::League;
use super::{compare, made};
use pipwright_shared::rules::model::Pack;
use pipwright_tests::ask::affordable;
use pipwright_tests::table::lay::Lay;
use pipwright_tests::table::{Muster, asked, price};
use serde_json::{Value, json};

fn made(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let mut list = || -> Vec<Value> {
        let rows = (0..rng.usize(1..=2)).map(|_| {
            let mut side = made::side(pack, 5, false, rng);
            let unit = pack.units.iter().find(|unit| side["unit"] == unit.named.id).expect("a unit");
            if unit.models.1 == 1 {
                side["models"] = json!(1);
            }
            json!({"unit": side["unit"], "models": side["models"], "options": side["options"], "count": rng.u32(1..=2)})
        });
        let mut rows: Vec<Value> = rows.collect();
        // Equal units are put into one row by the answer.
        rows.dedup_by(|one, other| one["unit"] == other["unit"]);
        rows
    };
    json!({"pack": pack.named.id, "a": {"lines": list()}, "b": {"lines": list()}})
}

struct Row {
    muster: Muster,
    count: f64,
}

fn rows(pack: &Pack, list: &Value) -> Option<Vec<Row>> {
    let each = list["lines"].as_array()?.iter().map(|line| {
        let mut side = line.clone();
        let count = side.as_object_mut()?.remove("count")?.as_f64()?;
        Some(Row { muster: asked::side(pack, &side)?, count })
    });
    each.collect()
}

fn differences(pack: &Pack, request: &Value) -> Option<Vec<String>> {
    let lists = [rows(pack, &request["a"])?, rows(pack, &request["b"])?];
    let answer = affordable("compare-lists", request)?;
    let turns = pack.board.turns;
    let league = League { pack, turns: turns as usize, lay: Lay::default() };
    let game = f64::from(turns);
    let mut found = Differences::default();
    for (own, theirs, said) in [(&lists[0], &lists[1], &answer["a"]), (&lists[1], &lists[0], &answer["b"])] {
        let cost = |row: &Row| row.count * price::of(pack, &row.muster) as f64;
        let all: f64 = theirs.iter().map(cost).sum();
        let stands = |loss: f64| if loss > 0.0 { (1.0 / loss).min(game) } else { game };
        let mut sum = 0.0;
        for (at, row) in own.iter().enumerate() {
            let from = theirs.iter().map(|other| {
                let damage = league.damage(&row.muster, &other.muster) * row.count;
                (damage * stands(league.loss(&other.muster, &row.muster)), cost(other) / all)
            });
            let takes: f64 = from.map(|(taken, share)| taken * share).sum();
            let loss: f64 =
                theirs.iter().map(|other| league.loss(&other.muster, &row.muster) * cost(other) / all).sum();
            found.number(&format!("row {at}: takes"), &said["rows"][at]["takes"], takes);
            found.number(&format!("row {at}: survives"), &said["rows"][at]["survives"], stands(loss));
            sum += takes;
        }
        found.number("takes", &said["takes"], sum);
        // Exactly in the last turn is in time, whatever the sum of doubles rounds to.
        let helpless = theirs.iter().filter(|other| {
            let each = own.iter().map(|row| row.count * league.damage(&row.muster, &other.muster));
            each.sum::<f64>() / price::of(pack, &other.muster) as f64 * game < 1.0 - 1e-9
        });
        found.number("no answer to", &json!(said["no_answer"].as_array()?.len()), helpless.count() as f64);
    }
    Some(found.0)
}

#[test]
fn lists_do_to_each_other_what_is_fought_out() {
    compare("compare-lists", 10, made, differences);
}
