//! Counters on the targets of chains: what adds to them, what they bring, what they change.
use super::{Size, maybe, object, one_of, percent, roll::Later};
use fastrand::Rng;
use serde_json::{Map, Value, json};

const NAMES: [&str; 2] = ["pins", "fires"];

/// Puts counters on the target of a chain, and all that goes with them.
pub(super) fn on(rng: &mut Rng, size: Size, request: &mut Value) {
    let count = if percent(rng, 30) { 2 } else { 1 };
    let names = &NAMES[..count];
    let counters = names.iter().map(|name| {
        let most = rng.u32(1..=size.pick(2, 6));
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
    maybe(rng, if steps.is_empty() { 0 } else { 60 }, volley, "by_counter", |rng| {
        let mut rows: Vec<Value> = Vec::new();
        for _ in 0..rng.u32(1..=3) {
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
