//! Many tries: whole distributions and their far ends.
use super::{at_least, check, choose, of, power, printed};
use num_rational::BigRational;
use num_traits::ToPrimitive;
use pipwright_tests::{ask::ask, compare::rows, play::number::to_f64};
use serde_json::{Value, json};

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// Newton and Pepys: MathWorld, "Newton-Pepys Problem"; S. Stigler, Statist. Sci. 21 (2006) 400-403.
#[test]
fn so_many_sixes_in_six_times_as_many_dice() {
    let published = ["31031/46656", "1346704211/2176782336", "15166600495229/25389989167104"];
    for (n, fraction) in (1..).zip(published) {
        let answer = check("d6", "6+", 6 * n);
        assert_eq!(at_least(&answer["passes"], n.into()).to_string(), fraction);
    }
}

/// Weldon's 26,306 throws of twelve dice: the data set `WeldonDice` of the R package vcd; K. Pearson, Phil. Mag. 50 (1900) 157-175.
#[test]
fn twelve_dice_thrown_for_years() {
    let observed = [185, 1149, 3265, 5475, 6114, 5194, 3067, 1331, 403, 105, 18].map(f64::from);
    let expected = [
        "202.7495",
        "1216.4968",
        "3345.3661",
        "5575.6102",
        "6272.5614",
        "5018.0491",
        "2927.1953",
        "1254.5123",
        "392.0351",
        "87.1189",
        "14.3053",
    ];
    let passes = rows(&ask("check", json!({"dice": "d6", "needs": "5+", "tries": 12}))["passes"]);
    let ours: Vec<f64> = (0..=10)
        .map(|k| 26_306.0 * if k < 10 { passes[&k] } else { passes.range(10..).map(|(_, chance)| chance).sum() })
        .collect();
    for (ours, theirs) in ours.iter().zip(expected) {
        printed(*ours, theirs);
    }
    let off: f64 = observed.iter().zip(&ours).map(|(seen, fair)| (seen - fair).powi(2) / fair).sum();
    printed(off, "35.4942985915");
}

/// Boost.Math, test/test_binomial.cpp (values of MathCAD and functions.wolfram.com), read; worked out in fractions to 12 digits.
#[test]
fn handbook_binomials() {
    let at_most = [
        (500, 30, "d20", "20+", "0.869147702105"),
        (500, 470, "d20", "2+", "0.176470742657"),
        (500, 400, "d10", "2+", "1.80180425682e-11"),
        (500, 5, "d20", "20+", "9.18180826764e-7"),
        (8, 3, "d4", "4+", "0.886184692383"),
    ];
    for (tries, most, dice, needs, published) in at_most {
        let passes = rows(&ask("check", json!({"dice": dice, "needs": needs, "tries": tries}))["passes"]);
        printed(passes.range(..=most).map(|(_, chance)| chance).sum(), published);
    }
    let passes = check("d4", "4+", 8);
    let exactly = BigRational::new(8_861_846_923_828_125_i64.into(), 10_000_000_000_000_000_i64.into());
    assert_eq!(at_least(&passes["passes"], 0) - at_least(&passes["passes"], 4), exactly);
    printed(to_f64(&of(&check("d4", "2+", 20)["passes"], 10)), "0.00992227527968");
}

/// By definition; the printed digits by a 60-digit calculation.
#[test]
fn hardly_ever() {
    let all = ask("check", json!({"dice": "d6", "needs": "6+", "tries": 255}));
    printed(number(&all["all"]["chance"]), "3.72761587115e-199");
    let none = ask("check", json!({"dice": "d6", "needs": "6+", "tries": 1000}));
    printed(number(&none["none"]["chance"]), "6.58800548948e-80");
    assert_eq!(check("d6", "6+", 400)["all"]["fraction"], power("1/6", 400).to_string());
    // Below 2^-1022 a number keeps few digits, but it is still no 0.
    let none = ask("check", json!({"dice": "d6", "needs": "6+", "tries": 4000}));
    let said = number(&none["none"]["chance"]);
    assert!((said - 1.88371766069e-317).abs() <= 5e-322, "{said}");
}

/// Reference values: the second by exact whole numbers, the others by a series to 60 digits.
#[test]
fn far_upper_tails() {
    let published =
        [(6000, 1100, "3.28662606238e-4"), (6000, 2000, "6.91895213945e-217"), (10_000, 2500, "2.06342246034e-99")];
    for (tries, least, printed_as) in published {
        let answer = ask("check", json!({"dice": "d6", "needs": "6+", "tries": tries}));
        let rows = answer["passes"]["distribution"].as_array().expect("rows");
        let row = rows.iter().find(|row| row["value"] == least).expect("a row");
        printed(number(&row["at_least"]), printed_as);
    }
}

/// C(100, k) / 2^100 and so on: the whole of a distribution against binomial coefficients.
#[test]
fn every_coefficient() {
    let passes = check("d2", "2+", 100);
    for k in 0..=100_u32 {
        assert_eq!(of(&passes["passes"], k.into()), choose(100, k) * power("1/2", 100), "{k}");
    }
    assert_eq!(choose(100, 50).to_f64().map(f64::round), Some(1.008_913_445_455_642e29_f64.round()));
}
