//! The picture of a chart: a real PNG with words in it, drawn with no font on the machine.
use pipwright_bot::card::{Bar, Chart};

fn chart(label: &str) -> Chart {
    let bar = |label: &str, chance: f64, strong: bool| Bar { label: label.into(), chance, strong };
    Chart {
        whole: false,
        title: "models lost".into(),
        bars: vec![bar(label, 0.25, false), bar("1", 0.5, true), bar("2", 0.25, true)],
        alt: "Bar chart of models lost: 1 on average.".into(),
        at_least: Vec::new(),
    }
}

/// Width and height of a PNG, from its first chunk.
///
/// Source: PNG specification, third edition (W3C), 5.2 signature and 11.2.1 IHDR.
fn size(png: &[u8]) -> (u32, u32) {
    assert_eq!(png[..8], [137, 80, 78, 71, 13, 10, 26, 10], "the signature");
    assert_eq!(&png[12..16], b"IHDR");
    let number = |at: usize| u32::from_be_bytes([png[at], png[at + 1], png[at + 2], png[at + 3]]);
    (number(16), number(20))
}

#[test]
fn a_picture_with_words() {
    let one = chart("0").png().expect("a picture");
    assert_eq!(size(&one), (680, 224), "twice the drawing: 340 wide, a head of 32, three rows of 24, an edge of 8");
    // The same picture but for one label: the font is there, or both would be alike.
    assert_ne!(one, chart("8").png().expect("a picture"));
    // Its words are inside, for those who can't see it.
    let text = b"iTXtDescription\0\0\0\0\0Bar chart of models lost: 1 on average.";
    assert!(one.windows(text.len()).any(|window| window == text), "no description");
    assert!(one.len() < 60_000, "{} bytes", one.len());
    if let Some(folder) = std::env::var_os("PIPWRIGHT_PICTURES") {
        std::fs::write(std::path::Path::new(&folder).join("chart.png"), &one).expect("a folder");
    }
}

#[test]
fn nothing_in_a_name_breaks_it() {
    for label in ["<svg>", "]]>", "&amp;", "\u{202e}abc", "\u{0}", "日本語"] {
        assert!(chart(label).png().is_ok(), "{label:?}");
    }
}
