//! Duels against the second reading: small ones played in every way, in fractions; larger ones thrown many times.
use pipwright_shared::{
    odds::{cancellation::CancellationToken, price},
    rules::PackCatalog,
    wire::{
        duel::DuelRequest,
        question::{PreparedQuery, Question},
        read,
    },
};
use pipwright_tests::{
    ask::{affordable, ask},
    brute::brute,
    compare::{self, Quantity, Shape},
    play::duel::Duel,
    random::{self, Size},
    simulate::simulate,
};
use serde_json::{Value, json};

fn quantities(turns: u64) -> Vec<Quantity> {
    let of = |pointer: String, key, shape| Quantity { pointer, key, shape };
    let mut all = vec![
        of("/a/left".into(), ("a left", 0), Shape::Summary),
        of("/b/left".into(), ("b left", 0), Shape::Summary),
        of("/never_settled".into(), ("never_settled", 0), Shape::Chance),
    ];
    for turn in 0..usize::try_from(turns).expect("few") {
        for name in ["a_destroyed", "b_destroyed", "both_standing"] {
            all.push(of(format!("/turns/{turn}/{name}"), (name, turn), Shape::BareChance));
        }
    }
    all
}

/// Pairs of sides that between them use all that a side can have.
fn pairs(models: u32) -> Vec<(Value, Value)> {
    let hit = |needs: &str| json!([{"name": "hit", "needs": needs}]);
    let soldiers = |attack: Value| json!({"target": {"models": models, "health": 2}, "attack": attack});
    let crew = json!({
        "target": {"structure": 2, "units": 1},
        "attack": {"attacks": 2, "steps": [{"name": "hit", "die": 4, "needs": "3+"}]},
        "repair": {"needs": "3+", "die": 4}});
    let bore = json!([{"name": "pierce", "kind": "penetrate", "dice": "1d4", "against": 3,
        "graze": {"structure": 1}, "breach": {"structure": 1, "chart": {"dice": "1d2",
            "rows": [{"at_least": 2, "status": "stalled", "repeated": {"wrecked": true}}]}}}]);
    let hot = json!([{"name": "hit", "die": 4, "needs": "3+", "backfire": {"on": 1, "needs": "4+", "harm": "1d2"}}]);
    // What it hurts of its own has armour in one place and none in the other.
    let hotter = json!([{"name": "hit", "die": 4, "needs": "2+", "backfire": {"on": 2, "harm": 1}}]);
    let plain_bore =
        json!({"name": "pierce", "kind": "penetrate", "dice": "1d4", "against": 3, "breach": {"structure": 1}});
    vec![
        (
            soldiers(json!({"steps": [hot[0], plain_bore]})),
            json!({"target": {"structure": 2}, "attack": {"steps": hotter, "attacks": 2}, "repair": {"needs": "4+", "die": 4}}),
        ),
        (soldiers(json!({"steps": hit("4+")})), soldiers(json!({"steps": hit("5+"), "damage": 2}))),
        (soldiers(json!({"steps": bore})), crew),
        (soldiers(json!({"steps": hot, "damage": "1d2"})), soldiers(json!({"steps": hit("3+"), "damage": 2}))),
        (
            soldiers(json!({"volleys": [
                {"steps": hit("3+"), "turns": [1, 1]},
                {"attacks": 2, "steps": hit("5+"), "turns": [2, 3]}]})),
            json!({"target": {"groups": [{"models": 1, "then": {"hit": {"needs": "6+"}}}, {"models": models}]},
                "attack": {"steps": hit("4+")}}),
        ),
    ]
}

#[test]
fn small_ones_in_every_way() {
    for (a, b) in pairs(1) {
        for first in ["a", "b", "roll", "together"] {
            let request = json!({"a": a, "b": b, "first": first, "turns": 2, "exact": true});
            let found = brute(&Duel::read(&request));
            let wrong = compare::against_found(&ask("duel", request.clone()), &quantities(2), &found, true);
            assert!(wrong.is_empty(), "{request}\n{}", wrong.join("\n"));
        }
    }
}

#[test]
fn larger_ones_thrown() {
    for (n, (a, b)) in (0..).zip(pairs(4)) {
        for first in ["a", "b", "roll", "together"] {
            let request = json!({"a": a, "b": b, "first": first, "turns": 4});
            let counted = simulate(&Duel::read(&request), n, 20_000);
            let wrong = compare::against_counted(&ask("duel", request.clone()), &quantities(4), &counted, 1e-9);
            assert!(wrong.is_empty(), "{request}\n{}", wrong.join("\n"));
        }
    }
}

