//! Whether a die is fair: against what was published, every series of throws gone through, and dice thrown by the machine.
use super::{close, number, pointers};
use fastrand::Rng;
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Zero};
use pipwright_shared::odds::fair::{chi_square_tail, throws_needed, two_sided};
use pipwright_tests::{ask::ask, play::number::fraction};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, HashMap};

fn by_face(counts: &[u32]) -> Value {
    let face = |(at, count): (usize, &u32)| ((at + 1).to_string(), json!(count));
    counts.iter().enumerate().map(face).collect::<Map<_, _>>().into()
}

fn fair(seen: &[u32], weights: Option<&[u32]>) -> Value {
    let mut request = json!({"faces": by_face(seen), "sides": seen.len()});
    if let Some(weights) = weights {
        request["weights"] = by_face(weights);
    }
    ask("fair", request)
}

/// Every series of so many throws, one after another: how much each table of counts weighs in all.
fn every_series(throws: u32, weights: &[u32]) -> BTreeMap<Vec<u32>, u128> {
    let mut tables = BTreeMap::from([(vec![0; weights.len()], 1)]);
    for _ in 0..throws {
        let mut next: BTreeMap<Vec<u32>, u128> = BTreeMap::new();
        for (table, ways) in tables {
            for (face, weight) in weights.iter().enumerate() {
                let mut table = table.clone();
                table[face] += 1;
                *next.entry(table).or_default() += ways * u128::from(*weight);
            }
        }
        tables = next;
    }
    tables
}

fn ratio(top: u128, bottom: u128) -> BigRational {
    BigRational::new(BigInt::from(top), BigInt::from(bottom))
}

fn double(exact: &BigRational) -> f64 {
    num_traits::ToPrimitive::to_f64(exact).expect("a number")
}

#[test]
fn small_logs_against_every_series_of_throws() {
    for (throws, weights) in [
        (1, vec![1, 1]),
        (7, vec![1, 1]),
        (6, vec![1, 1, 1, 1]),
        (7, vec![1, 1, 1, 1, 1, 1]),
        (6, vec![1, 2]),
        (6, vec![3, 1, 2]),
        (5, vec![2, 2, 1, 1]),
        (9, vec![4, 4, 1]),
    ] {
        let tables = every_series(throws, &weights);
        let all: u128 = tables.values().sum();
        let whole: u32 = weights.iter().sum();
        for (table, came) in &tables {
            let even = weights.iter().all(|weight| *weight == 1);
            let answer = fair(table, (!even).then_some(&weights[..]));
            let as_likely: u128 = tables.values().filter(|ways| *ways <= came).sum();
            let chance = ratio(as_likely, all);
            assert_eq!(answer["method"], "exact", "{table:?}");
            assert_eq!(fraction(answer["chance"]["fraction"].as_str().unwrap()), chance, "{table:?} {weights:?}");
            close(number(&answer["chance"]["chance"]), double(&chance));
            // Each face by itself: the same tables, by how often it came.
            let mut least = BigRational::one();
            for face in 0..table.len() {
                let mut counts: BTreeMap<u32, u128> = BTreeMap::new();
                tables.iter().for_each(|(table, ways)| *counts.entry(table[face]).or_default() += ways);
                let of_face: u128 = counts.values().filter(|ways| **ways <= counts[&table[face]]).sum();
                let chance = ratio(of_face, all);
                close(two_sided(throws, table[face], weights[face], whole.into()), double(&chance));
                if chance < least {
                    least = chance;
                }
            }
            close(number(&answer["face"]["chance"]), double(&least));
            let mut chi_square = BigRational::zero();
            for (seen, weight) in table.iter().zip(&weights) {
                let expected = ratio(u128::from(throws * weight), whole.into());
                let off = ratio(u128::from(*seen), 1) - &expected;
                chi_square += &off * &off / expected;
            }
            close(number(&answer["chi_square"]), double(&chi_square));
            let off = (chi_square - ratio(table.len() as u128 - 1, 1)) / ratio(throws.into(), 1);
            assert_eq!(answer["throws_needed"].is_null(), off <= BigRational::zero(), "{table:?} {weights:?}");
        }
    }
}

#[test]
fn five_heads_and_none() {
    // By hand: of 32 series of five, two are all alike; of six throws, 2 of 64, and 6 + 6 more with one odd one out.
    assert_eq!(fair(&[5, 0], None)["chance"]["fraction"], "1/16");
    assert_eq!(fair(&[1, 5], None)["chance"]["fraction"], "7/32");
    assert_eq!(fair(&[3, 3], None)["chance"]["fraction"], "1");
    let six = fair(&[1, 1, 1, 1, 1, 1], None);
    assert_eq!(
        (&six["chance"]["fraction"], &six["chi_square"], &six["throws_needed"]),
        (&json!("1"), &json!(0.0), &Value::Null)
    );
}

