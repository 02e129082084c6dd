//! Requests about several units at once, at the bounds of the contract: whole lists, assignments, an evening.
use super::alphabet::{list, one_of};
use fastrand::Rng;
use pipwright_tests::random::{self, Size};
use serde_json::{Value, json};

/// Attackers and targets, some of them many or alike, with what is otherwise for single pairs.
pub fn assign(rng: &mut Rng, units: &[&str]) -> Value {
    let sides = |rng: &mut Rng, most: usize| -> Vec<Value> {
        (0..rng.usize(1..=most))
            .map(|_| json!({"unit": one_of(rng, units), "models": one_of(rng, &[1, 3, 5, 40, 1_000])}))
            .collect()
    };
    let (attackers, targets) = (sides(rng, 12), sides(rng, 8));
    let mut request = json!({"objective": one_of(rng, &["points", "destroyed"])});
    if rng.bool() {
        let must = rng.usize(0..=targets.len());
        request["must"] = (0..must).map(|target| json!({"target": target, "chance": rng.f64()})).collect();
    }
    if rng.bool() {
        let pair = |rng: &mut Rng| json!({"attacker": rng.usize(0..attackers.len()), "target": rng.usize(0..targets.len()), "cannot": rng.bool()});
        request["pairs"] = (0..one_of(rng, &[1, 8, 96])).map(|_| pair(rng)).collect();
    }
    request["attackers"] = json!(attackers);
    request["targets"] = json!(targets);
    request
}

/// The best lists for so many points, against a board, a few units or many.
pub fn build(rng: &mut Rng, units: &[&str]) -> Value {
    let lines = |rng: &mut Rng, most: usize| -> Vec<Value> {
        (0..rng.usize(1..=most))
            .map(|_| json!({"unit": one_of(rng, units), "count": one_of(rng, &[1, 3, 100])}))
            .collect()
    };
    let mut request = json!({
        "limit": one_of(rng, &[0, 1, 300, 1_000, 5_000, 100_000, 1_000_000]), "plans": rng.u32(1..=5),
        "objective": one_of(rng, &["balanced", "total"]),
    });
    if rng.bool() {
        request["against"] = if rng.bool() { json!(list(rng)) } else { json!(lines(rng, 60)) };
    }
    if rng.u32(0..3) == 0 {
        request["keep"] = json!(lines(rng, 20));
    }
    if rng.u32(0..3) == 0 {
        request["exclude"] = json!([one_of(rng, units)]);
    }
    request
}

/// Two lists, a few rows or many.
pub fn two_lists(rng: &mut Rng, units: &[&str]) -> Value {
    let one = |rng: &mut Rng| {
        if rng.u32(0..3) == 0 {
            return json!({"text": list(rng)});
        }
        let row = |rng: &mut Rng| json!({"unit": one_of(rng, units), "count": one_of(rng, &[1, 3, 1_000]), "models": one_of(rng, &[1, 2, 5, 40])});
        json!({"label": one_of(rng, &["mine", "his"]), "lines": (0..one_of(rng, &[1, 5, 60])).map(|_| row(rng)).collect::<Vec<_>>()})
    };
    json!({"a": one(rng), "b": one(rng)})
}

/// What happened in a matchup, and in the rest of an evening.
pub fn luck(rng: &mut Rng, matchup: &Value) -> Value {
    let entry = |rng: &mut Rng| match rng.u32(0..3) {
        0 => json!({"matchup": matchup, "result": {one_of(rng, &["models", "structure", "through"]): rng.u32(0..=20)}}),
        1 => {
            json!({"check": {"dice": "1d6", "needs": "3+", "tries": one_of(rng, &[1, 20, 10_000])}, "result": {"passes": rng.u32(0..=20)}})
        }
        _ => random::luck(rng, Size::Large),
    };
    let many = one_of(rng, &[1, 3, 12, 40, 200]);
    json!({"log": (0..many).map(|_| entry(rng)).collect::<Vec<_>>()})
}
