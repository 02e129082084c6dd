//! Rolls against each other.
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

/// Four dice of which each beats the next, in a circle: M. Gardner, Scientific American 223 (December 1970) 110-114;
/// MathWorld, "Efron's Dice".
#[test]
fn each_beats_the_next() {
    let die = |faces: [u32; 6]| -> Value {
        let chance = |value: u32| faces.iter().filter(|face| **face == value).count();
        let mut values = faces.to_vec();
        values.sort_unstable();
        values.dedup();
        let rows: Vec<_> =
            values.into_iter().map(|v| json!({"value": v, "fraction": format!("{}/6", chance(v))})).collect();
        json!({"distribution": rows})
    };
    let dice = [[4, 4, 4, 4, 0, 0], [3; 6], [6, 6, 2, 2, 2, 2], [5, 5, 5, 1, 1, 1]].map(die);
    for (n, one) in dice.iter().enumerate() {
        let next = &dice[(n + 1) % 4];
        let answer = ask("check", json!({"dice": one, "versus": {"dice": next}}));
        assert_eq!(answer["fraction"], "2/3", "die {n}");
    }
}
