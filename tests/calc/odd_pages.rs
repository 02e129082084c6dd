//! Reviews of what nobody expects: units without weapons or armour, forty options, names of sixty letters, a pack without a
//! board or arcs, labels that run from right to left. Their pages still read.
use pipwright_shared::report::{csv::csv, markdown::markdown, page::html};
use pipwright_shared::wire::appraisal::{AppraisalAnswer, sheet};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

/// Sixty letters, without a blank to break them at.
pub const LONG: &str = "Grandmotherofallterracewardensandkeeperoftheupperorchardwall";
/// `Guards of the terrace`, in Hebrew.
pub const RIGHT_TO_LEFT: &str = "שומרי המדרגות";

fn unit(id: &str, label: &str, more: &str) -> String {
    format!(
        "\n[[unit]]\nid = \"{id}\"\nlabel = \"{label}\"\nkind = \"folk\"\nrole = \"helpers\"\nmodels = {{ least = 1, most = 6 }}\n\
         points = 20\neach_more = 5\nstats = {{ eye = \"4+\", girth = 3, calm = 7 }}\n{more}"
    )
}

/// The starter, which has neither arcs nor a board, with units that nobody expects.
pub fn odd_pack() -> String {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../shared/src/packs/starter/");
    let read = |name: &str| std::fs::read_to_string(format!("{folder}{name}")).expect("the starter");
    let units = read("units.toml");
    let (_, units) = units.split_once("pack = \"our-club\"\n").expect("its head");
    let options: String = (1..=40)
        .map(|at| format!("[[unit.option]]\nid = \"thing-{at}\"\nlabel = \"Thing number {at}\"\npoints = {at}\nweapons = [\"apple-sling\"]\n"))
        .collect();
    let odd = [
        unit("unarmed", "Onlookers", ""),
        unit("many", "Peddlers", &format!("weapons = [\"pear-basket\"]\n{options}")),
        unit("long", LONG, "weapons = [\"apple-sling\"]\n"),
        unit("rtl", RIGHT_TO_LEFT, "weapons = [\"apple-sling\"]\n"),
    ];
    format!("{}{units}{}", read("rules.toml"), odd.concat()).replace("\"our-club\"", "\"odd-club\"")
}

#[test]
fn pages_of_what_nobody_expects_still_read() {
    let pack = odd_pack();
    let all = json!([{"unit": "ladder-hands"}, {"unit": "long"}, {"unit": "rtl"}, {"unit": "unarmed"}]);
    for (unit, name) in [("unarmed", "Onlookers"), ("many", "Peddlers"), ("long", LONG), ("rtl", RIGHT_TO_LEFT)] {
        for against in [Value::Null, all.clone()] {
            let answer = ask("appraisal", json!({"pack": pack, "unit": unit, "against": against, "turns": 2}));
            let typed: AppraisalAnswer = serde_json::from_value(answer).expect("an appraisal");
            let sheet = sheet(&typed);
            assert_eq!(sheet.title, name);
            assert_eq!(sheet.figures.len(), 4);
            let (page, text) = (html(&sheet), markdown(&sheet));
            for form in [&page, &text, &csv(&sheet)] {
                for nonsense in ["NaN", "inf ", "undefined", "()", " ,", "  ,"] {
                    assert!(!form.contains(nonsense), "{unit} says {nonsense:?}: {form}");
                }
            }
            assert!(page.contains(&format!("<h1 dir=\"auto\">{name}</h1>")), "{unit}");
            assert!(
                typed.hull.is_empty() && typed.approach_turns.is_empty(),
                "{unit} has neither sides nor an approach"
            );
            assert_eq!(typed.weapons.is_empty(), unit == "unarmed");
            if unit == "unarmed" {
                assert!(text.contains("It has no weapon."), "{text}");
            }
            if unit == "many" {
                // Not one of them is passed over without a word.
                assert!(text.contains("more options are not shown here"), "{text}");
                assert_eq!(typed.cost.options.len(), 40);
            }
            for part in &sheet.parts {
                let there = part.text.len() + part.lists.len() + part.tables.len() + part.pictures.len();
                assert!(there > 0, "{unit}: nothing below {}", part.heading);
                assert!(part.tables.iter().all(|table| !table.rows.is_empty()), "{unit}: {}", part.heading);
            }
        }
    }
}
