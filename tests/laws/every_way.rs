//! Small requests, answered, against every way that they can go.
use pipwright_tests::{
    ask::ask,
    compare::{self, Shape},
    play::{chain::Chain, check::Check, repair::Repair},
    random::{self, Size},
};
use serde_json::{Value, json};

/// Fails with every request that went wrong, the shortest first.
#[track_caller]
fn all_right(wrong: Vec<(Value, Vec<String>)>) {
    let mut said: Vec<String> =
        wrong.iter().map(|(request, why)| format!("{request}\n    {}", why.join("\n    "))).collect();
    said.sort_by_key(String::len);
    assert!(said.is_empty(), "{} wrong:\n{}", said.len(), said.into_iter().take(8).collect::<Vec<_>>().join("\n"));
}

fn exact(mut request: Value) -> Value {
    request["exact"] = json!(true);
    request
}

fn odds_wrong(request: &Value) -> Vec<String> {
    let chain = Chain::read(request);
    let found = compare::brute_chain(&chain);
    let answer = ask("odds", request.clone());
    let quantities = compare::of_odds(&chain, request);
    let mut wrong = compare::against_found(&answer, &quantities, &found, true);
    wrong.extend(compare::favours_wrong(&answer, chain.steps().count(), &found));
    wrong
}

#[test]
fn chains() {
    let requests = (0..600).map(|seed| exact(random::odds(&mut fastrand::Rng::with_seed(seed), Size::Small)));
    let wrong = requests.map(|request| (odds_wrong(&request), request)).filter(|(wrong, _)| !wrong.is_empty());
    all_right(wrong.map(|(wrong, request)| (request, wrong)).collect());
}

#[test]
fn checks() {
    let wrong = (0..1000).filter_map(|seed| {
        let request = exact(random::check(&mut fastrand::Rng::with_seed(seed), Size::Small));
        let check = Check::read(&request);
        let found = compare::brute_check(&check);
        let answer = ask("check", request.clone());
        let quantities = compare::of_check(&check);
        let mut wrong = compare::against_found(&answer, &quantities, &found, true);
        let passes = &found[&("passes", 0)];
        let last = i64::try_from(check.tries.len()).expect("few");
        let one = |value: i64| passes.get(&value).cloned().unwrap_or_default();
        wrong.extend(compare::chance_wrong(&answer["all"], &one(last), true).map(|why| format!("all: {why}")));
        wrong.extend(compare::chance_wrong(&answer["none"], &one(0), true).map(|why| format!("none: {why}")));
        let any = num_rational::BigRational::from_integer(1.into()) - one(0);
        wrong.extend(compare::chance_wrong(&answer["any"], &any, true).map(|why| format!("any: {why}")));
        (!wrong.is_empty()).then_some((request, wrong))
    });
    all_right(wrong.collect());
}

#[test]
fn repairs() {
    let wrong = (0..400).filter_map(|seed| {
        let request = exact(random::repair(&mut fastrand::Rng::with_seed(seed), Size::Small));
        let repair = Repair::read(&request);
        let found = compare::brute_repair(&repair);
        let answer = ask("repair", request.clone());
        let mut quantities = compare::of_repair(request["turns"].as_u64().expect("turns"));
        quantities.push(compare::Quantity { pointer: String::new(), key: ("chance", 0), shape: Shape::Chance });
        let wrong = compare::against_found(&answer, &quantities, &found, true);
        (!wrong.is_empty()).then_some((request, wrong))
    });
    all_right(wrong.collect());
}
