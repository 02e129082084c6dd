//! The phrases themselves: `report::saying` against chances whose words are known.
use pipwright_shared::report::saying::{
    apart, difference, equal_to, games, mean, mean_of, means_apart, needed, often, per_point, percent, place, roughly,
    unproven,
};

#[test]
fn chances_are_never_more_certain_than_they_are() {
    for (chance, said) in [
        (0.0, "0%"),
        (1.0, "100%"),
        (1e-9, "under 0.01%"),
        (1.0 - 1e-9, "over 99.99%"),
        (0.1, "10%"),
        (0.5, "50%"),
        (0.9901, "99.01%"),
        (0.9899, "99.0%"),
        (0.354, "35.4%"),
        (1.0 / 28.0, "3.6%"),
        (0.0046, "0.46%"),
        (0.997_04, "99.7%"),
        (0.999_61, "99.96%"),
        (0.999_5, "99.95%"),
        (0.99999, "over 99.99%"),
        (unproven(1.0), "over 99.99%"),
    ] {
        assert_eq!(percent(chance), said, "{chance}");
    }
}

/// The nearest simple fraction, or none; without `about` where it is the chance.
#[test]
fn fractions_in_words() {
    for (chance, said) in [
        (0.1, "1 time in 10 (10%)"),
        (0.09, "about 1 time in 11 (9%)"),
        (0.05, "1 time in 20 (5%)"),
        (0.02, "1 time in 50 (2%)"),
        (0.01, "1 time in 100 (1%)"),
        (1.0 / 28.0, "1 time in 28 (3.6%)"),
        (0.035, "about 1 time in 29 (3.5%)"),
        (0.5, "half the time (50%)"),
        (7.0 / 12.0, "7 times in 12 (58.3%)"),
        (0.997, "99.7% of the time"),
        (0.9759, "97.6% of the time"),
        (0.95, "19 times in 20 (95%)"),
        (1.0 / 128.0, "1 time in 128 (0.78%)"),
        (1.0 / 158.3, "about 1 time in 160 (0.63%)"),
        (1.0 / 104.3, "about 1 time in 104 (0.96%)"),
        (0.999_99, "over 99.99% of the time"),
        (31.0 / 46656.0, "about 1 time in 1,500 (0.07%)"),
        (5.0 / 9.0, "5 times in 9 (55.6%)"),
        (4.0 / 7.0, "4 times in 7 (57.1%)"),
        (1.6e-11, "less than 1 time in a billion"),
        (0.118, "11.8% of the time"),
        (0.0, "never"),
        (1.0, "always"),
    ] {
        assert_eq!(often(chance), said, "{chance}");
    }
}

/// Over the whole range no fraction in words is more than 3% off, in what happens and in what does not.
#[test]
fn no_fraction_is_more_than_three_per_cent_off() {
    for step in 1..10_000 {
        let chance = f64::from(step) / 10_000.0;
        let Some(said) = roughly(chance) else { continue };
        let said = said.replace("half the time", "1 time in 2");
        let words: Vec<&str> = said.split(' ').collect();
        let at = words.iter().position(|word| word.starts_with("time")).expect("a fraction");
        let number = |word: &str| word.replace(',', "").parse::<f64>().expect("a number");
        let share = number(words[at - 1]) / number(words[at + 2]);
        let off = ((share - chance) / chance).abs().max(((share - chance) / (1.0 - chance)).abs());
        assert!(off < 0.03, "{chance}: {said}");
        assert_eq!(off < 1e-9, !said.contains("about"), "{chance}: {said}");
    }
}

#[test]
fn unlike_numbers_are_told_apart() {
    assert_eq!(apart(&[0.990_4, 0.990_41]), ["99.040%", "99.041%"]);
    assert_eq!(apart(&[0.3, 0.7]), ["30%", "70%"]);
    assert_eq!(apart(&[0.3, 0.3]), ["30%", "30%"]);
    assert_eq!(apart(&[1e-7, 2e-7]), ["0.00001%", "0.00002%"]);
    assert_eq!(means_apart(&[1.001, 1.002, 3.0]), ["1.001", "1.002", "3"]);
    assert_eq!((mean(1e-5), mean(0.0), mean(2.5)), ("under 0.01".to_owned(), "0".to_owned(), "2.5".to_owned()));
}

#[test]
fn games_places_and_bounds() {
    for (chance, said) in [
        (0.9948, "in 99.5% of games"),
        (0.738, "in 73.8% of games"),
        (0.5, "in half of all games (50%)"),
        (0.25, "in 1 game out of 4 (25%)"),
        (1.0, "in every game"),
    ] {
        assert_eq!(games(chance), said, "{chance}");
    }
    assert_eq!(["reeds", "thin ice", "behind a wall"].map(place), ["in reeds", "on thin ice", "behind a wall"]);
    assert_eq!((needed("7-"), needed("7+"), needed("auto")), ("7 or less".into(), "7+".into(), "auto".into()));
    // What is less than all is bounded, and all is all.
    assert_eq!((mean_of(4.999, 5, false), mean_of(5.0, 5, false)), ("over 4.99".into(), "over 4.99".into()));
    assert_eq!((mean_of(5.0, 5, true), mean_of(4.5, 5, false)), ("5".to_owned(), "4.5".to_owned()));
    assert_eq!(
        (per_point(0.999_99), per_point(1.0), per_point(0.5)),
        ("just under 1".into(), "1".into(), "0.5".into())
    );
}

#[test]
fn exact_values_beside_per_cents() {
    assert_eq!((equal_to(Some("5/9")), equal_to(Some("1/36"))), (" = 5/9".to_owned(), " = 1/36".to_owned()));
    // Nobody pictures these.
    assert!(["99/250", "36/91", "13629/25000", "1/216"].iter().all(|fraction| equal_to(Some(fraction)).is_empty()));
    // 79% says 79/100 already, and 0% and 100% say what they are.
    assert!(["79/100", "3/10", "909/1000", "1", "0"].iter().all(|fraction| equal_to(Some(fraction)).is_empty()));
    // 7/12 - 1/6 = 5/12: a total of 2d6 of 7 or more, and of just 7.
    assert_eq!(difference("7/12", "1/6").as_deref(), Some("5/12"));
    assert_eq!((difference("1", "1/4").as_deref(), difference("1/6", "1/6").as_deref()), (Some("3/4"), Some("0")));
}
