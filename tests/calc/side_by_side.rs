//! Units side by side: the figures are those of each unit's own appraisal, which the second player fights out.
use pipwright_shared::report::{markdown::markdown, page::html};
use pipwright_shared::wire::side_by_side::{SideBySideAnswer, sheet};
use pipwright_tests::ask::{ask, refused};
use serde_json::{Value, json};

#[test]
fn figures_are_those_of_the_appraisals() {
    let units = [
        json!({"unit": "heron-carriage"}),
        json!({"unit": "heron-carriage", "options": ["stern-mortar"]}),
        json!({"unit": "dyke-hands", "models": 10}),
    ];
    let against = json!([{"unit": "quay-rifles", "models": 5}, {"unit": "bittern-carriage"}]);
    let answer = ask("side-by-side", json!({"units": units, "against": against, "turns": 3}));
    for (unit, beside) in units.iter().zip(answer["units"].as_array().expect("units")) {
        let mut request = unit.clone();
        request["against"] = against.clone();
        request["turns"] = json!(3);
        let own = ask("appraisal", request);
        assert_eq!(beside["worth"], own["worth"], "{unit}");
        assert_eq!(beside["points"], own["cost"]["points"], "{unit}");
        let damage: Vec<&Value> = own["damage"].as_array().expect("rows").iter().map(|row| &row["points"]).collect();
        assert_eq!(beside["damage"], json!(damage), "{unit}");
        let whole = own["approach"].as_array().expect("rows").iter().filter(|row| row["without"].is_null());
        let stood: Vec<&Value> = whole.map(|row| &row["stood"]).collect();
        assert_eq!(beside["survival"], json!(stood), "{unit}");
    }
    let typed: SideBySideAnswer = serde_json::from_value(answer).expect("an answer");
    let sheet = sheet(&typed);
    for form in [html(&sheet), markdown(&sheet)] {
        for name in ["Heron Carriage", "Heron Carriage + Stern mortar", "10 Dyke Hands", "under 5 Quay Rifles"] {
            assert!(form.contains(name), "{name}: {form}");
        }
        assert!(!form.contains("NaN") && !form.contains("inf "));
    }
}

/// The sentence names whoever gives most, and another one where the figures turn round.
#[test]
fn the_sentence_names_the_best() {
    let of =
        |units: Value| ask("side-by-side", json!({"units": units, "turns": 1}))["verdict"].as_str().map(str::to_owned);
    let (heron, hands) = (json!({"unit": "heron-carriage"}), json!({"unit": "dyke-hands", "models": 10}));
    let one = of(json!([heron, hands])).expect("a sentence");
    assert_eq!(of(json!([hands, heron])).as_deref(), Some(one.as_str()), "whichever stands first");
    let alike = of(json!([heron, heron])).expect("a sentence");
    assert!(alike.starts_with("For their points they give the same"), "{alike}");
}

#[test]
fn one_or_five_are_refused() {
    for count in [1, 5] {
        let units: Vec<Value> = (0..count).map(|_| json!({"unit": "dyke-hands"})).collect();
        let mistakes = refused("side-by-side", json!({"units": units}));
        assert_eq!(mistakes[0].pointer, "/units", "{mistakes:?}");
    }
    let mistakes = refused("side-by-side", json!({"units": [{"unit": "dyke-hands"}, {"unit": "nobody at all"}]}));
    assert_eq!(mistakes[0].pointer, "/units/1/unit");
}
