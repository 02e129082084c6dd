//! Requests made up at random, the same from the same seed. Small ones can be played out in every way.
use fastrand::Rng;
use serde_json::{Map, Value, json};

mod armoured;
mod counters;
mod others;
mod roll;
mod soldiers;
mod wild;
pub use others::{batch, blast, compare, counted_duel, draw, duel, fair, list_points, luck, needed, pack_check};
pub use wild::wild;

/// How large the requests are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// A few dice with few faces.
    Small,
    /// What is met at a table.
    Large,
}

impl Size {
    /// The smaller or the larger number.
    pub fn pick<T>(self, small: T, large: T) -> T {
        if self == Self::Small { small } else { large }
    }
}

pub(crate) fn one_of<T: Clone>(rng: &mut Rng, of: &[T]) -> T {
    of[rng.usize(0..of.len())].clone()
}

/// True so many times in a hundred.
pub(crate) fn percent(rng: &mut Rng, chance: u32) -> bool {
    rng.u32(0..100) < chance
}

pub(crate) fn die(rng: &mut Rng, size: Size) -> i64 {
    if size == Size::Small { one_of(rng, &[2, 3, 4, 6]) } else { one_of(rng, &[4, 6, 6, 6, 8, 10, 12, 20]) }
}

/// A few points: a number, dice, or a distribution.
pub(crate) fn few(rng: &mut Rng, size: Size, least: u32) -> Value {
    let most = size.pick(2, 4);
    match rng.u32(0..10) {
        0..6 => json!(rng.u32(least..=most)),
        6..9 => json!(format!(
            "{}d{}{}",
            one_of(rng, &["", "1"]),
            rng.u32(2..=most.max(3)),
            one_of(rng, &["", "", "+1", "-1"])
        )),
        _ => distribution(rng, most),
    }
}

/// An odd die in tenths, thirds or weights as decimals.
pub(crate) fn distribution(rng: &mut Rng, most: u32) -> Value {
    let first = rng.u32(0..most);
    match rng.u32(0..3) {
        0 => json!({"distribution": [{"value": first, "chance": 0.3}, {"value": first + 1, "chance": 0.7}]}),
        1 => {
            json!({"distribution": [{"value": first, "fraction": "1/3"}, {"value": first + 2, "fraction": "2/3", "chance": 0.5}]})
        }
        _ => {
            json!({"distribution": [{"value": first + 1, "chance": 0.25}, {"value": first, "chance": 0.125}, {"value": first + 2, "chance": 0.625}]})
        }
    }
}

pub(crate) fn object(value: &mut Value) -> &mut Map<String, Value> {
    value.as_object_mut().expect("an object")
}

/// Puts a field in, so many times in a hundred.
pub(crate) fn maybe(rng: &mut Rng, chance: u32, onto: &mut Value, name: &str, field: impl FnOnce(&mut Rng) -> Value) {
    if percent(rng, chance) {
        let field = field(rng);
        object(onto).insert(name.to_string(), field);
    }
}

/// A request for `/v1/check`.
pub fn check(rng: &mut Rng, size: Size) -> Value {
    let tries = rng.u32(1..=size.pick(3, 8));
    let mut request = roll::roll(rng, size, roll::Of::Check);
    let single = object(&mut request).remove("die").map(|die| json!(format!("d{die}")));
    if let Some(single) = single {
        object(&mut request).insert("dice".into(), single);
    }
    maybe(rng, 70, &mut request, "tries", |_| json!(tries));
    if request.get("reroll").is_none() && request.get("versus").is_none() {
        maybe(rng, 40, &mut request, "rerolls", |rng| json!(rng.u32(0..=3)));
    }
    if request.get("needs").is_some_and(|needs| needs != "auto" && needs != "never") && percent(rng, 25) {
        let up = request["needs"].as_str().is_some_and(|needs| needs.ends_with('+'));
        let list: Vec<String> =
            (0..tries).map(|_| format!("{}{}", rng.u32(1..=7), if up { '+' } else { '-' })).collect();
        object(&mut request).insert("needs".into(), json!(list));
        object(&mut request).remove("tries");
    }
    request
}

