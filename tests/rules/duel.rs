//! Duels of two units of a book: what they come down to, and what is said of them.
use pipwright_shared::rules::PackCatalog;
use pipwright_tests::ask::{ask, refused, try_ask};
use serde_json::{Value, json};

fn pointers(request: Value) -> Vec<String> {
    refused("duel", request).iter().map(|mistake| mistake.pointer.clone()).collect()
}

fn stated(answer: &Value) -> Vec<&str> {
    let defaults = answer["defaults"].as_array().expect("a list").iter();
    defaults.map(|one| one["pointer"].as_str().expect("a pointer")).collect()
}

#[test]
fn every_duel_equals_the_plain_one_it_comes_down_to() {
    let mut asked = 0;
    for pack in PackCatalog::demo().packs() {
        let bands: Vec<&String> = pack.situations.ranges.iter().rev().map(|band| &band.word.named.id).collect();
        for (at, a) in pack.units.iter().enumerate() {
            // Each against a different one, so that all meet somebody.
            let b = &pack.units[(at * 7 + 3) % pack.units.len()];
            let duel = json!({
                "pack": pack.named.id, "a": {"unit": a.named.id}, "b": {"unit": b.named.id},
                "situation": {"range": bands}, "turns": bands.len(), "first": "roll",
            });
            let answer = match try_ask("duel", duel) {
                Ok(answer) => answer,
                Err(mistakes) => panic!("{} v {}: {mistakes:?}", a.named.id, b.named.id),
            };
            let plain = ask("duel", answer["duel"].clone());
            let pair = (&a.named.id, &b.named.id);
            assert_eq!(answer["turns"], plain["turns"], "{pair:?}");
            assert_eq!(answer["never_settled"], plain["never_settled"], "{pair:?}");
            for side in ["a", "b"] {
                assert_eq!(answer[side]["left"], plain[side]["left"], "{side} of {pair:?}");
            }
            asked += 1;
        }
    }
    assert!(asked >= 18, "{asked}");
}

#[test]
fn every_weapon_is_used_in_its_turns() {
    let answer = ask(
        "duel",
        json!({"a": {"unit": "heath riders"}, "b": {"unit": "dyke hands", "models": 10},
            "situation": {"range": ["far", "mid", "near", "contact"]}}),
    );
    let volleys = |side: &str| {
        let volleys = answer["duel"][side]["attack"]["volleys"].as_array().expect("volleys").iter();
        volleys.map(|volley| (volley["label"].clone(), volley["turns"].clone())).collect::<Vec<_>>()
    };
    // Carbines reach 18, so mid and near; spears are for contact. Turns go on with the last band.
    assert_eq!(volleys("a"), [(json!("horse spear"), json!([4, 6])), (json!("carbine"), json!([2, 3]))]);
    // A bank pistol is handy: used near and in contact.
    assert_eq!(volleys("b"), [(json!("cudgel"), json!([4, 6])), (json!("bank pistol"), json!([3, 6]))]);
    let unused = answer["a"]["unit"]["unused_weapons"].as_array().expect("a list");
    assert!(unused.iter().any(|one| one["weapon"] == "carbine" && one["turns"] == json!([1, 1])), "{unused:?}");
    assert_eq!(answer["turns"][0]["b_destroyed"], 0.0);
    assert_eq!(answer["a"]["unit"]["points"]["cost"], 85);
}

#[test]
fn a_rout_ends_it_and_a_gang_mends() {
    let answer = ask(
        "duel",
        json!({"a": {"unit": "heron", "near": ["cutter"]}, "b": {"unit": "dyke hands"}, "situation": {"range": "mid"}}),
    );
    let plain = &answer["duel"];
    assert_eq!(plain["a"]["attack"]["aftermath"][0]["ends"], true);
    assert_eq!(plain["a"]["repair"]["needs"], "5+");
    let mends = answer["a"]["unit"]["mends"].as_array().expect("a list");
    assert_eq!(mends[0]["rule"], "master-tinker");
}

/// Crews lose hands before guns: a crew of three with two swivels fires both while two of them stand.
#[test]
fn what_only_some_carry_is_used_to_the_last() {
    let swivels =
        ask("duel", json!({"a": {"unit": "swivel crew", "weapons": ["swivel"]}, "b": {"unit": "dyke hands"}}));
    assert_eq!(swivels["duel"]["a"]["attack"]["volleys"][0]["served"], json!([1, 2]));
    assert!(stated(&swivels).contains(&"/a/weapons"));
    let wardens = ask(
        "duel",
        json!({"a": {"unit": "wardens", "options": ["2 bolt guns"], "models": 10}, "b": {"unit": "heron"}}),
    );
    let volleys = wardens["duel"]["a"]["attack"]["volleys"].as_array().expect("volleys").clone();
    let served: Vec<(&Value, &Value)> = volleys.iter().map(|volley| (&volley["label"], &volley["served"])).collect();
    assert_eq!(
        served,
        [(&json!("bank pistol"), &json!([0, 0, 1, 2, 3, 4, 5, 6, 7, 8])), (&json!("bolt gun"), &json!([1, 2]))]
    );
}

