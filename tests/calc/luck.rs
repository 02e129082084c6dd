//! Results that happened: each chance is that of the answer they came of, and all of them are one.
use super::{close, number, pointers};
use fastrand::Rng;
use num_rational::BigRational;
use num_traits::One;
use pipwright_tests::{
    ask::{ask, try_ask},
    compare,
    play::{check::Check, number::fraction},
    random::{self, Size},
};
use serde_json::{Value, json};

fn exact(chance: &Value) -> BigRational {
    fraction(chance["fraction"].as_str().expect("a fraction"))
}

fn luck(of: &str, request: &Value, quantity: &str, value: i64) -> Value {
    ask("luck", json!({of: request, "result": {quantity: value}, "exact": true}))
}

#[test]
fn all_values_of_a_chain_sum_to_one() {
    let mut rng = Rng::with_seed(27);
    let mut seen = 0;
    while seen < 25 {
        let chain = random::odds(&mut rng, Size::Small);
        let Ok(odds) = try_ask("odds", chain.clone()) else { continue };
        let mut chain = chain;
        ["exact", "passed"].iter().for_each(|field| drop(chain.as_object_mut().unwrap().remove(*field)));
        seen += 1;
        for quantity in ["models", "health_lost", "structure", "wrecked", "attacks", "through", "backfires"] {
            let Some(summary) = odds.get(quantity) else { continue };
            let rows = summary["distribution"].as_array().unwrap();
            let ends = (rows[0]["value"].as_i64().unwrap(), rows[rows.len() - 1]["value"].as_i64().unwrap());
            let mut sum = BigRational::from_integer(0.into());
            for value in ends.0 - 1..=ends.1 + 1 {
                let luck = luck("chain", &chain, quantity, value);
                sum += exact(&luck["exactly"]);
                let both = exact(&luck["at_most"]) + exact(&luck["at_least"]) - exact(&luck["exactly"]);
                assert!(both.is_one(), "{chain} {quantity} {value}: {luck}");
                if !(ends.0..=ends.1).contains(&value) {
                    assert!(luck["sentence"].as_str().unwrap().contains("can't happen"), "{luck}");
                }
            }
            assert!(sum.is_one(), "{chain} {quantity}: {sum}");
        }
    }
}

#[test]
fn checks_against_every_way_they_can_go() {
    let mut rng = Rng::with_seed(28);
    for _ in 0..40 {
        let mut request = random::check(&mut rng, Size::Small);
        request.as_object_mut().unwrap().remove("exact");
        let found = compare::brute_check(&Check::read(&request));
        for (value, chance) in &found[&("passes", 0)] {
            assert_eq!(exact(&luck("check", &request, "passes", *value)["exactly"]), *chance, "{request} {value}");
        }
    }
}

#[test]
fn a_repair_counts_at_the_end() {
    let repair = json!({"capacity": 4, "missing": 3, "needs": "5+", "turns": 2});
    let answer = ask("repair", repair.clone());
    for value in 0..=2 {
        let row = &answer["restored"]["distribution"][value];
        let luck = ask("luck", json!({"repair": repair, "result": {"restored": value}}));
        close(number(&luck["exactly"]["chance"]), number(&row["chance"]));
        let missing = ask("luck", json!({"repair": repair, "result": {"missing": 3 - value}}));
        close(number(&missing["exactly"]["chance"]), number(&row["chance"]));
    }
}

#[test]
fn tea_with_milk_and_dice_in_words() {
    // Six dice with no six at all: 15625/46656, Huygens (1657), proposition X in Arbuthnot's English: 31031/46656 for one.
    let none = luck("check", &json!({"dice": "d6", "needs": "6+", "tries": 6}), "passes", 0);
    assert_eq!(none["exactly"]["fraction"], "15625/46656");
    assert_eq!(
        none["sentence"],
        "Nothing unusual: 0 passes, which happens about 1 time in 3 (33.5%). The average is 1."
    );
    // The hobby's own: a roll of 2+ fails once in six, so five of six failing is 5/6 * 6 of 6^5 (common practice, no
    // published source; worked out by hand: 6 * (1/6)^5 * 5/6 = 30/46656 for one pass, and 31/46656 for at most one).
    let failed = luck("check", &json!({"dice": "d6", "needs": "2+", "tries": 6}), "passes", 1);
    assert_eq!(exact(&failed["at_most"]), fraction("31/46656"));
    assert_eq!(
        failed["sentence"],
        "Incredibly unlucky: one pass, or none, which happens about 1 time in 1,500 (0.07%). The average is 5."
    );
}

#[test]
fn what_is_wrong_is_named() {
    let chain = json!({"target": {"models": 2}});
    assert_eq!(pointers("luck", json!({"chain": chain, "result": {"structure": 1}})), ["/result/structure"]);
    assert_eq!(pointers("luck", json!({"chain": chain, "result": {}})), ["/result"]);
    assert_eq!(pointers("luck", json!({"chain": chain, "result": {"models": 1, "through": 1}})), ["/result/through"]);
    assert_eq!(pointers("luck", json!({"result": {"models": 1}})), [""]);
    assert_eq!(
        pointers("luck", json!({"chain": {"target": {"models": 0}}, "result": {"models": 1}})),
        ["/chain/target/models"]
    );
    assert_eq!(pointers("luck", json!({"chain": chain, "result": {"models": i64::MAX}})), ["/result/models"]);
    assert_eq!(pointers("luck", json!({"chain": chain, "result": {"models": i64::MIN}})), ["/result/models"]);
}