/// A request for `/v1/repair`.
pub fn repair(rng: &mut Rng, size: Size) -> Value {
    let capacity = rng.u32(1..=size.pick(4, 12));
    let mut request =
        json!({"capacity": capacity, "missing": rng.u32(0..=capacity), "turns": rng.u32(1..=size.pick(3, 10))});
    let side = roll::side(rng, size);
    object(&mut request).extend(side.as_object().expect("an object").clone());
    maybe(rng, 30, &mut request, "reroll", |rng| {
        json!(one_of(rng, &["worst", "failures", "natural_failures", "none"]))
    });
    maybe(rng, 50, &mut request, "rolls", |rng| match rng.u32(0..3) {
        0 => json!("one"),
        1 => json!("each_missing"),
        _ => json!(rng.u32(1..=3)),
    });
    maybe(rng, 40, &mut request, "restores", |rng| few(rng, size, 1));
    maybe(rng, 60, &mut request, "incoming", |rng| few(rng, size, 0));
    maybe(rng, 50, &mut request, "order", |rng| json!(one_of(rng, &["damage_first", "repair_first"])));
    request
}

/// A request for `/v1/odds`.
pub fn odds(rng: &mut Rng, size: Size) -> Value {
    // Drawn beside the rest, which stays as it is.
    let beside = &mut rng.clone();
    let mut request = odds_uncounted(rng, size);
    if percent(beside, 17) {
        counters::on(beside, size, &mut request);
        roll::same_way(&mut request);
    }
    request
}

/// The same without counters.
pub(crate) fn odds_uncounted(rng: &mut Rng, size: Size) -> Value {
    if percent(rng, 55) { soldiers::odds(rng, size) } else { armoured::odds(rng, size) }
}

/// Lets an attack on other soldiers come with some effects.
pub(crate) fn passengers(rng: &mut Rng, size: Size, test: &mut Value) {
    maybe(rng, 25, test, "attack", |rng| {
        let step = roll::step(rng, size, "hurt", roll::Of::Attacker, &[]);
        json!({"attackers": rng.u32(1..=2), "steps": [step], "target": {"models": 2, "health": rng.u32(1..=2)}})
    });
}

/// The numbers of attackers and attacks.
pub(crate) fn volume(rng: &mut Rng, size: Size, volley: &mut Value) {
    maybe(rng, 60, volley, "attackers", |rng| json!(rng.u32(size.pick(1, 0)..=size.pick(2, 8))));
    maybe(rng, 60, volley, "attacks", |rng| {
        let odd = distribution(rng, size.pick(1, 5));
        match size {
            Size::Small => one_of(rng, &[json!(1), json!(2), json!("d2"), json!("d3-1"), odd]),
            Size::Large => one_of(rng, &[json!(2), json!("4"), json!("1d6"), json!("2d3+1"), json!("d10-3"), odd]),
        }
    });
}

/// Puts a gate before some volleys.
fn gated(rng: &mut Rng, size: Size, volley: &mut Value) {
    maybe(rng, 20, volley, "gate", |rng| {
        let mut gate = roll::gate(rng, size);
        maybe(rng, 50, &mut gate, "per", |rng| json!(one_of(rng, &["attacker", "volley"])));
        gate
    });
}

/// One volley's chain, or several volleys, onto the target.
pub(crate) fn request(rng: &mut Rng, size: Size, target: Value, volley: impl Fn(&mut Rng, usize) -> Value) -> Value {
    let mut request = if percent(rng, 25) {
        let volleys: Vec<_> = (0..rng.usize(1..=size.pick(2, 3))).map(|n| volley(rng, n)).collect();
        json!({"volleys": volleys})
    } else {
        volley(rng, 0)
    };
    object(&mut request).insert("target".into(), target);
    // Drawn beside the rest, which stays as it is.
    let beside = &mut rng.clone();
    match request.get_mut("volleys").and_then(Value::as_array_mut) {
        Some(volleys) => volleys.iter_mut().for_each(|volley| gated(beside, size, volley)),
        None => gated(beside, size, &mut request),
    }
    roll::same_way(&mut request);
    maybe(rng, 40, &mut request, "passed", |_| json!(true));
    request
}
