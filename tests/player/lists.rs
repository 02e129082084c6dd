//! Lists: what they cost, which limits they break, what the points left could buy.
use super::differences::Differences;
use super::{compare, made};
use pipwright_shared::rules::model::Pack;
use pipwright_tests::ask::affordable;
use pipwright_tests::table::asked;
use pipwright_tests::table::list::{Line, List};
use serde_json::{Value, json};

fn made(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let lines: Vec<Value> = (0..rng.usize(1..=9)).map(|_| made::line(pack, rng)).collect();
    let limit = pack.limits.points * rng.u32(4..=13) / 10;
    json!({"pack": pack.named.id, "limit": limit, "lines": lines})
}

fn read(pack: &Pack, request: &Value) -> Option<List> {
    let line = |of: &Value| {
        let count = if of["count"].is_null() { 1 } else { u32::try_from(of["count"].as_u64()?).ok()? };
        Some(Line { count, unit: asked::side(pack, of)? })
    };
    let lines = request["lines"].as_array()?.iter().map(line).collect::<Option<_>>()?;
    Some(List { limit: u32::try_from(request["limit"].as_u64()?).ok()?, lines })
}

fn differences(pack: &Pack, request: &Value) -> Option<Vec<String>> {
    let (list, answer) = (read(pack, request)?, affordable("list-points", request)?);
    let mut found = Differences::default();
    let total = list.total(pack);
    found.number("total", &answer["total"], total as f64);
    found.number("left", &answer["left"], f64::from(list.limit) - total as f64);
    for (line, said) in list.lines.iter().zip(answer["lines"].as_array().expect("lines")) {
        found.number("points of a line", &said["points"], line.points(pack) as f64);
    }
    found.number("ways", &answer["ways"], list.ways(pack) as f64);
    let broken = list.broken(pack);
    let text = |of: &Value| of.as_str().expect("a text").to_owned();
    let mut said: Vec<(String, Option<u64>)> = answer["problems"]
        .as_array()
        .expect("problems")
        .iter()
        .map(|one| (text(&one["code"]), one["line"].as_u64()))
        .collect();
    for limit in &broken {
        let line = limit.line.map(|line| line as u64);
        let fits = |(code, at): &(String, Option<u64>)| code == limit.code && (line.is_none() || *at == line);
        match said.iter().position(fits) {
            Some(at) => drop(said.remove(at)),
            None => found.0.push(format!("{limit:?} is not said")),
        }
    }
    said.into_iter().for_each(|extra| found.0.push(format!("{extra:?} is not so")));
    let legal = if broken.is_empty() { "legal" } else { "not legal" };
    if answer["legal"] != broken.is_empty() {
        found.0.push(format!("the list is {legal}"));
    }
    let buys = list.buys(pack);
    let offered: Vec<(Option<u64>, String, u64)> = answer["buys"]
        .as_array()
        .expect("buys")
        .iter()
        .map(|buy| (buy["line"].as_u64(), text(&buy["text"]), buy["points"].as_u64().expect("points")))
        .collect();
    // A model of a unit that has too few costs nothing more: that is mended, not bought.
    let free = offered.iter().filter(|(_, what, points)| *points == 0 && what.contains("one more"));
    found.0.extend(free.map(|(line, what, _)| format!("{line:?} {what} is offered for nothing")));
    for (line, what, points) in offered.iter().filter(|(.., points)| *points > 0) {
        let fits = buys.iter().any(|buy| buy.line.map(|line| line as u64) == *line && buy.points == *points);
        if !fits {
            found.0.push(format!("{line:?} {what} ({points}) is offered and can't be had"));
        }
    }
    // Of many, the thirty dearest.
    let cheapest = offered.iter().map(|(.., points)| *points).min().filter(|_| offered.len() >= 30).unwrap_or(0);
    for buy in buys.iter().filter(|buy| !buy.worse && (offered.len() < 30 || buy.points > cheapest)) {
        let line = buy.line.map(|line| line as u64);
        if !offered.iter().any(|(at, _, points)| *at == line && *points == buy.points) {
            found.0.push(format!("{buy:?} is not offered"));
        }
    }
    Some(found.0)
}

#[test]
fn lists_are_as_they_are_added_up() {
    compare("list-points", 100, made, differences);
}
