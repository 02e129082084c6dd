//! Duels: throws in turn, three-cornered ones put together from two-cornered ones, and the square law.
use super::{choose, of};
use num_rational::BigRational;
use num_traits::{One, Zero};
use pipwright_tests::{
    ask::ask,
    play::number::{fraction, to_f64},
};
use serde_json::{Value, json};
use std::collections::HashMap;

/// One who falls at the first hit and hits with these chances, one shot after the other.
fn shots(chances: &[&str]) -> Value {
    json!({"target": {"models": 1}, "attack": {"volleys": chances.iter().map(|chance| shot(chance)).collect::<Vec<_>>()}})
}

fn shot(chance: &str) -> Value {
    let misses = BigRational::one() - fraction(chance);
    let rows = json!([{"value": 0, "fraction": misses.to_string()}, {"value": 1, "fraction": chance}]);
    json!({"attacks": {"distribution": rows}})
}

/// After so many turns: a alone stands, b alone, neither, both.
fn ends(a: &Value, b: &Value, first: &str, turns: u32) -> [BigRational; 4] {
    let answer = ask("duel", json!({"a": a, "b": b, "first": first, "turns": turns, "exact": true}));
    let gone = |side: &str| of(&answer[side]["left"], 0);
    let (a, b) = (gone("a"), gone("b"));
    let both = fraction(answer["never_settled"]["fraction"].as_str().expect("a fraction"));
    let neither = &a + &b + &both - BigRational::one();
    [b - &neither, a - &neither, neither, both]
}

/// How the shots come out in the end: a alone, b alone, neither.
///
/// Each turn decides the same shares of what was open, so the shares of what is decided are those of the end, after the
/// first turn as after the last.
fn decided(a: &[&str], b: &[&str], first: &str) -> [BigRational; 3] {
    let (a, b) = (shots(a), shots(b));
    let shares = |turns: u32| {
        let [a, b, neither, open] = ends(&a, &b, first, turns);
        [a, b, neither].map(|chance| chance / (BigRational::one() - &open))
    };
    let one = shares(1);
    assert_eq!(one, shares(20));
    one
}

fn wins(a: &str, b: &str, first: &str) -> BigRational {
    let [a, ..] = decided(&[a], &[b], first);
    a
}

/// Huygens, De ratiociniis in ludo aleae (1657), in Arbuthnot's English (London 1692), Prop. XIV: the other throws first
/// and wins on a 6 with two dice, I on a 7; my chance to his is 31 to 30.
#[test]
fn six_against_seven() {
    let total = super::check("2d6", "7+", 1);
    let (six, seven) = (of(&total["total"], 6).to_string(), of(&total["total"], 7).to_string());
    assert_eq!((six.as_str(), seven.as_str()), ("5/36", "1/6"));
    assert_eq!(wins(&seven, &six, "b"), fraction("31/61"));
    assert_eq!(wins(&six, &seven, "a"), fraction("30/61"));
}

/// The same, Question 1: A throws once, then B twice, A twice, and so on; 10355 to 12276.
#[test]
fn once_then_twice_each() {
    let twice = shots(&["1/6", "1/6"]);
    let mut a = shots(&["5/36", "5/36"]);
    a["attack"]["volleys"][1]["turns"] = json!([2, 20]);
    let after = |turns: u32| ends(&a, &twice, "a", turns);
    let ([first, .., open], [second, .., still_open]) = (after(1), after(2));
    // From the second turn on each is like the one before it: a geometric series.
    let later = (&second - &first) / (BigRational::one() - still_open / open);
    assert_eq!(first + later, fraction("10355/22631"));
}

/// The same, Question 2: three in turn, each with 1/3, are as 9 to 6 to 4.
///
/// The first against the two others, and the two first against the third; the second has what is left.
#[test]
fn three_in_turn() {
    let [first, others, _] = decided(&["1/3"], &["1/3", "1/3"], "a");
    let [two, third, _] = decided(&["1/3", "1/3"], &["1/3"], "a");
    assert_eq!(first, fraction("9/19"));
    assert_eq!(third, fraction("4/19"));
    assert_eq!(&two - &first, fraction("6/19"));
    assert_eq!(&others - &third, fraction("6/19"));
}

