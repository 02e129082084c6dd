//! Requests that once ended the service, froze it or filled its memory, each against the real program with its default
//! settings (but for the rate: one address asks them all).
use super::alphabet::STARTER;
use pipwright_tests::{
    program::Program,
    spent::{most_resident, of_process},
};
use reqwest::blocking::{Client, Response};
use serde_json::{Value, json};
use std::{
    sync::atomic::{AtomicBool, Ordering},
    thread,
    time::{Duration, Instant},
};

/// How long a refusal may keep the processor. The programs that the tests build read and look up without the optimiser.
const REFUSED_IN: Duration = Duration::from_millis(if cfg!(debug_assertions) { 500 } else { 100 });
/// How long a sign of life may take. Generous, since other tests run beside this one; what was frozen took minutes.
const ALIVE_IN: Duration = Duration::from_secs(3);
/// The most memory resident at any time.
const MOST_RESIDENT: u64 = 200 << 20;

/// The program, and somebody who looks all the time whether it lives.
fn under_watch(work: impl FnOnce(&Program, &Client)) {
    let program = Program::start(&[]);
    let client = Client::builder().timeout(Duration::from_secs(60)).build().expect("a client");
    let over = AtomicBool::new(false);
    thread::scope(|scope| {
        let watch = scope.spawn(|| {
            let client = Client::builder().timeout(ALIVE_IN).build().expect("a client");
            let (mut slowest, mut looks) = (Duration::ZERO, 0u32);
            while !over.load(Ordering::Relaxed) {
                let start = Instant::now();
                let alive = client.get(format!("{}/livez", program.address)).send();
                assert!(alive.is_ok_and(|alive| alive.status() == 200), "no sign of life for {:?}", start.elapsed());
                slowest = slowest.max(start.elapsed());
                looks += 1;
                thread::sleep(Duration::from_millis(5));
            }
            (slowest, looks)
        });
        // The watch ends however the work does.
        struct Over<'a>(&'a AtomicBool);
        impl Drop for Over<'_> {
            fn drop(&mut self) {
                self.0.store(true, Ordering::Relaxed);
            }
        }
        let done = Over(&over);
        work(&program, &client);
        drop(done);
        let (slowest, looks) = watch.join().expect("it lived throughout");
        println!("alive {looks} times, the slowest sign after {slowest:?}");
    });
    let resident = most_resident(program.id());
    println!("at most {:.1} MiB resident", resident as f64 / f64::from(1 << 20));
    assert!(resident < MOST_RESIDENT, "{resident} bytes resident");
    let check = client.get(format!("{}/v1/check?dice=2d6&needs=7%2B", program.address)).send().expect("an answer");
    assert_eq!(check.json::<Value>().expect("JSON")["fraction"], "7/12", "it still reckons");
}

/// Asks, and holds what comes against what a refusal is: a problem with a sentence, a place where that is said, and soon.
fn refused(program: &Program, place: Option<&str>, ask: impl FnOnce() -> reqwest::Result<Response>) {
    let before = of_process(program.id());
    let response = ask().expect("the program answers");
    let cpu = of_process(program.id()).saturating_sub(before);
    let status = response.status().as_u16();
    assert_eq!(response.headers()["content-type"], "application/problem+json", "status {status}");
    let problem: Value = response.json().expect("a problem is JSON");
    assert!((400..500).contains(&status), "{status}: {problem}");
    let detail = problem["detail"].as_str().unwrap_or_default();
    assert!(detail.ends_with(['.', '?', ')', '…']) || detail.len() > 10, "no sentence: {problem}");
    assert!(detail.chars().count() <= 1_200, "more than anybody reads: {}", detail.chars().count());
    if let Some(place) = place {
        let pointer = problem["pointer"].as_str().unwrap_or_default();
        assert!(pointer.starts_with(place), "{place} is not named: {problem}");
    }
    println!("{status} after {cpu:?} of the processor: {}", detail.chars().take(160).collect::<String>());
    assert!(cpu <= REFUSED_IN, "refused only after {cpu:?} of the processor: {problem}");
}

fn get(program: &Program, client: &Client, place: &str, query: &str) {
    refused(program, Some(place).filter(|place| !place.is_empty()), || {
        client.get(format!("{}{query}", program.address)).send()
    });
}

fn post(program: &Program, client: &Client, place: &str, path: &str, body: &Value) {
    refused(program, Some(place), || client.post(format!("{}{path}", program.address)).json(body).send());
}

