//! Small requests, answered, against every way that they can go.
use num_rational::BigRational;
use num_traits::One;
use pipwright_tests::{
    ask::{affordable, ask},
    compare::{self, Shape},
    play::{chain::Chain, check::Check, repair::Repair},
    random::{self, Size},
    shrink::shrink,
};
use serde_json::{Value, json};

/// Asks them all; fails with the requests that went wrong, made short.
#[track_caller]
fn all_right(path: &str, requests: impl Iterator<Item = Value>, wrong: impl Fn(&Value) -> Vec<String>) {
    let failing: Vec<Value> = requests.filter(|request| !wrong(request).is_empty()).collect();
    let mut said: Vec<String> = failing
        .iter()
        .take(10)
        .map(|request| shrink(path, request.clone(), |request| !wrong(request).is_empty()))
        .map(|request| format!("{request}\n    {}", wrong(&request).join("\n    ")))
        .collect();
    said.sort_by_key(String::len);
    assert!(said.is_empty(), "{} wrong:\n{}", failing.len(), said.join("\n"));
}

fn exact(mut request: Value) -> Value {
    request["exact"] = json!(true);
    request
}

fn odds_wrong(request: &Value) -> Vec<String> {
    odds_said(request, &ask("odds", request.clone()))
}

/// What of an answer is not so.
fn odds_said(request: &Value, answer: &Value) -> Vec<String> {
    let chain = Chain::read(request);
    let found = compare::brute_chain(&chain);
    let quantities = compare::of_odds(&chain, request);
    let mut wrong = compare::against_found(answer, &quantities, &found, true);
    wrong.extend(compare::favours_wrong(answer, chain.steps().count(), &found));
    // An attack that comes with an effect is answered as if it were asked for by itself.
    for row in request["aftermath"].as_array().into_iter().flatten().filter(|row| row.get("attack").is_some()) {
        let effect = row["effect"].as_str().expect("an effect");
        let alone = exact(row["attack"].clone());
        let said = &answer["aftermath"][effect]["answer"];
        wrong.extend(odds_said(&alone, said).into_iter().map(|wrong| format!("{effect}: {wrong}")));
    }
    wrong
}

fn check_wrong(request: &Value) -> Vec<String> {
    let check = Check::read(request);
    let found = compare::brute_check(&check);
    let answer = ask("check", request.clone());
    let mut wrong = compare::against_found(&answer, &compare::of_check(&check), &found, true);
    let last = i64::try_from(check.tries.len()).expect("few");
    let passes = |value: i64| found[&("passes", 0)].get(&value).cloned().unwrap_or_default();
    for (name, right) in [("all", passes(last)), ("none", passes(0)), ("any", BigRational::one() - passes(0))] {
        wrong.extend(compare::chance_wrong(&answer[name], &right, true).map(|why| format!("{name}: {why}")));
    }
    wrong
}

fn repair_wrong(request: &Value) -> Vec<String> {
    let repair = Repair::read(request);
    let found = compare::brute_repair(&repair);
    let answer = ask("repair", request.clone());
    let mut quantities = compare::of_repair(request["turns"].as_u64().unwrap_or(6));
    quantities.push(compare::Quantity { pointer: String::new(), key: ("chance", 0), shape: Shape::Chance });
    compare::against_found(&answer, &quantities, &found, true)
}

fn made_up(first: u64, count: u64, one: impl Fn(&mut fastrand::Rng, Size) -> Value) -> impl Iterator<Item = Value> {
    (first..first + count).map(move |seed| exact(one(&mut fastrand::Rng::with_seed(seed), Size::Small)))
}

/// How many are asked; `PIPWRIGHT_CHAINS` asks more.
fn how_many() -> u64 {
    std::env::var("PIPWRIGHT_CHAINS").ok().and_then(|n| n.parse().ok()).unwrap_or(620)
}

/// What the price refuses is left out: few of these are.
#[test]
fn chains() {
    let asked = how_many();
    let all: Vec<Value> = made_up(0, asked, random::odds).filter(|one| affordable("odds", one).is_some()).collect();
    assert!(all.len() as u64 * 31 >= asked * 30, "{} of {asked} are answered", all.len());
    all_right("odds", all.into_iter(), odds_wrong);
}

#[test]
fn checks() {
    all_right("check", made_up(0, 1000, random::check), check_wrong);
}

#[test]
fn repairs() {
    all_right("repair", made_up(0, 400, random::repair), repair_wrong);
}
