//! The service itself under load: five times too much of it, told to stop, its packs changed, a panic, the clock set back.
use super::seen::{Seen, run};
use crate::api::packs::{pack_of, write};
use futures::{StreamExt, future::join_all, stream::FuturesUnordered};
use pipwright_api::{Config, pack_store};
use pipwright_tests::{
    program::Program,
    service::{Service, config},
    sum::Gate,
};
use serde_json::{Value, json};
use std::{
    process::Command,
    sync::atomic::{AtomicBool, Ordering},
    time::{Duration, Instant},
};
use tokio::time::{sleep, timeout};

/// One dear question takes so long, on a thread of its own.
const MS: u64 = 20;
/// No program beside this one makes an answer take so long.
const WAIT: Duration = Duration::from_secs(120);

/// What came of a flood.
#[derive(Clone, Copy, Debug, Default)]
struct Flood {
    done: usize,
    shed: usize,
    other: usize,
    /// All waits of those that were answered, and of those that were turned away.
    answered_after: Duration,
    shed_after: Duration,
}

impl Flood {
    fn and(self, more: Self) -> Self {
        Self {
            done: self.done + more.done,
            shed: self.shed + more.shed,
            other: self.other + more.other,
            answered_after: self.answered_after + more.answered_after,
            shed_after: self.shed_after + more.shed_after,
        }
    }

    /// How long a refusal took, as a share of how long an answer took.
    fn share(&self) -> f64 {
        let mean = |all: Duration, count: usize| all.as_secs_f64() / count.max(1) as f64;
        mean(self.shed_after, self.shed) / mean(self.answered_after, self.done)
    }
}

/// Asks dear questions from so many clients at once for so long.
async fn flood(service: &Service, clients: u64, last: Duration, salt: u64) -> Flood {
    let one = |client: u64| async move {
        let mut seen = Flood::default();
        let begun = Instant::now();
        let mut number = 0;
        while begun.elapsed() < last {
            number += 1;
            let times = salt * 1_000_000 + client * 10_000 + number;
            let question = json!({"numbers": [1], "times": times, "price": 5_000_000, "ms": MS});
            let asked = Instant::now();
            let (status, answer) = service.ask("/v1/sum", &question).await;
            let took = asked.elapsed();
            match status {
                200 if answer["sum"] == times => {
                    seen = seen.and(Flood { done: 1, answered_after: took, ..Flood::default() });
                }
                503 => {
                    seen = seen.and(Flood { shed: 1, shed_after: took, ..Flood::default() });
                    // They come back after as long as an answer takes at the peak, two of six at a time: so five times
                    // as many clients are five times the load, and not more.
                    sleep(Duration::from_millis(MS * 3)).await;
                }
                _ => seen.other += 1,
            }
        }
        seen
    };
    join_all((0..clients).map(one)).await.into_iter().fold(Flood::default(), Flood::and)
}

