//! A whole evening of results: the sums against every way that all of its dice can fall.
use super::{close, number, pointers};
use fastrand::Rng;
use num_rational::BigRational;
use num_traits::{One, Zero};
use pipwright_tests::{
    ask::{ask, refused, try_ask},
    brute::brute,
    compare::{brute_chain, brute_check},
    play::{chain::Chain, check::Check, duel::Duel, number::fraction, repair::Repair},
    random::{self, Size},
};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// How likely each value of a result is, worked out die by die.
type Law = BTreeMap<i64, BigRational>;

fn exact(chance: &Value) -> BigRational {
    fraction(chance["fraction"].as_str().expect("a fraction"))
}

/// An entry of a log, with the second reading of it.
fn entry(rng: &mut Rng) -> (&'static str, Value, &'static str, Law) {
    match rng.u32(0..4) {
        0 => {
            let mut check = random::check(rng, Size::Small);
            check.as_object_mut().unwrap().remove("exact");
            let law = brute_check(&Check::read(&check))[&("passes", 0)].clone();
            ("check", check, "passes", law)
        }
        1 => {
            let chain = json!({"attackers": rng.u32(1..=2), "steps": [{"name": "hit", "needs": format!("{}+", rng.u32(2..=6))}],
                "target": {"models": rng.u32(1..=3)}});
            let law = brute_chain(&Chain::read(&chain))[&("models", 0)].clone();
            ("chain", chain, "models", law)
        }
        2 => {
            let repair =
                json!({"capacity": 3, "missing": rng.u32(1..=2), "needs": format!("{}+", rng.u32(2..=6)), "turns": 2});
            let law = brute(&Repair::read(&repair))[&("restored", 0)].clone();
            ("repair", repair, "restored", law)
        }
        _ => {
            let side = |rng: &mut Rng| {
                json!({"target": {"models": rng.u32(1..=2)},
                "attack": {"steps": [{"name": "hit", "needs": format!("{}+", rng.u32(3..=6))}]}})
            };
            let duel = json!({"a": side(rng), "b": side(rng), "turns": 1});
            let (key, named) = if rng.bool() { ("a_left", "a left") } else { ("b_left", "b left") };
            let law = brute(&Duel::read(&duel))[&(named, 0)].clone();
            ("duel", duel, key, law)
        }
    }
}

#[test]
fn sums_against_every_way_that_all_the_dice_can_fall() {
    let mut rng = Rng::with_seed(63);
    for _ in 0..25 {
        let mut log = Vec::new();
        let mut told: Vec<(&str, &str, i64, Law)> = Vec::new();
        for _ in 0..rng.u32(1..=5) {
            let (of, request, quantity, law) = entry(&mut rng);
            let side = if rng.u32(0..3) == 0 { "them" } else { "us" };
            let value = *law.keys().nth(rng.usize(0..law.len())).unwrap();
            let mut entry = json!({of: request, "result": {quantity: value}});
            if side == "them" || rng.bool() {
                entry["side"] = json!(side);
            }
            log.push(entry);
            told.push((quantity, side, value, law));
        }
        let answer = ask("luck", json!({"log": log, "exact": true}));
        for ((quantity, _, value, law), one) in told.iter().zip(answer["entries"].as_array().unwrap()) {
            assert_eq!(exact(&one["exactly"]), law[value], "{quantity} {one}");
        }
        let sums = answer["sums"].as_array().unwrap();
        let mut order: Vec<(&str, &str)> = Vec::new();
        told.iter().for_each(|(quantity, side, ..)| {
            if !order.contains(&(quantity, side)) {
                order.push((quantity, side));
            }
        });
        assert_eq!(sums.len(), order.len(), "{answer}");
        for (sum, (quantity, side)) in sums.iter().zip(order) {
            assert_eq!((&sum["result"], &sum["side"]), (&json!(quantity), &json!(side)));
            let parts: Vec<_> = told.iter().filter(|told| (told.0, told.1) == (quantity, side)).collect();
            assert_eq!(sum["entries"], parts.len());
            // Every combination of the values of all entries, one after another.
            let mut ways: Vec<(i64, BigRational)> = vec![(0, BigRational::one())];
            for part in &parts {
                ways = ways
                    .iter()
                    .flat_map(|(sum, chance)| part.3.iter().map(move |(value, more)| (sum + value, chance * more)))
                    .collect();
            }
            let value: i64 = parts.iter().map(|part| part.2).sum();
            assert_eq!(sum["value"], value);
            let that = |test: &dyn Fn(i64) -> bool| -> BigRational {
                ways.iter().filter(|(sum, _)| test(*sum)).map(|(_, chance)| chance.clone()).sum()
            };
            assert_eq!(exact(&sum["exactly"]), that(&|sum| sum == value), "{sum}");
            assert_eq!(exact(&sum["at_most"]), that(&|sum| sum <= value), "{sum}");
            assert_eq!(exact(&sum["at_least"]), that(&|sum| sum >= value), "{sum}");
            let zero = BigRational::zero();
            let mean = ways
                .iter()
                .fold(zero.clone(), |mean, (sum, chance)| mean + chance * BigRational::from_integer((*sum).into()));
            let square = ways.iter().fold(zero, |all, (sum, chance)| {
                let off = BigRational::from_integer((*sum).into()) - &mean;
                all + &off * &off * chance
            });
            let double = |exact: &BigRational| num_traits::ToPrimitive::to_f64(exact).unwrap();
            close(number(&sum["expected"]), double(&mean));
            close(number(&sum["deviation"]), double(&square).sqrt());
        }
    }
}

