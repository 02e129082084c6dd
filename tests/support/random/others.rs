//! Requests for what stands on the engine: duels, blasts, searches, luck, draws, tables, batches, lists, packs.
use super::{Size, check, few, maybe, object, odds, odds_uncounted, one_of, percent, repair};
use fastrand::Rng;
use serde_json::{Map, Value, json};

/// A request for `/v1/duel`: the attacks of two chains, each on the other's target.
pub fn duel(rng: &mut Rng, size: Size) -> Value {
    let mut halves = [odds_uncounted(rng, size), odds_uncounted(rng, size)].map(|mut chain| {
        ["passed", "exact"].iter().for_each(|key| drop(object(&mut chain).remove(*key)));
        let target = object(&mut chain).remove("target").expect("a target");
        for test in chain.get_mut("aftermath").and_then(Value::as_array_mut).into_iter().flatten() {
            let seen = test["when"].get("passed").is_none();
            maybe(rng, if seen { 50 } else { 0 }, test, "ends", |_| json!(true));
        }
        (chain, target)
    });
    let (first, second) = halves.split_at_mut(1);
    std::mem::swap(&mut first[0].1, &mut second[0].1);
    let mut side = |(attack, target): &(Value, Value)| {
        let mut side = json!({"target": target, "attack": attack});
        maybe(rng, 40, &mut side, "repair", |rng| {
            let mut mend = repair(rng, size);
            let unread = ["capacity", "missing", "turns", "incoming", "order"];
            unread.iter().for_each(|key| drop(object(&mut mend).remove(*key)));
            mend
        });
        side
    };
    let [a, b] = [side(&halves[0]), side(&halves[1])];
    let mut request = json!({"a": a, "b": b, "turns": rng.u32(1..=size.pick(2, 5))});
    maybe(rng, 75, &mut request, "first", |rng| json!(one_of(rng, &["a", "b", "roll", "together"])));
    request
}

/// The same with counters, what reads and sheds them, uses and orders.
pub fn counted_duel(rng: &mut Rng, size: Size) -> Value {
    let mut request = duel(rng, size);
    let (mut a, mut b) = (request["a"].take(), request["b"].take());
    for _ in 0..2 {
        if percent(rng, 75) {
            let mut chain = a["attack"].take();
            object(&mut chain).insert("target".into(), b["target"].take());
            super::counters::on(rng, size, &mut chain);
            super::roll::same_way(&mut chain);
            b["target"] = object(&mut chain).remove("target").expect("a target");
            a["attack"] = chain;
        }
        std::mem::swap(&mut a, &mut b);
    }
    for side in [&mut a, &mut b] {
        super::counters::own(rng, size, side);
        let attack = side.get_mut("attack").expect("an attack");
        if let Some(volleys) = attack.get_mut("volleys").and_then(Value::as_array_mut) {
            for volley in volleys {
                maybe(rng, 30, volley, "turns", |rng| json!([1, rng.u32(1..=3)]));
                timed(rng, volley);
            }
        } else {
            timed(rng, attack);
        }
    }
    object(&mut request).extend([("a".to_string(), a), ("b".to_string(), b)]);
    maybe(rng, 40, &mut request, "first", |_| json!("order"));
    request
}

fn timed(rng: &mut Rng, volley: &mut Value) {
    maybe(rng, 30, volley, "uses", |rng| json!(rng.u32(1..=2)));
    maybe(rng, 60, volley, "order", |rng| json!(rng.i32(-1..=1)));
}

