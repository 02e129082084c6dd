//! One roll, or a few alike.
use super::{at_least, check, of, power};
use num_rational::BigRational;
use num_traits::One;
use pipwright_shared::odds::distribution::Distribution;
use pipwright_shared::odds::number::Exact;
use pipwright_tests::{ask::ask, play::number::fraction};
use serde_json::json;

/// Huygens, De ratiociniis in ludo aleae (1657), in Arbuthnot's English, Of the Laws of Chance (London 1692),
/// Prop. X; the transcription prints 45656 for 46656 in the last one.
#[test]
fn a_six_in_so_many_throws() {
    let published = ["1/6", "11/36", "91/216", "671/1296", "4651/7776", "31031/46656"];
    for (tries, fraction) in (1..).zip(published) {
        assert_eq!(check("d6", "6+", tries)["any"]["fraction"], fraction);
    }
}

/// The same, Prop. XI: "24 times some loss, 25 some advantage".
#[test]
fn a_double_six_in_so_many_throws() {
    assert_eq!(check("2d6", "12+", 4)["any"]["fraction"], "178991/1679616");
    for tries in [24, 25] {
        let any = fraction(check("2d6", "12+", tries)["any"]["fraction"].as_str().expect("a fraction"));
        assert_eq!(any, BigRational::one() - power("35/36", tries.cast_signed()));
        assert_eq!(any > fraction("1/2"), tries == 25);
    }
}

/// The same, Prop. XII: two sixes with ten dice are an even bet, with nine not.
#[test]
fn two_sixes() {
    for (tries, published) in [(3, "2/27"), (9, "2304473/5038848"), (10, "10389767/20155392")] {
        assert_eq!(at_least(&check("d6", "6+", tries)["passes"], 2).to_string(), published);
    }
}

/// The same, the table before Prop. X; Galileo, Sopra le scoperte dei dadi (about 1620), has the same point:
/// of three dice 10 comes oftener than 9.
#[test]
fn ways_of_each_total() {
    let two = [1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1];
    let three = [1, 3, 6, 10, 15, 21, 25, 27, 27, 25, 21, 15, 10, 6, 3, 1];
    let asked = [("2d6", &two[..], 36), ("3d6", &three[..], 216)];
    for (dice, ways, all) in asked {
        let answer = ask("check", json!({"dice": dice, "needs": "9+", "exact": true}));
        let lowest = if dice == "2d6" { 2 } else { 3 };
        for (total, ways) in (lowest..).zip(ways) {
            assert_eq!(of(&answer["total"], total), BigRational::new((*ways).into(), all.into()), "{dice} {total}");
        }
    }
}

/// The same, "Of Raffling": throws of three dice with at least two alike, by their total.
#[test]
fn two_alike_of_three() {
    let die = Distribution::<Exact>::uniform(6);
    let pair_and_one = die.map(|face| 2 * face).convolve(&die);
    let all_alike = die.map(|face| 3 * face);
    let throws = |total: i64| {
        let ways = |of: &Distribution<Exact>, all: &str| fraction(&of.chance(total).to_string()) * fraction(all);
        // Three places for the die that may differ; all three alike are counted three times, two of them too many.
        ways(&pair_and_one, "36") * fraction("3") - ways(&all_alike, "6") * fraction("2")
    };
    for (total, published) in (3..).zip([1, 3, 6, 4, 9, 9, 7, 9]) {
        assert_eq!(throws(total), BigRational::from_integer(published.into()), "{total}");
        assert_eq!(throws(21 - total), BigRational::from_integer(published.into()), "{}", 21 - total);
    }
}

/// The same, "Of Raffling" (4/9 of three dice) and "to cast Doublets" (13/18 of four, certain of seven).
///
/// Each further die has to differ from all before it, so they are steps that need one face more each.
#[test]
fn no_two_alike() {
    for (dice, published) in [(3, "5/9"), (4, "5/18"), (7, "0")] {
        let steps: Vec<_> =
            (1..dice).map(|n| json!({"name": format!("die {}", n + 1), "needs": format!("{}+", n + 1)})).collect();
        let answer = ask("odds", json!({"steps": steps, "target": {"models": 1}, "exact": true}));
        assert_eq!(answer["destroyed"]["fraction"], published, "{dice} dice");
    }
}

/// Sicherman's dice (M. Gardner, Scientific American, February 1978; from memory): relabelled, with the totals of two ordinary ones.
#[test]
fn relabelled_dice_with_ordinary_totals() {
    let attacks = |rows: &[(u32, u32)]| {
        let rows: Vec<_> =
            rows.iter().map(|(value, ways)| json!({"value": value, "fraction": format!("{ways}/6")})).collect();
        json!({"attacks": {"distribution": rows}})
    };
    let one = attacks(&[(1, 1), (2, 2), (3, 2), (4, 1)]);
    let other = attacks(&[(1, 1), (3, 1), (4, 1), (5, 1), (6, 1), (8, 1)]);
    let answer = ask("odds", json!({"volleys": [one, other], "target": {"models": 1}, "exact": true}));
    let two = check("2d6", "7+", 1);
    assert_eq!(answer["attacks"], two["total"]);
}

/// Huygens as above, Prop. X, second case: "11 to 25".
#[test]
fn one_re_roll() {
    let answer = ask("check", json!({"dice": "d6", "needs": "6+", "reroll": "failures"}));
    assert_eq!(answer["fraction"], "11/36");
}

/// Order statistics: E[max of n] = 6 - sum over k < 6 of (k/6)^n, E[min] = 7 - E[max] (any textbook; from memory).
#[test]
fn best_and_worst_of_several() {
    let published = [(2, "161/36"), (3, "119/24"), (4, "6797/1296"), (5, "14077/2592")];
    for (count, mean) in published {
        let expected = |which: &str, mean: BigRational| {
            let asked = json!({"dice": format!("{count}d6"), "keep": {which: 1}, "needs": "4+", "exact": true});
            let answer = ask("check", asked);
            let rows = pipwright_tests::compare::exact_rows(&answer["total"]);
            let ours: BigRational = rows.into_iter().map(|(v, c)| BigRational::from_integer(v.into()) * c).sum();
            assert_eq!(ours, mean, "{which} of {count}");
            let said = answer["total"]["expected"].as_f64().expect("a number");
            assert!((said - pipwright_tests::play::number::to_f64(&mean)).abs() <= 1e-12);
        };
        expected("highest", fraction(mean));
        expected("lowest", fraction("7") - fraction(mean));
    }
}