#[test]
fn two_dice_in_two_entries_are_two_dice() {
    // Two sixes in two throws: 1 in 36; the sum of two unlike rolls by hand: 1/2 * 2/3 + 1/2 * 1/3 = 1/2 for just one pass.
    let roll =
        |needs: &str, passes: i64| json!({"check": {"dice": "d6", "needs": needs}, "result": {"passes": passes}});
    let answer = ask("luck", json!({"log": [roll("6+", 1), roll("6+", 1)]}));
    close(number(&answer["sums"][0]["exactly"]["chance"]), 1.0 / 36.0);
    let answer = ask("luck", json!({"log": [roll("4+", 1), roll("5+", 0)], "exact": true}));
    assert_eq!(answer["sums"][0]["exactly"]["fraction"], "1/2");
    assert_eq!(
        answer["sums"][0]["sentence"],
        "Nothing unusual: 1 pass in all, which happens half the time (50%). The average is 0.83."
    );
}

#[test]
fn totals_and_what_is_missing_are_not_added_up() {
    let answer = ask(
        "luck",
        json!({"log": [
            {"check": {"dice": "2d6", "needs": "7+"}, "result": {"total": 4}},
            {"repair": {"capacity": 4, "missing": 3, "needs": "5+"}, "result": {"missing": 1}},
        ]}),
    );
    assert_eq!(answer["entries"].as_array().unwrap().len(), 2);
    assert_eq!(answer["sums"], json!([]));
}

#[test]
fn an_entry_is_the_result_by_itself() {
    for (of, request, result) in [
        (
            "matchup",
            json!({"attacker": {"unit": "quay-rifles", "models": 5}, "target": {"unit": "dyke-hands", "models": 10}}),
            json!({"models": 3}),
        ),
        ("check", json!({"dice": "d6", "needs": "2+", "tries": 6}), json!({"passes": 1})),
    ] {
        let one = ask("luck", json!({of: request, "result": result}));
        let log = ask(
            "luck",
            json!({"log": [{of: request, "result": result}, {of: request, "result": result, "side": "them"}]}),
        );
        assert_eq!(log["entries"][0], one);
        assert_eq!(log["entries"][1]["at_most"], one["at_most"]);
        assert_eq!(log["sums"].as_array().unwrap().len(), 2, "{log}");
        assert_eq!(log["sums"][0]["at_least"], one["at_least"]);
    }
    let theirs = ask(
        "luck",
        json!({"check": {"dice": "d6", "needs": "2+", "tries": 6}, "result": {"passes": 1}, "side": "them"}),
    );
    assert_eq!(
        theirs["sentence"],
        "Incredibly unlucky for them: one pass, or none, which happens about 1 time in 1,500 (0.07%). The average is 5."
    );
}

#[test]
fn two_hundred_entries_and_not_one_more() {
    let roll = json!({"check": {"dice": "d6", "needs": "4+"}, "result": {"passes": 1}});
    let log = |many: usize| json!({"log": vec![roll.clone(); many]});
    let answer = ask("luck", log(200));
    // Two hundred throws of a coin that all come up: 1 of 2^200.
    assert!((number(&answer["sums"][0]["exactly"]["chance"]).log2() + 200.0).abs() < 1e-9);
    assert_eq!(pointers("luck", log(201)), ["/log"]);
    assert_eq!(refused("luck", log(201))[0].detail, "a log has up to 200 entries, and this one has 201");
    assert_eq!(pointers("luck", log(0)), ["/log"]);
    assert_eq!(refused("luck", log(0))[0].detail, "a log has at least one entry");
    // What would be too much work together is refused, however cheap each of it is.
    let dear = json!({"check": {"dice": "d6", "needs": "4+", "tries": 10_000}, "result": {"passes": 5_000}});
    assert!(try_ask("luck", json!({"log": vec![dear; 200]})).is_err());
}

#[test]
fn what_is_wrong_is_named() {
    let roll = json!({"check": {"dice": "d6", "needs": "4+"}, "result": {"passes": 1}});
    assert_eq!(
        pointers("luck", json!({"log": [roll, {"check": {"dice": "d6", "needs": "4+"}, "result": {"models": 1}}]})),
        ["/log/1/result/models"]
    );
    assert_eq!(pointers("luck", json!({"log": [{"result": {"passes": 1}}]})), ["/log/0"]);
    assert_eq!(
        pointers("luck", json!({"log": [{"check": {"dice": "d6"}, "result": {"passes": 1}}]})),
        ["/log/0/check/needs"]
    );
    assert_eq!(
        pointers("luck", json!({"log": [{"check": {"dice": "d6", "needs": "4+"}, "result": {}}]})),
        ["/log/0/result"]
    );
    assert_eq!(
        pointers("luck", json!({"log": [roll], "result": {"passes": 1}, "check": {"dice": "d6", "needs": "4+"}})),
        ["/check", "/result"]
    );
    assert_eq!(
        pointers(
            "luck",
            json!({"log": [{"duel": {"a": {"target": {"models": 0}}, "b": {"target": {"models": 1}}}, "result": {"a_left": 1}}]})
        ),
        ["/log/0/duel/a/target/models"]
    );
    assert_eq!(
        pointers(
            "luck",
            json!({"log": [{"duel": {"a": {"target": {"models": 1}}, "b": {"target": {"models": 1}}}, "result": {"models": 1}}]})
        ),
        ["/log/0/result/models"]
    );
    assert_eq!(pointers("luck", json!({"check": {"dice": "d6", "needs": "4+"}})), ["/result"]);
    let third = json!({"check": {"dice": "d6", "needs": "4+"}, "result": {"passes": 1}, "side": "others"});
    assert_eq!(pointers("luck", json!({"log": [roll, third]})), ["/log/1/side"]);
}
