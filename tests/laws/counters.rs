//! Counters of a chain: figures worked out by hand, what must hold for any of them, and what is refused.
use pipwright_tests::{
    ask::{affordable, ask, refused},
    compare::exact_rows,
    random::{self, Size},
};
use serde_json::{Value, json};

/// The chances of a summary's values.
fn said(summary: &Value) -> Vec<(i64, String)> {
    exact_rows(summary).into_iter().map(|(value, chance)| (value, chance.to_string())).collect()
}

fn rows(rows: &[(i64, &str)]) -> Vec<(i64, String)> {
    rows.iter().map(|(value, chance)| (*value, (*chance).to_string())).collect()
}

#[test]
fn by_hand() {
    // Two shots on 4+, a pin for each hit, saved or not; two pins hold.
    let request = json!({"exact": true, "attacks": 2,
        "steps": [{"name": "hit", "needs": "4+", "counts": {"pins": 1}}, {"name": "save", "by": "defender", "needs": "2+"}],
        "target": {"models": 9, "counters": [{"name": "pins"}], "thresholds": [{"name": "pins", "at_least": 2, "effect": "pinned"}]}});
    let answer = ask("odds", request);
    assert_eq!(said(&answer["counters"]["pins"]), rows(&[(0, "1/4"), (1, "1/2"), (2, "1/4")]));
    assert_eq!(answer["effects"]["pinned"]["fraction"], "1/4");
    // The second attack meets a pin with the chance 1/2 and then hits on 2+: 1/2 + 1/2 of (1/2 · 5/6 + 1/2 · 1/2).
    let request = json!({"exact": true, "attacks": 2, "counts": {"pins": 1},
        "by_counter": [{"name": "pins", "at_least": 1, "then": {"hit": {"needs": "2+"}}}],
        "steps": [{"name": "hit", "needs": "4+"}],
        "target": {"models": 9, "counters": [{"name": "pins", "most": 1}]}});
    let answer = ask("odds", request);
    assert_eq!(said(&answer["models"]), rows(&[(0, "1/4"), (1, "1/3"), (2, "5/12")]));
    assert_eq!(said(&answer["counters"]["pins"]), rows(&[(0, "1/4"), (1, "3/4")]));
    assert_eq!(said(&answer["through"]), said(&answer["models"]));
    // A landing counts before it takes the last model, what comes after it no more; an ignored one counts too.
    let request = json!({"exact": true, "attacks": 3, "counts": {"pins": "d2"},
        "target": {"models": 1, "ignore": {"needs": "4+"}, "counters": [{"name": "pins", "start": 1, "most": 3}],
            "thresholds": [{"name": "pins", "at_least": 3, "effect": "pinned"}, {"name": "pins", "at_least": 3, "effect": "lost", "even_destroyed": true}]}});
    let answer = ask("odds", request);
    // One landing with 1/2, else two or three: at 2 only where one came and gave 1.
    assert_eq!(said(&answer["counters"]["pins"]), rows(&[(2, "1/4"), (3, "3/4")]));
    assert_eq!(answer["effects"]["lost"]["fraction"], "3/4");
    assert_eq!(answer["effects"]["pinned"]["fraction"], "1/8");
    // Of the rows of one counter only the highest that is reached acts; those of different ones in the order listed.
    let request = |order: [usize; 3]| {
        let rows = [
            json!({"name": "pins", "at_least": 1, "then": {"hit": {"modifier": {"plus": 9}}}}),
            json!({"name": "pins", "at_least": 2, "then": {"hit": {"needs": "5+"}}}),
            json!({"name": "fires", "at_least": 0, "then": {"hit": {"needs": "3+"}}}),
        ];
        let rows: Vec<Value> = order.iter().map(|at| rows[*at].clone()).collect();
        json!({"exact": true, "steps": [{"name": "hit", "needs": "4+"}], "by_counter": rows,
            "target": {"models": 1, "counters": [{"name": "pins", "start": 3}, {"name": "fires"}]}})
    };
    assert_eq!(ask("odds", request([0, 1, 2]))["destroyed"]["fraction"], "2/3");
    assert_eq!(ask("odds", request([2, 0, 1]))["destroyed"]["fraction"], "1/3");
}

