//! The second reading itself, against what can be worked out by hand.
use num_rational::BigRational;
use pipwright_tests::{
    brute::{Found, brute},
    compare::brute_chain,
    play::{chain::Chain, check::Check, number::fraction, repair::Repair},
    random::{self, Size},
    simulate::simulate,
};
use serde_json::{Value, json};

fn chance(found: &Found, name: &'static str, value: i64) -> BigRational {
    found[&(name, 0)].get(&value).cloned().unwrap_or_default()
}

/// What a quantity's value comes to in a chain.
fn odds(request: &Value, name: &'static str, value: i64) -> String {
    chance(&brute_chain(&Chain::read(request)), name, value).to_string()
}

fn passes(request: &Value) -> String {
    chance(&brute(&Check::read(request)), "passes", 1).to_string()
}

#[test]
fn rolls_by_hand() {
    assert_eq!(passes(&json!({"dice": "d6", "needs": "4+"})), "1/2");
    assert_eq!(passes(&json!({"dice": "d6", "needs": "2+", "reroll": "failures"})), "35/36");
    // Ones count again: 1/2 + 1/6 of 1/2.
    assert_eq!(passes(&json!({"dice": "d6", "needs": "4+", "reroll": "worst"})), "7/12");
    // Only a natural 1 to 4 is rolled again: 2/6 pass, 4/6 of 3/6 pass then.
    let natural = json!({"dice": "d6", "needs": "5+", "modifier": 1, "reroll": "natural_failures"});
    assert_eq!(passes(&natural), "2/3");
    // 1 fails, 6 succeeds, whatever the modifier.
    assert_eq!(passes(&json!({"dice": "d6", "needs": "2+", "modifier": 5, "low_fails": true})), "5/6");
    assert_eq!(passes(&json!({"dice": "d6", "needs": "7+", "modifier": -5, "high_succeeds": true})), "1/6");
    assert_eq!(passes(&json!({"dice": "d6", "needs": "3-", "modifier": -5, "low_fails": true})), "5/6");
    // Equal faces are one in six, and otherwise each side is as likely.
    assert_eq!(passes(&json!({"dice": "d6", "versus": {"dice": "d6"}})), "5/12");
    assert_eq!(passes(&json!({"dice": "d6", "versus": {"dice": "d6"}, "ties": "win"})), "7/12");
    assert_eq!(passes(&json!({"dice": "d6", "versus": {"dice": "d6"}, "ties": "again"})), "1/2");
    // The better of two dice shows 6 in 11 of 36.
    assert_eq!(passes(&json!({"dice": "2d6", "keep": {"highest": 1}, "needs": "6+"})), "11/36");
}

#[test]
fn chains_by_hand() {
    // A six hits twice: the mean is 4/6 + 1/6 and none come through 1/3 of the time.
    let request =
        json!({"steps": [{"name": "hit", "needs": "3+", "critical": {"on": 6, "extra": 1}}], "target": {"models": 3}});
    assert_eq!(odds(&request, "models", 0), "1/3");
    assert_eq!(odds(&request, "models", 1), "1/2");
    assert_eq!(odds(&request, "models", 2), "1/6");
    // A packet of 3 on a model of 2: the third point is lost, or goes on with spill.
    let mut request = json!({"damage": 3, "target": {"models": 2, "health": 2}});
    assert_eq!(odds(&request, "health_lost", 2), "1");
    request["target"]["spill"] = json!(true);
    assert_eq!(odds(&request, "health_lost", 3), "1");
    // Each point of two is ignored on 5+: both stay with 4/9, none with 1/9.
    let request = json!({"damage": 2, "target": {"models": 1, "health": 2, "ignore": {"needs": "5+"}}});
    assert_eq!(odds(&request, "health_lost", 2), "4/9");
    assert_eq!(odds(&request, "health_lost", 0), "1/9");
    // 7 + d6 against 14 never reaches; with a bonus d3 on a six it equals at 1 and beats at 2 or 3.
    let request = json!({"steps": [{"name": "penetrate", "kind": "penetrate", "add": 7, "against": 14, "critical": {"on": 6, "add": "d3"},
        "graze": {"structure": 1}, "breach": {"structure": 2}}], "target": {"structure": 3}});
    assert_eq!(odds(&request, "structure", 1), "1/18");
    assert_eq!(odds(&request, "structure", 2), "1/9");
    assert_eq!(odds(&request, "favour", 1), "1/6");
}

#[test]
fn repairs_by_hand() {
    // One point on 6+ a turn: gone for good with (5/6)^2 after two turns.
    let found = brute(&Repair::read(&json!({"capacity": 3, "missing": 1, "needs": "6+", "turns": 2})));
    assert_eq!(found[&("any_restored", 1)][&0], fraction("25/36"));
    // One point lost every turn kills at the second, unless it was mended between.
    let found = brute(&Repair::read(&json!({"capacity": 2, "missing": 0, "needs": "5+", "turns": 2, "incoming": 1})));
    assert_eq!(found[&("alive", 1)][&1], fraction("1/3"));
}

/// Both ways of playing are one reading; here they show that neither loses or repeats a course of events.
#[test]
fn played_in_every_way_and_at_random_agree() {
    for seed in 0..40 {
        let rng = &mut fastrand::Rng::with_seed(seed);
        let request = random::odds(rng, Size::Small);
        let chain = Chain::read(&request);
        let found = brute_chain(&chain);
        let counted = simulate(&chain, seed, 4000);
        for (key, values) in found.iter().filter(|(key, _)| !["reached", "favour", "gate"].contains(&key.0)) {
            let all: BigRational = values.values().sum();
            assert_eq!(all, fraction("1"), "{key:?} of {request}");
            let never = std::collections::BTreeMap::new();
            for (value, chance) in values {
                let seen = counted.seen.get(key).unwrap_or(&never).get(value).copied().unwrap_or(0);
                let chance = pipwright_tests::play::number::to_f64(chance);
                assert!(pipwright_tests::simulate::may_be(chance, seen, 4000, 1e-9), "{key:?} {value} of {request}");
            }
        }
    }
}
