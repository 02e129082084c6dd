//! What is read, what is refused, and how a refusal points at its field.
use pipwright_tests::{
    ask::{ask, refused},
    compare::exact_rows,
    play::number::fraction,
    random::{self, Size},
};
use serde_json::{Value, json};

/// A chain with a bit of everything.
fn chain() -> Value {
    json!({
        "attackers": 2, "attacks": "1d3",
        "steps": [
            {"name": "hit", "needs": "3+", "critical": {"on": 6, "extra": 1, "then": {"wound": {"needs": "2+"}}}, "backfire": {"on": 1}},
            {"name": "wound", "needs": "4+", "margin": [{"at_least": 1, "damage": 1}]},
            {"name": "save", "by": "defender", "needs": "5+"}],
        "damage": "1d2",
        "target": {"models": 3, "health": 2, "ignore": {"needs": "6+"}},
        "aftermath": [{"when": {"models": true, "at_least": 2}, "dice": "2d6", "needs": "9+", "effect": "rout"}]})
}

fn tank() -> Value {
    json!({
        "steps": [{"name": "penetrate", "kind": "penetrate", "dice": "1d6", "add": 4, "against": 8, "graze": {"structure": 1},
            "breach": {"structure": 2, "chart": {"dice": "1d6", "rows": [
                {"at_least": 2, "status": "stuck", "repeated": {"wrecked": true}}, {"at_least": 6, "wrecked": true}]}}}],
        "target": {"structure": 3}})
}

/// A request with the field at the pointer put there or replaced.
fn with(mut request: Value, pointer: &str, value: Value) -> Value {
    let (parent, name) = pointer.rsplit_once('/').expect("a pointer");
    match request.pointer_mut(parent).expect("a parent") {
        Value::Array(list) => list[name.parse::<usize>().expect("a place")] = value,
        other => other[name] = value,
    }
    request
}

#[track_caller]
fn points_at(path: &str, request: Value, pointer: &str) {
    let mistakes = refused(path, request.clone());
    let pointers: Vec<&str> = mistakes.iter().map(|m| m.pointer.as_str()).collect();
    assert!(pointers.contains(&pointer), "{path} {request}: {pointer} is not among {pointers:?}");
    assert!(mistakes.iter().all(|m| !m.detail.is_empty()));
}

#[test]
fn an_answer_can_be_put_back() {
    for seed in 0..60 {
        let mut request = random::odds(&mut fastrand::Rng::with_seed(seed), Size::Small);
        request["exact"] = json!(true);
        let answer = ask("odds", request);
        let again = ask("odds", json!({"attacks": answer["through"], "target": {"models": 1}, "exact": true}));
        assert_eq!(again["attacks"], answer["through"], "seed {seed}");
        assert_eq!(again["through"], answer["through"], "seed {seed}");
    }
}

#[test]
fn decimals_are_read_as_decimals() {
    let odd = json!({"distribution": [{"value": 0, "chance": 0.1}, {"value": 3, "chance": 0.9}]});
    let answer = ask("odds", json!({"attacks": odd, "target": {"models": 9}, "exact": true}));
    assert_eq!(answer["attacks"]["distribution"][0]["fraction"], "1/10");
    assert_eq!(answer["attacks"]["distribution"][1]["fraction"], "0");
    // A fraction wins over the decimal beside it, and what the sum misses of 1 is divided out.
    let odd =
        json!({"distribution": [{"value": 1, "fraction": "1/3", "chance": 0.9}, {"value": 2, "chance": 0.6666666667}]});
    let answer = ask("odds", json!({"attacks": odd, "target": {"models": 9}, "exact": true}));
    let rows = exact_rows(&answer["attacks"]);
    let (third, other) = (fraction("1/3"), fraction("6666666667/10000000000"));
    assert_eq!(rows[&1], &third / (&third + other));
}

#[test]
fn notes_change_nothing() {
    let plain = ask("odds", chain());
    let because = json!([{"rule": "cover", "text": "any", "effect": "4+ becomes 5+"}]);
    let mut noted = chain();
    for pointer in ["/because", "/steps/0/because", "/target/because"] {
        noted = with(noted, pointer, because.clone());
    }
    for pointer in ["/label", "/steps/1/label", "/target/label"] {
        noted = with(noted, pointer, json!("a note"));
    }
    assert_eq!(ask("odds", noted), plain);
}

#[test]
fn null_is_absent() {
    let mut request = chain();
    for pointer in [
        "/exact",
        "/passed",
        "/steps/0/modifier",
        "/steps/0/reroll",
        "/steps/1/critical",
        "/steps/2/versus",
        "/target/spill",
        "/target/hurt",
    ] {
        request = with(request, pointer, Value::Null);
    }
    assert_eq!(ask("odds", request), ask("odds", chain()));
}

