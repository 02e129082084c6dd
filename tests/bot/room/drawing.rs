//! The drawing of charts.
use pipwright_shared::report::chart::{Bar, Chart, height, svg};
use pipwright_shared::report::drawing::WIDTH;
use pipwright_shared::report::palette::Theme;

fn bar(label: &str, length: f64, strong: bool) -> Bar {
    Bar { label: label.into(), length, said: format!("{length}"), strong }
}

fn chart(bars: Vec<Bar>) -> Chart {
    Chart { title: "Structure <lost> & \"kept\"".into(), alt: "Bars.\u{0}".into(), bars, ..Chart::default() }
}

/// The numbers after a name, such as `width="`.
fn numbers(drawing: &str, name: &str) -> Vec<f64> {
    let rest = drawing.split(name).skip(1);
    rest.map(|rest| rest.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect::<String>())
        .map(|number| number.parse().expect("a number"))
        .collect()
}

#[test]
fn bars_are_as_long_as_their_values() {
    let drawing = svg(&chart(vec![bar("0", 0.5, true), bar("1", 0.25, true), bar("2", 0.0, true)]), Theme::Light);
    // The ground comes first; what never happens has no bar.
    let widths = numbers(&drawing, " width=\"")[1..].to_vec();
    assert_eq!(widths.len(), 2, "{drawing}");
    assert!((widths[0] / widths[1] - 2.0).abs() < 0.01, "{widths:?}");
    let tiny = svg(&chart(vec![bar("0", 1.0, true), bar("1", 1e-9, true)]), Theme::Light);
    assert!(numbers(&tiny, " width=\"")[2] >= 1.0, "what can happen is seen");
}

#[test]
fn sorts_of_bars_differ_by_pattern_too() {
    let strong = svg(&chart(vec![bar("0", 1.0, true)]), Theme::Light);
    let faint = svg(&chart(vec![bar("0", 1.0, false)]), Theme::Light);
    assert!(strong.contains("<rect class=\"strong\"") && !strong.contains("class=\"faint\""));
    assert!(faint.contains("<path class=\"faint\"") && faint.contains("fill=\"none\""));
    assert!(faint.matches("v14").count() > 5, "striped: {faint}");
}

#[test]
fn words_in_a_drawing_stay_words() {
    let drawing = svg(&chart(vec![bar("</svg><script>alert(1)</script>", 1.0, true)]), Theme::Dark);
    assert!(!drawing.contains("<script") && drawing.matches("</svg>").count() == 1, "{drawing}");
    assert!(drawing.contains("<title>Structure &lt;lost&gt; &amp; &quot;kept&quot;</title><desc>Bars. </desc>"));
    assert!(!drawing.contains(" id=") && !drawing.contains(" style=") && !drawing.contains("url("), "{drawing}");
}

/// The curve has a dot for each bar, further left the less likely that much or more is, and one in its key.
#[test]
fn the_curve_of_that_much_or_more() {
    let bars = vec![bar("0", 0.5, true), bar("1", 0.25, true), bar("2", 0.25, true)];
    let with = Chart { at_least: vec![1.0, 0.5, 0.25], ..chart(bars) };
    let drawing = svg(&with, Theme::Light);
    let dots = numbers(&drawing, " cx=\"");
    assert_eq!(dots.len(), 4, "{drawing}");
    let (first, second, third) = (dots[0], dots[1], dots[2]);
    // What is certain lies on the thin line, and every figure behind it: the curve crosses none of them.
    let rules: Vec<f64> = numbers(&drawing, "<path class=\"rule\" d=\"M");
    assert!((first - rules[1]).abs() < 0.1, "certain is at the thin line: {first} of {rules:?}");
    for figure in drawing.split("<text class=\"words said\" x=\"").skip(1) {
        let right: f64 = figure.split('"').next().and_then(|x| x.parse().ok()).expect("a number");
        assert!(figure.contains("text-anchor=\"end\"") && (right - f64::from(WIDTH - 8)).abs() < 0.1, "{figure}");
        let words = figure.split('>').nth(1).and_then(|rest| rest.split('<').next()).expect("a figure");
        // Eight units a letter are more than any sans serif of 13 takes for figures.
        assert!(right - 8.0 * words.chars().count() as f64 > first, "{words} begins behind {first}");
    }
    // From half to a quarter is half as far as from certain to half.
    assert!(((first - second) / (second - third) - 2.0).abs() < 0.01, "{dots:?}");
    assert!(drawing.contains("that much or more"), "{drawing}");
    let two = Chart { at_least: vec![1.0, 0.5], ..chart(vec![bar("0", 0.5, true), bar("1", 0.5, true)]) };
    assert!(!svg(&two, Theme::Light).contains("<circle"), "two points are no curve");
}

#[test]
fn everything_lies_inside() {
    let bars: Vec<Bar> =
        (0..18).map(|n| bar(&format!("{n} or rather a long label"), f64::from(n), n % 2 == 0)).collect();
    let at_least = (0..18).map(|n| 1.0 - f64::from(n) / 18.0).collect();
    let chart = Chart { at_least, ..chart(bars) };
    let drawing = svg(&chart, Theme::Light);
    assert!(numbers(&drawing, " x=\"").iter().all(|&x| x < f64::from(WIDTH)), "{drawing}");
    assert!(numbers(&drawing, " y=\"").iter().all(|&y| y < f64::from(height(&chart))), "{drawing}");
    assert!(numbers(&drawing, " cy=\"").iter().all(|&y| y < f64::from(height(&chart))), "{drawing}");
    assert!(svg(&Chart::default(), Theme::Light).ends_with("</svg>"), "a chart without bars is drawn as such");
}
