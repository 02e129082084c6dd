//! Packs and unit books in the request itself: a club without access to the server asks by its own rules.
use pipwright_shared::packs;
use pipwright_shared::rules::read::MOST_BYTES;
use pipwright_shared::wire::mistake::Mistake;
use pipwright_tests::ask::{ask, refused};
use pipwright_tests::service::Service;
use serde_json::{Value, json};

/// The whole of a small pack in one file: both files of the one that people begin with, one below the other.
fn pack() -> String {
    let [rules, units] = <[_; 2]>::try_from(packs::starter("our-club")).expect("two files");
    let (_, units) = units.text.split_once("pack = \"our-club\"\n").expect("a head");
    rules.text + units
}

/// A unit for the first demo pack, which is made of its own parts.
const BOOK: &str = r#"format = 1
pack = "canal-guild"

[[weapon]]
id = "test-cannon"
stats = { force = 9, bore = "great" }

[[unit]]
id = "test-raft"
label = "Test Raft"
kind = "light-crawler"
role = "light"
points = 111
stats = { drill = "3+", nerve = 7, pace = 1, hull = { front = 15, side = 14, rear = 13 }, frame = 2 }
weapons = ["test-cannon"]
"#;

fn matchup(target: &str) -> Value {
    json!({"pack": pack(), "attacker": {"unit": "ladder hands", "models": 5}, "target": {"unit": target, "models": 3}})
}

#[test]
fn a_matchup_by_an_inline_pack() {
    let answer = ask("matchup", matchup("wardens"));
    // By hand: 4+ throws, of which a 6 is two; heft 3 against girth 4: 3+ to keep their feet, and a smock of 1
    // leaves only the 1. (1/2 + 1/6) x 1/6 = 1/9 a throw, five of them: 5/9. Health 1 and three wardens cap it.
    assert_eq!(answer["attacks"]["expected"], 5.0);
    let through = answer["through"]["expected"].as_f64().expect("a number");
    assert!((through - 5.0 / 9.0).abs() < 1e-12, "{through}");
    let acted: Vec<&str> =
        answer["rules"]["acted"].as_array().expect("rules").iter().filter_map(|rule| rule["id"].as_str()).collect();
    assert_eq!(acted, ["windfall"]);
}

