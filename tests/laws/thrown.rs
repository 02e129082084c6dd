//! Requests as large as at a table, answered, against many games thrown die by die.
//!
//! Each number compared may be off so far that a right one is turned down once in 10^9 times; the seeds are fixed, so a
//! failure is the same on every run.
use pipwright_tests::{
    ask::ask,
    compare,
    play::{chain::Chain, check::Check, repair::Repair},
    random::{self, Size},
    simulate::simulate,
};

const DOUBT: f64 = 1e-9;

#[track_caller]
fn agrees(seed: u64, request: &serde_json::Value, wrong: Vec<String>) {
    assert!(wrong.is_empty(), "seed {seed}: {request}\n{}", wrong.join("\n"));
}

#[test]
fn chains() {
    for seed in 1000..1050 {
        let request = random::odds(&mut fastrand::Rng::with_seed(seed), Size::Large);
        let chain = Chain::read(&request);
        let answer = ask("odds", request.clone());
        let counted = simulate(&chain, seed, 20_000);
        let mut quantities = compare::of_odds(&chain, &request);
        // How often a gate opens is not noted down: what comes of that is.
        quantities.retain(|quantity| quantity.key.0 != "gate");
        agrees(seed, &request, compare::against_counted(&answer, &quantities, &counted, DOUBT));
    }
}

#[test]
fn checks() {
    for seed in 1000..1050 {
        let request = random::check(&mut fastrand::Rng::with_seed(seed), Size::Large);
        let check = Check::read(&request);
        let answer = ask("check", request.clone());
        let counted = simulate(&check, seed, 20_000);
        let mut quantities = compare::of_check(&check);
        // The chance and the total are those of one try by itself, which no budget helps.
        quantities.retain(|q| !["one", "total of one"].contains(&q.key.0));
        agrees(seed, &request, compare::against_counted(&answer, &quantities, &counted, DOUBT));
    }
}

#[test]
fn repairs() {
    for seed in 1000..1050 {
        let request = random::repair(&mut fastrand::Rng::with_seed(seed), Size::Large);
        let answer = ask("repair", request.clone());
        let counted = simulate(&Repair::read(&request), seed, 20_000);
        let quantities = compare::of_repair(request["turns"].as_u64().expect("turns"));
        agrees(seed, &request, compare::against_counted(&answer, &quantities, &counted, DOUBT));
    }
}