/// The work of a question wrapped round past the end of its number, and looked small.
#[test]
fn prices_that_wrapped() {
    under_watch(|program, client| {
        for (letters, count) in [(7, 142), (6, 166), (9, 110), (10, 90), (12, 80), (50, 20)] {
            let names: Vec<String> = (0..letters).map(|n| format!("{}{}", char::from(b'a' + n % 26), n / 26)).collect();
            let contents: Vec<String> =
                names.iter().map(|name| format!("contents.{name}={count}&ends_on.{name}={count}")).collect();
            get(program, client, "/contents", &format!("/v1/draw?{}", contents.join("&")));
        }
        let dear = |turns: u32| json!({"capacity": 1000, "missing": 500, "needs": "2+", "rolls": "each_missing", "turns": turns, "incoming": "100d100", "exact": true});
        let mut repair = dear(1_000);
        repair["compare"] = (0..12).map(|n| json!({"turns": 1_000 - n})).collect();
        post(program, client, "/capacity", "/v1/repair", &repair);
    });
}

/// A success that may come with a backfire goes on in three ways, and each of these in three more: found by the search
/// of `dearest.rs` in 200,000 requests, when a chain of twelve such steps ran into the deadline.
#[test]
fn backfires_that_multiply() {
    under_watch(|program, client| {
        let step = |n: u32| json!({"name": format!("step {n}"), "die": 4, "needs": "4+", "modifier": 1, "backfire": {"on": 3, "needs": "2+", "harm": 1}});
        let mut steps: Vec<Value> = (0..20).map(step).collect();
        steps[0]["critical"] = json!({"on": 4, "extra": 1});
        post(
            program,
            client,
            "",
            "/v1/odds",
            &json!({"attackers": 2, "attacks": "d10-3", "steps": steps, "target": {"models": 4, "health": 4}}),
        );
    });
}

/// Every way to serve eight targets that must all be destroyed was followed: a question of a few hundred bytes kept a
/// processor busy until its deadline, though its price looked payable.
#[test]
fn targets_that_must_all_be_destroyed() {
    under_watch(|program, client| {
        let side = json!({"unit": "dyke-hands", "models": 20});
        let must: Vec<Value> = (0..8).map(|target| json!({"target": target, "chance": 0.01})).collect();
        let question =
            json!({"pack": "canal-guild", "attackers": vec![&side; 12], "targets": vec![&side; 8], "must": must});
        post(program, client, "", "/v1/assign", &question);
    });
}

/// A pack of one's own whose attack has more work than there are numbers for.
fn dear_pack() -> String {
    let steps: String = (0..5)
        .map(|n| format!("\n[[step]]\nid = \"lob-{n}\"\nneeds = \"unit.eye\"\ncritical = {{ on = 6, extra = 10 }}\n"))
        .collect();
    let names: String = (0..5).map(|n| format!("\"lob-{n}\", ")).collect();
    let pack =
        STARTER.replace("lobs = \"1d3\"", "lobs = \"100d100\"").replace("heft = 3", "lobs = \"100d100\", heft = 3");
    pack.replace("steps = [\"lob\",", &format!("steps = [{names}\"lob\",")) + &steps
}

#[test]
fn a_pack_that_froze_the_service() {
    under_watch(|program, client| {
        let pack = dear_pack();
        let side = json!({"unit": "ladder-hands", "models": 12});
        let matchup = json!({"pack": pack, "attacker": side, "target": side});
        post(program, client, "", "/v1/matchup", &matchup);
        post(program, client, "", "/v1/duel", &json!({"pack": pack, "a": side, "b": side, "turns": 20}));
        post(program, client, "", "/v1/luck", &json!({"matchup": matchup, "result": {"models": 1}}));
        post(program, client, "", "/v1/needed", &json!({"matchup": matchup, "want": {"destroyed": 0.5}, "most": 100}));
        let variants: Vec<Value> = (0..12).map(|_| json!({"matchup": matchup})).collect();
        post(program, client, "", "/v1/compare", &json!({"variants": variants}));
    });
}

