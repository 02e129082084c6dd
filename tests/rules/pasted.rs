//! Lists read exactly: what every sort of line means, and that nothing of it is dropped without a word. What is expected
//! is written by hand; costs are added up from the unit books.
use pipwright_shared::points::text::{Pasted, read};
use pipwright_shared::points::{self, Code, List};
use pipwright_shared::rules::fault::Source;
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::{PackCatalog, read::read as read_pack};
use pipwright_tests::spent::on_processor;
use std::sync::Arc;
use std::time::Duration;

fn guild() -> Arc<Pack> {
    PackCatalog::demo().pack(Some("canal guild")).expect("a demo pack")
}

/// The people's own pack with units whose names have numbers and separators in them.
fn numbered() -> Pack {
    let files = pipwright_shared::packs::starter("our-club");
    let more = "\n\n[[unit]]\nid = \"crawler-mk-2\"\nlabel = \"Crawler Mk 2\"\nplural = \"Crawlers Mk 2\"\nkind = \"folk\"\n\
        role = \"growers\"\nmodels = { least = 1, most = 40 }\ncounted = \"models\"\npoints = 20\neach_more = 20\n\
        stats = { eye = \"4+\", girth = 3, calm = 7 }\nweapons = [\"apple-sling\"]\n[[unit.option]]\nid = \"kit-3\"\n\
        label = \"Kit 3\"\npoints = 5\nmost = 9\n\
        \n[[unit]]\nid = \"type-34\"\nlabel = \"Type 34\"\nplural = \"Types 34\"\nkind = \"folk\"\nrole = \"growers\"\n\
        models = { least = 1, most = 40 }\ncounted = \"models\"\npoints = 30\neach_more = 30\n\
        stats = { eye = \"4+\", girth = 3, calm = 7 }\nweapons = [\"apple-sling\"]\n\
        \n[[unit]]\nid = \"gun-88\"\nlabel = \"88 Gun\"\nplural = \"88 Guns\"\nkind = \"folk\"\nrole = \"growers\"\n\
        points = 40\nstats = { eye = \"4+\", girth = 3, calm = 7 }\nweapons = [\"apple-sling\"]\n\
        \n[[unit]]\nid = \"cart-and-mule\"\nlabel = \"Cart & Mule, old\"\nplural = \"Carts & Mules, old\"\nkind = \"folk\"\n\
        role = \"growers\"\npoints = 50\nstats = { eye = \"4+\", girth = 3, calm = 7 }\nweapons = [\"apple-sling\"]\n";
    let laid = |file: Source| match file.name.as_str() {
        "units.toml" => Source::new("units.toml", file.text + more),
        _ => file,
    };
    read_pack(&files.into_iter().map(laid).collect::<Vec<_>>()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// How many units, of how many models, of what, and its options with how often each.
type Line = (u32, u32, String, Vec<(String, u32)>);

/// Units, models of each and options with how often, of each line.
fn lines(pack: &Pack, pasted: &Pasted) -> Vec<Line> {
    let line = |line: &points::Line| {
        let unit = &pack.units[line.unit];
        let options = line.options.iter().map(|(at, times)| (unit.options[*at].named.id.clone(), *times));
        (line.count, line.models, unit.named.id.clone(), options.collect())
    };
    pasted.lines.iter().map(line).collect()
}

/// Reads one line that is understood whole: its units, its models, its unit.
#[track_caller]
fn one(pack: &Pack, text: &str) -> (u32, u32, String, Vec<(String, u32)>) {
    let pasted = read(pack, text);
    assert_eq!(pasted.problems, [], "{text}");
    assert_eq!((pasted.lines.len(), pasted.headings.len()), (1, 0), "{text}: {pasted:?}");
    lines(pack, &pasted).remove(0)
}

fn taken(options: &[(&str, u32)]) -> Vec<(String, u32)> {
    options.iter().map(|(id, times)| ((*id).to_owned(), *times)).collect()
}

#[test]
fn a_name_in_full_wins_over_a_number_in_it() {
    let pack = numbered();
    for (text, count, models, unit) in [
        ("Crawler Mk 2", 1, 1, "crawler-mk-2"),
        ("3 Crawlers Mk 2", 1, 3, "crawler-mk-2"),
        ("Crawler Mk 2 (3)", 1, 3, "crawler-mk-2"),
        ("2x 5 Crawler Mk 2", 2, 5, "crawler-mk-2"),
        ("Type 34", 1, 1, "type-34"),
        ("34 Type 34", 1, 34, "type-34"),
        ("2x 88 Gun", 2, 1, "gun-88"),
        ("88 Gun x2", 2, 1, "gun-88"),
        ("88 gun", 1, 1, "gun-88"),
        ("2x Cart & Mule, old", 2, 1, "cart-and-mule"),
    ] {
        assert_eq!(one(&pack, text), (count, models, unit.to_owned(), Vec::new()), "{text}");
    }
    let wanted = (1, 4, "crawler-mk-2".to_owned(), taken(&[("kit-3", 2)]));
    assert_eq!(one(&pack, "4 Crawlers Mk 2 + 2 Kit 3"), wanted);
    assert_eq!(one(&pack, "4 Crawlers Mk 2 with Kit 3 x2"), wanted);
    for (text, close) in [("Type 35", "Type 34"), ("2x 89 Gun", "88 Gun"), ("Crawler Mk 3", "Crawler Mk 2")] {
        let pasted = read(&pack, text);
        assert_eq!((pasted.lines.len(), pasted.problems.len()), (0, 1), "{text}: {pasted:?}");
        assert_eq!(pasted.problems[0].code, Code::UnknownUnit, "{text}");
        assert!(pasted.problems[0].mend.contains(close), "{text}: {:?}", pasted.problems[0]);
    }
}

#[test]
fn numbers_before_and_behind() {
    let pack = guild();
    for (text, count, models, unit) in [
        ("10 Dyke Hands", 1, 10, "dyke-hands"),
        ("10x Dyke Hands", 1, 10, "dyke-hands"),
        ("Dyke Hands x10", 1, 10, "dyke-hands"),
        ("Dyke Hands 10", 1, 10, "dyke-hands"),
        ("Dyke Hands (10)", 1, 10, "dyke-hands"),
        ("Dyke Hands (10 models)", 1, 10, "dyke-hands"),
        ("10 models Dyke Hands", 1, 10, "dyke-hands"),
        ("2x 10 Dyke Hands", 2, 10, "dyke-hands"),
        ("2x Dyke Hands (10)", 2, 10, "dyke-hands"),
        ("2 units of 10 Dyke Hands", 2, 10, "dyke-hands"),
        ("2 Dyke Hands", 2, 5, "dyke-hands"),
        // Ten units of three: too few, which is a broken limit and not another reading.
        ("3 Dyke Hands x10", 10, 3, "dyke-hands"),
        ("3 Ram Barges", 3, 1, "ram-barge"),
        ("Ram Barge ×3", 3, 1, "ram-barge"),
        ("- Ram Barge x 3", 3, 1, "ram-barge"),
        // Crews are counted in crews, whatever people each has.
        ("2 Bolt-gun Crews", 2, 3, "bolt-gun-crew"),
        ("3x Bolt-gun Crew", 3, 3, "bolt-gun-crew"),
        ("12 Culverin Crews", 12, 4, "culverin-crew"),
    ] {
        assert_eq!(one(&pack, text), (count, models, unit.to_owned(), Vec::new()), "{text}");
    }
    let problems = points::problems(&pack, &List { limit: 5_000, lines: read(&pack, "3 Dyke Hands x10").lines });
    assert_eq!(problems[0].code, Code::Models);
    assert_eq!(problems[0].text, "a unit of Dyke Hands has at least 5 models, and this one has 3");
    let moot = PackCatalog::demo().pack(Some("sedge moot")).expect("a demo pack");
    assert_eq!(one(&moot, "6 Tar Gangs"), (6, 3, "tar-gang".to_owned(), Vec::new()));
    assert_eq!(one(&moot, "Tar Gang (5)"), (1, 5, "tar-gang".to_owned(), Vec::new()));
}

#[test]
fn a_number_that_means_nothing_is_no_number() {
    let pack = guild();
    for text in [
        "-3 Dyke Hands",
        "−3 Dyke Hands",
        "3x Dyke Hands x10",
        "2x 10 Dyke Hands x3",
        "2x 10 12 Dyke Hands",
        "10 Dyke Hands (12)",
        "0 Dyke Hands",
        "99999999999999999999 Dyke Hands",
        "1001 Ram Barge",
        "2.5 Dyke Hands",
        "Dyke Hands and friends",
        "Dyke Hands 3 4 5",
    ] {
        let pasted = read(&pack, text);
        assert_eq!((pasted.lines.len(), pasted.problems.len()), (0, 1), "{text}: {pasted:?}");
        assert!(matches!(pasted.problems[0].code, Code::Unreadable | Code::UnknownUnit), "{text}");
    }
    // No barge costs three points, so there are three of them.
    assert_eq!(one(&pack, "Ram Barge 3"), (3, 1, "ram-barge".to_owned(), Vec::new()));
    // A bullet with a blank behind it is no minus.
    for text in
        ["- 7 Dyke Hands", "* 7 Dyke Hands", "• 7 Dyke Hands", "– 7 Dyke Hands", "1. 7 Dyke Hands", "1) 7 Dyke Hands"]
    {
        assert_eq!(one(&pack, text), (1, 7, "dyke-hands".to_owned(), Vec::new()), "{text}");
    }
}

/// Wharf Captain 70, greatcoat 10; Dyke Hands 30 and 6 for each beyond five, hooks 1 each; Heron Carriage 265, mast 20.
#[test]
fn points_behind_a_name_are_held_against_what_it_costs() {
    let pack = guild();
    for text in [
        "Wharf Captain (70)",
        "Wharf Captain [70]",
        "Wharf Captain 70",
        "Wharf Captain - 70 pts",
        "Wharf Captain: 70",
        "Wharf Captain ..... 70",
        "Wharf Captain (70) + tarred greatcoat (10)",
        "Wharf Captain + tarred greatcoat (80)",
        "Wharf Captain (80): tarred greatcoat",
        "Dyke Hands (30)",
        "10 Dyke Hands (60)",
        "10 Dyke Hands + boat hooks (10) [70]",
        "2x Heron Carriage (265)",
        "2x Heron Carriage (530)",
        "2x Heron Carriage + signal mast (570)",
        "2x Heron Carriage + signal mast [285]",
    ] {
        let pasted = read(&pack, text);
        assert_eq!((pasted.problems.len(), pasted.lines.len()), (0, 1), "{text}: {pasted:?}");
    }
    assert_eq!(one(&pack, "Wharf Captain (70)").0, 1);
    for (text, says) in [
        ("Wharf Captain (75)", "the list says 75 points here, and Wharf Captain costs 70 points"),
        ("Dyke Hands (25)", "the list says 25 points here, and Dyke Hands costs 30 points"),
        ("Heron Carriage + signal mast (25)", "the list says 25 points here, and Signal mast costs 20 points"),
        ("Heron Carriage + signal mast [280]", "the list says 280 points here, and Heron Carriage costs 285 points"),
        ("Ram Barge (3)", "the list says 3 points here, and Ram Barge costs 65 points"),
        ("Wharf Captain\nTotal: 71", "the list says 71 points here, and the lines that were read come to 70 points"),
    ] {
        let pasted = read(&pack, text);
        let found: Vec<(Code, &str)> = pasted.problems.iter().map(|p| (p.code, p.text.as_str())).collect();
        assert_eq!(found, [(Code::PointsDiffer, says)], "{text}");
    }
    assert_eq!(read(&pack, "Wharf Captain\nTotal: 70 points").problems, []);
}

#[test]
fn headings_are_no_units() {
    let pack = guild();
    let text = "== Infantry ==\nHQ:\nWharf Captain\n**Foot**\n[Crawlers]\nCommand\nFoot (2/6)\nHeavy crawlers:\n---\n\
        Subtotal: 70\n1500 points";
    let pasted = read(&pack, text);
    assert_eq!(pasted.problems, []);
    assert_eq!(pasted.lines.len(), 1);
    assert_eq!(pasted.limit, Some(1500));
    let headings: Vec<(u32, &str)> = pasted.headings.iter().map(|h| (h.line, h.text.as_str())).collect();
    assert_eq!(
        headings,
        [
            (1, "== Infantry =="),
            (2, "HQ:"),
            (4, "**Foot**"),
            (5, "[Crawlers]"),
            (6, "Command"),
            (7, "Foot (2/6)"),
            (8, "Heavy crawlers:"),
            (9, "---"),
            (10, "Subtotal: 70")
        ]
    );
    // In bold a unit is a unit, and a heading may have its first unit behind it.
    assert_eq!(one(&pack, "**Heron Carriage**").2, "heron-carriage");
    let pasted = read(&pack, "Command: Wharf Captain");
    assert_eq!((pasted.lines.len(), pasted.headings.len(), pasted.problems.len()), (1, 1, 0), "{pasted:?}");
    // In the Floe Run hands are a role and short for Deck Hands: it is not guessed which.
    let floe = PackCatalog::demo().pack(Some("floe run")).expect("a demo pack");
    let pasted = read(&floe, "Hands");
    assert_eq!((pasted.lines.len(), pasted.problems[0].code), (0, Code::Unreadable));
    assert_eq!(read(&floe, "Hands:").headings.len(), 1);
    assert_eq!(one(&floe, "7 hands").1, 7);
}

#[test]
fn options_stand_in_many_ways() {
    let pack = guild();
    let wanted = (1, 8, "quay-rifles".to_owned(), taken(&[("swivel-team", 1), ("spare-crew", 1)]));
    for text in [
        "8 Quay Rifles + swivel team + spare crew",
        "8 Quay Rifles with swivel team & spare crew",
        "8 Quay Rifles, swivel team, spare crew",
        "8 Quay Rifles (swivel team, spare crew)",
        "Quay Rifles (8) [swivel team; spare crew]",
        "8 Quay Rifles: swivel team, spare crew",
        "8 Quay Rifles + swivel team (spare crew)",
        "8 Quay Rifles\n+ swivel team\n+ spare crew",
        "8 Quay Rifles\n  - swivel team\n  - spare crew (8 pts)",
        "8 Quay Rifles\nwith swivel team, spare crew",
    ] {
        assert_eq!(one(&pack, text), wanted, "{text}");
    }
    let wanted = (1, 10, "dyke-hands".to_owned(), taken(&[("scatter-guns", 2)]));
    for text in [
        "10 Dyke Hands + 2 scatter guns",
        "10 Dyke Hands + 2x scatter gun",
        "10 Dyke Hands + scatter gun x2",
        "10 Dyke Hands + scatter guns (2)",
        "10 Dyke Hands + scatter gun + scatter gun",
        "10 Dyke Hands (2 scatter guns)",
        "10 Dyke Hands + 2 scatter guns (10 pts)",
    ] {
        assert_eq!(one(&pack, text), wanted, "{text}");
    }
}

#[test]
fn options_of_a_line_that_was_left_out_are_no_one_elses() {
    let pack = guild();
    let pasted = read(&pack, "Heron Carriage\nZeppelin Carrier\n+ signal mast\n  - reed skirts");
    assert_eq!(lines(&pack, &pasted), [(1, 1, "heron-carriage".to_owned(), Vec::new())]);
    let found: Vec<(Code, Option<u32>)> = pasted.problems.iter().map(|p| (p.code, p.line)).collect();
    assert_eq!(found, [(Code::UnknownUnit, Some(2)), (Code::Unreadable, Some(3)), (Code::UnknownUnit, Some(4))]);
}

/// Every word of a line is some part of what was read, or some problem, heading, limit or total names its line.
#[test]
fn nothing_is_dropped_without_a_word() {
    let pack = guild();
    let mut rng = fastrand::Rng::with_seed(0x5eed_1157);
    let words = [
        "3",
        "x10",
        "-3",
        "(70)",
        "[8]",
        "10x",
        "Dyke Hands",
        "Heron Carriage",
        "Quay Rifles",
        "Bolt-gun Crew",
        "+",
        ",",
        "with",
        "signal mast",
        "swivel team",
        "boat hooks",
        "2 scatter guns",
        "zeppelin",
        ":",
        "- 70 pts",
        "==",
        "total",
        "models",
        "of",
        "(",
        ")",
        "\n",
        "\n  - ",
        "•",
        "x",
        "0",
        "88",
    ];
    let mut understood = 0;
    for _ in 0..4_000 {
        let text: Vec<&str> = (0..rng.usize(1..9)).map(|_| words[rng.usize(..words.len())]).collect();
        let text = text.join(" ");
        let pasted = read(&pack, &text);
        for (index, raw) in text.lines().enumerate() {
            let number = index as u32 + 1;
            let told = pasted.problems.iter().any(|problem| problem.line == Some(number))
                || pasted.headings.iter().any(|heading| heading.line == number);
            if raw.trim().is_empty() || told || pasted.limit.is_some() || raw.contains("total") {
                continue;
            }
            // No word is left that is no name of what was taken, no number and no sign.
            assert!(!raw.contains("zeppelin") && !raw.contains("-3"), "{text:?}: {pasted:?}");
            let numbers =
                |text: &str| text.split(|c: char| !c.is_ascii_digit()).filter(|word| !word.is_empty()).count();
            // A line without a problem has two numbers for its unit, one for each option, and one more claimed for each.
            let options = raw.matches(['+', ',']).count() + raw.matches("with").count() + raw.matches(':').count();
            assert!(numbers(raw) <= 3 + 2 * (options + raw.matches(['(', '[']).count()), "{text:?}: {pasted:?}");
            understood += 1;
        }
    }
    assert!(understood > 300, "{understood} lines were understood");
}

#[test]
fn five_hundred_lines_are_taken() {
    let pack = guild();
    let text = "Ram Barge + bow swivel\n".repeat(500);
    let pasted = read(&pack, &text);
    assert_eq!((pasted.lines.len(), pasted.problems.len()), (500, 0));
    let pasted = read(&pack, &format!("{text}Ram Barge\nRam Barge\n"));
    assert_eq!(pasted.lines.len(), 500);
    let found: Vec<(Code, Option<u32>)> = pasted.problems.iter().map(|p| (p.code, p.line)).collect();
    assert_eq!(found, [(Code::TooLong, Some(501))]);
}

/// Fifty times the text takes fifty times as long, with room for what the caches of a machine do; what grows with the square would take
/// 2500 times as long. A word of 60 KB is one unknown word.
#[test]
fn reading_is_linear() {
    let pack = guild();
    // The processor's time, many readings together where one is too short to be seen.
    let time = |text: &str, readings: u32| {
        let run = || {
            let before = on_processor("thread-self");
            (0..readings).for_each(|_| assert!(!read(&pack, text).problems.is_empty()));
            on_processor("thread-self") - before
        };
        (0..3).map(|_| run()).min().expect("three runs")
    };
    let hold = |what: &str, few: &str, many: &str| {
        let (few, many) = (time(few, 50), time(many, 1));
        assert!(many < few * 10 + Duration::from_millis(50), "{what}: {few:?} for fifty and {many:?}");
    };
    for line in
        ["Dragon of the marsh", "Heron Carriage + sails + a dragon", "((((((((((", "3 3 3 3 3 3", "a, b, c, d, e"]
    {
        hold(line, &format!("{line}\n").repeat(9), &format!("{line}\n").repeat(450));
    }
    for part in ["x", "heron ", "(", "1 ", "+ mast ", "a,", "é", " with ", ": b"] {
        hold(part, &part.repeat(1_200), &part.repeat(60_000));
    }
}