#[test]
fn unknown_fields_are_pointed_at() {
    for pointer in [
        "/colour",
        "/steps/0/colour",
        "/steps/0/critical/colour",
        "/target/colour",
        "/target/ignore/colour",
        "/aftermath/0/colour",
    ] {
        points_at("odds", with(chain(), pointer, json!(1)), pointer);
    }
    points_at(
        "odds",
        with(tank(), "/steps/0/breach/chart/rows/1/colour", json!(1)),
        "/steps/0/breach/chart/rows/1/colour",
    );
    points_at("check", json!({"dice": "2d6", "needs": "7+", "colour": 1}), "/colour");
    points_at("repair", json!({"capacity": 2, "missing": 1, "needs": "5+", "colour": 1}), "/colour");
}

#[test]
fn values_out_of_range_are_pointed_at() {
    let wrong = [
        ("/attackers", json!(1_000_000_000)),
        ("/attackers", json!(-1)),
        ("/attacks", json!("0d6")),
        ("/attacks", json!("101d6")),
        ("/attacks", json!("2d6 + 1")),
        ("/attacks", json!("1d101")),
        ("/attacks", json!("1d1")),
        ("/attacks", json!("2d6+1001")),
        ("/steps/0/die", json!(1)),
        ("/steps/0/needs", json!("0+")),
        ("/steps/0/needs", json!("10001+")),
        ("/steps/0/needs", json!("3")),
        ("/steps/0/modifier", json!(1001)),
        ("/steps/0/reroll", json!("everything")),
        ("/steps/0/critical/on", json!(1)),
        ("/steps/0/critical/on", json!(7)),
        ("/steps/0/critical/extra", json!(11)),
        ("/steps/0/critical/then/save", json!({"needs": "x"})),
        ("/steps/0/by", json!("nobody")),
        ("/target/health", json!(0)),
        ("/target/hurt", json!(2)),
        ("/target/ignore/needs", json!("often")),
        ("/target/ignore/per", json!("model")),
        ("/aftermath/0/needs", json!("")),
    ];
    for (pointer, value) in wrong {
        let at = if pointer == "/steps/0/critical/then/save" { "/steps/0/critical/then/save/needs" } else { pointer };
        points_at("odds", with(chain(), pointer, value), at);
    }
    points_at("odds", with(tank(), "/steps/0/breach/chart/rows", json!([])), "/steps/0/breach/chart/rows");
    points_at("odds", with(tank(), "/target/structure", json!(0)), "/target/structure");
    points_at("odds", with(tank(), "/target/overflow", json!("back")), "/target/overflow");
    points_at("repair", json!({"capacity": 2, "missing": 3, "needs": "5+"}), "/missing");
    points_at("check", json!({"dice": "0d6", "needs": "5+"}), "/dice");
    points_at("check", json!({"dice": "d6", "needs": "5+", "tries": 0}), "/tries");
}

#[test]
fn parts_that_do_not_fit_are_pointed_at() {
    // A `then` that names no later step.
    points_at(
        "odds",
        with(chain(), "/steps/0/critical/then", json!({"hit": {"modifier": 1}})),
        "/steps/0/critical/then/hit",
    );
    points_at(
        "odds",
        with(chain(), "/steps/0/critical/then", json!({"nowhere": {"modifier": 1}})),
        "/steps/0/critical/then/nowhere",
    );
    points_at("odds", with(chain(), "/steps/1/name", json!("hit")), "/steps/1/name");
    points_at("odds", with(chain(), "/steps/2/critical", json!({"on": 6, "extra": 1})), "/steps/2/critical/extra");
    let two = json!({"distribution": [{"value": 1, "chance": 0.5}, {"value": 1, "chance": 0.5}]});
    points_at("odds", with(chain(), "/attacks", two), "/attacks");
    let short = json!({"distribution": [{"value": 1, "chance": 0.5}, {"value": 2, "chance": 0.4}]});
    points_at("odds", with(chain(), "/attacks", short), "/attacks");
    // A chart's rows ascend.
    let rows = json!([{"at_least": 6, "wrecked": true}, {"at_least": 2, "status": "stuck"}]);
    let mistakes = refused("odds", with(tank(), "/steps/0/breach/chart/rows", rows));
    assert!(mistakes.iter().all(|m| m.pointer.starts_with("/steps/0/breach/chart/rows")), "{mistakes:?}");
}

#[test]
fn all_mistakes_come_together() {
    let mut request = with(chain(), "/steps/0/needs", json!("0+"));
    request = with(request, "/target/health", json!(0));
    request = with(request, "/damage", json!("3d"));
    let mistakes = refused("odds", request);
    let pointers: Vec<&str> = mistakes.iter().map(|m| m.pointer.as_str()).collect();
    for pointer in ["/steps/0/needs", "/target/health", "/damage"] {
        assert!(pointers.contains(&pointer), "{pointer} is not among {pointers:?}");
    }
}