#[test]
fn weldons_dice() {
    // Weldon's 26,306 throws of twelve dice, a five or a six counted, in Pearson's table of 1900 (On the criterion that a
    // given system of deviations ..., Philosophical Magazine 50, page 167), from memory: chi-square 43.87241 against his
    // rounded expectations, and a chance of 0.000016.
    let seen = [185, 1149, 3265, 5475, 6114, 5194, 3067, 1331, 403, 105, 14, 4, 0];
    let rounded = [203, 1217, 3345, 5576, 6273, 5018, 2927, 1254, 392, 87, 13, 1];
    assert_eq!(seen.iter().sum::<u32>(), 26_306);
    assert_eq!(rounded.iter().sum::<u32>(), 26_306);
    let his = fair(&seen[..12], Some(&rounded));
    assert!((number(&his["chi_square"]) - 43.87241).abs() < 0.005, "{his}");
    assert!((chi_square_tail(43.87241, 12) - 0.000_016).abs() < 5e-7);
    // And against the binomial weights themselves, 2^12 to 1: scipy 1.17.1, `chisquare`.
    let weights = [4096, 24_576, 67_584, 112_640, 126_720, 101_376, 59_136, 25_344, 7920, 1760, 264, 24, 1];
    let answer = fair(&seen, Some(&weights));
    assert_eq!(
        (&answer["method"], &answer["degrees"], &answer["throws"]),
        (&json!("chi_square"), &json!(12), &json!(26_306))
    );
    close(number(&answer["chi_square"]) / 41.312_222_830_648_44, 1.0);
    close(number(&answer["chance"]["chance"]), 4.344_863_576_355_054e-5);
}

#[test]
fn tails_as_they_are_published() {
    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4: upper critical values at 0.05, to three places.
    for (degrees, line) in [(1, 3.841), (2, 5.991), (5, 11.070), (12, 21.026), (19, 30.144), (99, 123.225)] {
        assert!((chi_square_tail(line, degrees) - 0.05).abs() < 2e-5, "{degrees}");
    }
    // scipy 1.17.1, `chi2.sf`.
    for (degrees, x, tail) in [
        (1, 0.3, 0.583_882_420_770_365),
        (1, 40.0, 2.539_628_589_470_863_4e-10),
        (2, 100.0, 1.928_749_847_963_918_3e-22),
        (5, 7.5, 0.186_029_833_602_867),
        (5, 43.9, 2.427_050_799_274_058_8e-8),
        (19, 3.2, 0.999_981_778_597_040_4),
        (98, 60.5, 0.998_950_891_220_660_2),
        (99, 250.0, 4.844_312_411_385_307e-15),
    ] {
        close(chi_square_tail(x, degrees) / tail, 1.0);
    }
    // scipy 1.17.1, `binomtest(...).pvalue`.
    close(two_sided(10, 7, 1, 3), 0.019_661_636_945_587_566);
    close(two_sided(20, 3, 1, 6), 1.0);
    close(two_sided(12, 12, 1, 2), 0.000_488_281_25);
    assert_eq!(two_sided(315_672, 100, 1, 3), 0.0);
    // scipy 1.17.1, the least n with `ncx2.sf(chi2.isf(0.05, d), d, n * off) >= 0.95`.
    for (degrees, off, throws) in [(1, 0.01, 1300), (5, 0.2, 99), (19, 0.003, 10_060), (99, 0.05, 1133)] {
        assert_eq!(throws_needed(off, degrees), Some(throws));
    }
    assert_eq!(throws_needed(0.0, 5), None);
}

#[test]
fn a_log_of_eighty_throws() {
    // scipy 1.17.1: chi-square by hand in it, `binomtest` of the sixes, `ncx2` for the number of throws.
    let answer = fair(&[12, 9, 14, 8, 11, 26], None);
    assert_eq!(answer["method"], "exact");
    close(number(&answer["chi_square"]), 16.15);
    assert_eq!((&answer["face"]["face"], &answer["face"]["seen"]), (&json!(6), &json!(26)));
    close(number(&answer["face"]["chance"]), 0.000_456_304_987_131_66);
    assert_eq!(answer["throws_needed"], 142);
    // A fraction of so many throws would have sixty digits; of fewer it stands beside the double.
    assert!((number(&answer["chance"]["chance"]) - by_logarithms(&[12, 9, 14, 8, 11, 26])).abs() < 1e-9, "{answer}");
    let fewer = fair(&[5, 3, 6, 4, 5, 12], None);
    close(number(&fewer["chance"]["chance"]), double(&fraction(fewer["chance"]["fraction"].as_str().unwrap())));
    assert!((number(&fewer["chance"]["chance"]) - by_logarithms(&[5, 3, 6, 4, 5, 12])).abs() < 1e-9, "{fewer}");
}

