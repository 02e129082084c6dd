//! `spill` and `ignore` of a volley hold for it alone.
use super::{close, number, pointers};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

fn steps() -> Value {
    json!([{"name": "hit", "needs": "4+"}])
}

/// Two volleys of one attack each that hit on 4+, two points on three models of one health: where only the first spills,
/// it fells two and the second one. All three fall in a quarter; where both spill also, but where none does, never.
#[test]
fn one_volley_of_two_spills() {
    let fallen = |first: Option<bool>, second: Option<bool>, target: bool| {
        let volley = |spill: Option<bool>| json!({"damage": 2, "steps": steps(), "spill": spill});
        let target = json!({"models": 3, "spill": target});
        let answer = ask("odds", json!({"volleys": [volley(first), volley(second)], "target": target}));
        (number(&answer["models"]["expected"]), number(&answer["destroyed"]["chance"]))
    };
    let is = |(models, destroyed): (f64, f64), wanted: (f64, f64)| {
        close(models, wanted.0);
        close(destroyed, wanted.1);
    };
    // None: each hit fells one. Both: the first hit two, and the second the one that is left.
    is(fallen(None, None, false), (1.0, 0.0));
    is(fallen(None, None, true), (0.25 * 3.0 + 0.5 * 2.0, 0.25));
    is(fallen(Some(true), None, false), (0.25 * 3.0 + 0.25 * 2.0 + 0.25, 0.25));
    is(fallen(None, Some(false), true), (0.25 * 3.0 + 0.25 * 2.0 + 0.25, 0.25));
    is(fallen(Some(true), Some(true), false), fallen(None, None, true));
}

/// A last roll of a volley stands in place of the target's: 5+ for the first, none for the second, 3+ for a third.
#[test]
fn each_volley_has_its_own_last_roll() {
    let volley = |ignore: Value| json!({"steps": steps(), "ignore": ignore});
    let volleys = [volley(json!({"needs": "5+"})), volley(json!({"needs": "never"})), volley(json!(null))];
    let chain = json!({"volleys": volleys, "target": {"models": 9, "ignore": {"needs": "3+"}}});
    let answer = ask("odds", chain);
    close(number(&answer["models"]["expected"]), 0.5 * (2.0 / 3.0 + 1.0 + 1.0 / 3.0));
}

/// What backfires meets the target's own numbers, not those of the enemy's volleys: two points of own harm on two models
/// fell one, although what the enemy does would go on to the next.
#[test]
fn harm_of_its_own_making_does_not_spill() {
    let backfires = json!([{"name": "hit", "needs": "4+", "backfire": {"on": 5, "harm": 2}}]);
    let a = json!({"target": {"models": 2}, "attack": {"volleys": [{"steps": backfires, "served": [1]}]}});
    let b = json!({"target": {"models": 1}, "attack": {"volleys": [{"attackers": 0, "damage": 2, "spill": true, "steps": steps()}]}});
    let answer = ask("duel", json!({"a": a, "b": b, "turns": 1}));
    // It backfires on any face up to 5.
    close(number(&answer["a"]["left"]["expected"]), 2.0 - 5.0 / 6.0);
}

/// Eight Leech Gatherers and a Turf Lighter with a log beak: at grips in the first turn the beak rakes, at a stone's throw
/// in the second a stake and four slings do not. All eight are gone by then only if the beak takes three, the stake one
/// and each sling one.
#[test]
fn a_raking_beak_does_not_make_the_slings_rake() {
    let lighter = json!({"unit": "turf-lighter", "options": ["log beak"]});
    let situation = json!({"range": ["grips", "a stone's throw"]});
    let request = json!({"pack": "sedge-moot", "a": {"unit": "leech-gatherers"}, "b": lighter, "situation": situation,
        "first": "b", "turns": 2});
    let answer = ask("duel", request);
    let volleys = answer["duel"]["b"]["attack"]["volleys"].as_array().expect("volleys");
    let spilling: Vec<&Value> = volleys.iter().filter(|volley| volley["spill"] == true).map(|v| &v["label"]).collect();
    assert_eq!(spilling, [&json!("log beak")]);
    assert_eq!(answer["duel"]["a"]["target"]["spill"], Value::Null);
    // The beak: 2d6+3 against 6, which only two ones miss; three points, each stays with 2/3 (Salt 5+).
    let beak = 35.0 / 36.0 * (2.0_f64 / 3.0).powi(3);
    // The stake: 2d6+1 against 7; of 2, 3 or 4 points one must stay. A sling: the same shot, one point.
    let shot = 26.0 / 36.0;
    let stake = shot * (1.0 - (1.0 / 9.0 + 1.0 / 27.0 + 1.0 / 81.0) / 3.0);
    let slings = (shot * 2.0_f64 / 3.0).powi(4);
    let gone = number(&answer["turns"][1]["a_destroyed"]);
    // Sixteen sickles in between, each a rib by a 9 and two sixes, stave in all seven with less than 1e-10.
    assert!((gone - beak * stake * slings).abs() < 1e-10, "{gone}");
}

#[test]
fn on_armour_neither_means_anything() {
    let penetrate = json!([{"name": "pierce", "kind": "penetrate", "against": 4, "breach": {"structure": 1}}]);
    let volley = json!({"steps": penetrate, "spill": true, "ignore": {"needs": "5+"}});
    let found = pointers("odds", json!({"volleys": [volley], "target": {"structure": 3}}));
    assert_eq!(found, ["/volleys/0/spill", "/volleys/0/ignore"]);
    let volley = json!({"steps": steps(), "ignore": {"needs": "5+", "modifier": 5_000}});
    let found = pointers("odds", json!({"volleys": [volley], "target": {"models": 3}}));
    assert_eq!(found, ["/volleys/0/ignore/modifier"]);
}