/// F. Mosteller, Fifty Challenging Problems (1965), no. 20: A hits with 3/10, B always, C with 1/2, in this order.
#[test]
fn three_cornered_in_order() {
    // B, whose turn it is after a miss, takes C away first; then A has one shot at B.
    let against_b = wins("3/10", "1", "a");
    assert_eq!(against_b, fraction("3/10"));
    let against_c = wins("3/10", "1/2", "b");
    assert_eq!(against_c, fraction("3/13"));
    // Aiming at B, A comes to fight C, who shoots first, when it hits; aiming at C it falls to B when it hits.
    let hits = fraction("3/10");
    let misses = BigRational::one() - &hits;
    assert_eq!(&hits * &against_c + &misses * &against_b, fraction("363/1300"));
    assert_eq!(&misses * &against_b, fraction("21/100"));
}

/// M. Gardner's triple duel: Smith always hits, Brown with 4/5, Jones with 1/2, the order drawn by lot.
///
/// Jones fires in the air while both others stand, and they at each other; then it is Jones's shot.
#[test]
fn three_cornered_by_lot() {
    let [smith, brown] = ["1", "4/5"];
    let jones_against = |other: &str| wins("1/2", other, "a");
    // One shot each is all that Smith and Brown have of each other: who goes first is an even chance.
    let [brown_left, smith_left, ..] = ends(&shots(&[brown]), &shots(&[smith]), "roll", 1);
    let jones = &brown_left * jones_against(brown) + &smith_left * jones_against(smith);
    let beaten = |other: &str, left: &BigRational| left * (BigRational::one() - jones_against(other));
    let published = ["3/10", "8/45", "47/90"].map(fraction);
    assert_eq!([beaten(smith, &smith_left), beaten(brown, &brown_left), jones], published);
    // For each order of the two: 1/2, 0 and 1/2; 1/10, 16/45 and 49/90.
    let [brown_left, smith_left, ..] = ends(&shots(&[brown]), &shots(&[smith]), "a", 1);
    assert_eq!(beaten(smith, &smith_left), fraction("1/10"));
    assert_eq!(beaten(brown, &brown_left), fraction("16/45"));
    let [brown_left, smith_left, ..] = ends(&shots(&[brown]), &shots(&[smith]), "b", 1);
    assert_eq!((brown_left, beaten(smith, &smith_left)), (BigRational::zero(), fraction("1/2")));
}

/// Chances of 1/3, 2/3 and 1, the worst first: the mailing list Foundations of Mathematics, January 1998, no. 821.
#[test]
fn three_cornered_worst_first() {
    // In the air: the second takes the best away, or the best the second; then it is the worst one's shot.
    let [second_left, best_left, ..] = ends(&shots(&["2/3"]), &shots(&["1"]), "a", 1);
    let air = second_left * wins("1/3", "2/3", "a") + best_left * wins("1/3", "1", "a");
    assert_eq!(air, fraction("25/63"));
    let (hits, misses) = (fraction("1/3"), fraction("2/3"));
    assert_eq!(&hits * wins("1/3", "1", "b") + &misses * &air, fraction("50/189"), "at the middle one");
    assert_eq!(&hits * wins("1/3", "2/3", "b") + &misses * &air, fraction("59/189"), "at the best one");
}

/// Shots at the same time (the model of Sandefur (1989), as told by Bracken (2007); values worked out anew).
#[test]
fn at_the_same_time() {
    assert_eq!(decided(&["1/2"], &["1/3"], "together"), ["1/2", "1/4", "1/4"].map(fraction));
    // G 3/5, U 1/2, B 3/10, each at the better one of the others: U and B at G, G at U.
    let [only_g, only_u, both_fall, open] = ends(&shots(&["3/5"]), &shots(&["1/2", "3/10"]), "together", 1);
    let closed = BigRational::one() - open;
    let [g, of_g, none_g] = decided(&["3/5"], &["3/10"], "together");
    let [u, of_u, none_u] = decided(&["1/2"], &["3/10"], "together");
    let in_the_end =
        [&only_g * g, &only_u * u, &only_g * of_g + &only_u * of_u + both_fall, &only_g * none_g + &only_u * none_u];
    let published = ["49/344", "7/43", "97/172", "45/344"].map(fraction);
    assert_eq!(in_the_end.map(|chance| chance / &closed), published);
}

/// A side of models that each hit one time in seven.
fn body(models: u32) -> Value {
    json!({"target": {"models": models}, "attack": shot("1/7")})
}

/// The chances that so many hit nothing and just once in a turn; the enemy is one more, so that no hit is lost.
fn hits(attackers: u32) -> [BigRational; 2] {
    let (a, b) = (body(attackers), body(attackers + 1));
    let answer = ask("duel", json!({"a": a, "b": b, "first": "together", "turns": 1, "exact": true}));
    [0, 1].map(|hits| of(&answer["b"]["left"], i64::from(attackers + 1 - hits)))
}

