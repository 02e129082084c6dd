//! Duels with counters, ammunition and orders, against the second reading and against each other.
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
    ask::{affordable, ask, refused},
    brute::brute,
    compare::{self, Quantity, Shape},
    play::duel::Duel,
    random::{self, Size},
    simulate::simulate,
};
use serde_json::{Value, json};

const FIRST: [&str; 5] = ["a", "b", "roll", "together", "order"];

fn quantities(request: &Value) -> Vec<Quantity> {
    let of = |pointer: String, key, shape| Quantity { pointer, key, shape };
    let mut all = vec![
        of("/a/left".into(), ("a left", 0), Shape::Summary),
        of("/b/left".into(), ("b left", 0), Shape::Summary),
        of("/never_settled".into(), ("never_settled", 0), Shape::Chance),
    ];
    for turn in 0..usize::try_from(request["turns"].as_u64().expect("turns")).expect("few") {
        for name in ["a_destroyed", "b_destroyed", "both_standing"] {
            all.push(of(format!("/turns/{turn}/{name}"), (name, turn), Shape::BareChance));
        }
    }
    for (side, key) in [("a", "a counter"), ("b", "b counter")] {
        for (at, counter) in request[side]["target"]["counters"].as_array().into_iter().flatten().enumerate() {
            let name = counter["name"].as_str().expect("a name");
            all.push(of(format!("/{side}/counters/{name}"), (key, at), Shape::Summary));
        }
    }
    all
}

/// Pairs of sides that between them use all that counters, uses and orders may do.
fn pairs(models: u32) -> Vec<(Value, Value)> {
    let pinned = |counters: Value| json!({"models": models, "health": 2, "counters": counters});
    let hit = json!({"name": "hit", "die": 4, "needs": "3+", "counts": {"pins": 1}});
    let gate = json!({"dice": "1d4", "needs": "2+"});
    let own = json!({"name": "pins", "of": "own", "at_least": 1, "then": {"gate": {"modifier": {"plus": -1}}, "hit": {"needs": "4+"}}});
    let ungated = json!({"name": "pins", "of": "own", "at_least": 1, "then": {"hit": {"needs": "4+"}}});
    let theirs = json!({"name": "pins", "at_least": 1, "then": {"hit": {"needs": "2+"}}});
    vec![
        (
            json!({"target": pinned(json!([{"name": "pins", "most": 2}])), "sheds": {"name": "pins", "amount": 1, "needs": "3+", "die": 4},
                "attack": {"steps": [hit], "gate": gate, "by_counter": [own, theirs]}}),
            json!({"target": pinned(json!([{"name": "pins", "most": 2, "start": 1}])), "sheds": [{"name": "pins", "amount": "all", "needs": "4+", "die": 4}],
                "attack": {"steps": [hit], "by_counter": [theirs, ungated], "uses": 1}}),
        ),
        (
            json!({"target": {"models": models}, "attack": {"volleys": [
                {"steps": [{"name": "hit", "die": 2, "needs": "2+"}], "order": 5, "uses": 1},
                {"steps": [{"name": "hit", "die": 4, "needs": "3+", "backfire": {"on": 1, "harm": 1}}], "order": -1}]}}),
            json!({"target": {"models": models, "health": 2}, "repair": {"needs": "3+", "die": 4},
                "attack": {"order": -1, "steps": [{"name": "hit", "die": 4, "needs": "2+"}]}}),
        ),
        (
            json!({"target": {"structure": 2, "counters": [{"name": "fires", "most": 3}]}, "sheds": {"name": "fires", "amount": "d2"},
                "attack": {"order": 2, "steps": [{"name": "hit", "die": 4, "needs": "2+"}], "aftermath": [
                    {"when": {"models": true}, "dice": "1d4", "needs": "3+", "per_point": 1, "effect": "rout", "ends": true, "turns": [1, 2]}]}}),
            json!({"target": {"models": models + 1}, "attack": {"steps": [{"name": "pierce", "kind": "penetrate", "dice": "1d4", "against": 3,
                "graze": {"counts": {"fires": 1}}, "breach": {"structure": 1, "counts": {"fires": 2}}}],
                "by_counter": [{"name": "fires", "at_least": 2, "then": {"pierce": {"add": {"plus": 1}}}}]}}),
        ),
    ]
}

/// Whatever it costs: what may end a side is dear where volleys have their orders.
fn unpriced(request: &Value) -> Value {
    let asked = read::body::<DuelRequest>(request.to_string().as_bytes()).expect("a duel");
    let prepared = asked.resolve(&PackCatalog::demo()).unwrap_or_else(|mistakes| panic!("{request}: {mistakes:?}"));
    let answer = prepared.answer(&CancellationToken::default()).expect("nobody halts it");
    serde_json::to_value(answer).expect("JSON")
}