/// The chance of a table of an even die, summed over all sorted tables by their logarithms.
fn by_logarithms(seen: &[u32]) -> f64 {
    fn go(left: u32, most: u32, counts: &mut Vec<u32>, sides: usize, note: &mut impl FnMut(&[u32])) {
        if counts.len() == sides {
            if left == 0 {
                note(counts);
            }
            return;
        }
        for count in 0..=left.min(most) {
            counts.push(count);
            go(left - count, count, counts, sides, note);
            counts.pop();
        }
    }
    let throws: u32 = seen.iter().sum();
    let logs: Vec<f64> = (0..=throws.max(100))
        .scan(0.0, |sum, of| {
            *sum += f64::from(of.max(1)).ln();
            Some(*sum)
        })
        .collect();
    let weight = |counts: &[u32]| counts.iter().map(|count| logs[*count as usize]).sum::<f64>();
    let came = weight(seen);
    let mut sum = 0.0;
    go(throws, throws, &mut Vec::new(), seen.len(), &mut |counts| {
        if weight(counts) >= came - 1e-9 {
            let runs: f64 = counts.chunk_by(|a, b| a == b).map(|run| logs[run.len()]).sum();
            let all = logs[throws as usize] - f64::from(throws) * (seen.len() as f64).ln();
            sum += (all + logs[seen.len()] - runs - weight(counts)).exp();
        }
    });
    sum
}

#[test]
fn larger_logs_by_their_logarithms() {
    for seen in [vec![5, 1, 0, 3, 9, 2, 4, 4], vec![500, 560, 440], vec![1300, 1420], vec![12, 9, 14, 8, 11, 26]] {
        let answer = fair(&seen, None);
        assert_eq!(answer["method"], "exact", "{answer}");
        let theirs = by_logarithms(&seen);
        assert!((number(&answer["chance"]["chance"]) - theirs).abs() < 1e-9, "{answer} {theirs}");
    }
}

#[test]
fn a_fair_die_is_called_unfair_one_time_in_twenty() {
    let mut rng = Rng::with_seed(91);
    // With weights of their own, faces are thrown by them.
    for (throws, sides) in [(30_u32, 6_usize), (25, 8)] {
        let mut known: HashMap<Vec<u32>, bool> = HashMap::new();
        let mut unfair = 0;
        for _ in 0..10_000 {
            let mut seen = vec![0_u32; sides];
            (0..throws).for_each(|_| seen[rng.usize(0..sides)] += 1);
            seen.sort_unstable();
            let called =
                known.entry(seen).or_insert_with_key(|seen| number(&fair(seen, None)["chance"]["chance"]) <= 0.05);
            unfair += u32::from(*called);
        }
        // Of 10,000 at 5%: a standard deviation of 21.8; between tables the line falls a little below 5%.
        let off = (f64::from(unfair) - 500.0) / (10_000.0_f64 * 0.05 * 0.95).sqrt();
        assert!(off.abs() < 3.3, "d{sides}: {unfair} of 10,000");
    }
}

#[test]
fn nothing_thrown_says_nothing() {
    let answer = ask("fair", json!({"faces": {}}));
    assert_eq!(answer["chance"], json!({"chance": 1.0, "fraction": "1"}));
    assert_eq!(
        (&answer["throws"], &answer["throws_needed"], &answer["method"]),
        (&json!(0), &Value::Null, &json!("exact"))
    );
    assert_eq!(answer["sentence"], "There are no throws yet: nothing speaks for or against this die.");
    let exact = ask("fair", json!({"faces": {"1": 3, "6": 9}, "exact": true}));
    assert_eq!(exact, ask("fair", json!({"faces": {"1": 3, "6": 9}, "weights": by_face(&[7; 6])})));
}

#[test]
fn what_is_wrong_is_named() {
    assert_eq!(pointers("fair", json!({"faces": {"1": 3}, "sides": 1})), ["/sides"]);
    assert_eq!(
        pointers("fair", json!({"faces": {"7": 3, "0": 1, "01": 2, "six": 2}})),
        ["/faces/0", "/faces/01", "/faces/7", "/faces/six"]
    );
    assert_eq!(pointers("fair", json!({"faces": {"3": -1}})), ["/faces/3"]);
    assert_eq!(pointers("fair", json!({"faces": {"3": 600_000, "4": 600_000}})), ["/faces"]);
    assert_eq!(
        pointers("fair", json!({"faces": {"3": 1}, "weights": {"1": 0, "2": 1}, "sides": 2})),
        ["/faces/3", "/weights/1"]
    );
    assert_eq!(pointers("fair", json!({"faces": {}, "weights": {"1": 2}, "sides": 2})), ["/weights"]);
    assert_eq!(pointers("fair", json!({})), ["/faces"]);
}
