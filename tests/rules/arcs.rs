//! Which arc is hit: against angles worked by hand, and what must hold wherever the table is turned.
use pipwright_tests::ask::{ask, refused};
use serde_json::{Value, json};

fn number(answer: &Value, pointer: &str) -> f64 {
    answer.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("{pointer} of {answer}"))
}

fn arc(request: Value) -> String {
    ask("arc", request)["arc"]["id"].as_str().expect("an arc").to_owned()
}

#[track_caller]
fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9, "{a} is not {b}");
}

/// The corners of a hull 4 by 3 lie at the small angle of the triangle 3-4-5, 36.8698976…°; where the width is the length over the
/// square root of three they lie at 30°; a square hull has quarters. Elementary trigonometry.
#[test]
fn borders_lie_at_the_corners() {
    let first = |length: f64, width: f64| {
        let answer = ask("arc", json!({"bearing": 0, "hull": {"length_mm": length, "width_mm": width}}));
        let borders = answer["borders"].as_array().expect("a list").iter().map(|line| number(line, "/bearing"));
        borders.collect::<Vec<f64>>()
    };
    for (length, width, corner) in
        [(4.0, 3.0, 36.869_897_645_844_02), (100.0, 100.0 / 3.0_f64.sqrt(), 30.0), (80.0, 80.0, 45.0)]
    {
        let borders = first(length, width);
        let wanted = [corner - 180.0, -corner, corner, 180.0 - corner];
        assert_eq!(borders.len(), 4);
        borders.iter().zip(wanted).for_each(|(border, wanted)| close(*border, wanted));
    }
}

/// Places worked on squared paper: headings go clockwise from up the table.
#[test]
fn places_become_bearings() {
    let at = |x: f64, y: f64, heading: f64| {
        ask("arc", json!({"target": {"x": 2, "y": 1, "heading": heading}, "attacker": {"x": x, "y": y}}))
    };
    for (x, y, heading, bearing, arc) in [
        (2.0, 9.0, 0.0, 0.0, "front"),
        (2.0, 9.0, 180.0, 180.0, "rear"),
        (10.0, 1.0, 0.0, 90.0, "side"),
        (-6.0, 1.0, 0.0, -90.0, "side"),
        (10.0, 9.0, 90.0, -45.0, "front"),
        (-6.0, -7.0, 0.0, -135.0, "side"),
        (-6.0, -7.0, -90.0, -45.0, "front"),
        (10.0, 1.0, 270.0, 180.0, "rear"),
    ] {
        let answer = at(x, y, heading);
        close(number(&answer, "/bearing"), bearing);
        assert_eq!(answer["arc"]["id"], arc, "{x},{y} against heading {heading}");
    }
    let answer = at(2.0, 11.0, 0.0);
    close(number(&answer, "/distance"), 10.0);
    close(number(&answer, "/border/off_degrees"), 45.0);
    // Ten away and 45 degrees off: as far across as the half of the square's diagonal.
    close(number(&answer, "/border/across"), 50.0_f64.sqrt());
    assert_eq!(answer["near"], false);
}

#[test]
fn near_ties_are_said() {
    for (bearing, arc, off, near) in
        [(44.0, "front", 1.0, true), (46.0, "side", 1.0, true), (45.0, "front", 0.0, true), (51.0, "side", 6.0, false)]
    {
        let answer = ask("arc", json!({"bearing": bearing}));
        assert_eq!((&answer["arc"]["id"], &answer["near"]), (&json!(arc), &json!(near)), "{bearing}");
        close(number(&answer, "/border/off_degrees"), off);
    }
}