/// A request for `/v1/blast`.
pub fn blast(rng: &mut Rng, size: Size) -> Value {
    let mm = |rng: &mut Rng, most: i32| json!(f64::from(rng.i32(-most * 4..=most * 4)) / 4.0);
    let point = |rng: &mut Rng| json!({"x_mm": mm(rng, 100), "y_mm": mm(rng, 100)});
    let mut request = json!({"template": {"diameter_mm": rng.u32(0..=150)}});
    let place = |rng: &mut Rng| {
        let mut base = point(rng);
        base["diameter_mm"] = json!(rng.u32(0..=60));
        base
    };
    let (name, under) = match rng.u32(0..3) {
        0 => ("bases", (0..rng.u32(1..=size.pick(4, 30))).map(|_| place(rng)).collect()),
        1 => (
            "formation",
            json!({"models": rng.u32(1..=size.pick(5, 40)), "base_mm": 25, "gap_mm": rng.u32(0..=50), "files": rng.u32(1..=6)}),
        ),
        _ => ("hull", json!({"length_mm": rng.u32(1..=200), "width_mm": rng.u32(1..=200)})),
    };
    object(&mut request).insert(name.into(), under);
    maybe(rng, 80, &mut request, "aim", |rng| if rng.bool() { json!("best") } else { point(rng) });
    maybe(rng, 70, &mut request, "scatter", |rng| {
        let mut scatter = json!({"dice": few(rng, size, 0)});
        maybe(rng, 40, &mut scatter, "reduce", |rng| json!(rng.u32(0..=3)));
        maybe(rng, 40, &mut scatter, "unit_mm", |rng| json!(rng.u32(0..=50)));
        maybe(rng, 40, &mut scatter, "on_target", |_| json!("1/4"));
        scatter
    });
    maybe(rng, if name == "hull" { 0 } else { 50 }, &mut request, "counts", |rng| {
        json!(one_of(rng, &["touched", "centre", "whole"]))
    });
    request
}

/// The quantity of a chain, and a value of it.
fn quantity(rng: &mut Rng, chain: &Value) -> (&'static str, u32) {
    let soldiers = chain["target"].get("structure").is_none();
    let names = if soldiers { ["models", "health_lost"] } else { ["wrecked", "structure"] };
    (one_of(rng, &names), rng.u32(1..=3))
}

fn plain_chain(rng: &mut Rng, size: Size) -> Value {
    let mut chain = odds(rng, size);
    ["passed", "exact"].iter().for_each(|key| drop(object(&mut chain).remove(*key)));
    chain
}

fn matchup(rng: &mut Rng) -> Value {
    let units = ["barges", "heron", "militia", "otter"];
    let mut matchup = json!({"attacker": {"unit": one_of(rng, &units)}, "target": {"unit": one_of(rng, &units)}});
    maybe(
        rng,
        40,
        &mut matchup,
        "situation",
        |rng| json!({one_of(rng, &["arc", "range", "cover"]): one_of(rng, &[json!("front"), json!("short"), json!(true), json!(12)])}),
    );
    matchup
}

/// A request for `/v1/needed`.
pub fn needed(rng: &mut Rng, size: Size) -> Value {
    let chance = f64::from(rng.u32(1..=99)) / 100.0;
    let mut request = match rng.u32(0..5) {
        0 | 1 => {
            let mut check = check(rng, size);
            ["tries", "exact"].iter().for_each(|key| drop(object(&mut check).remove(*key)));
            json!({"check": check, "want": {"passes": rng.u32(1..=5), "chance": chance}})
        }
        2 => json!({"matchup": matchup(rng), "want": {"destroyed": chance}}),
        _ => {
            let chain = plain_chain(rng, size);
            let (name, many) = quantity(rng, &chain);
            let want = if rng.bool() { json!({"destroyed": chance}) } else { json!({name: many, "chance": chance}) };
            json!({"chain": chain, "want": want})
        }
    };
    // The whole search is priced by its largest number: mostly a small one, so that much is answered and soon.
    maybe(rng, 90, &mut request, "most", |rng| json!(rng.u32(1..=size.pick(10, 40))));
    maybe(rng, 20, &mut request, "exact", |_| json!(true));
    request
}

/// A request for `/v1/luck`.
pub fn luck(rng: &mut Rng, size: Size) -> Value {
    match rng.u32(0..4) {
        0 => json!({"check": check(rng, size), "result": {"passes": rng.u32(0..=5)}}),
        1 => json!({"repair": repair(rng, size), "result": {one_of(rng, &["restored", "missing"]): rng.u32(0..=5)}}),
        2 => {
            json!({"matchup": matchup(rng), "result": {one_of(rng, &["models", "structure", "through"]): rng.u32(0..=5)}})
        }
        _ => {
            let chain = plain_chain(rng, size);
            let (name, many) = quantity(rng, &chain);
            json!({"chain": chain, "result": {name: many}})
        }
    }
}

/// A request for `/v1/fair`.
pub fn fair(rng: &mut Rng, size: Size) -> Value {
    let sides = rng.u32(2..=size.pick(6, 20));
    let most = size.pick(4, 400);
    let mut faces = Map::new();
    for face in 1..=sides {
        if rng.u32(0..5) > 0 {
            faces.insert(face.to_string(), json!(rng.u32(0..=most)));
        }
    }
    let mut request = json!({"faces": faces, "sides": sides});
    maybe(rng, 30, &mut request, "weights", |rng| {
        let weight = |face: u32| (face.to_string(), json!(rng.u32(1..=3)));
        (1..=sides).map(weight).collect::<Map<String, Value>>().into()
    });
    request
}

