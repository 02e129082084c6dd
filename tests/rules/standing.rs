//! What is left of a unit: its points, and what is rolled for it afterwards. Figures by hand from the unit books.
use pipwright_tests::ask::{ask, refused};
use serde_json::{Value, json};

fn points(target: Value) -> (f64, f64, f64) {
    let answer = ask("matchup", json!({"attacker": {"unit": "quay rifles"}, "target": target}));
    let of = |name: &str| answer["points"][name].as_f64().expect("points");
    let lost = answer.get("models").or(answer.get("structure")).expect("losses");
    (of("target"), of("removed"), lost["expected"].as_f64().expect("a mean"))
}

/// N10: a Bolt-gun Crew is three people for 60 points, so each of them is 20, however many are left.
#[test]
fn what_stands_has_its_share_of_the_points() {
    let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{found} and {wanted}");
    for (left, stands) in [(1, 20.0), (2, 40.0), (3, 60.0)] {
        let (target, removed, lost) = points(json!({"unit": "bolt-gun crew", "left": left}));
        close(target, stands);
        close(removed, 20.0 * lost);
    }
    // Ten Dyke Hands cost 30 and five times 6, so 6 each; of five it is 30 in all as well.
    close(points(json!({"unit": "dyke hands", "models": 10, "left": 4})).0, 24.0);
    close(points(json!({"unit": "dyke hands", "left": 4})).0, 24.0);
    // Eight left of a unit that nobody sized is eight: 30 + 3 x 6.
    close(points(json!({"unit": "dyke hands", "left": 8})).0, 48.0);
    // Three of the Heron's four points of structure stand: 3/4 of 265.
    let (target, removed, lost) = points(json!({"unit": "heron", "hurt": 1}));
    close(target, 198.75);
    close(removed, 265.0 / 4.0 * lost);
    // So many stand, and the first of them is hurt: Lock Wardens are 90 for five with Vigour 2.
    close(points(json!({"unit": "lock wardens", "left": 2, "hurt": 1})).0, 36.0);
    // The question as it was resolved says the same.
    let one = ask(
        "matchup",
        json!({"attacker": {"unit": "quay rifles"}, "target": {"unit": "lock wardens", "left": 2, "hurt": 1}}),
    );
    assert_eq!((&one["chain"]["target"]["models"], &one["chain"]["target"]["hurt"]), (&json!(2), &json!(1)));
    refused("matchup", json!({"attacker": {"unit": "quay rifles"}, "target": {"unit": "heron", "left": 2, "hurt": 1}}));
}

/// N5: crews are on foot and may run. A Culverin Crew of four that lost three throws two dice and 3: above 7 with 5 or more,
/// 30 of 36.
#[test]
fn crews_run_as_others_do() {
    let hit = json!({"volleys": [{"attackers": 3, "steps": []}], "target": {"models": 4}, "exact": true});
    let matchup = ask("matchup", json!({"attacker": {"unit": "quay rifles"}, "target": {"unit": "culverin crew"}}));
    let mut chain = hit;
    chain["aftermath"] = matchup["chain"]["aftermath"].clone();
    assert_eq!(chain["aftermath"][0]["effect"], "runs");
    assert_eq!(ask("odds", chain.clone())["aftermath"]["runs"]["fraction"], "5/6");
    // N11: of a crew of three nobody is left to run.
    chain["target"]["models"] = json!(3);
    assert_eq!(ask("odds", chain.clone())["aftermath"]["runs"]["fraction"], "0");
    chain["aftermath"][0]["even_destroyed"] = json!(true);
    assert_eq!(ask("odds", chain)["aftermath"]["runs"]["fraction"], "5/6");
}

/// By hand: two attacks, each wrecks with a 6 on a die that equals nothing else: one wreck of two 10/36, both 1/36.
#[test]
fn what_follows_from_wrecks_and_steps() {
    let chain = |after: Value| {
        json!({"attackers": 2, "exact": true, "target": {"structure": 1, "units": 2}, "aftermath": [after],
            "steps": [{"name": "pierce", "kind": "penetrate", "against": 5, "breach": {"structure": 1}}]})
    };
    let fire = |after: Value| ask("odds", chain(after))["aftermath"]["fire"]["fraction"].clone();
    // Certain without a need; wrecks count where nothing is left as well, unless the row says otherwise.
    assert_eq!(fire(json!({"when": {"wrecked": true}, "effect": "fire"})), "11/36");
    assert_eq!(fire(json!({"when": {"wrecked": true}, "effect": "fire", "even_destroyed": false})), "5/18");
    assert_eq!(fire(json!({"when": {"wrecked": true, "at_least": 2}, "effect": "fire"})), "1/36");
    // A 4 or more with one added for each wreck: 4/6 after one, 5/6 after two.
    assert_eq!(fire(json!({"when": {"wrecked": true}, "needs": "4+", "per_point": 1, "effect": "fire"})), "5/24");
    // A step that was passed (5 grazes, 6 goes in: 20/36 for one at least) with something left: less the two sixes.
    assert_eq!(fire(json!({"when": {"passed": {"step": "pierce"}}, "effect": "fire"})), "19/36");
    assert_eq!(fire(json!({"when": {"passed": {"step": "pierce"}}, "effect": "fire", "even_destroyed": true})), "5/9");
    let wrong =
        refused("odds", json!({"target": {"models": 1}, "aftermath": [{"when": {"wrecked": true}, "effect": "fire"}]}));
    assert_eq!(wrong[0].pointer, "/aftermath/0/when");
}