/// Both sides' dice were added up, and held against each other, before anybody asked what that costs.
#[test]
fn opposed_rolls() {
    under_watch(|program, client| {
        let query = "dice=100d100&versus.dice=100d100&ties=again&reroll=failures";
        get(program, client, "/", &format!("/v1/check?{query}"));
        let check = json!({"dice": "100d100", "versus": {"dice": "100d100"}, "ties": "again", "reroll": "failures"});
        let questions: Vec<Value> = (0..12).map(|_| json!({"path": "check", "request": check})).collect();
        for _ in 0..2 {
            post(program, client, "/questions", "/v1/batch", &json!({"questions": questions}));
        }
        post(program, client, "/check", "/v1/needed", &json!({"check": check, "want": {"passes": 1, "chance": 0.5}}));
        post(program, client, "/check", "/v1/luck", &json!({"check": check, "result": {"passes": 1}}));
        let mut step = check.clone();
        step["name"] = json!("clash");
        let chain = json!({"steps": [step], "target": {"models": 5}});
        post(program, client, "/steps", "/v1/odds", &chain);
        post(program, client, "/variants", "/v1/compare", &json!({"variants": [{"chain": chain}]}));
        let six: Vec<Value> = (0..6)
            .map(|n| {
                let mut step = step.clone();
                step["name"] = json!(format!("clash {n}"));
                step
            })
            .collect();
        let side = json!({"target": {"models": 5}, "attack": {"steps": six}});
        post(program, client, "/", "/v1/duel", &json!({"a": side, "b": side}));
    });
}

/// Names, lists and packs of any length were read and compared for as long as it took.
#[test]
fn names_and_packs_without_a_price() {
    under_watch(|program, client| {
        let also: Vec<String> = (0..600).map(|n| format!("\"{}{n}\"", "long name ".repeat(6))).collect();
        let pack = STARTER.replace("also = [\"wardens\"]", &format!("also = [{}]", also.join(", ")));
        let list = "some unknown thing that nobody has\n".repeat(1_200);
        post(program, client, "/pack", "/v1/list-points", &json!({"pack": pack, "text": list}));
        let one = STARTER.replace("also = [\"wardens\"]", &format!("also = [\"{}\"]", "w".repeat(40_000)));
        post(program, client, "/pack", "/v1/list-points", &json!({"pack": one, "text": list}));
        let long = "u".repeat(250_000);
        let units = json!({"attacker": {"unit": long}, "target": {"unit": "heron"}});
        post(program, client, "/attacker/unit", "/v1/matchup", &units);
        let rule = STARTER.replace("id = \"windfall\"", &format!("id = \"{}\"", "r".repeat(60_000)));
        let side = json!({"unit": "ladder-hands"});
        post(program, client, "/pack", "/v1/matchup", &json!({"pack": rule, "attacker": side, "target": side}));
        // The same looked at by the checker, which tells what is wrong: an answer, and soon.
        let before = of_process(program.id());
        let file = json!({"files": [{"name": "rules", "text": rule}]});
        let checked = client.post(format!("{}/v1/packs/check", program.address)).json(&file).send().expect("an answer");
        let answer: Value = checked.json().expect("JSON");
        assert_eq!(answer["good"], false, "{answer}");
        let cpu = of_process(program.id()).saturating_sub(before);
        assert!(cpu <= REFUSED_IN * 2, "{cpu:?}");
    });
}

/// 76 bytes asked for a hundred megabytes.
#[test]
fn answers_without_end() {
    under_watch(|program, client| {
        let query = "/v1/repair?capacity=6&missing=4&needs=2%2B&turns=944&incoming=1d3&restores=3";
        get(program, client, "/turns", query);
        get(program, client, "/turns", &query.replace("944", "1000"));
        get(program, client, "/tries", "/v1/check?dice=d6&needs=4%2B&tries=10000&exact=true");
    });
}

/// Numbers in names made room for lists that nobody fills.
#[test]
fn lists_in_links() {
    under_watch(|program, client| {
        let holes = "&1z.999.999.999.999.999".repeat(1_200);
        let short = "&1z.999".repeat(5_000);
        for path in [
            "check",
            "odds",
            "repair",
            "duel",
            "blast",
            "draw",
            "fair",
            "matchup",
            "needed",
            "luck",
            "compare",
            "list-points",
            "rule",
            "arc",
            "worth",
            "appraisal",
        ] {
            get(program, client, "", &format!("/v1/{path}?dice=2d6{holes}"));
            get(program, client, "", &format!("/v1/{path}?dice=2d6{short}"));
        }
        let many: String = (0..1_500).map(|n| format!("&a{n}.99=1")).collect();
        get(program, client, "", &format!("/v1/check?dice=2d6{many}"));
    });
}
