//! The palette: contrast by the published formula, and what colour-blind people see of it.
use pipwright_shared::report::palette::Theme;

/// A colour's channels, made linear: WCAG 2.x, relative luminance (threshold 0.04045).
fn linear(colour: &str) -> [f64; 3] {
    let channel = |at: usize| {
        let value = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).expect("#rrggbb")) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    [channel(1), channel(3), channel(5)]
}

fn contrast(one: &str, other: &str) -> f64 {
    let luminance = |colour: &str| {
        let [red, green, blue] = linear(colour);
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    };
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[test]
fn the_formula_is_the_published_one() {
    // WCAG 2.x, "contrast ratio" and "relative luminance"; the second to sixth are printed, with fewer digits, on
    // secondary pages. The digits were worked out anew from the formula.
    let cases = [
        ("#000000", "#ffffff", 21.0),
        ("#767676", "#ffffff", 4.542_224_959_61),
        ("#777777", "#ffffff", 4.478_089_453_58),
        ("#0000ff", "#ffffff", 8.592_471_358_43),
        ("#0000ff", "#ff0000", 2.148_936_170_21),
        ("#ffff00", "#ffffff", 1.073_839_230_93),
    ];
    for (one, other, wanted) in cases {
        assert!((contrast(one, other) - wanted).abs() < 1e-11, "{one} on {other}: {}", contrast(one, other));
    }
}

#[test]
fn everything_can_be_read_in_light_and_dark() {
    for theme in [Theme::Light, Theme::Dark] {
        let colours = theme.palette();
        for ground in [colours.paper, colours.slip] {
            // WCAG 2.x, 1.4.3: text needs 4.5 to 1.
            for text in [colours.ink, colours.pale_ink, colours.strong, colours.alarm] {
                assert!(contrast(text, ground) >= 4.5, "{theme:?}: {text} on {ground}: {}", contrast(text, ground));
            }
            // WCAG 2.x, 1.4.11: what a drawing means needs 3 to 1.
            for mark in [colours.strong, colours.faint] {
                assert!(contrast(mark, ground) >= 3.0, "{theme:?}: {mark} on {ground}: {}", contrast(mark, ground));
            }
        }
    }
}

/// Machado, Oliveira and Fernandes 2009, "A physiologically-based model for simulation of color vision deficiency",
/// the matrices of full severity, from memory. Their rows sum to 1: grey stays grey.
const SEEN: [(&str, [[f64; 3]; 3]); 3] = [
    (
        "no red cones",
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    ),
    (
        "no green cones",
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    ),
    (
        "no blue cones",
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
    ),
];

/// CIE 1976 L*a*b* of a linear colour, white point D65 (IEC 61966-2-1 and CIE 15, from memory).
fn lab([red, green, blue]: [f64; 3]) -> [f64; 3] {
    let bent = |value: f64| if value > 0.008856 { value.cbrt() } else { 7.787 * value + 16.0 / 116.0 };
    let x = bent((0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.9505);
    let y = bent(0.2126 * red + 0.7152 * green + 0.0722 * blue);
    let z = bent((0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.089);
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

#[test]
fn the_two_sorts_of_bars_differ_for_every_eye() {
    for theme in [Theme::Light, Theme::Dark] {
        let colours = theme.palette();
        for (who, matrix) in SEEN {
            let seen = |colour: &str| {
                let linear = linear(colour);
                lab(matrix.map(|row| row.iter().zip(linear).map(|(part, value)| part * value).sum::<f64>().max(0.0)))
            };
            let (strong, faint) = (seen(colours.strong), seen(colours.faint));
            let apart = strong.iter().zip(faint).map(|(one, other)| (one - other).powi(2)).sum::<f64>().sqrt();
            // About 2.3 is just noticed (Mahy and others 1994, from memory); ten times that is plain to see.
            assert!(apart >= 23.0, "{theme:?}, {who}: {apart}");
        }
    }
}
