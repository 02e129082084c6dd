//! Counters on the targets of chains: what adds to them, what they bring, what they change.
use super::{Size, maybe, object, one_of, percent, roll::Later};
use fastrand::Rng;
use serde_json::{Map, Value, json};

const NAMES: [&str; 2] = ["pins", "fires"];

/// Puts counters on the target of a chain, and all that goes with them.
pub(super) fn on(rng: &mut Rng, size: Size, request: &mut Value) {
    let count = if percent(rng, 20) { 2 } else { 1 };
    let names = &NAMES[..count];
    let counters = names.iter().map(|name| {
        let most = rng.u32(1..=size.pick(2, 4));
        let mut counter = json!({"name": name, "most": most});
        maybe(rng, 30, &mut counter, "start", |rng| json!(rng.u32(0..=most)));
        counter
    });
    let counters: Vec<Value> = counters.collect();
    object(&mut request["target"]).insert("counters".into(), json!(counters));
    maybe(rng, 70, &mut request["target"], "thresholds", |rng| {
        let rows = (0..rng.u32(1..=3)).map(|_| {
            let mut row = json!({"name": one_of(rng, names), "at_least": rng.u32(0..=3), "effect": one_of(rng, &["shaken", "burning"])});
            maybe(rng, 30, &mut row, "even_destroyed", |rng| json!(rng.bool()));
            row
        });
        json!(rows.collect::<Vec<_>>())
    });
    match request.get_mut("volleys").and_then(Value::as_array_mut) {
        Some(volleys) => volleys.iter_mut().for_each(|volley| of_volley(rng, size, names, volley)),
        None => of_volley(rng, size, names, request),
    }
}

/// Lets a side of a duel read and shed the counters of its own.
pub(super) fn own(rng: &mut Rng, size: Size, side: &mut Value) {
    let counters = side["target"]["counters"].as_array().cloned().unwrap_or_default();
    let Some(name) = counters.first().and_then(|counter| counter["name"].as_str()) else { return };
    maybe(rng, 60, side, "sheds", |rng| {
        let few = size.pick(["1", "d2", "all"], ["1", "d3-1", "all"]);
        let mut shed = json!({"name": name, "amount": one_of(rng, &few)});
        maybe(rng, 50, &mut shed, "needs", |rng| json!(one_of(rng, &["3+", "5+", "2-"])));
        maybe(rng, 30, &mut shed, "die", |_| json!(size.pick(2, 8)));
        if rng.bool() { json!([shed]) } else { shed }
    });
    let attack = side.get_mut("attack").expect("an attack");
    match attack.get_mut("volleys").and_then(Value::as_array_mut) {
        Some(volleys) => volleys.iter_mut().for_each(|volley| reads(rng, name, volley)),
        None => reads(rng, name, attack),
    }
}

fn reads(rng: &mut Rng, name: &str, volley: &mut Value) {
    let steps = volley["steps"].as_array().cloned().unwrap_or_default();
    if steps.is_empty() || percent(rng, 40) {
        return;
    }
    let mut then = then(rng, &steps);
    if volley.get("gate").is_some_and(|gate| gate.get("needs").is_some()) {
        let change =
            one_of(rng, &[json!({"modifier": {"plus": -1}}), json!({"modifier": 1}), json!({"needs": {"plus": 1}})]);
        object(&mut then).insert("gate".into(), change);
    }
    let row = json!({"name": name, "of": "own", "at_least": rng.u32(1..=2), "then": then});
    match volley.get_mut("by_counter").and_then(Value::as_array_mut) {
        Some(rows) => rows.push(row),
        None => drop(object(volley).insert("by_counter".into(), json!([row]))),
    }
    super::roll::same_way(volley);
}

fn of_volley(rng: &mut Rng, size: Size, names: &[&str], volley: &mut Value) {
    let steps = volley["steps"].as_array().cloned().unwrap_or_default();
    maybe(rng, 50, volley, "counts", |rng| counts(rng, size, names));
    for step in volley.get_mut("steps").and_then(Value::as_array_mut).into_iter().flatten() {
        maybe(rng, 35, step, "counts", |rng| counts(rng, size, names));
        let chart = step.pointer("/breach/chart/rows").is_some();
        for place in ["/graze", "/breach"] {
            if let Some(hit) = step.pointer_mut(place) {
                maybe(rng, 40, hit, "counts", |rng| counts(rng, size, names));
            }
        }
        let rows = if chart { step.pointer_mut("/breach/chart/rows") } else { step.get_mut("rows") };
        for row in rows.and_then(Value::as_array_mut).into_iter().flatten() {
            maybe(rng, 40, row, "counts", |rng| counts(rng, size, names));
        }
    }
    maybe(rng, if steps.is_empty() { 0 } else { 30 }, volley, "by_counter", |rng| {
        let mut rows: Vec<Value> = Vec::new();
        for _ in 0..rng.u32(1..=2) {
            let (name, at_least) = (one_of(rng, names), rng.u32(0..=2));
            let alike = |row: &Value| row["name"] == name && row["at_least"] == at_least;
            if !rows.iter().any(alike) {
                rows.push(json!({"name": name, "at_least": at_least, "then": then(rng, &steps)}));
            }
        }
        json!(rows)
    });
}

fn counts(rng: &mut Rng, size: Size, names: &[&str]) -> Value {
    let few = size.pick(["1", "2", "d2", "d2-1"], ["1", "2", "d3", "d6-3"]);
    let counted = |rng: &mut Rng| {
        let few = one_of(rng, &few);
        few.parse::<u32>().map_or_else(|_| json!(few), |number| json!(number))
    };
    let mut counts = Map::new();
    counts.insert(one_of(rng, names).to_string(), counted(rng));
    if names.len() > 1 && percent(rng, 30) {
        counts.insert(one_of(rng, names).to_string(), counted(rng));
    }
    Value::Object(counts)
}

/// Changed numbers of one or two of the steps.
fn then(rng: &mut Rng, steps: &[Value]) -> Value {
    let mut then = Map::new();
    for _ in 0..rng.u32(1..=2) {
        let step = one_of(rng, steps);
        let (name, change) = if step["kind"] == "table" {
            (step["name"].as_str().expect("a name").to_string(), json!({"modifier": {"plus": rng.i32(-1..=1)}}))
        } else {
            Later::of(&step).change(rng)
        };
        then.insert(name, change);
    }
    Value::Object(then)
}
