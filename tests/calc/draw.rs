//! Drawing without putting back, against published values and against every order of a small bag.
use super::{number, pointers};
use fastrand::Rng;
use num_rational::BigRational;
use num_traits::Zero;
use pipwright_tests::{ask::ask, compare::exact_rows, play::number::fraction};
use serde_json::{Value, json};
use std::collections::BTreeMap;

fn exact(mut request: Value) -> Value {
    request["exact"] = json!(true);
    ask("draw", request)
}

fn row(summary: &Value, value: i64) -> BigRational {
    exact_rows(summary).remove(&value).unwrap_or_else(BigRational::zero)
}

#[test]
fn one_of_each_suit() {
    // Huygens, De ratiociniis in ludo aleae (1657), English of Arbuthnot (1692), question 3: 1000 to 8139.
    let cards = json!({"a": 10, "b": 10, "c": 10, "d": 10});
    let each = json!({"a": 1, "b": 1, "c": 1, "d": 1});
    let answer = exact(json!({"contents": cards, "draws": 4, "wanted": each}));
    assert_eq!(answer["wanted"]["at_least"]["fraction"], "1000/9139");
    assert_eq!(answer["wanted"]["exactly"]["fraction"], "1000/9139");
    assert_eq!(answer["colours"]["a"]["first"]["fraction"], "1/4");
}

#[test]
fn three_white_among_seven() {
    // Huygens (1657), question 4: 7 of 12 counters, 4 of them white, exactly 3 white: 35/99 (his answer from memory).
    let answer = exact(json!({"contents": {"white": 4, "black": 8}, "draws": 7, "wanted": {"white": 3}}));
    assert_eq!(row(&answer["colours"]["white"]["drawn"], 3), fraction("35/99"));
    assert_eq!(answer["wanted"]["exactly"]["fraction"], "35/99");
    assert_eq!(answer["wanted"]["at_least"]["fraction"], "14/33");
}

#[test]
fn fourteen_marked_among_twenty_four() {
    // Boost.Math test/hypergeometric_test_data.ipp (Mathematica, 40 digits): 24 of 30 with 18 marked.
    let drawn = &exact(json!({"contents": {"marked": 18, "plain": 12}, "draws": 24}))["colours"]["marked"]["drawn"];
    assert_eq!(row(drawn, 14), fraction("4488/13195"));
    let at_most: BigRational = exact_rows(drawn).into_iter().filter(|(v, _)| *v <= 14).map(|(_, c)| c).sum();
    assert_eq!(at_most, fraction("21556/39585"));
}

#[test]
fn the_lady_and_her_tea() {
    // Fisher, The Design of Experiments (1935), chapter II: 1, 16, 36, 16, 1 of 70.
    let drawn = &exact(json!({"contents": {"milk": 4, "tea": 4}, "draws": 4}))["colours"]["milk"]["drawn"];
    for (right, ways) in [1, 16, 36, 16, 1].into_iter().enumerate() {
        assert_eq!(row(drawn, right as i64), BigRational::new(ways.into(), 70.into()));
    }
}

