//! The drawing of charts.
use pipwright_shared::report::chart::{Bar, Chart, height, svg};
use pipwright_shared::report::drawing::WIDTH;
use pipwright_shared::report::palette::Theme;

fn bar(label: &str, length: f64, strong: bool) -> Bar {
    Bar { label: label.into(), length, said: format!("{length}"), strong }
}

fn chart(bars: Vec<Bar>) -> Chart {
    Chart { title: "Structure <lost> & \"kept\"".into(), alt: "Bars.\u{0}".into(), bars }
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

#[test]
fn everything_lies_inside() {
    let bars = (0..18).map(|n| bar(&format!("{n} or rather a long label"), f64::from(n), n % 2 == 0)).collect();
    let chart = chart(bars);
    let drawing = svg(&chart, Theme::Light);
    assert!(numbers(&drawing, " x=\"").iter().all(|&x| x < f64::from(WIDTH)), "{drawing}");
    assert!(numbers(&drawing, " y=\"").iter().all(|&y| y < f64::from(height(&chart))), "{drawing}");
    assert!(svg(&Chart::default(), Theme::Light).ends_with("</svg>"), "a chart without bars is drawn as such");
}