/// The chance that the next one to fall is of the side with `m`, from a turn in which just one falls: both attack with
/// what stood at the start, so what they hit is independent.
fn next_falls(m: u32, n: u32) -> BigRational {
    let ([none_of_m, one_of_m], [none_of_n, one_of_n]) = (hits(m), hits(n));
    let (of_m, of_n) = (one_of_n * none_of_m, one_of_m * none_of_n);
    &of_m / (&of_m + &of_n)
}

/// The chance that the side with `m` is the one left, one falling after the other.
fn outlasts(m: u32, n: u32, known: &mut HashMap<(u32, u32), BigRational>) -> BigRational {
    if m == 0 || n == 0 {
        return if m == 0 { BigRational::zero() } else { BigRational::one() };
    }
    if let Some(chance) = known.get(&(m, n)) {
        return chance.clone();
    }
    let falls = next_falls(m, n);
    let stays = BigRational::one() - &falls;
    let chance = falls * outlasts(m - 1, n, known) + stays * outlasts(m, n - 1, known);
    known.insert((m, n), chance.clone());
    chance
}

/// The stochastic square law: D. Williams and P. McIlroy, Bull. London Math. Soc. 30 (1998) 166-170; J. Kingman and
/// S. Volkov, J. Theoret. Probab. 16 (2003) (from memory).
///
/// # Formula
/// The side with `m` is left against `n` with the chance `sum over k = 1..m of (-1)^(m-k) C(m+n, m-k) k^(m+n) / (m+n)!`.
#[test]
fn the_square_law_by_chance() {
    let closed = |m: u32, n: u32| -> BigRational {
        let all = m + n;
        let factorial: BigRational = (1..=all).map(|i| BigRational::from_integer(i.into())).product();
        let term = |k: u32| {
            let size = choose(all, m - k) * BigRational::from_integer(k.into()).pow(all.cast_signed());
            if (m - k).is_multiple_of(2) { size } else { -size }
        };
        (1..=m).map(term).sum::<BigRational>() / factorial
    };
    let mut known = HashMap::new();
    for (m, n) in [(1, 1), (2, 1), (1, 2), (3, 2), (2, 4), (5, 3), (4, 4), (6, 5), (7, 4), (8, 8)] {
        assert_eq!(outlasts(m, n, &mut known), closed(m, n), "{m} against {n}");
    }
    for (m, n, published) in [(2, 1, "5/6"), (3, 2, "31/40"), (5, 3, "35779/40320")] {
        assert_eq!(closed(m, n), fraction(published));
    }
    super::printed(to_f64(&closed(20, 15)), "0.928133542215");
}

/// F. W. Lanchester, Aircraft in Warfare (1916), section 42: with equal men the square of the numbers is what holds out,
/// 46^2 - 40^2 = 516, here with half of them. That is the limit of great numbers and short turns; turn by turn it holds in the mean.
///
/// # Formula
/// While nobody runs out, `m' - n'` has the mean `(m - n)(1 + e)` and `m'^2 - n'^2` the mean
/// `(m^2 - n^2)(1 - e^2) - (m - n) e (1 - e)`, where each hits with the chance `e`.
#[test]
fn the_square_law_in_the_mean() {
    for (one_in, turns) in [(100, 1), (1_000, 6), (10_000, 6)] {
        let side = |models: u32| json!({"target": {"models": models}, "attack": shot(&format!("1/{one_in}"))});
        let asked = json!({"a": side(23), "b": side(20), "first": "together", "turns": turns});
        let answer = ask("duel", asked);
        let mean = |side: &str, of: fn(f64) -> f64| -> f64 {
            let rows = answer[side]["left"]["distribution"].as_array().expect("rows").iter();
            rows.map(|row| of(row["value"].as_f64().expect("a count")) * row["chance"].as_f64().expect("a chance"))
                .sum()
        };
        let e = 1.0 / f64::from(one_in);
        let (mut squares, mut difference) = (129.0, 3.0);
        for _ in 0..turns {
            squares = squares * (1.0 - e * e) - difference * e * (1.0 - e);
            difference *= 1.0 + e;
        }
        let ours = mean("a", |left| left * left) - mean("b", |left| left * left);
        assert!((ours - squares).abs() < 1e-9, "{ours} {squares}");
        assert!((mean("a", |left| left) - mean("b", |left| left) - difference).abs() < 1e-11);
        assert!((squares - 129.0).abs() < 129.0 * e, "what Lanchester keeps is kept");
    }
}