#[test]
fn what_nobody_reads_changes_nothing_else() {
    let mut compared = 0;
    for seed in 0..400 {
        let size = if seed % 2 == 0 { Size::Small } else { Size::Large };
        let mut request = random::odds(&mut fastrand::Rng::with_seed(seed), size);
        if request["target"].get("counters").is_none() {
            continue;
        }
        without(&mut request, &["by_counter"]);
        let Some(mut counted) = affordable("odds", &request) else { continue };
        without(&mut request, &["counts", "counters", "thresholds"]);
        let plain = ask("odds", request.clone());
        ["counters", "effects"].iter().for_each(|key| drop(counted.as_object_mut().expect("an answer").remove(*key)));
        assert_eq!(counted.to_string(), plain.to_string(), "{request}");
        compared += 1;
    }
    assert!(compared >= 40, "only {compared} with counters");
}

/// Takes fields out, wherever they stand.
fn without(value: &mut Value, names: &[&str]) {
    match value {
        Value::Object(fields) => {
            fields.retain(|name, _| !names.contains(&name.as_str()));
            fields.values_mut().for_each(|field| without(field, names));
        }
        Value::Array(list) => list.iter_mut().for_each(|item| without(item, names)),
        _ => {}
    }
}

#[test]
fn thresholds_fall_as_they_rise() {
    let mut compared = 0;
    for seed in 0..300 {
        let mut request = random::odds(&mut fastrand::Rng::with_seed(seed), Size::Small);
        let Some(counters) = request["target"].get("counters").cloned() else { continue };
        let name = counters[0]["name"].clone();
        let row = |at_least: u32, even: bool| json!({"name": name, "at_least": at_least, "effect": format!("{at_least} {even}"), "even_destroyed": even});
        let all: Vec<Value> = (0..=4).flat_map(|at_least| [row(at_least, false), row(at_least, true)]).collect();
        request["target"]["thresholds"] = json!(all);
        let Some(answer) = affordable("odds", &request) else { continue };
        let chance = |at_least: usize, even: bool| {
            answer["effects"][format!("{at_least} {even}")]["chance"].as_f64().expect("a chance")
        };
        let summary = &answer["counters"][name.as_str().expect("a name")]["distribution"];
        let at_least = |value: usize| {
            let rows = summary.as_array().expect("rows").iter();
            rows.filter(|row| row["value"].as_u64().expect("a value") >= value as u64)
                .map(|row| row["chance"].as_f64().expect("a chance"))
                .sum::<f64>()
        };
        for value in 0..=4 {
            assert!((chance(value, true) - at_least(value)).abs() < 1e-12, "{request}");
            assert!(chance(value, false) <= chance(value, true) + 1e-12, "{request}");
            let destroyed = answer["destroyed"]["chance"].as_f64().expect("a chance");
            assert!(chance(value, false) >= chance(value, true) - destroyed - 1e-12, "{request}");
        }
        assert!((0..4).all(|value| chance(value, false) >= chance(value + 1, false) - 1e-12), "{request}");
        assert!((chance(0, false) + answer["destroyed"]["chance"].as_f64().expect("a chance") - 1.0).abs() < 1e-12);
        compared += 1;
    }
    assert!(compared >= 20, "only {compared} with counters");
}

#[test]
fn a_counter_makes_a_question_dearer_and_too_dear() {
    let request = |most: u32| {
        json!({"attackers": 4, "attacks": "d6", "counts": {"a": 1, "b": 1, "c": 1},
            "by_counter": [{"name": "a", "at_least": 1, "then": {"hit": {"needs": "2+"}}}, {"name": "b", "at_least": 1, "then": {"hit": {"needs": "2+"}}}, {"name": "c", "at_least": 1, "then": {"hit": {"needs": "2+"}}}],
            "steps": [{"name": "hit", "needs": "4+"}],
            "target": {"models": 5, "counters": [{"name": "a", "most": most}, {"name": "b", "most": most}, {"name": "c", "most": most}]}})
    };
    assert!(affordable("odds", &request(2)).is_some());
    assert!(affordable("odds", &request(200)).is_none());
}

fn pointers(path: &str, request: Value) -> Vec<String> {
    refused(path, request).into_iter().map(|mistake| mistake.pointer).collect()
}

