//! Clients that behave badly: that trickle, that hang up, that open connections and say nothing.
use super::seen::run;
use futures::future::join_all;
use pipwright_api::Config;
use pipwright_tests::{
    program::Program,
    service::{Service, config},
};
use serde_json::json;
use std::time::{Duration, Instant};
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::TcpStream,
    time::{sleep, timeout},
};

const HEAD: &str = "POST /v1/sum HTTP/1.1\r\nhost: h\r\ncontent-type: application/json\r\ncontent-length: 1000\r\n\r\n";

fn place(service: &Service) -> String {
    service.address.trim_start_matches("http://").to_owned()
}

/// Begins a request and goes on with a byte at a time; what comes back.
async fn trickle(address: &str) -> String {
    let mut stream = TcpStream::connect(address).await.expect("a connection");
    stream.write_all(HEAD.as_bytes()).await.expect("sent");
    let (mut reading, mut writing) = stream.into_split();
    let sending = tokio::spawn(async move {
        while writing.write_all(b" ").await.is_ok() {
            sleep(Duration::from_millis(50)).await;
        }
    });
    let mut answer = String::new();
    // What was read before the end is what counts.
    let _ = timeout(Duration::from_secs(10), reading.read_to_string(&mut answer)).await;
    sending.abort();
    answer
}

#[tokio::test(flavor = "multi_thread")]
async fn a_body_that_trickles_is_ended_by_the_deadline() {
    let service = Service::start(Config { body_wait_ms: 300, ..config() }).await;
    let answer = trickle(&place(&service)).await;
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    assert!(answer.contains("/docs/problems/slow-body"), "{answer}");
}

#[tokio::test(flavor = "multi_thread")]
async fn two_hundred_slow_bodies_keep_nobody_out() {
    let service = Service::start(Config { body_wait_ms: 2_000, in_flight: 64, ..config() }).await;
    let normal = run(&service, 0..1_000, async || ()).await;
    let address = place(&service);
    let slow = join_all((0..200).map(|_| trickle(&address)));
    let (answers, seen) = futures::join!(slow, run(&service, 1_000..3_000, async || ()));
    assert!(answers.iter().all(|answer| answer.starts_with("HTTP/1.1 408")), "every one is told");
    seen.judge_beside(normal, "200 bodies a byte at a time");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_head_that_never_ends_is_cut() {
    let service = Service::start(Config { idle_s: 1, ..config() }).await;
    let mut stream = TcpStream::connect(place(&service)).await.expect("a connection");
    stream.write_all(b"GET /livez HTTP/1.1\r\nhost: h\r\nx-a: ").await.expect("sent");
    let begun = Instant::now();
    let mut rest = Vec::new();
    // After a second, or later where the machine has much else to do; without the limit, never.
    let ended = timeout(Duration::from_secs(60), stream.read_to_end(&mut rest)).await;
    println!("a head that never ends was cut after {:?}", begun.elapsed());
    assert!(ended.is_ok(), "{ended:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn five_thousand_connections_that_say_nothing() {
    // A process of its own: the files of this one would not do for both ends of so many.
    let program = Program::start(&[("PIPWRIGHT_IDLE_S", "60"), ("PIPWRIGHT_CONNECTIONS_PER_ADDRESS", "6000")]);
    let address = program.address.trim_start_matches("http://").to_owned();
    let client = reqwest::Client::new();
    let ask = async || {
        let mut seen = super::seen::Seen::default();
        for number in 2..202 {
            let (url, asked) =
                (format!("{}/v1/check?dice=2d6&needs=7%2B&tries={}", program.address, number % 50 + 1), Instant::now());
            let answer = client.get(url).send().await;
            seen.add(!answer.is_ok_and(|answer| answer.status() == 200), asked.elapsed());
        }
        seen
    };
    let normal = ask().await;
    let mut open = Vec::new();
    for _ in 0..5_000 {
        match TcpStream::connect(&address).await {
            Ok(stream) => open.push(stream),
            Err(error) => panic!("connection {}: {error} (ulimit -n?)", open.len()),
        }
    }
    let seen = ask().await;
    let metrics = client.get(format!("{}/metrics", program.address)).send().await.expect("a response");
    let held = pipwright_tests::service::read_metric(&metrics.text().await.expect("text"), "http_connections_open");
    assert!(held >= 5_000.0, "{held}");
    seen.judge_beside(normal, "5,000 connections that say nothing");
}

#[tokio::test(flavor = "multi_thread")]
async fn clients_that_hang_up_leave_nothing_behind() {
    let service = Service::start(Config { deadline_ms: 60_000, workers: 2, waiting: 1_000, ..config() }).await;
    let hang_up = async |number: u64| {
        let question = json!({"numbers": [1], "times": number, "price": 5_000_000, "ms": 30_000});
        let request = service.client.post(service.url("/v1/sum")).json(&question).timeout(Duration::from_millis(150));
        assert!(request.send().await.is_err(), "hung up");
    };
    join_all((5_000..5_100).map(hang_up)).await;
    let gone = async {
        while service.app.flights.count() > 0 {
            sleep(Duration::from_millis(20)).await;
        }
    };
    // Each of them would go on for half a minute.
    assert!(timeout(Duration::from_secs(25), gone).await.is_ok(), "nobody computes for them");
    run(&service, 0..500, async || ()).await.judge("after 100 clients hung up in the middle");
}