/// Plays out every order, token by token.
fn every_order(
    left: &mut BTreeMap<&'static str, u32>,
    drawn: &mut BTreeMap<&'static str, u32>,
    weight: BigRational,
    draws: u32,
    ends_on: &BTreeMap<&'static str, u32>,
    note: &mut impl FnMut(&BTreeMap<&'static str, u32>, bool, BigRational),
) {
    let ended = ends_on.iter().any(|(name, number)| drawn.get(name).copied().unwrap_or(0) >= *number);
    if ended || drawn.values().sum::<u32>() == draws {
        return note(drawn, ended, weight);
    }
    let all: u32 = left.values().sum();
    for name in left.keys().copied().collect::<Vec<_>>() {
        let there = left[name];
        if there > 0 {
            left.insert(name, there - 1);
            *drawn.entry(name).or_default() += 1;
            let chance = &weight * BigRational::new(there.into(), all.into());
            every_order(left, drawn, chance, draws, ends_on, note);
            *drawn.entry(name).or_default() -= 1;
            left.insert(name, there);
        }
    }
}

#[test]
fn small_bags_in_every_order() {
    let mut rng = Rng::with_seed(8);
    let names = ["red", "blue", "end", "dusk"];
    for _ in 0..120 {
        let mut contents: BTreeMap<&'static str, u32> = names.iter().map(|name| (*name, rng.u32(0..4))).collect();
        contents.insert("red", rng.u32(1..4));
        let draws = rng.u32(1..=contents.values().sum());
        let mut ends_on = BTreeMap::new();
        for name in ["end", "dusk"] {
            if rng.bool() {
                ends_on.insert(name, rng.u32(1..4));
            }
        }
        let mut wanted: BTreeMap<&str, u32> = BTreeMap::new();
        for name in names {
            if rng.bool() {
                wanted.insert(name, rng.u32(0..3));
            }
        }
        let answer = exact(json!({"contents": contents, "draws": draws, "ends_on": ends_on, "wanted": wanted}));
        let mut counts: BTreeMap<(&str, i64), BigRational> = BTreeMap::new();
        let mut length: BTreeMap<i64, BigRational> = BTreeMap::new();
        let (mut ended, mut at_least, mut exactly) = (BigRational::zero(), BigRational::zero(), BigRational::zero());
        let mut note = |drawn: &BTreeMap<&'static str, u32>, by_end: bool, weight: BigRational| {
            let of = |name: &str| drawn.get(name).copied().unwrap_or(0);
            for name in names {
                *counts.entry((name, of(name).into())).or_insert_with(BigRational::zero) += &weight;
            }
            *length.entry(drawn.values().sum::<u32>().into()).or_insert_with(BigRational::zero) += &weight;
            if by_end {
                ended += &weight;
            }
            if wanted.iter().all(|(name, number)| of(name) >= *number) {
                at_least += &weight;
            }
            if wanted.iter().all(|(name, number)| of(name) == *number) {
                exactly += &weight;
            }
        };
        let one = BigRational::from_integer(1.into());
        every_order(&mut contents.clone(), &mut BTreeMap::new(), one, draws, &ends_on, &mut note);
        for ((name, value), chance) in &counts {
            assert_eq!(
                row(&answer["colours"][*name]["drawn"], *value),
                *chance,
                "{contents:?} {ends_on:?} {name} {value}"
            );
        }
        for (value, chance) in &length {
            assert_eq!(row(&answer["drawn"], *value), *chance, "{contents:?} {draws} {ends_on:?}");
        }
        if !ends_on.is_empty() {
            assert_eq!(fraction(answer["ended"]["fraction"].as_str().unwrap()), ended);
            let by = answer["ends"].as_array().unwrap().last().unwrap()["by"].clone();
            assert!((number(&by) - number(&answer["ended"]["chance"])).abs() < 1e-12);
        }
        if !wanted.is_empty() {
            assert_eq!(fraction(answer["wanted"]["at_least"]["fraction"].as_str().unwrap()), at_least);
            assert_eq!(fraction(answer["wanted"]["exactly"]["fraction"].as_str().unwrap()), exactly);
        }
    }
}

#[test]
fn doubles_are_the_fractions() {
    let request = json!({"contents": {"red": 40, "blue": 35, "end": 3, "dusk": 2}, "ends_on": {"end": 2, "dusk": 2},
        "wanted": {"red": 10, "blue": 10}});
    let (ours, right) = (ask("draw", request.clone()), exact(request));
    for pointer in ["/drawn/expected", "/colours/red/drawn/expected", "/ended/chance", "/wanted/at_least/chance"] {
        super::close(number(ours.pointer(pointer).unwrap()), number(right.pointer(pointer).unwrap()));
    }
}

#[test]
fn what_is_wrong_is_named() {
    assert_eq!(pointers("draw", json!({"contents": {}})), ["/contents"]);
    assert_eq!(pointers("draw", json!({"contents": {"red": 0}})), ["/contents"]);
    assert_eq!(pointers("draw", json!({"contents": {"red": 2_000_000_000, "blue": 2_500_000_000u32}})), ["/contents"]);
    assert_eq!(pointers("draw", json!({"contents": {"red": 2}, "draws": 3})), ["/draws"]);
    assert_eq!(pointers("draw", json!({"contents": {"red": 2}, "ends_on": {"end": 1}})), ["/ends_on/end"]);
    assert_eq!(pointers("draw", json!({"contents": {"red": 2}, "ends_on": {"red": 0}})), ["/ends_on/red"]);
}