#[test]
fn refused_with_their_places() {
    let chain = |volley: Value, target: Value| {
        let mut request = json!({"steps": [{"name": "hit", "needs": "4+"}], "target": {"models": 3}});
        for (onto, more) in [("", volley), ("/target", target)] {
            let onto = request.pointer_mut(onto).expect("there").as_object_mut().expect("an object");
            onto.extend(more.as_object().expect("an object").clone());
        }
        request
    };
    let pins = json!({"counters": [{"name": "pins"}]});
    let with = |more: Value| {
        let mut target = pins.clone();
        target.as_object_mut().expect("an object").extend(more.as_object().expect("an object").clone());
        target
    };
    let row = |more: Value| {
        let mut row = json!({"name": "pins", "at_least": 1, "then": {"hit": {"needs": "2+"}}});
        row.as_object_mut().expect("an object").extend(more.as_object().expect("an object").clone());
        json!({"by_counter": [row]})
    };
    let cases = [
        (chain(json!({"counts": {"fires": 1}}), pins.clone()), "/counts/fires"),
        (
            chain(json!({"steps": [{"name": "hit", "needs": "4+", "counts": {"pin": 1}}]}), pins.clone()),
            "/steps/0/counts/pin",
        ),
        (chain(row(json!({"name": "fires"})), pins.clone()), "/by_counter/0/name"),
        (chain(row(json!({"then": {"wound": {"needs": "2+"}}})), pins.clone()), "/by_counter/0/then/wound"),
        (chain(row(json!({"of": "own"})), pins.clone()), "/by_counter/0/of"),
        (chain(row(json!({"at_least": 1001})), pins.clone()), "/by_counter/0/at_least"),
        (
            chain(json!({}), with(json!({"thresholds": [{"name": "fires", "at_least": 1, "effect": "x"}]}))),
            "/target/thresholds/0/name",
        ),
        (chain(json!({}), json!({"counters": [{"name": "a"}, {"name": "a"}]})), "/target/counters/1/name"),
        (chain(json!({}), json!({"counters": [{"name": "a", "most": 1001}]})), "/target/counters/0/most"),
        (chain(json!({}), json!({"counters": [{"name": "a", "most": 0}]})), "/target/counters/0/most"),
        (chain(json!({}), json!({"counters": [{"name": "a", "most": 3, "start": 4}]})), "/target/counters/0/start"),
        (
            chain(
                json!({}),
                json!({"counters": [{"name": "a"}, {"name": "b"}, {"name": "c"}, {"name": "d"}, {"name": "e"}]}),
            ),
            "/target/counters",
        ),
        (chain(json!({"uses": 2}), pins.clone()), "/uses"),
        (chain(json!({"order": 2}), pins.clone()), "/order"),
        (chain(json!({"sheds": {"name": "pins", "amount": 1}}), pins), "/sheds"),
    ];
    for (request, pointer) in cases {
        assert_eq!(pointers("odds", request.clone()), [pointer], "{request}");
    }
    let volley = |more: Value| {
        let mut volley = json!({"steps": [{"name": "hit", "needs": "4+"}]});
        volley.as_object_mut().expect("an object").extend(more.as_object().expect("an object").clone());
        json!({"volleys": [volley], "target": {"models": 2}})
    };
    for field in ["uses", "order"] {
        assert_eq!(pointers("odds", volley(json!({field: 1}))), [format!("/volleys/0/{field}")]);
    }
}

#[test]
fn fractions_stand_where_they_are_asked_for() {
    let mut request = json!({"counts": {"pins": 1}, "steps": [{"name": "hit", "needs": "5+"}],
        "target": {"models": 2, "counters": [{"name": "pins"}], "thresholds": [{"name": "pins", "at_least": 1, "effect": "pinned"}]}});
    let plain = ask("odds", request.clone());
    assert!(plain["effects"]["pinned"].get("fraction").is_none());
    assert!(plain["counters"]["pins"]["distribution"][0].get("fraction").is_none());
    request["exact"] = json!(true);
    let exact = ask("odds", request);
    assert_eq!(exact["effects"]["pinned"]["fraction"], "1/3");
    assert_eq!(exact["counters"]["pins"]["distribution"][0]["fraction"], "2/3");
}
