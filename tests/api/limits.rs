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
use serde_json::{Value, json};
use std::time::Duration;

const LINK: &str = "/v1/sum?numbers=[1]";
/// SHA-256 of `sesame`, computed with `sha256sum`.
const OF_SESAME: &str = "d0c04f4b1951e4aeaaec8223ed2039e542f3aae805a6fa7f6d794e5afff5d272";

#[tokio::test]
async fn above_the_rate_there_is_429_and_when_to_come_again() {
    let service = Service::start(Config { per_second: 1, burst: 3, ..config() }).await;
    for left in [2, 1, 0] {
        let response = service.get(LINK).await;
        assert_eq!(response.status(), 200);
        let told = response.headers()["ratelimit"].to_str().expect("text");
        assert!(told.starts_with(&format!("\"rate\";r={left};t=")), "{told}");
        assert_eq!(response.headers()["ratelimit-policy"], "\"rate\";q=3;w=3");
    }
    let refused = service.get(LINK).await;
    assert_eq!(refused.status(), 429);
    assert!(refused.headers()["ratelimit"].to_str().expect("text").starts_with("\"rate\";r=0;t="));
    assert_eq!(refused.headers()["retry-after"], "1");
    assert!(refused.headers()["access-control-expose-headers"].to_str().expect("text").contains("Retry-After"));
    assert_eq!(refused.json::<Value>().await.expect("JSON")["type"], "/docs/problems/too-many-requests");
    assert_eq!(service.get("/livez").await.status(), 200, "health is always open");
    assert_eq!(service.metric("pipwright_rate_limited_total{by=\"address\"").await, 1.0);
}

#[tokio::test]
async fn a_key_has_its_own_rate() {
    let key = ApiKey { name: "table".to_owned(), sha256: OF_SESAME.to_owned(), per_second: 1, burst: 10 };
    let service = Service::start(Config { per_second: 1, burst: 1, keys: vec![key], ..config() }).await;
    for _ in 0..10 {
        let request = service.client.get(service.url(LINK)).bearer_auth("sesame");
        assert_eq!(request.send().await.expect("a response").status(), 200);
    }
    let request = service.client.get(service.url(LINK)).header("x-api-key", "sesame");
    assert_eq!(request.send().await.expect("a response").status(), 429);
    assert_eq!(service.get(LINK).await.status(), 200, "the address has another");
    let request = service.client.get(service.url(LINK)).bearer_auth("wrong");
    assert_eq!(request.send().await.expect("a response").status(), 401);
}

#[tokio::test]
async fn behind_a_trusted_proxy_each_client_counts_for_itself() {
    let trusted = vec!["127.0.0.0/8".parse().expect("a net")];
    let service = Service::start(Config { per_second: 1, burst: 1, trusted_proxies: trusted, ..config() }).await;
    for (client, status) in [("192.0.2.1", 200), ("192.0.2.2", 200), ("192.0.2.1", 429)] {
        let request = service.client.get(service.url(LINK)).header("x-forwarded-for", client);
        assert_eq!(request.send().await.expect("a response").status(), status, "{client}");
    }
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
    tokio::time::sleep(Duration::from_millis(600)).await;
    assert_eq!(two.get(LINK).await.status(), 200, "this copy has not heard of the caller yet");
    tokio::time::sleep(Duration::from_millis(600)).await;
    let mut let_in = 0;
    while two.get(LINK).await.status() == 200 {
        let_in += 1;
        assert!(let_in < 10, "all copies together let in one a second");
    }
    assert!(!redis.cli(&["keys", "*"]).contains("127.0.0.1"), "nobody's address stands in Redis");
}
