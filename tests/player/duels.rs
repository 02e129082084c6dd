//! Two units turn by turn.
use super::differences::Differences;
use super::{compare, made};
use pipwright_shared::rules::PackCatalog;
use pipwright_shared::rules::model::Pack;
use pipwright_tests::ask::{affordable, try_ask};
use pipwright_tests::table::asked;
use pipwright_tests::table::chances::merged;
use pipwright_tests::table::fight::Engagement;
use pipwright_tests::table::lay::Lay;
use serde_json::{Value, json};

fn made(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let (mut a, mut b) = (made::side(pack, 6, true, rng), made::side(pack, 6, true, rng));
    (a["situation"], b["situation"]) = (made::stand(pack, rng), made::stand(pack, rng));
    let mut bands: Vec<Value> = (0..3).map(|_| made::range(pack, rng)).filter(Value::is_string).collect();
    if bands.is_empty() {
        bands.push(json!(pack.situations.ranges[0].word.named.id));
    }
    let first = rng.choice(&["a", "b", "roll", "together"]).expect("four");
    let mut request =
        json!({"pack": pack.named.id, "a": a, "b": b, "situation": {"range": bands}, "first": first, "turns": 3});
    // Not everything can be done by both at once.
    if try_ask("duel", request.clone()).is_err_and(|mistakes| mistakes.iter().all(|one| one.pointer == "/first")) {
        request["first"] = json!("a");
    }
    request
}

fn differences(pack: &Pack, request: &Value) -> Option<Vec<String>> {
    let (encounter, answer) = (asked::duel(pack, request)?, affordable("duel", request)?);
    let lay = Lay::default();
    let field = Engagement::new(&encounter, &lay);
    let ending = field.fight();
    let mut found = Differences::default();
    for (turn, gone) in ending.gone.iter().enumerate() {
        let row = &answer["turns"][turn];
        found.number(&format!("a gone by turn {}", turn + 1), &row["a_destroyed"], gone[0]);
        found.number(&format!("b gone by turn {}", turn + 1), &row["b_destroyed"], gone[1]);
    }
    for (side, name) in ["a", "b"].into_iter().enumerate() {
        let left =
            ending.left.iter().map(|(bodies, chance)| (i64::try_from(bodies[side].standing).expect("few"), *chance));
        found.rows(&format!("{name} left"), &answer[name]["left"], &merged(left));
    }
    Some(found.0)
}

#[test]
fn duels_are_as_they_are_fought() {
    compare("duel", 24, made, differences);
}

/// Where the program and the player once differed: of a unit that has lost models only those who are left use what they carry.
#[test]
fn what_once_differed() {
    let books = PackCatalog::demo();
    for request in [
        json!({"pack": "canal-guild", "a": {"left": 1, "unit": "swivel-crew"}, "b": {"unit": "dyke-hands"},
            "situation": {"range": ["near"]}, "turns": 3}),
        json!({"pack": "canal-guild", "a": {"left": 1, "options": ["second-bolt-gun"], "unit": "bolt-gun-crew"},
            "b": {"unit": "wharf-captain"}, "situation": {"range": ["near"]}, "turns": 3}),
        json!({"pack": "floe-run", "a": {"unit": "stove-sledge"},
            "b": {"left": 1, "options": ["2 walrus-rifles"], "unit": "drift-rifles"}, "turns": 3}),
    ] {
        let pack = books.packs().iter().find(|pack| request["pack"] == json!(pack.named.id)).expect("a pack");
        let found = differences(pack, &request).expect("not too much work");
        assert_eq!(found, Vec::<String>::new(), "{request}");
    }
}
