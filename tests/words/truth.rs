//! The phrases themselves: `report::saying` against chances whose words are known.
use pipwright_shared::report::saying::{apart, mean, means_apart, often, percent, roughly, unproven};

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
        (0.997, "about 332 times in 333 (99.7%)"),
        (0.999_99, "over 99.99% of the time"),
        (31.0 / 46656.0, "about 1 time in 1,510 (0.07%)"),
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