/// Made up at random, without what ends a side by a roll.
fn made_up(seed: u64, size: Size) -> Value {
    let mut request = random::duel(&mut fastrand::Rng::with_seed(seed), size);
    for side in ["a", "b"] {
        drop(request[side]["attack"].as_object_mut().expect("an attack").remove("aftermath"));
    }
    request
}

/// Those of many small ones that cost least: nothing else can be played out in every way.
#[test]
fn random_ones_in_every_way() {
    let cheap = |request: &Value| {
        let prepared =
            read::body::<DuelRequest>(request.to_string().as_bytes()).expect("a duel").resolve(&PackCatalog::demo());
        price::duel(prepared.expect("a right one").duel(), false).is_within(7_999)
    };
    let mut compared = 0;
    // Of `PIPWRIGHT_DUELS` in place of so many, about one in thirty is cheap enough.
    let most = std::env::var("PIPWRIGHT_DUELS").ok().and_then(|n| n.parse().ok()).unwrap_or(2_500);
    for seed in 0..most {
        let mut request = made_up(seed, Size::Small);
        request["exact"] = json!(true);
        if !cheap(&request) {
            continue;
        }
        compared += 1;
        let turns = request["turns"].as_u64().expect("turns");
        let found = brute(&Duel::read(&request));
        let wrong = compare::against_found(&ask("duel", request.clone()), &quantities(turns), &found, true);
        assert!(wrong.is_empty(), "seed {seed}: {request}\n{}", wrong.join("\n"));
    }
    assert!(compared >= 60, "only {compared} are cheap enough");
}

#[test]
fn random_ones_thrown() {
    let mut compared = 0;
    for seed in 0..40 {
        let request = made_up(seed, Size::Large);
        let Some(answer) = affordable("duel", &request) else { continue };
        compared += 1;
        let turns = request["turns"].as_u64().expect("turns");
        let counted = simulate(&Duel::read(&request), seed, 4_000);
        let wrong = compare::against_counted(&answer, &quantities(turns), &counted, 1e-9);
        assert!(wrong.is_empty(), "seed {seed}: {request}\n{}", wrong.join("\n"));
    }
    assert!(compared >= 20, "only {compared} were answered");
}

/// In fractions, whatever it costs: of two sides that harm themselves at once the service would refuse it.
fn unpriced(request: &Value) -> Value {
    let asked = read::body::<DuelRequest>(request.to_string().as_bytes()).expect("a duel");
    let answer = asked
        .resolve(&PackCatalog::demo())
        .expect("a right one")
        .answer(&CancellationToken::default())
        .expect("nobody halts it");
    serde_json::to_value(answer).expect("JSON")
}

#[test]
fn swapped_sides_mirror_the_answer() {
    for (a, b) in pairs(3) {
        for (first, swapped) in [("a", "b"), ("b", "a"), ("roll", "roll"), ("together", "together")] {
            let one = unpriced(&json!({"a": a, "b": b, "first": first, "exact": true}));
            let other = unpriced(&json!({"a": b, "b": a, "first": swapped, "exact": true}));
            assert_eq!((&one["a"], &one["b"]), (&other["b"], &other["a"]), "{first}");
            assert_eq!(one["never_settled"]["fraction"], other["never_settled"]["fraction"]);
        }
    }
}

/// One model each that hits with p and q, the first to hit wins: p / (1 - (1 - p)(1 - q)) as turns grow.
#[test]
fn one_against_one_comes_to_its_series() {
    let side = |needs: &str| json!({"target": {"models": 1}, "attack": {"steps": [{"name": "hit", "needs": needs}]}});
    let answer = ask("duel", json!({"a": side("3+"), "b": side("4+"), "turns": 20}));
    let (p, q) = (2.0_f64 / 3.0, 0.5_f64);
    let wins = answer["turns"][19]["b_destroyed"].as_f64().expect("a chance");
    let open = ((1.0 - p) * (1.0 - q)).powi(20);
    assert!((wins - p / (1.0 - (1.0 - p) * (1.0 - q)) * (1.0 - open)).abs() < 1e-12, "{wins}");
}