#[test]
fn each_side_stands_in_its_own_way() {
    let duel = |a: Value, b: Value| {
        ask(
            "duel",
            json!({"a": {"unit": "bittern", "situation": a}, "b": {"unit": "heron", "situation": b}, "turns": 2}),
        )
    };
    let against = |answer: &Value, side: &str| {
        let volleys = answer["duel"][side]["attack"]["volleys"].as_array().expect("volleys").clone();
        volleys
            .iter()
            .map(|volley| (volley["turns"].clone(), volley["steps"][1]["against"].clone()))
            .collect::<Vec<_>>()
    };
    let answer = duel(json!({"arc": "side"}), json!({"arc": ["front", "rear"]}));
    // Heron: hull 22, 20, 18; Bittern: 21, 19, 18; both carry a culverin and swivels.
    let (first, second) = (json!([1, 1]), json!([2, 2]));
    let expected = [(&first, 22), (&second, 18), (&first, 22), (&second, 18)];
    assert_eq!(against(&answer, "a"), expected.map(|(turns, hull)| (turns.clone(), json!(hull))));
    assert_eq!(against(&answer, "b"), [(Value::Null, json!(19)), (Value::Null, json!(19))]);
}

#[test]
fn who_cannot_hurt_each_other_are_told_so_at_once() {
    // Cudgels and pistols come to 17 at most, and a Sluice Tower has hull 20 all round; its mortars are too near to lay.
    let wall = json!({"a": {"unit": "dyke hands", "models": 60, "weapons": ["cudgel"]},
        "b": {"unit": "dyke hands", "models": 60, "weapons": ["cudgel"]}, "situation": {"range": "far"}, "turns": 20});
    let answer = ask("duel", wall);
    assert_eq!(answer["harmless"], true);
    assert_eq!(answer["never_settled"]["chance"], 1.0);
    assert_eq!(answer["a"]["left"]["expected"], 60.0);
    assert_eq!(answer["turns"].as_array().map(Vec::len), Some(20));
    // In plain numbers too, whatever the sizes.
    let side = json!({"target": {"models": 1000, "health": 10}, "attack": {"attackers": 10, "steps": [{"name": "hit", "needs": "never"}]}});
    assert_eq!(ask("duel", json!({"a": side, "b": side, "turns": 20}))["harmless"], true);
}

#[test]
fn large_ones_are_answered_or_refused_by_price() {
    let rifles = json!({"unit": "quay rifles", "models": 60});
    let request = json!({"a": rifles, "b": rifles, "turns": 20});
    match try_ask("duel", request) {
        Ok(answer) => assert_eq!(answer["turns"].as_array().map(Vec::len), Some(20)),
        Err(mistakes) => {
            let kinds: Vec<_> = mistakes.iter().map(|mistake| mistake.kind).collect();
            assert_eq!(kinds, [pipwright_shared::wire::mistake::MistakeKind::TooMuchWork]);
        }
    }
}

#[test]
fn mistakes_are_named_where_they_are() {
    assert_eq!(pointers(json!({"a": {"unit": "heron"}, "b": {"target": {"models": 3}}})), ["/b/unit"]);
    assert_eq!(pointers(json!({"a": {"unit": "heron", "attack": {}}, "b": {"unit": "heron"}})), ["/a/attack"]);
    assert_eq!(pointers(json!({"a": {}, "b": {"target": {"models": 3}}})), ["/a/target"]);
    let plain = json!({"target": {"models": 3}});
    assert_eq!(pointers(json!({"a": plain, "b": plain, "situation": {}})), ["/situation"]);
    let units = |more: Value| {
        let mut request = json!({"a": {"unit": "heron"}, "b": {"unit": "rifles"}});
        request.as_object_mut().expect("fields").extend(more.as_object().expect("fields").clone());
        pointers(request)
    };
    assert_eq!(units(json!({"situation": {"range": ["near", "fra"], "arc": ["front", "top"]}})), ["/situation/arc/1"]);
    assert_eq!(units(json!({"a": {"unit": "heron", "situation": {"range": "near"}}})), ["/a/situation/range"]);
    assert_eq!(
        units(json!({"b": {"unit": "rifles", "situation": {"cover": ["reeds", "moat"]}}})),
        ["/b/situation/cover/1"]
    );
    assert_eq!(units(json!({"situation": {"range": []}})), ["/situation/range"]);
    assert_eq!(units(json!({"situation": {"moved": [true, true, true]}, "turns": 2})), ["/situation/moved"]);
    assert_eq!(units(json!({"situation": {"foggy": [true, 3]}})), ["/situation/foggy/1"]);
    assert_eq!(units(json!({"turns": 21})), ["/turns"]);
    assert_eq!(units(json!({"b": {"unit": "rifles", "hurt": 1}})), ["/b/hurt"]);
    let names =
        refused("duel", json!({"a": {"unit": "hernia"}, "b": {"unit": "riffles"}, "without": ["lantern scheen"]}));
    assert!(names.iter().any(|mistake| mistake.pointer == "/a/unit"), "{names:?}");
}

