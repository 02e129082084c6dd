//! The appraisal: the question beside each number gives it again, and the verdict says what the numbers say. What the
//! numbers have to be is worked out in `unanswered.rs` and by the second player of the rules.
use pipwright_shared::report::{csv::csv, markdown::markdown, page::html};
use pipwright_shared::wire::appraisal::{AppraisalAnswer, VerdictRow, advice, option, sheet, together, verdict};
use pipwright_tests::ask::{ask, refused};
use serde_json::{Value, json};

const SIX: [&str; 6] = ["heron-carriage", "dyke-hands", "lamp-skiff", "culverin-crew", "heath-riders", "dredge-walker"];

fn appraised(request: Value) -> (Value, AppraisalAnswer) {
    let answer = ask("appraisal", request);
    let typed = serde_json::from_value(answer.clone()).expect("an appraisal");
    (answer, typed)
}

/// All sentences of the verdict and of the advice.
fn sentences(of: &AppraisalAnswer) -> Vec<VerdictRow> {
    verdict(of).into_iter().chain(advice(of)).collect()
}

/// The answer to the question of a row.
fn again(row: &Value) -> Value {
    ask_again(&row["ask"])
}

fn ask_again(question: &Value) -> Value {
    let path = question["path"].as_str().unwrap_or_else(|| panic!("{question} is no question"));
    ask(path, question["request"].clone())
}

fn rows<'a>(answer: &'a Value, name: &str) -> &'a Vec<Value> {
    answer[name].as_array().unwrap_or_else(|| panic!("no {name}"))
}

#[test]
fn the_question_beside_a_number_gives_it_again() {
    for unit in SIX {
        let (answer, _) = appraised(json!({"unit": unit}));
        let turns = answer["turns"].as_u64().unwrap();
        assert_eq!(again(&answer["cost"])["total"], answer["cost"]["points"], "{unit}");
        for row in rows(&answer, "attacks") {
            let odds = again(row);
            let lost = if row["armoured"] == true { &odds["structure"] } else { &odds["models"] };
            assert_eq!(lost["expected"], row["expected"], "{unit}: {row}");
            assert_eq!(odds["destroyed"]["chance"], row["destroyed"], "{unit}: {row}");
            assert_eq!(odds["points"]["removed"], row["points"], "{unit}: {row}");
            assert_eq!(odds["points"]["per_point"], row["per_point"], "{unit}: {row}");
        }
        for row in rows(&answer, "damage") {
            let duel = again(row);
            assert_eq!(duel["turns"].as_array().unwrap().len() as u64, turns);
            assert_eq!(duel["a"]["left"]["expected"], row["left"], "{unit}: {row}");
        }
        for row in rows(&answer, "survival") {
            let duel = again(row);
            // The attacker is never harmed, so that the unit stands where both do.
            let standing: Vec<f64> =
                rows(&duel, "turns").iter().map(|row| row["both_standing"].as_f64().unwrap()).collect();
            let gone = rows(&duel, "turns").iter().map(|row| row["a_destroyed"].as_f64().unwrap());
            assert!(standing.iter().zip(gone).all(|(stands, gone)| (stands + gone - 1.0).abs() < 1e-12), "{row}");
            assert_eq!(json!(standing), row["standing"], "{unit}: {row}");
            assert_eq!(json!(standing.iter().sum::<f64>()), row["stood"], "{unit}: {row}");
        }
        for row in rows(&answer, "approach") {
            let standing: Vec<Value> =
                rows(&again(row), "turns").iter().map(|row| row["both_standing"].clone()).collect();
            assert_eq!(json!(standing), row["standing"], "{unit}: {row}");
        }
        for row in rows(&answer, "protections").iter().flat_map(|row| rows(row, "under")) {
            for (ask, number) in [("ask", "with"), ("ask_without", "without")] {
                let duel = ask_again(&row[ask]);
                let stood: f64 = rows(&duel, "turns").iter().map(|row| row["both_standing"].as_f64().unwrap()).sum();
                assert_eq!(json!(stood), row[number], "{unit}: {row}");
            }
        }
        for pair in rows(&answer, "helpers").iter().map(|row| &row["repair"]).filter(|pair| pair.is_object()) {
            for (ask, chance, restored) in
                [("ask", "chance_with", "restored_with"), ("ask_without", "chance_without", "restored_without")]
            {
                let repair = ask_again(&pair[ask]);
                assert_eq!(repair["chance"], pair[chance], "{unit}");
                assert_eq!(repair["restored"]["expected"], pair[restored], "{unit}");
            }
        }
        for row in rows(&answer, "checks") {
            let check = again(row);
            assert_eq!(check["chance"], row["passes"], "{unit}: {row}");
            assert_eq!(json!(1.0 - check["all"]["chance"].as_f64().unwrap()), row["fails_once"], "{unit}: {row}");
        }
        if answer["repair"].is_object() {
            let (row, repair) = (&answer["repair"], again(&answer["repair"]));
            assert_eq!(repair["chance"], row["chance"]);
            assert_eq!(repair["restored"]["expected"], row["restored"]);
            assert_eq!(repair["turns"][turns as usize - 1]["any_restored"], row["any_restored"]);
        }
    }
}