#[test]
fn turning_mirroring_and_moving_the_table_change_nothing() {
    let hull = json!({"length_mm": 130, "width_mm": 75});
    for step in 0..72 {
        let bearing = f64::from(step) * 5.0 + 0.5;
        let own = arc(json!({"bearing": bearing, "hull": hull}));
        assert_eq!(own, arc(json!({"bearing": -bearing, "hull": hull})), "the mirror of {bearing}");
        for turn in [0.0, 17.0, 90.0, 200.0, -121.0] {
            let (sin, cos) = (bearing + turn).to_radians().sin_cos();
            let place = json!({"x": 3.0 + 20.0 * sin, "y": -7.0 + 20.0 * cos});
            let target = json!({"x": 3, "y": -7, "heading": turn});
            let answer = ask("arc", json!({"target": target, "attacker": place, "hull": hull}));
            assert_eq!(answer["arc"]["id"], own.as_str(), "{bearing} turned by {turn}");
            let gap = (number(&answer, "/bearing") - bearing).rem_euclid(360.0);
            assert!(!(1e-9..=360.0 - 1e-9).contains(&gap), "{bearing} turned by {turn}: {answer}");
        }
    }
}

#[test]
fn both_sides_of_every_border_are_its_arcs() {
    for hull in [json!(null), json!({"length_mm": 130, "width_mm": 75}), json!({"length_mm": 50, "width_mm": 90})] {
        let answer = ask("arc", json!({"bearing": 10, "hull": hull}));
        for line in answer["borders"].as_array().expect("a list") {
            let bearing = number(line, "/bearing");
            let mut sides = [-0.01, 0.01].map(|off| arc(json!({"bearing": bearing + off, "hull": hull})));
            let mut between = [0, 1].map(|at| line["between"][at].as_str().expect("a name").to_owned());
            sides.sort();
            between.sort();
            assert_eq!(sides, between, "at {bearing}");
        }
    }
}

fn demo(front: &str, side: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/src/packs/canal-guild/rules.toml");
    let text = std::fs::read_to_string(path).expect("the demo pack");
    let text = text.replacen("id = \"front\"\n", &format!("id = \"front\"\n{front}\n"), 1);
    text.replacen("id = \"side\"\n", &format!("id = \"side\"\n{side}\n"), 1)
}

#[test]
fn a_pack_says_where_its_arcs_end() {
    let units = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/src/packs/canal-guild/units.toml");
    let book = std::fs::read_to_string(units).expect("the demo book");
    let own = arc(json!({"pack": "canal-guild", "bearing": 40}));
    assert_eq!(own, "side", "the demo's hull has its corner at 30 degrees");
    assert_eq!(arc(json!({"pack": "canal-guild", "bearing": 40, "quarters": true})), "front");
    let wide = demo("to = 60", "to = 150");
    let at = |bearing: f64| arc(json!({"pack": wide, "book": book, "bearing": bearing}));
    assert_eq!([at(59.0), at(61.0), at(-149.0), at(151.0)], ["front", "side", "side", "rear"]);
    let corners = demo("to = \"front-corner\"", "to = 120");
    let at = |bearing: f64| arc(json!({"pack": corners, "book": book, "bearing": bearing}));
    assert_eq!([at(29.9), at(30.1), at(119.0), at(121.0)], ["front", "side", "side", "rear"]);
    for (front, side) in
        [("to = 60", ""), ("to = 60", "to = 50"), ("to = \"corner\"", "to = 90"), ("to = 190", "to = 200")]
    {
        let mistakes = refused("arc", json!({"pack": demo(front, side), "book": book, "bearing": 1}));
        assert!(mistakes.iter().any(|one| one.pointer == "/pack"), "{front}, {side}: {mistakes:?}");
    }
}

#[test]
fn bad_questions_are_refused_at_their_field() {
    for (request, at) in [
        (json!({}), "/bearing"),
        (json!({"bearing": 361}), "/bearing"),
        (json!({"bearing": 3, "attacker": {"x": 1, "y": 1}}), "/bearing"),
        (json!({"attacker": {"x": 1, "y": 1}}), "/target"),
        (json!({"target": {"x": 1, "y": 1}}), "/attacker"),
        (json!({"target": {"x": 1, "y": 1}, "attacker": {"x": 1, "y": 1}}), "/attacker"),
        (json!({"bearing": 3, "hull": {"length_mm": 0, "width_mm": 10}}), "/hull/length_mm"),
        (json!({"bearing": 3, "unit": "herring"}), "/unit"),
    ] {
        let mistakes = refused("arc", request.clone());
        assert!(mistakes.iter().any(|one| one.pointer == at), "{request}: {mistakes:?}");
    }
}
