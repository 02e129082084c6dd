//! Requests with anything in them: right, wrong, huge or senseless, but always JSON.
use super::{
    Size, batch, blast, check, compare, draw, duel, fair, list_points, luck, needed, object, odds, one_of, pack_check,
    repair,
};
use fastrand::Rng;
use serde_json::{Value, json};

/// A path behind `/v1/` and a request for it, bent at up to four spots.
pub fn wild(rng: &mut Rng) -> (&'static str, Value) {
    let size = if rng.bool() { Size::Small } else { Size::Large };
    let (path, mut request) = match rng.u32(0..100) {
        0..14 => ("check", check(rng, size)),
        14..28 => ("repair", repair(rng, size)),
        28..37 => ("duel", duel(rng, size)),
        37..46 => ("blast", blast(rng, size)),
        46..52 => ("needed", needed(rng, size)),
        52..58 => ("luck", luck(rng, size)),
        58..64 => ("draw", draw(rng, size)),
        64..66 => ("fair", fair(rng, size)),
        66..70 => ("compare", compare(rng, size)),
        70..74 => ("batch", batch(rng, size)),
        74..79 => ("list-points", list_points(rng, size)),
        // Reading a whole pack takes longer than most answers.
        79 => ("packs/check", pack_check(rng, size)),
        _ => ("odds", odds(rng, size)),
    };
    for _ in 0..rng.u32(0..=4) {
        let mut pointers = Vec::new();
        collect(&request, String::new(), &mut pointers);
        let pointer = one_of(rng, &pointers);
        let spot = request.pointer_mut(&pointer).expect("a pointer that was just found");
        match rng.u32(0..6) {
            0 if spot.is_object() => drop(object(spot).insert(one_of(rng, &NAMES).into(), anything(rng))),
            1 if spot.is_array() => spot.as_array_mut().expect("an array").push(anything(rng)),
            _ => *spot = anything(rng),
        }
    }
    (path, request)
}

const NAMES: [&str; 12] = [
    "attackers",
    "attacks",
    "damage",
    "needs",
    "versus",
    "keep",
    "critical",
    "margin",
    "exact",
    "surprise",
    "models",
    "reroll",
];

fn anything(rng: &mut Rng) -> Value {
    let numbers = [
        json!(-1),
        json!(0),
        json!(1),
        json!(7),
        json!(100),
        json!(10_000),
        json!(4_294_967_296_u64),
        json!(i64::MIN),
        json!(0.5),
        json!(1e300),
    ];
    let texts = [
        "", "d", "0d6", "100d100", "101d6", "1d6+1000", "1d6-1000", "99999", "1+", "10000+", "7-", "auto", "never",
        "0+", "+", "☂", "1/0",
    ];
    let wholes = [
        json!(null),
        json!(true),
        json!([]),
        json!({}),
        json!({"distribution": []}),
        json!({"distribution": [{"value": 3, "chance": 1}]}),
        json!({"distribution": [{"value": 0, "chance": 0.5}, {"value": 9, "fraction": "1/2"}]}),
        json!({"dice": "3d6", "keep": {"highest": 2}}),
        json!([{"at_least": 1, "extra": "d10"}]),
        json!({"on": 2, "extra": 10}),
    ];
    match rng.u32(0..3) {
        0 => one_of(rng, &numbers),
        1 => json!(one_of(rng, &texts)),
        _ => one_of(rng, &wholes),
    }
}

fn collect(value: &Value, pointer: String, into: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            fields.iter().for_each(|(name, v)| collect(v, format!("{pointer}/{}", name.replace('/', "~1")), into))
        }
        Value::Array(list) => list.iter().enumerate().for_each(|(n, v)| collect(v, format!("{pointer}/{n}"), into)),
        _ => {}
    }
    into.push(pointer);
}