#[test]
fn each_sentence_is_made_from_a_number_that_is_there() {
    for unit in SIX {
        let (answer, typed) = appraised(json!({"unit": unit}));
        assert_eq!(typed.verdict.len(), 3, "{unit}: {:?}", typed.verdict);
        assert!(typed.advice.len() >= 4, "{unit}: {:?}", typed.advice);
        let page = html(&sheet(&typed));
        for row in typed.verdict.iter().chain(&typed.advice) {
            let number = answer.pointer(&row.of).unwrap_or_else(|| panic!("{unit}: nothing at {}", row.of));
            assert_eq!(number.as_f64(), Some(row.number), "{unit}: {}", row.of);
            let escaped = pipwright_shared::report::drawing::escaped(&row.text);
            assert!(page.contains(&format!("<li dir=\"auto\">{escaped}</li>")), "{unit}: {}", row.text);
        }
    }
}

/// Sets the number that a sentence is made from, and hands the sentence back.
fn with_number(answer: &AppraisalAnswer, of: &str, number: f64) -> String {
    let mut value = serde_json::to_value(answer).unwrap();
    let whole = value.pointer(of).is_some_and(Value::is_u64);
    *value.pointer_mut(of).unwrap_or_else(|| panic!("nothing at {of}")) =
        if whole { json!(number as u64) } else { json!(number) };
    let changed: AppraisalAnswer = serde_json::from_value(value).unwrap();
    let rows = sentences(&changed);
    let row = rows.into_iter().find(|row| row.of == of).unwrap_or_else(|| panic!("no sentence of {of}"));
    row.text
}

#[test]
fn each_sentence_turns_round_where_its_number_crosses_what_it_is_held_against() {
    // A board of one, so that no other row takes the place of the one that is changed.
    let (_, mut answer) = appraised(json!({"unit": "heron-carriage", "against": [{"unit": "dredge-walker"}]}));
    answer.damage.truncate(1);
    answer.sensitivities.truncate(1);
    answer.protections.truncate(1);
    answer.comparators.truncate(1);
    let words = [
        ("/damage/0/per_point", "it earns its points back", "it doesn't earn its points back"),
        ("/protections/0/gained", "What protects it best is ", "It gains little from "),
        ("/worth/per_point", "it does better than the ", "it does worse than the "),
        ("/sensitivities/0/moved", " adds ", " costs "),
    ];
    for (of, above, below) in words {
        let against = sentences(&answer).into_iter().find(|row| row.of == of).unwrap_or_else(|| panic!("{of}")).against;
        // What is just under 1 is said to be that.
        let step = match of {
            "/damage/0/per_point" => 0.01,
            _ => 1e-6,
        };
        let (over, under) = (with_number(&answer, of, against + step), with_number(&answer, of, against - step));
        assert!(over.contains(above) && !over.contains(below), "{of}: {over}");
        assert!(under.contains(below), "{of}: {under}");
    }
    assert!(with_number(&answer, "/damage/0/per_point", 0.999_99).contains("it all but earns its points back"));
    // A target that is destroyed nearly whole and costs less than the unit is no measure of it: 200 of 210 points, for 265.
    let mut whole = answer.clone();
    whole.damage[0].points = 200.0;
    let said = with_number(&whole, "/damage/0/per_point", 200.0 / 265.0);
    assert!(said.contains("it destroys 200 of the 210 points of the Dredge Walker"), "{said}");
    assert!(said.contains("it costs 265 points") && !said.contains("earn"), "{said}");
    whole.damage[0].points = 209.9;
    let said = with_number(&whole, "/damage/0/per_point", 209.9 / 265.0);
    assert!(said.contains("it destroys nearly all of the 210 points of the Dredge Walker"), "{said}");
    let at = answer.checks.iter().position(|check| check.asked.is_none()).unwrap();
    let of = format!("/checks/{at}/fails_once");
    assert!(with_number(&answer, &of, 0.738).ends_with("it fails at least one in 73.8% of games."));
    assert!(with_number(&answer, &of, 0.0).ends_with("it can't fail one."));
    // What shortens a life is called a drawback, and only that.
    let mut shorter = answer.clone();
    let rule = shorter.protections[0].rule.clone();
    assert!(!sentences(&shorter).iter().any(|row| row.text.contains("drawback")));
    shorter.protections[0].gained = -0.25;
    let rows = sentences(&shorter);
    assert!(
        rows.iter().any(|row| row.text == format!("A drawback is {rule}: 0.25 fewer turns where it counts most.")),
        "{rows:?}"
    );
    // From the usual arc alone, then from two.
    let mut usual = answer.clone();
    usual.approach.truncate(1);
    assert!(
        with_number(&usual, "/approach/0/stood", 3.000_001)
            .starts_with("Even against its worst enemy on the way in, the Dredge Walker, it survives ")
    );
    assert!(
        with_number(&usual, "/approach/0/stood", 2.999_999)
            .starts_with("Its worst enemy on the way in is the Dredge Walker: against that it survives ")
    );
    let mut arcs = answer;
    arcs.survival.retain(|life| life.without.is_none());
    arcs.survival.truncate(2);
    arcs.survival[0].stood = 2.0;
    assert!(with_number(&arcs, "/survival/1/stood", 1.999_999).contains("dies sooner"));
    arcs.survival[1].stood = 2.5;
    let rows = sentences(&arcs);
    assert!(rows.iter().any(|row| row.text.contains("dies no sooner")), "{rows:?}");
}