#[test]
fn small_ones_in_every_way() {
    for (a, b) in pairs(1) {
        for first in FIRST {
            let request = json!({"a": a, "b": b, "first": first, "turns": 2, "exact": true});
            let found = brute(&Duel::read(&request));
            let wrong = compare::against_found(&unpriced(&request), &quantities(&request), &found, true);
            assert!(wrong.is_empty(), "{request}\n{}", wrong.join("\n"));
        }
    }
}

#[test]
fn larger_ones_thrown() {
    for (n, (a, b)) in (0..).zip(pairs(3)) {
        for first in FIRST {
            let request = json!({"a": a, "b": b, "first": first, "turns": 4});
            let counted = simulate(&Duel::read(&request), n, 20_000);
            let wrong = compare::against_counted(&unpriced(&request), &quantities(&request), &counted, 1e-9);
            assert!(wrong.is_empty(), "{request}\n{}", wrong.join("\n"));
        }
    }
}

fn cheap(request: &Value, most: u64) -> bool {
    let asked = read::body::<DuelRequest>(request.to_string().as_bytes()).expect("a duel");
    let prepared = asked.resolve(&PackCatalog::demo()).unwrap_or_else(|mistakes| panic!("{request}: {mistakes:?}"));
    price::duel(prepared.duel(), false).is_within(most)
}

#[test]
fn random_ones_in_every_way() {
    let mut compared = 0;
    for seed in 0..4_000 {
        let mut request = random::counted_duel(&mut fastrand::Rng::with_seed(seed), Size::Small);
        request["exact"] = json!(true);
        if !cheap(&request, 12_000) {
            continue;
        }
        compared += 1;
        let found = brute(&Duel::read(&request));
        let wrong = compare::against_found(&ask("duel", request.clone()), &quantities(&request), &found, true);
        assert!(wrong.is_empty(), "seed {seed}: {request}\n{}", wrong.join("\n"));
    }
    assert!(compared >= 30, "only {compared} are cheap enough");
}

#[test]
fn random_ones_thrown() {
    let mut compared = 0;
    for seed in 0..150 {
        let request = random::counted_duel(&mut fastrand::Rng::with_seed(seed), Size::Small);
        let Some(answer) = affordable("duel", &request) else { continue };
        compared += 1;
        let counted = simulate(&Duel::read(&request), seed, 4_000);
        let wrong = compare::against_counted(&answer, &quantities(&request), &counted, 1e-9);
        assert!(wrong.is_empty(), "seed {seed}: {request}\n{}", wrong.join("\n"));
    }
    assert!(compared >= 60, "only {compared} were answered");
}

/// What its own harm does is left out of an answer where working it out once more is too dear.
fn without_own_harm(answer: &mut Value) {
    for side in ["a", "b"] {
        drop(answer[side].as_object_mut().expect("a side").remove("destroyed_without_own_harm"));
    }
}

/// Without an order, all at once is all of one order; uses are the first turns; what is not read changes nothing.
#[test]
fn said_otherwise_it_is_the_same() {
    let mut compared = 0;
    for seed in 0..60 {
        let mut request = random::duel(&mut fastrand::Rng::with_seed(seed), Size::Small);
        request["exact"] = json!(true);
        // What ends a side counts the losses of one attack, or of a turn: both sides' own harm makes these differ.
        for side in ["a", "b"] {
            drop(request[side]["attack"].as_object_mut().expect("an attack").remove("aftermath"));
        }
        let with = |first: &str| {
            let mut request = request.clone();
            request["first"] = json!(first);
            affordable("duel", &request)
        };
        let (Some(together), Some(order)) = (with("together"), with("order")) else { continue };
        let [mut together, mut order] = [together, order];
        [&mut together, &mut order].into_iter().for_each(without_own_harm);
        assert_eq!(together.to_string(), order.to_string(), "{request}");
        let mut counted = request.clone();
        counted["a"]["target"]["counters"] = json!([{"name": "pins", "most": 2, "start": 1}]);
        counted["a"]["sheds"] = json!({"name": "pins", "amount": 1, "needs": "4+"});
        let (Some(mut counted), Some(plain)) = (affordable("duel", &counted), affordable("duel", &request)) else {
            continue;
        };
        drop(counted["a"].as_object_mut().expect("a side").remove("counters"));
        let mut plain = plain;
        [&mut counted, &mut plain].into_iter().for_each(without_own_harm);
        let harmless = |answer: &Value| answer.get("harmless").cloned();
        assert_eq!(harmless(&counted), harmless(&plain), "{request}");
        assert_eq!(counted["turns"], plain["turns"], "{request}");
        assert_eq!((&counted["a"], &counted["b"]), (&plain["a"], &plain["b"]), "{request}");
        compared += 1;
    }
    assert!(compared >= 20, "only {compared} were answered");
    let hit = json!([{"name": "hit", "needs": "4+"}]);
    let duel = |more: Value| {
        let mut volley = json!({"steps": hit});
        volley.as_object_mut().expect("an object").extend(more.as_object().expect("an object").clone());
        json!({"a": {"target": {"models": 3}, "attack": {"volleys": [volley]}}, "b": {"target": {"models": 3}}})
    };
    assert_eq!(ask("duel", duel(json!({"uses": 2}))), ask("duel", duel(json!({"turns": [1, 2]}))));
    assert_eq!(ask("duel", duel(json!({"uses": 2, "turns": [3, 9]}))), ask("duel", duel(json!({"turns": [3, 4]}))));
    assert_eq!(ask("duel", duel(json!({"uses": 9, "turns": [3, 4]}))), ask("duel", duel(json!({"turns": [3, 4]}))));
}