/// Who is not attacked is a target like any other.
#[test]
fn a_side_that_nobody_attacks_is_looked_at_too() {
    let attack = json!({"steps": [{"name": "hit", "needs": "4+"}]});
    for (target, at) in [
        (json!({"structure": 0}), "/a/target/structure"),
        (json!({"structure": 5_000}), "/a/target/structure"),
        (json!({"structure": 3, "units": 101}), "/a/target/units"),
        (json!({"models": 2, "health": 0}), "/a/target/health"),
        (json!({"models": 2, "health": 2, "hurt": 5}), "/a/target/hurt"),
        (json!({"models": 0}), "/a/target/models"),
        (json!({"models": 1_001}), "/a/target/models"),
    ] {
        let found = pointers(json!({"a": {"target": target, "attack": attack}, "b": {"target": {"models": 2}}}));
        assert_eq!(found, [at], "{target}");
    }
    let idle = json!({"a": {"target": {"models": 3}}, "b": {"target": {"models": 2}}});
    assert_eq!(ask("duel", idle)["harmless"], true);
}

#[test]
fn what_is_left_open_is_stated() {
    let answer = ask("duel", json!({"a": {"unit": "heron"}, "b": {"unit": "bittern"}}));
    assert_eq!(
        stated(&answer),
        [
            "/pack",
            "/a/models",
            "/b/models",
            "/a/situation/arc",
            "/a/situation/cover",
            "/a/situation/moved",
            "/b/situation/arc",
            "/b/situation/cover",
            "/b/situation/moved",
            "/situation/range",
            "/first",
            "/turns",
        ]
    );
    assert_eq!((&answer["a"]["unit"]["name"], &answer["pack"]), (&json!("Heron Carriage"), &json!("canal-guild")));
}

/// By hand: a gun of one shot that on a 1 takes its own hull's only point, against a target that it can't hurt. In two
/// turns the hull is gone unless neither die shows a 1: 1 - (5/6)² = 11/36; and never, if its own gun did it no harm.
#[test]
fn what_a_side_does_to_itself_is_told_apart() {
    let gun = json!({"steps": [
        {"name": "hit", "needs": "4+", "backfire": {"on": 1, "needs": "never", "harm": 1}},
        {"name": "penetrate", "kind": "penetrate", "add": 0, "against": 99, "breach": {"structure": 1}},
    ]});
    let armour = json!({"structure": 1});
    let duel = |attack: Value| {
        let still = json!({"target": armour, "attack": attack});
        ask("duel", json!({"a": still, "b": {"target": armour, "attack": gun}, "turns": 2, "exact": true}))
    };
    let alone = duel(json!({"attacks": 0, "steps": [{"name": "penetrate", "kind": "penetrate", "against": 99}]}));
    assert_eq!(alone["harmless"], true);
    assert_eq!(alone["turns"][1]["b_destroyed"], json!(11.0 / 36.0));
    assert_eq!(alone["b"]["destroyed_without_own_harm"]["fraction"], "0");
    assert!(alone["a"]["destroyed_without_own_harm"].is_null(), "what can't harm itself has no such number");
    // Side a fires first each turn and wrecks b on a 6: by itself with 1 - (5/6)² = 11/36; together with the backfires
    // b lives through two turns with (5/6)⁴, so that it is gone with 671/1296.
    let sniper = json!({"steps": [{"name": "penetrate", "kind": "penetrate", "add": 0, "against": 5, "breach": {"structure": 1}}]});
    let both = duel(sniper);
    assert_eq!(both["turns"][1]["b_destroyed"], json!(671.0 / 1296.0));
    assert_eq!(both["b"]["destroyed_without_own_harm"]["fraction"], "11/36");
}

/// The Ferry Crab's steam pipe backfires; what it does to the crab without that is asked as the plain duel with no harm.
#[test]
fn the_harm_of_its_own_weapons_is_left_out_of_the_plain_duel() {
    let request = json!({"a": {"unit": "heron carriage"}, "b": {"unit": "dredge walker"}, "turns": 4});
    let answer = ask("duel", request);
    let mut plain = answer["duel"].clone();
    let mut harms = 0;
    for volley in plain["b"]["attack"]["volleys"].as_array_mut().expect("volleys") {
        for step in volley["steps"].as_array_mut().expect("steps") {
            if step["backfire"].is_object() {
                step["backfire"]["harm"] = json!(0);
                harms += 1;
            }
        }
    }
    assert!(harms > 0, "{plain}");
    let spared = ask("duel", plain);
    let without = answer["b"]["destroyed_without_own_harm"]["chance"].as_f64().expect("a chance");
    assert_eq!(Some(without), spared["turns"][3]["b_destroyed"].as_f64());
    assert!(without > 0.0 && without < answer["turns"][3]["b_destroyed"].as_f64().expect("a chance"));
}