/// By hand: a die against 5 grazes on a 5 and goes in on a 6; where an equal total goes in, it does so on both.
#[test]
fn an_equal_total_is_a_graze_or_a_breach() {
    let shot = |more: Value| {
        let mut step = json!({"name": "pierce", "kind": "penetrate", "against": 5, "breach": {"structure": 1}});
        step.as_object_mut().expect("fields").extend(more.as_object().expect("fields").clone());
        json!({"steps": [step], "target": {"structure": 3}, "exact": true})
    };
    let lost = |more: Value| {
        let answer = ask("odds", shot(more));
        (answer["structure"]["distribution"][1]["fraction"].clone(), answer["steps"][0]["fraction"].clone())
    };
    assert_eq!(lost(json!({})), (json!("1/6"), json!("1/3")));
    assert_eq!(lost(json!({"equal": "graze"})), (json!("1/6"), json!("1/3")));
    assert_eq!(lost(json!({"equal": "breach"})), (json!("1/3"), json!("1/3")));
    // With no graze to roll again only failures are: 2/6 and 4/6 x 2/6.
    assert_eq!(lost(json!({"equal": "breach", "reroll": "failures_and_grazes"})), (json!("5/9"), json!("5/9")));
    let wrong = refused("odds", shot(json!({"equal": "breach", "graze": {"structure": 1}})));
    assert_eq!(wrong[0].pointer, "/steps/0/graze");
}

/// By hand. Of a margin and a critical on one roll the margin's word comes first, a later one put in place wins, and all that
/// is added is added, in whatever order.
#[test]
fn what_is_added_adds_up() {
    let chain = |margin: Value, critical: Value, group: Value| {
        let mut chain = json!({"exact": true, "target": {"groups": [{"models": 1}]}, "steps": [
            {"name": "hit", "needs": "1+", "margin": [{"at_least": 0, "then": {"hurt": margin}}], "critical": {"on": 2, "then": {"hurt": critical}}},
            {"name": "hurt", "needs": "4+", "modifier": 0}]});
        if !group.is_null() {
            chain["target"]["groups"][0]["then"] = json!({"hurt": group});
        }
        chain
    };
    let destroyed = |margin: Value, critical: Value, group: Value| {
        ask("odds", chain(margin, critical, group))["destroyed"]["fraction"].clone()
    };
    let plus = |n: i32| json!({"modifier": {"plus": n}});
    // A 1 to hit has the margin alone, the rest (5/6) both. 4+ with one more is 4/6, with two more 5/6.
    assert_eq!(destroyed(plus(1), plus(1), Value::Null), "29/36"); // (4 + 5 x 5) / 36
    // The margin puts 1 in place, the critical adds one: 1/6 x 4/6 + 5/6 x 5/6.
    assert_eq!(destroyed(json!({"modifier": 1}), plus(1), Value::Null), "29/36");
    // The margin adds one and the critical puts -1 in place: what was added still counts, so 4+: 1/6 x 4/6 + 5/6 x 3/6.
    assert_eq!(destroyed(plus(1), json!({"modifier": -1}), Value::Null), "19/36");
    // The group's word comes first: 6+ in place, then one easier twice: 1/6 x 2/6 + 5/6 x 3/6.
    assert_eq!(
        destroyed(json!({"needs": {"plus": -1}}), json!({"needs": {"plus": -1}}), json!({"needs": "6+"})),
        "17/36"
    );
    // No floor: 4+ less 5 is -1 or more, which a die with -3 reaches from 2: 5/6 of the 5/6; less 4 it is 0 or more: from 3, 4/6.
    let low = |n: i32| json!({"needs": {"plus": n}, "modifier": -3});
    assert_eq!(destroyed(low(-4), json!({"needs": {"plus": -1}}), Value::Null), "29/36");
    // What is not rolled stays.
    assert_eq!(destroyed(json!({"needs": "auto"}), json!({"needs": {"plus": 9}}), Value::Null), "1");
    let opposed = |change: Value| {
        json!({"target": {"models": 1}, "steps": [{"name": "hit", "needs": "2+", "critical": {"on": 6, "then": {"clash": change}}},
            {"name": "clash", "versus": {"dice": "1d6"}}]})
    };
    ask("odds", opposed(plus(1)));
    for change in [json!({"needs": "2+"}), json!({"needs": {"plus": 1}})] {
        let wrong = refused("odds", opposed(change));
        assert_eq!(wrong[0].pointer, "/steps/0/critical/then/clash/needs");
    }
    for (change, at) in [
        (json!({"modifier": {"plus": 2_000}}), "modifier"),
        (json!({"modifier": {"plus": "1"}}), "modifier"),
        (json!({"needs": {"minus": 1}}), "needs"),
    ] {
        let wrong = refused("odds", chain(change, plus(1), Value::Null));
        assert!(wrong[0].pointer.starts_with(&format!("/steps/0/margin/0/then/hurt/{at}")), "{wrong:?}");
    }
}