/// A higher order is made first: who shoots first at one model that is hit for certain is the one that is left.
/// A gate that nothing passes, but for a counter of its own side: who may be hurt so is not called unhurt. One attack a turn
/// that always hits takes the one model in the first turn.
#[test]
fn a_gate_opened_by_a_counter_is_a_gate() {
    let hit = json!({"name": "hit", "needs": "auto"});
    let opens = json!({"name": "pins", "of": "own", "at_least": 1, "then": {"gate": {"needs": "auto"}}});
    let request = |start: u32| {
        json!({"turns": 2, "first": "a",
            "a": {"target": {"models": 1, "counters": [{"name": "pins", "start": start}]},
                "attack": {"attackers": 1, "steps": [hit], "gate": {"needs": "never"}, "by_counter": [opens]}},
            "b": {"target": {"models": 1}, "attack": {"attackers": 1, "steps": [{"name": "hit", "needs": "never"}]}}})
    };
    let open = ask("duel", request(1));
    assert_eq!(open["turns"][0]["b_destroyed"], 1.0, "{open}");
    assert_eq!(open.get("harmless"), None, "{open}");
    assert_eq!(ask("duel", request(0))["turns"][1]["b_destroyed"], 0.0);
}

#[test]
fn the_higher_order_is_made_first() {
    let side = |order: i32| json!({"target": {"models": 1}, "attack": {"order": order}});
    let duel = |a: i32, b: i32| ask("duel", json!({"a": side(a), "b": side(b), "first": "order", "turns": 1}));
    assert_eq!(duel(1, 0)["turns"][0]["a_destroyed"], 0.0);
    assert_eq!(duel(1, 0)["turns"][0]["b_destroyed"], 1.0);
    assert_eq!(duel(-2, 0)["turns"][0]["a_destroyed"], 1.0);
    assert_eq!(duel(0, 0)["turns"][0]["a_destroyed"], 1.0);
    assert_eq!(duel(0, 0)["turns"][0]["b_destroyed"], 1.0);
}

#[test]
fn refused_with_their_places() {
    let duel = |at: &str, value: Value| {
        let mut request = json!({"a": {"target": {"models": 2, "counters": [{"name": "pins"}]}, "attack": {"volleys": [{"steps": [{"name": "hit", "needs": "4+"}]}]}},
            "b": {"target": {"models": 2}, "attack": {"steps": [{"name": "hit", "needs": "4+"}]}}});
        let (parent, field) = at.rsplit_once('/').expect("a field");
        request.pointer_mut(parent).expect("there")[field] = value;
        request
    };
    let row = |name: &str| json!([{"name": name, "of": "own", "at_least": 1, "then": {"hit": {"needs": "2+"}}}]);
    let cases = [
        (duel("/a/sheds", json!({"name": "fires", "amount": 1})), "/a/sheds/name"),
        (duel("/a/sheds", json!([{"name": "pins", "amount": 1}, {"name": "fires", "amount": 1}])), "/a/sheds/1/name"),
        (duel("/b/sheds", json!({"name": "pins", "amount": 1})), "/b/sheds/name"),
        (duel("/a/attack/volleys/0/by_counter", row("fires")), "/a/attack/volleys/0/by_counter/0/name"),
        (duel("/b/attack/by_counter", row("pins")), "/b/attack/by_counter/0/name"),
        (duel("/a/attack/volleys/0/counts", json!({"pins": 1})), "/a/attack/volleys/0/counts/pins"),
        (duel("/a/attack/volleys/0/order", json!(1001)), "/a/attack/volleys/0/order"),
        (duel("/b/attack/order", json!(-1001)), "/b/attack/order"),
        (duel("/b/attack/uses", json!(0)), "/b/attack/uses"),
    ];
    for (request, pointer) in cases {
        let pointers: Vec<String> =
            refused("duel", request.clone()).into_iter().map(|mistake| mistake.pointer).collect();
        assert_eq!(pointers, [pointer], "{request}");
    }
}
