//! Several rolls after one another, and waiting for several successes.
use super::{at_least, check, choose, of, power, printed};
use num_rational::BigRational;
use num_traits::{One, Zero};
use pipwright_tests::{
    ask::ask,
    play::number::{fraction, to_f64},
};
use serde_json::json;

fn exact(chance: &serde_json::Value) -> BigRational {
    fraction(chance["fraction"].as_str().expect("a fraction"))
}

/// Thinned binomials (Casella and Berger, Statistical Inference (2002), section 4.4; from memory): 2/3, then 1/2, then
/// 1/3 of ten dice are Bin(10, 1/9).
#[test]
fn three_rolls_are_one() {
    let steps = json!([{"name": "hit", "needs": "3+"}, {"name": "wound", "needs": "4+"},
        {"name": "save", "by": "defender", "needs": "3+"}]);
    let answer = ask("odds", json!({"attacks": 10, "steps": steps, "target": {"models": 10}, "exact": true}));
    for lost in ["through", "models", "health_lost"] {
        assert_eq!(of(&answer[lost], 0), fraction("1073741824/3486784401"));
        assert_eq!(of(&answer[lost], 1), fraction("1342177280/3486784401"));
        printed(to_f64(&at_least(&answer[lost], 3)), "0.0905965326991");
    }
}

/// The third success at 1/3 (negative binomial, by definition; from memory): mended three times by the end of a turn.
#[test]
fn waiting_for_the_third() {
    let by = |turns: u32| {
        let asked = json!({"capacity": 4, "missing": 3, "needs": "5+", "turns": turns, "exact": true});
        at_least(&ask("repair", asked)["restored"], 3)
    };
    let published = ["1/27", "2/27", "8/81", "80/729", "80/729"];
    for (turn, chance) in (3..).zip(published) {
        let before = if turn == 3 { BigRational::zero() } else { by(turn - 1) };
        assert_eq!(by(turn) - before, fraction(chance), "turn {turn}");
    }
}

/// Collecting all six faces: F. Mosteller, Fifty Challenging Problems (1965), no. 14 (137/12 for five); 14.7 in several
/// printed places; the rest worked out.
#[test]
fn seeing_every_face() {
    let wait = |faces: u32, missing: u32| {
        let dice = format!("d{faces}");
        BigRational::one() / exact(&check(&dice, &format!("{}+", faces - missing + 1), 1)["any"])
    };
    let mean = |faces: u32| (1..=faces).map(|missing| wait(faces, missing)).sum::<BigRational>();
    assert_eq!(mean(6).to_string(), "147/10");
    assert_eq!(mean(5).to_string(), "137/12");
    let spread: BigRational = (1..=6).map(|missing| wait(6, missing)).map(|w| &w * &w - &w).sum();
    assert_eq!(spread.to_string(), "3899/100");
    // All seen by so many throws: those that miss one face or more are taken out, then put back, in turn.
    for (throws, published) in [(10, "38045/139968"), (13, "485485/944784")] {
        let missing = |faces: u32| {
            let none = if faces == 0 {
                BigRational::one()
            } else {
                exact(&check("d6", &format!("{}+", 7 - faces), throws)["none"])
            };
            none * choose(6, faces) * power("-1", faces.cast_signed())
        };
        assert_eq!((0..=6).map(missing).sum::<BigRational>().to_string(), published);
    }
}
