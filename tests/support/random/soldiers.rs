//! Chains against soldiers.
use super::{
    Size, few, maybe, object, passengers, percent, request,
    roll::{Later, Of, side, step, table_among},
    volume,
};
use fastrand::Rng;
use serde_json::{Value, json};

pub(super) fn odds(rng: &mut Rng, size: Size) -> Value {
    let grouped = percent(rng, 30);
    let mut target = if grouped { groups(rng, size) } else { group(rng, size, 3) };
    maybe(rng, 35, &mut target, "spill", |_| json!(true));
    let health = target.pointer("/groups/0/health").or(target.get("health")).and_then(Value::as_i64).unwrap_or(1);
    if health > 1 {
        maybe(rng, 30, &mut target, "hurt", |rng| json!(rng.i64(1..health)));
    }
    let mut request = request(rng, size, target, |rng, number| volley(rng, size, number, grouped));
    for volley in request.get_mut("volleys").and_then(Value::as_array_mut).into_iter().flatten() {
        maybe(rng, 25, volley, "spill", |rng| json!(rng.bool()));
        maybe(rng, 25, volley, "ignore", |rng| last_roll(rng, size));
    }
    let steps = request.pointer("/steps/0/name").or(request.pointer("/volleys/0/steps/0/name")).cloned();
    maybe(rng, 25, &mut request, "aftermath", |rng| {
        let mut test = side(rng, size);
        let sides = object(&mut test).remove("die").expect("a die");
        object(&mut test).insert("dice".into(), json!(format!("d{sides}")));
        object(&mut test).insert("effect".into(), json!("wavering"));
        maybe(rng, 50, &mut test, "per_point", |rng| json!(rng.i32(-1..=1)));
        let when = match (rng.u32(0..3), steps) {
            (0, Some(step)) => json!({"passed": {"step": step}, "at_least": rng.u32(1..=2)}),
            (1, _) => json!({"health_lost": true, "at_least": rng.u32(1..=2)}),
            _ => json!({"models": true, "at_least": rng.u32(1..=2)}),
        };
        object(&mut test).insert("when".into(), when);
        maybe(rng, 30, &mut test, "even_destroyed", |rng| json!(rng.bool()));
        if percent(rng, 20) {
            // Without a need it follows for certain.
            object(&mut test).remove("needs");
        }
        passengers(&mut rng.clone(), size, &mut test);
        json!([test])
    });
    request
}

fn group(rng: &mut Rng, size: Size, most: u32) -> Value {
    let mut group = json!({"models": rng.u32(1..=size.pick(most, 2 * most))});
    maybe(rng, 70, &mut group, "health", |rng| json!(rng.u32(1..=size.pick(3, 4))));
    maybe(rng, 35, &mut group, "ignore", |rng| last_roll(rng, size));
    group
}

fn last_roll(rng: &mut Rng, size: Size) -> Value {
    let mut ignore = side(rng, size);
    maybe(rng, 40, &mut ignore, "per", |rng| json!(if rng.bool() { "packet" } else { "point" }));
    ignore
}

fn groups(rng: &mut Rng, size: Size) -> Value {
    let groups = (0..rng.u32(1..=3)).map(|_| {
        let mut group = group(rng, size, 2);
        maybe(rng, 50, &mut group, "then", |rng| {
            let (name, change) = Later::Roll(format!("step {}", rng.u32(0..2))).change(rng);
            json!({name: change})
        });
        group
    });
    let groups: Vec<Value> = groups.collect();
    json!({"groups": groups})
}

fn volley(rng: &mut Rng, size: Size, number: usize, grouped: bool) -> Value {
    let mut volley = json!({});
    volume(rng, size, &mut volley);
    // Steps that groups speak of are always there, by these names.
    let count = rng.usize(if grouped { 2 } else { 1 }..=3);
    let names: Vec<String> = (0..count).map(|n| format!("step {n}")).collect();
    let steps = names.iter().enumerate().map(|(n, name)| {
        let of = if n > 0 && percent(rng, 40) { Of::Defender } else { Of::Attacker };
        let later: Vec<_> = names[n + 1..].iter().cloned().map(Later::Roll).collect();
        step(rng, size, name, of, &later)
    });
    let mut steps: Vec<Value> = steps.collect();
    // Drawn beside the rest, which stays as it is.
    let beside = &mut rng.clone();
    if percent(beside, 20) {
        let most = steps.len();
        table_among(beside, size, &mut steps, most);
    }
    object(&mut volley).insert("steps".into(), json!(steps));
    maybe(rng, 60, &mut volley, "damage", |rng| few(rng, size, 0));
    maybe(rng, 30, &mut volley, "label", |_| json!(format!("volley {number}")));
    volley
}
