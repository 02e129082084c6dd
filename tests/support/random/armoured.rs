//! Chains against armour.
use super::{
    Size, few, maybe, object, one_of, passengers, percent, request,
    roll::{Later, Of, step, table_among},
    volume,
};
use fastrand::Rng;
use serde_json::{Value, json};

const STATUSES: [&str; 2] = ["stuck", "silent"];

pub(super) fn odds(rng: &mut Rng, size: Size) -> Value {
    let structure = rng.u32(1..=size.pick(3, 8));
    let mut target = json!({"structure": structure});
    maybe(rng, 40, &mut target, "units", |rng| json!(rng.u32(1..=size.pick(2, 3))));
    maybe(rng, 40, &mut target, "overflow", |rng| json!(one_of(rng, &["next", "wasted"])));
    if structure > 1 {
        maybe(rng, 30, &mut target, "hurt", |rng| json!(rng.u32(1..structure)));
    }
    maybe(rng, 25, &mut target, "statuses", |rng| json!([one_of(rng, &STATUSES)]));
    let mut request = request(rng, size, target, |rng, _| volley(rng, size));
    maybe(rng, 25, &mut request, "aftermath", |rng| {
        let when = if rng.bool() { json!({"wrecked": true}) } else { json!({"passed": {"step": "penetrate"}}) };
        let mut test = json!({"effect": "fire", "when": when});
        maybe(rng, 60, &mut test, "needs", |rng| json!(one_of(rng, &["2+", "4+", "7+", "3-"])));
        maybe(rng, 50, &mut test, "per_point", |rng| json!(rng.i32(-1..=1)));
        maybe(rng, 40, &mut test, "even_destroyed", |rng| json!(rng.bool()));
        passengers(&mut rng.clone(), size, &mut test);
        json!([test])
    });
    request
}

fn volley(rng: &mut Rng, size: Size) -> Value {
    let mut volley = json!({});
    volume(rng, size, &mut volley);
    let mut steps = Vec::new();
    let after = percent(rng, 30);
    if percent(rng, 70) {
        let mut later = vec![Later::Penetrate("penetrate".into())];
        if after {
            later.push(Later::Roll("shrug".into()));
        }
        steps.push(step(rng, size, "hit", Of::Attacker, &later));
    }
    steps.push(penetrate(rng, size));
    if after {
        steps.push(step(rng, size, "shrug", Of::Defender, &[]));
    }
    // Drawn beside the rest, which stays as it is.
    let beside = &mut rng.clone();
    if percent(beside, 20) {
        let most = steps.len() - 1 - usize::from(after);
        table_among(beside, size, &mut steps, most);
    }
    object(&mut volley).insert("steps".into(), json!(steps));
    volley
}

fn penetrate(rng: &mut Rng, size: Size) -> Value {
    let dice = size.pick(["d4", "2d2", "d3+1", "1d6"], ["1d6", "2d6", "3d4-2", "d10"]);
    let mut step =
        json!({"name": "penetrate", "kind": "penetrate", "against": rng.u32(size.pick(2, 4)..=size.pick(7, 14))});
    maybe(rng, 80, &mut step, "dice", |rng| json!(one_of(rng, &dice)));
    maybe(rng, 60, &mut step, "add", |rng| json!(rng.i32(-1..=size.pick(3, 6))));
    maybe(rng, 40, &mut step, "reroll", |rng| json!(one_of(rng, &["failures", "failures_and_grazes", "none"])));
    maybe(
        rng,
        40,
        &mut step,
        "critical",
        |rng| json!({"on": rng.u32(2..=size.pick(2, 4)), "add": one_of(rng, &[json!(1), json!("d3")])}),
    );
    maybe(rng, 70, &mut step, "graze", |rng| json!({"structure": few(rng, size, 0)}));
    // Where nothing is said of a graze, some have none.
    if step.get("graze").is_none() && step["against"].as_u64().is_some_and(|against| against % 2 == 0) {
        object(&mut step).insert("equal".into(), json!("breach"));
    }
    let mut breach = json!({});
    maybe(rng, 70, &mut breach, "structure", |rng| few(rng, size, 0));
    maybe(rng, 60, &mut breach, "chart", |rng| chart(rng, size));
    object(&mut step).insert("breach".into(), breach);
    step
}

fn chart(rng: &mut Rng, size: Size) -> Value {
    let mut at_least = 0;
    let rows = (0..rng.u32(1..=3)).map(|_| {
        at_least += rng.u32(1..=size.pick(2, 4));
        let mut row = json!({"at_least": at_least});
        maybe(rng, 40, &mut row, "structure", |rng| few(rng, size, 1));
        maybe(rng, 30, &mut row, "wrecked", |_| json!(true));
        if percent(rng, 70) {
            object(&mut row).insert("status".into(), json!(one_of(rng, &STATUSES)));
            maybe(rng, 50, &mut row, "repeated", |rng| {
                if rng.bool() { json!({"wrecked": true}) } else { json!({"structure": few(rng, size, 1)}) }
            });
        }
        row
    });
    let rows: Vec<Value> = rows.collect();
    let mut chart = json!({"rows": rows, "dice": one_of(rng, &size.pick(["d4", "2d2"], ["2d6", "1d6"]))});
    maybe(rng, 40, &mut chart, "modifier", |rng| json!(rng.i32(-2..=2)));
    chart
}