/// A request for `/v1/draw`.
pub fn draw(rng: &mut Rng, size: Size) -> Value {
    let colours = ["red", "blue", "end", "white"];
    let contents: Map<String, Value> =
        colours[..rng.usize(1..=4)].iter().map(|name| ((*name).into(), json!(rng.u32(1..=size.pick(4, 20))))).collect();
    let total: u64 = contents.values().filter_map(Value::as_u64).sum();
    let mut request = json!({"contents": contents, "draws": rng.u64(1..=total)});
    maybe(rng, 50, &mut request, "ends_on", |rng| json!({one_of(rng, &colours[..2]): rng.u32(1..=3)}));
    maybe(rng, 50, &mut request, "wanted", |rng| json!({one_of(rng, &colours[..2]): rng.u32(0..=3)}));
    maybe(rng, 30, &mut request, "exact", |_| json!(true));
    request
}

/// A request for `/v1/compare`.
pub fn compare(rng: &mut Rng, size: Size) -> Value {
    let variants: Vec<Value> = (0..rng.u32(1..=3))
        .map(|n| {
            let mut variant = if percent(rng, 30) {
                json!({"matchup": matchup(rng)})
            } else {
                json!({"chain": plain_chain(rng, size)})
            };
            maybe(rng, 50, &mut variant, "label", |_| json!(format!("variant {n}")));
            maybe(rng, 30, &mut variant, "points", |rng| json!(rng.u32(0..=300)));
            variant
        })
        .collect();
    let mut request = json!({"variants": variants});
    maybe(rng, 30, &mut request, "targets", |rng| {
        (0..rng.u32(1..=3)).map(|_| json!({"target": plain_chain(rng, size)["target"]})).collect()
    });
    request
}

/// A request for `/v1/batch`.
pub fn batch(rng: &mut Rng, size: Size) -> Value {
    let questions: Vec<Value> = (0..rng.u32(1..=4))
        .map(|_| {
            let (path, request) = match rng.u32(0..5) {
                0 => ("check", check(rng, size)),
                1 => ("repair", repair(rng, size)),
                2 => ("draw", draw(rng, size)),
                3 => ("blast", blast(rng, size)),
                _ => ("odds", odds(rng, size)),
            };
            json!({"path": path, "request": request})
        })
        .collect();
    json!({"questions": questions})
}

/// A request for `/v1/list-points`.
pub fn list_points(rng: &mut Rng, _size: Size) -> Value {
    let lines = [
        json!("3x Heron Carriage + signal mast"),
        json!("2 barges"),
        json!("10 militia, 2 long rifles"),
        json!({"unit": "heron", "models": 2, "options": ["signal mast"]}),
        json!({"unit": "barges", "count": 4}),
        json!("500 points"),
    ];
    let some: Vec<Value> = (0..rng.u32(0..=8)).map(|_| one_of(rng, &lines)).collect();
    let mut request = if percent(rng, 30) {
        let text: Vec<&str> = some.iter().filter_map(Value::as_str).collect();
        json!({"text": text.join("\n")})
    } else {
        json!({"lines": some})
    };
    maybe(rng, 60, &mut request, "limit", |rng| json!(rng.u32(0..=2_000)));
    request
}

/// A request for `/v1/packs/check`: a small pack with some of its characters bent.
pub fn pack_check(rng: &mut Rng, _size: Size) -> Value {
    let mut text: Vec<char> = PACK.chars().collect();
    for _ in 0..rng.usize(0..=4) {
        let at = rng.usize(0..text.len());
        match rng.u32(0..3) {
            0 => drop(text.remove(at)),
            1 => text.insert(at, one_of(rng, &['"', '[', ']', '=', '\n', '9', '-', '☂', '{', 'd'])),
            _ => {
                let end = (at + rng.usize(1..40)).min(text.len());
                let piece: Vec<char> = text[at..end].to_vec();
                text.splice(at..at, piece);
            }
        }
    }
    let text: String = text.into_iter().collect();
    json!({"files": [{"name": "rules.toml", "text": text}]})
}

/// Enough of a pack for every part of the reader to be met.
const PACK: &str = include_str!("../../../shared/src/packs/canal-guild/rules.toml");