/// Room for six questions and thirty asked at once: who does not get in is told so while nobody is answered yet, and the six
/// are answered right.
#[tokio::test(flavor = "multi_thread")]
async fn five_times_the_load_it_can_carry() {
    // Two computing and four waiting: as many as there is room for.
    const ROOM: usize = 6;
    let service = Service::start(Config { workers: 2, waiting: 4, ..config() }).await;
    let gate = Gate::closed();
    let ask = |number: usize| {
        let service = &service;
        let question = json!({"numbers": [1], "times": number + 1, "price": 5_000_000, "held": true});
        async move { (number, service.ask("/v1/sum", &question).await) }
    };
    let mut asked: FuturesUnordered<_> = (0..5 * ROOM).map(ask).collect();
    for _ in 0..4 * ROOM {
        let turned = timeout(WAIT, asked.next()).await.expect("a refusal waits for nobody").expect("another one");
        assert_eq!(turned.1.0, 503, "{turned:?}");
    }
    gate.open();
    for _ in 0..ROOM {
        let (number, (status, answer)) = timeout(WAIT, asked.next()).await.expect("an answer").expect("another one");
        assert_eq!((status, &answer["sum"]), (200, &json!(number + 1)), "{answer}");
    }
    for number in 0..2 {
        let after = service.ask("/v1/sum", &json!({"numbers": [number]})).await;
        assert_eq!(after.0, 200, "a moment after, all are answered again: {after:?}");
    }

    // How many are answered meanwhile is measured, and not judged: other programs take the processors from one flood and
    // not from the other.
    let last = Duration::from_secs(2);
    let peak = flood(&service, ROOM as u64, last, 1).await;
    let five = flood(&service, 5 * ROOM as u64, last, 2).await;
    assert_eq!((peak.other, five.other), (0, 0), "an answer or a refusal, and nothing else");
    assert!(peak.done > 0 && five.done > 0 && five.shed > 0, "both floods ran: {peak:?}, {five:?}");
    println!(
        "| five times the load | {} | {} | 0 | a refusal takes {:.2} of an answer |",
        five.done + five.shed,
        five.other,
        five.share()
    );
    println!(
        "|   answered at peak {}, under five times the load {}, turned away {} |",
        peak.done, five.done, five.shed
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn told_to_stop_under_load_it_cuts_nobody_off() {
    let mut program = Program::start(&[("PIPWRIGHT_DRAIN_MS", "500")]);
    let address = program.address.clone();
    let client = |client: usize| {
        let address = address.clone();
        async move {
            let http = reqwest::Client::new();
            let mut seen = Seen::default();
            for number in 0.. {
                let tries = (client * 7 + number) % 50 + 1;
                let asked = Instant::now();
                let failed =
                    match http.get(format!("{address}/v1/check?dice=2d6&needs=7%2B&tries={tries}")).send().await {
                        // Nobody listens any more: that is the end, and no request was lost.
                        Err(error) if error.is_connect() => break,
                        Err(error) => {
                            println!("{error:?}");
                            true
                        }
                        Ok(response) => {
                            response.status() != 200 || !response.json::<Value>().await.is_ok_and(|a| a.is_object())
                        }
                    };
                seen.add(failed, asked.elapsed());
            }
            seen
        }
    };
    let stop = async {
        sleep(Duration::from_millis(500)).await;
        program.signal("-TERM");
    };
    let (seen, ()) = futures::join!(join_all((0..8).map(client)), stop);
    seen.into_iter().fold(Seen::default(), Seen::and).judge("SIGTERM under load");
    assert!(program.wait(), "a clean end");
}

#[tokio::test(flavor = "multi_thread")]
async fn packs_changed_under_load() {
    let folder = tempfile::tempdir().expect("a folder");
    let old = pack_of("our-club");
    write(folder.path(), &old);
    let service = Service::start(Config { packs: Some(folder.path().to_owned()), ..config() }).await;
    let units: Value = service.get("/v1/packs/our-club/units").await.json().await.expect("JSON");
    let (unit, points) = (units["units"][0]["id"].clone(), units["units"][0]["points"].as_u64().expect("points"));
    let question = json!({"pack": "our-club", "limit": 2_000, "lines": [{"unit": unit}]});
    let dearer = old[1].1.replacen(&format!("points = {points}"), &format!("points = {}", points + 1), 1);
    let (_, before) = service.ask("/v1/list-points", &question).await;
    let done = AtomicBool::new(false);
    let asking = async {
        let mut answers = Vec::new();
        let mut seen = Seen::default();
        while !done.load(Ordering::Relaxed) {
            let asked = Instant::now();
            let (status, answer) = service.ask("/v1/list-points", &question).await;
            seen.add(status != 200, asked.elapsed());
            if !answers.contains(&answer) {
                answers.push(answer);
            }
        }
        (seen, answers)
    };
    let changing = async {
        for turn in 0..20 {
            let text = if turn % 2 == 0 { dearer.clone() } else { old[1].1.clone() };
            write(folder.path(), &[("units.toml", text)]);
            pack_store::reread(&service.app).await;
            sleep(Duration::from_millis(50)).await;
        }
        done.store(true, Ordering::Relaxed);
    };
    let ((mut seen, answers), ()) = futures::join!(asking, changing);
    // The old answer and the new one, and nothing between them.
    seen.wrong = usize::from(answers.len() != 2 || !answers.contains(&before));
    seen.judge("packs changed 20 times under load");
    assert_eq!(service.ask("/v1/list-points", &question).await.1, before, "the last change holds at once");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_panic_in_one_request_is_nobody_elses() {
    let service = Service::plain().await;
    let panics = async || {
        for number in 0..50 {
            let question = json!({"numbers": [1], "times": number, "panics": true, "price": (number % 2) * 10_000_000});
            assert_eq!(service.ask("/v1/sum", &question).await.0, 500);
        }
    };
    run(&service, 0..2_000, panics).await.judge("50 panics beside them");
    assert_eq!(service.metric("pipwright_panics_total").await, 50.0);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_clock_set_back() {
    let shown = Command::new("faketime").arg("--version").output();
    let library =
        ["/usr/lib/x86_64-linux-gnu/faketime/libfaketime.so.1", "/usr/lib/aarch64-linux-gnu/faketime/libfaketime.so.1"];
    let library = library.into_iter().find(|path| std::path::Path::new(path).exists());
    let (Ok(_), Some(library)) = (shown, library) else {
        eprintln!(
            "NOT TESTED: faketime is not on this machine (tests/run installs it); without it: the clock set back"
        );
        return;
    };
    let file = tempfile::NamedTempFile::new().expect("a file");
    let set = |offset: &str| std::fs::write(file.path(), offset).expect("written");
    set("+0");
    let name = file.path().to_str().expect("text");
    // Only the clock on the wall is set; the one that counts seconds is not, as on any system.
    let faked = [
        ("LD_PRELOAD", library),
        ("FAKETIME_TIMESTAMP_FILE", name),
        ("FAKETIME_NO_CACHE", "1"),
        ("FAKETIME_DONT_FAKE_MONOTONIC", "1"),
    ];
    let program =
        Program::start(&[&faked[..], &[("PIPWRIGHT_PER_SECOND", "1000"), ("PIPWRIGHT_BURST", "1000")]].concat());
    let client = reqwest::Client::new();
    let mut seen = Seen::default();
    for number in 0..400 {
        match number {
            100 => set("-1d"),
            200 => set("-10y"),
            300 => set("+1d"),
            _ => {}
        }
        let asked = Instant::now();
        let answer = client
            .get(format!("{}/v1/check?dice=2d6&needs=7%2B&tries={}", program.address, number % 50 + 1))
            .send()
            .await;
        seen.add(!answer.is_ok_and(|answer| answer.status() == 200), asked.elapsed());
    }
    seen.judge("the clock set back by a day, by ten years, and forward again");
}