#[test]
fn the_others_by_an_inline_pack() {
    let list = ask(
        "list-points",
        json!({"pack": pack(), "lines": [{"unit": "ladder hands", "models": 7, "options": ["pear basket"]}, {"unit": "wardens", "count": 2}]}),
    );
    // 40 + 2 x 8 + 6, and twice 45.
    assert_eq!((&list["total"], &list["limit"]), (&json!(152), &json!(300)), "{list}");
    assert_eq!(list["legal"], true, "{list}");
    let needed = ask("needed", json!({"matchup": matchup("wardens"), "want": {"models": 1, "chance": 0.5}}));
    let few = needed["attackers"].as_u64().expect("a number");
    // One throw takes a model with a chance of 1 - (the chance that none of its hits does), so a few are enough.
    let chance = |models: u64| {
        let mut asked = matchup("wardens");
        asked["attacker"]["models"] = json!(models);
        ask("matchup", asked)["models"]["distribution"][1]["at_least"].as_f64().expect("a chance")
    };
    assert!(chance(few) >= 0.5 && chance(few - 1) < 0.5, "{few}: {needed}");
    let compared =
        ask("compare", json!({"variants": [{"matchup": matchup("wardens")}, {"matchup": matchup("ladder hands")}]}));
    let rows = compared["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0]["models"], ask("matchup", matchup("wardens"))["models"]["expected"]);
    let luck = ask("luck", json!({"matchup": matchup("wardens"), "result": {"models": 3}}));
    assert!(luck["sentence"].as_str().is_some_and(|sentence| !sentence.is_empty()), "{luck}");
}

#[test]
fn a_book_over_a_named_pack() {
    let shot = json!({"pack": "canal-guild", "book": BOOK, "attacker": {"unit": "test raft"},
        "target": {"unit": "heron"}, "situation": {"arc": "rear", "range": "mid"}});
    let answer = ask("matchup", shot.clone());
    assert_eq!(answer["points"]["cost"], 111);
    assert_eq!(answer["chain"]["steps"][1]["against"], 18, "the heron is the pack's own");
    let list = ask(
        "list-points",
        json!({"pack": "canal-guild", "book": BOOK, "lines": [{"unit": "test raft", "count": 2}, {"unit": "heron"}]}),
    );
    assert_eq!(list["total"], 2 * 111 + 265);
    let needed = ask("needed", json!({"matchup": shot, "want": {"destroyed": 0.5}}));
    assert!(needed["attackers"].as_u64().is_some(), "{needed}");
    let compared = ask("compare", json!({"variants": [{"matchup": shot}]}));
    assert_eq!(compared["rows"][0]["structure"], answer["structure"]["expected"]);
    // The book is of this request alone.
    let without = json!({"pack": "canal-guild", "attacker": {"unit": "test raft"}, "target": {"unit": "heron"}});
    assert!(!refused("matchup", without).is_empty());
}

/// The one mistake, which is at this pointer and says this.
#[track_caller]
fn told(mistakes: &[Mistake], pointer: &str, detail: &str) {
    let found = mistakes.iter().any(|mistake| mistake.pointer == pointer && mistake.detail.contains(detail));
    assert!(found, "{pointer}: {detail}: {mistakes:?}");
}

#[test]
fn mistakes_of_inline_files_are_told_with_pointer_line_and_column() {
    let broken = pack().replace("girth = 3", "grith = 3");
    let line = broken.lines().position(|line| line.contains("grith")).expect("the line") + 1;
    let column = broken.lines().nth(line - 1).and_then(|line| line.find("grith")).expect("the column") + 1;
    let place = format!("line {line}, column {column}: no stat is called \"grith\" here (did you mean \"girth\"?)");
    let mut asked = matchup("wardens");
    asked["pack"] = json!(broken);
    told(&refused("matchup", asked.clone()), "/pack", &place);
    told(&refused("list-points", json!({"pack": broken, "lines": ["2 Wardens"]})), "/pack", &place);
    let needed = json!({"matchup": asked, "want": {"destroyed": 0.5}});
    told(&refused("needed", needed), "/matchup/pack", &place);
    told(&refused("compare", json!({"variants": [{"matchup": asked}]})), "/variants/0/matchup/pack", &place);

    let book = BOOK.replace("bore = \"great\"", "bore = \"grate\"");
    let asked = json!({"book": book, "attacker": {"unit": "test raft"}, "target": {"unit": "heron"}});
    told(&refused("matchup", asked), "/book", "line 6, column 29: \"grate\" is none of");
    let other = BOOK.replace("canal-guild", "other-guild");
    let asked =
        json!({"pack": "canal-guild", "book": other, "attacker": {"unit": "heron"}, "target": {"unit": "heron"}});
    told(&refused("matchup", asked), "/book", "line 2, column 8: this file belongs to another pack");
}

#[test]
fn a_file_that_is_too_large_is_refused() {
    let large = pack() + &"# more\n".repeat(MOST_BYTES / 7);
    let asked = json!({"pack": large, "lines": ["2 Wardens"]});
    told(&refused("list-points", asked), "/pack", "line 1, column 1: a file of a pack may have up to 4 MiB");
}

#[tokio::test]
async fn a_request_that_is_too_large_is_refused_by_the_service() {
    let service = Service::plain().await;
    let most = service.app.config.body_bytes;
    let request = json!({"pack": pack() + &"# more\n".repeat(most / 7), "lines": ["2 Wardens"]});
    let response = service.post("/v1/list-points", &request.to_string()).await;
    assert_eq!(response.status(), 413);
    assert_eq!(response.headers()["content-type"], "application/problem+json");
    let (status, answer) = service.ask("/v1/list-points", &json!({"pack": pack(), "lines": ["2 Wardens"]})).await;
    assert_eq!((status, &answer["total"]), (200, &json!(90)), "{answer}");
    // A large file within the limits of the service is checked there, too, with its places.
    let file = json!({"files": [{"name": "ours.toml", "text": pack().replace("points = 45", "points = -45")}]});
    let (status, answer) = service.ask("/v1/packs/check", &file).await;
    assert_eq!((status, &answer["good"]), (200, &json!(false)), "{answer}");
    assert_eq!(answer["faults"][0]["words"], "-45", "{answer}");
}