/// Each verdict on an option and on a neighbour says the opposite where its number crosses nothing.
#[test]
fn options_and_neighbours_turn_round_where_their_number_crosses() {
    let (mut options, mut neighbours) = (0, 0);
    for pack in ["canal-guild", "floe-run", "sedge-moot"] {
        let units = pipwright_shared::rules::PackCatalog::demo();
        let units = &units.packs().iter().find(|known| known.named.id == pack).expect("a pack").units;
        for unit in units.iter().step_by(3) {
            let (_, answer) = appraised(json!({"pack": pack, "unit": unit.named.id, "turns": 2}));
            for row in &answer.options {
                options += 1;
                assert_eq!(option(row), row.text);
                let said = |moved: f64| {
                    option(&pipwright_shared::wire::appraisal::OptionRow { moved: Some(moved), ..row.clone() })
                };
                assert!(said(1e-6).starts_with("Worth it: "), "{}", said(1e-6));
                assert!(said(-1e-6).starts_with("Not worth it here: "), "{}", said(-1e-6));
                assert!(said(0.0).starts_with("Makes no difference here: "), "{}", said(0.0));
                let worse = row.moved.is_some_and(|moved| moved < -1e-9);
                assert_eq!(row.text.starts_with("Not worth it here: "), worse, "{}", row.text);
            }
            for row in answer.helpers.iter().chain(&answer.helped) {
                neighbours += 1;
                assert_eq!(together(row), row.text);
                let said =
                    |gained: f64| together(&pipwright_shared::wire::appraisal::TogetherRow { gained, ..row.clone() });
                assert!(said(1e-6).starts_with("Better together: "), "{}", said(1e-6));
                assert!(said(-1e-6).starts_with("Worse together: "), "{}", said(-1e-6));
                assert!(said(0.0).contains(" worth as much near "), "{}", said(0.0));
            }
            for (of, better, worse) in [("/helpers/0/gained", "eep ", "nobody near"), ("/helped/0/gained", "eep ", "")]
            {
                if serde_json::to_value(&answer).unwrap().pointer(of).is_some() {
                    let (above, below) = (with_number(&answer, of, 1.0), with_number(&answer, of, -0.01));
                    assert!(above.contains(better) && above.ends_with(" 1 point more in a game."), "{above}");
                    assert!(below.contains(worse) && !below.contains(" more in a game"), "{below}");
                }
            }
        }
    }
    assert!(options > 5 && neighbours > 5, "{options} options, {neighbours} neighbours");
}

/// A unit book with one unit that has this and that.
fn book(unit: &str) -> String {
    format!("format = 1\npack = \"canal-guild\"\n\n[[unit]]\nid = \"odd-one\"\nlabel = \"Odd One\"\n{unit}\n")
}

#[test]
fn odd_units_get_sensible_pages() {
    let foot = "kind = \"foot\"\nrole = \"foot-bands\"\nstats = { drill = \"5+\", nerve = 7, pace = 5, bulk = 3 }\n";
    let odd = [
        ("no weapon", format!("{foot}points = 30\nmodels = {{ least = 5, most = 10 }}")),
        ("free", format!("{foot}points = 0\nmodels = {{ least = 1, most = 1 }}")),
    ];
    for (what, unit) in odd {
        for against in [json!(null), json!([{"unit": "dyke-hands"}])] {
            let (answer, typed) = appraised(json!({"unit": "odd-one", "book": book(&unit), "against": against}));
            let sheet = sheet(&typed);
            for text in [html(&sheet), markdown(&sheet), csv(&sheet)] {
                assert!(!text.contains("NaN") && !text.contains("inf") && text.contains("5"), "{what}: {text}");
            }
            for picture in sheet.pictures() {
                assert!(!picture.alt().is_empty(), "{what}");
            }
            assert!(rows(&answer, "attacks").is_empty(), "{what}");
            assert!(typed.verdict.len() >= 2, "{what}: {:?}", typed.verdict);
            if what == "free" {
                assert_eq!(answer["worth"]["per_point"], Value::Null);
            }
        }
    }
}

#[test]
fn what_is_wrong_is_said_where() {
    let mistakes = refused(
        "appraisal",
        json!({"unit": "herron carriage", "turns": 21, "models": 0, "against": [{"unit": "nobody at all"}]}),
    );
    let pointers: Vec<&str> = mistakes.iter().map(|mistake| mistake.pointer.as_str()).collect();
    for pointer in ["/turns", "/models"] {
        assert!(pointers.contains(&pointer), "{pointers:?}");
    }
    let mistakes = refused("appraisal", json!({"unit": "heron-carriage", "against": [{"unit": "nobody at all"}]}));
    assert_eq!(mistakes[0].pointer, "/against/0/unit");
}
