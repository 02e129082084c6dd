//! Who may ask how often, and how much may be in work.
use futures::future::join_all;
use pipwright_api::{
    Config,
    config::{ApiKey, Secret},
};
use pipwright_tests::{
    redis::Redis,
    service::{Service, config},
};
use reqwest::Response;
use serde_json::{Value, json};
use std::time::{Duration, Instant};

const LINK: &str = "/v1/sum?numbers=[1]";
/// SHA-256 of `sesame`, computed with `sha256sum`.
const OF_SESAME: &str = "d0c04f4b1951e4aeaaec8223ed2039e542f3aae805a6fa7f6d794e5afff5d272";

/// The rate gives one back every second, and a slow machine may need that long for a request: so whoever is above it hears so
/// within a few tries, whatever else goes on.
async fn at_last(status: u16, ask: impl AsyncFn() -> Response) -> Response {
    for _ in 0..50 {
        let response = ask().await;
        if response.status() == status {
            return response;
        }
    }
    panic!("never {status}");
}

#[tokio::test]
async fn above_the_rate_there_is_429_and_when_to_come_again() {
    let service = Service::start(Config { per_second: 1, burst: 3, ..config() }).await;
    let begun = Instant::now();
    for left in [2, 1, 0] {
        let response = service.get(LINK).await;
        assert_eq!(response.status(), 200);
        let told = response.headers()["ratelimit"].to_str().expect("text");
        let given_back = begun.elapsed().as_secs();
        let may = (left..=left + given_back).any(|left| told.starts_with(&format!("\"rate\";r={left};t=")));
        assert!(may, "{told}");
        assert_eq!(response.headers()["ratelimit-policy"], "\"rate\";q=3;w=3");
    }
    let refused = at_last(429, async || service.get(LINK).await).await;
    assert!(refused.headers()["ratelimit"].to_str().expect("text").starts_with("\"rate\";r=0;t="));
    assert_eq!(refused.headers()["retry-after"], "1");
    assert!(refused.headers()["access-control-expose-headers"].to_str().expect("text").contains("Retry-After"));
    assert_eq!(refused.json::<Value>().await.expect("JSON")["type"], "/docs/problems/too-many-requests");
    assert_eq!(service.get("/livez").await.status(), 200, "health is always open");
    assert!(service.metric("pipwright_rate_limited_total{by=\"address\"").await >= 1.0);
}

#[tokio::test]
async fn a_key_has_its_own_rate() {
    let key = ApiKey { name: "table".to_owned(), sha256: OF_SESAME.to_owned(), per_second: 1, burst: 10 };
    let service = Service::start(Config { per_second: 1, burst: 2, keys: vec![key], ..config() }).await;
    for _ in 0..10 {
        let request = service.client.get(service.url(LINK)).bearer_auth("sesame");
        assert_eq!(request.send().await.expect("a response").status(), 200);
    }
    let with_key = || service.client.get(service.url(LINK)).header("x-api-key", "sesame").send();
    at_last(429, async || with_key().await.expect("a response")).await;
    assert_eq!(service.get(LINK).await.status(), 200, "the address has another");
    let wrong = || service.client.get(service.url(LINK)).bearer_auth("wrong").send();
    assert_eq!(wrong().await.expect("a response").status(), 401);
    // One that is not known counts for the address.
    at_last(429, async || wrong().await.expect("a response")).await;
}

#[tokio::test]
async fn behind_a_trusted_proxy_each_client_counts_for_itself() {
    let trusted = vec!["127.0.0.0/8".parse().expect("a net")];
    let service = Service::start(Config { per_second: 1, burst: 1, trusted_proxies: trusted, ..config() }).await;
    let from = |client: &'static str| service.client.get(service.url(LINK)).header("x-forwarded-for", client).send();
    assert_eq!(from("192.0.2.1").await.expect("a response").status(), 200);
    at_last(429, async || from("192.0.2.1").await.expect("a response")).await;
    assert_eq!(from("192.0.2.2").await.expect("a response").status(), 200, "another client");
    at_last(429, async || from("192.0.2.2:4711").await.expect("a response")).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn beyond_the_queue_there_is_503_at_once() {
    let service = Service::start(Config { workers: 1, waiting: 2, deadline_ms: 10_000, ..config() }).await;
    let ask = |times: u64| {
        let question = json!({"numbers": [1], "times": times, "price": 5_000_000, "ms": 300});
        let service = &service;
        async move {
            let response = service.post("/v1/sum", &question.to_string()).await;
            (response.status().as_u16(), response.headers().contains_key("retry-after"))
        }
    };
    let mut statuses = join_all((0..10).map(ask)).await;
    statuses.sort_unstable();
    let (done, turned_away) = ([(200, false); 3], [(503, true); 7]);
    assert_eq!(statuses, [&done[..], &turned_away[..]].concat(), "one computes, two wait");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_deadline_ends_what_takes_too_long() {
    let service = Service::start(Config { deadline_ms: 100, ..config() }).await;
    let (status, problem) = service.ask("/v1/sum", &json!({"numbers": [1], "price": 5_000_000, "ms": 60_000})).await;
    assert_eq!((status, problem["type"].as_str()), (503, Some("/docs/problems/too-slow")));
    assert_eq!(service.metric("pipwright_computations_stopped_total").await, 1.0);
}

#[tokio::test(flavor = "multi_thread")]
async fn copies_that_share_redis_share_the_rate() {
    let Some(redis) = Redis::start(&[]) else { return };
    let config = || Config { redis: Some(Secret::new(redis.url())), per_second: 1, burst: 20, ..config() };
    let (one, two) = (Service::start(config()).await, Service::start(config()).await);
    for _ in 0..20 {
        assert_eq!(one.get(LINK).await.status(), 200);
    }
    // This copy hears of the caller when it has told of one request itself; asked seldom, it gives nothing away before.
    let mut left = u32::MAX;
    for _ in 0..60 {
        tokio::time::sleep(Duration::from_millis(600)).await;
        let told = two.get(LINK).await.headers()["ratelimit"].to_str().expect("text").to_owned();
        left = told.trim_start_matches("\"rate\";r=").split(';').next().and_then(|left| left.parse().ok()).expect("r");
        if left < 10 {
            break;
        }
    }
    assert!(left < 10, "the other copy let in twenty, and this one has never heard of it");
    let (begun, mut let_in) = (Instant::now(), 0);
    while two.get(LINK).await.status() == 200 {
        let_in += 1;
        // However slow the machine is, there is one more for each second. The header rounds down, so that of nine it
        // tells there may be nearly ten.
        assert!(let_in <= 10 + begun.elapsed().as_secs(), "all copies together let in one a second");
    }
    assert!(!redis.cli(&["keys", "*"]).contains("127.0.0.1"), "nobody's address stands in Redis");
}
