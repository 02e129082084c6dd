//! Nobody waits for the dear questions of others, and what is not answered is not worked on.
use futures::future::join;
use pipwright_api::Config;
use pipwright_tests::{
    program::Program,
    service::{Service, config},
    spent::of_process,
};
use reqwest::Client;
use serde_json::{Value, json};
use std::{
    sync::atomic::{AtomicBool, Ordering},
    time::{Duration, Instant},
};
use tokio::time::sleep;

/// Rolls one after another, each another one, until it is enough: how long each took, the shortest first.
async fn rolls(address: &str, enough: impl Fn(usize) -> bool) -> Vec<Duration> {
    let client = Client::new();
    let mut took = Vec::new();
    while !enough(took.len()) {
        let (needs, tries) = (2 + took.len() % 11, 1 + took.len() / 11 % 50);
        let asked = Instant::now();
        let roll = client.get(format!("{address}/v1/check?dice=2d6&needs={needs}%2B&tries={tries}")).send().await;
        assert_eq!(roll.expect("a response").status(), 200);
        took.push(asked.elapsed());
        sleep(Duration::from_millis(2)).await;
    }
    took.sort_unstable();
    took
}

#[tokio::test(flavor = "multi_thread")]
async fn a_roll_does_not_wait_for_two_leagues() {
    let program = Program::start(&[]);
    let middle = |took: &[Duration]| took[took.len() / 2];
    let alone = rolls(&program.address, |done| done == 200).await;
    let over = AtomicBool::new(false);
    let league = async |pack: &str| {
        let league = reqwest::get(format!("{}/v1/worth?pack={pack}&turns=20", program.address)).await;
        assert_eq!(league.expect("a response").status(), 200, "{pack}");
    };
    let begun = Instant::now();
    let leagues = async {
        join(league("canal-guild"), league("sedge-moot")).await;
        over.store(true, Ordering::Relaxed);
        begun.elapsed()
    };
    let (leagues, beside) = join(leagues, rolls(&program.address, |_| over.load(Ordering::Relaxed))).await;
    let within = beside.iter().filter(|took| **took <= Duration::from_millis(50)).count();
    println!(
        "two leagues took {leagues:.1?}; {} rolls beside them: {:.1?} in the middle, {:.1?} at most, {within} within \
         50 ms; alone {:.1?} in the middle",
        beside.len(),
        middle(&beside),
        beside[beside.len() - 1],
        middle(&alone)
    );
    // Whoever waits for a league waits for seconds. Another program makes both slower, the rolls alone and those beside.
    assert!(beside.len() > 20, "{} rolls", beside.len());
    let most = Duration::from_millis(50).max(middle(&alone) * 20);
    assert!(middle(&beside) <= most, "{:?} in the middle, {:?} alone", middle(&beside), middle(&alone));
}

/// Lines of which every one is a mistake.
fn bad_pack(lines: usize) -> String {
    (0..lines).map(|line| format!("[[unit]]\nid = \"u{line}\"\nrules = [\"no-such-rule-{line}\"]\n")).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn after_its_503_a_question_is_not_worked_on() {
    // Each of them is too much for it, however fast the machine is.
    let program = Program::start(&[("PIPWRIGHT_DEADLINE_MS", "5")]);
    let odds = json!({
        "attackers": 1000, "attacks": 2, "steps": [{"name": "hit", "needs": "3+"}, {"name": "save", "needs": "5+"}],
        "damage": "1d3", "target": {"models": 200, "health": 3}
    });
    let files =
        json!({"files": [{"name": "ours.toml", "text": format!("format = 1\npack = \"x\"\n{}", bad_pack(3_000))}]});
    let client = Client::new();
    for (path, question) in [("odds", odds), ("packs/check", files)] {
        let response = client.post(format!("{}/v1/{path}", program.address)).json(&question).send().await;
        let response = response.expect("a response");
        let (status, problem): (_, Value) = (response.status().as_u16(), response.json().await.expect("JSON"));
        let before = of_process(program.id());
        sleep(Duration::from_secs(1)).await;
        let more = of_process(program.id()) - before;
        println!("{path}: {status}, and {more:?} of work after it");
        assert!([422, 503].contains(&status), "{path}: {status} {problem}");
        assert!(more <= Duration::from_millis(200), "{path}: it goes on for {more:?}");
    }
}

#[tokio::test]
async fn a_batch_costs_as_much_as_its_parts() {
    let service = Service::start(Config { per_second: 1, burst: 10, ..config() }).await;
    let begun = Instant::now();
    let batch = async |many: usize| {
        let questions: Vec<Value> = (1..=many)
            .map(|tries| json!({"path": "check", "request": {"dice": "2d6", "needs": "7+", "tries": tries}}))
            .collect();
        let response = service.post("/v1/batch", &json!({ "questions": questions }).to_string()).await;
        let told = response.headers()["ratelimit"].to_str().expect("text").to_owned();
        let left = told.trim_start_matches("\"rate\";r=").split(';').next().and_then(|left| left.parse::<u64>().ok());
        (response.status().as_u16(), left.expect("a number"))
    };
    // One is given back every second, and a slow machine may need that long.
    let about = |left: u64, expected: u64| (expected..=expected + begun.elapsed().as_secs()).contains(&left);
    let (status, left) = batch(8).await;
    assert!(status == 200 && about(left, 2), "{status} {left}");
    let (status, left) = batch(9).await;
    assert!(status == 429 && about(left, 1), "asking took one: {status} {left}");
    let (status, left) = batch(1).await;
    assert!(status == 200 && about(left, 0), "{status} {left}");
}

#[tokio::test]
async fn keys_are_not_tried_without_end() {
    let service = Service::start(Config { per_second: 1, burst: 3, ..config() }).await;
    let mut statuses = Vec::new();
    for guess in 0..50 {
        let request = service.client.get(service.url("/v1/check?dice=2d6&needs=7%2B")).bearer_auth(format!("{guess}"));
        statuses.push(request.send().await.expect("a response").status().as_u16());
    }
    assert_eq!(statuses[..3], [401, 401, 401]);
    assert!(statuses.contains(&429) && statuses.iter().all(|status| [401, 429].contains(status)), "{statuses:?}");
}
