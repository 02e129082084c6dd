//! One answer, however it is had: computed, from memory, from Redis, by another process.
use futures::future::join_all;
use pipwright_api::{Config, config::Secret};
use pipwright_tests::{
    program::Program,
    redis::Redis,
    service::{Service, config},
};
use serde_json::json;
use std::time::{Duration, Instant};

const DEAR: u64 = 5_000_000;

async fn body(service: &Service, question: &serde_json::Value) -> Vec<u8> {
    let response = service.post("/v1/sum", &question.to_string()).await;
    assert_eq!(response.status(), 200);
    response.bytes().await.expect("a body").to_vec()
}

#[tokio::test(flavor = "multi_thread")]
async fn equal_questions_at_once_are_computed_once() {
    let service = Service::plain().await;
    let question = json!({"numbers": [1], "price": DEAR, "ms": 200});
    let answers = join_all((0..64).map(|_| body(&service, &question))).await;
    assert!(answers.iter().all(|answer| *answer == answers[0]));
    assert_eq!(service.metric("pipwright_computations_total").await, 1.0);
}

#[tokio::test(flavor = "multi_thread")]
async fn an_answer_of_one_copy_is_served_by_another() {
    let Some(redis) = Redis::start(&[]) else { return };
    let config = || Config { redis: Some(Secret::new(redis.url())), ..config() };
    let (one, two) = (Service::start(config()).await, Service::start(config()).await);
    let question = json!({"numbers": [7, 8], "price": DEAR});
    let computed = body(&one, &question).await;
    let remembered = body(&one, &question).await;
    wait_for_keys(&redis, 1).await;
    let fetched = body(&two, &question).await;
    assert_eq!(two.metric("pipwright_cache_hits_total{tier=\"redis\"}").await, 1.0);
    assert_eq!(two.metric("pipwright_computations_total").await, 0.0);
    let alone = body(&Service::plain().await, &question).await;
    assert!([remembered, fetched, alone].iter().all(|answer| *answer == computed));
}

/// Who can write to Redis cannot answer: what is not sealed with the secret is not there.
#[tokio::test(flavor = "multi_thread")]
async fn only_copies_with_the_same_secret_share_answers() {
    let Some(redis) = Redis::start(&[]) else { return };
    let start = async |seal: Option<&str>| {
        let redis = Some(Secret::new(redis.url()));
        // Time enough for a call, also beside other tests.
        Service::start(Config { redis, redis_seal: seal.map(Secret::new), redis_wait_ms: 50, ..config() }).await
    };
    let question = json!({"numbers": [7, 8], "price": DEAR});
    let computed = body(&start(Some("a secret of all copies")).await, &question).await;
    wait_for_keys(&redis, 1).await;
    let name = redis.cli(&["keys", "pipwright:answer:*"]);
    for (seal, fetched) in [(Some("a secret of all copies"), 1.0), (Some("a secret of others"), 0.0), (None, 0.0)] {
        // Whoever computes anew seals anew: each finds what the first has left there.
        redis.cli(&["copy", &name, "kept", "replace"]);
        let copy = start(seal).await;
        assert_eq!(body(&copy, &question).await, computed);
        assert_eq!(copy.metric("pipwright_cache_hits_total{tier=\"redis\"}").await, fetched, "{seal:?}");
        assert_eq!(copy.metric("pipwright_redis_failures_total{call=\"open\"").await, 1.0 - fetched, "{seal:?}");
        copy.stop().await;
        tokio::time::sleep(Duration::from_millis(100)).await;
        redis.cli(&["copy", "kept", &name, "replace"]);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_cheap_stays_out_of_redis() {
    let Some(redis) = Redis::start(&[]) else { return };
    let service = Service::start(Config { redis: Some(Secret::new(redis.url())), ..config() }).await;
    body(&service, &json!({"numbers": [1]})).await;
    body(&service, &json!({"numbers": [1], "price": DEAR})).await;
    wait_for_keys(&redis, 1).await;
    assert_eq!(redis.cli(&["dbsize"]), "1");
}

#[tokio::test(flavor = "multi_thread")]
async fn memory_is_bounded_by_bytes() {
    let service = Service::start(Config { memory_bytes: 100_000, ..config() }).await;
    for number in 0..3_000 {
        body(&service, &json!({"numbers": [number % 1_000], "times": number})).await;
    }
    let held = service.metric("pipwright_cache_memory_bytes").await;
    assert!(held > 10_000.0 && held <= 110_000.0, "{held}");
}

#[tokio::test(flavor = "multi_thread")]
async fn nobody_computes_for_a_client_that_hung_up() {
    let service = Service::start(Config { deadline_ms: 60_000, workers: 1, ..config() }).await;
    let question = json!({"numbers": [1], "price": DEAR, "ms": 50_000}).to_string();
    let request = service.client.post(service.url("/v1/sum")).header("content-type", "application/json").body(question);
    assert!(request.timeout(Duration::from_millis(200)).send().await.is_err(), "hung up");
    let asked = Instant::now();
    body(&service, &json!({"numbers": [2], "price": DEAR})).await;
    // The first one would have had the only thread for most of a minute.
    assert!(asked.elapsed() < Duration::from_secs(45), "the only thread is free again");
    assert_eq!(service.app.flights.count(), 0);
}

/// Writes are not waited for by requests, so tests wait for them.
pub(crate) async fn wait_for_keys(redis: &Redis, keys: usize) {
    for _ in 0..200 {
        if redis.cli(&["dbsize"]).parse() == Ok(keys) {
            return;
        }
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
    panic!("Redis has {} keys, not {keys}", redis.cli(&["dbsize"]));
}

#[tokio::test(flavor = "multi_thread")]
async fn an_answer_of_one_process_is_served_by_another() {
    let Some(redis) = Redis::start(&[]) else { return };
    let start = || Program::start(&[("PIPWRIGHT_REDIS", &redis.url()), ("PIPWRIGHT_REDIS_PRICE", "0")]);
    let (one, two) = (start(), start());
    let ask = async |program: &Program| {
        let chain = r#"{"attackers":3,"attacks":"2d6","steps":[{"name":"hit","needs":"4+"}],"target":{"models":5}}"#;
        let request = reqwest::Client::new().post(format!("{}/v1/odds", program.address));
        let response = request.header("content-type", "application/json").body(chain).send().await.expect("a response");
        assert_eq!(response.status(), 200);
        let timing = response.headers()["server-timing"].to_str().expect("text").to_owned();
        (timing, response.bytes().await.expect("a body"))
    };
    let (timing, computed) = ask(&one).await;
    assert!(timing.contains("desc=\"none\""), "{timing}");
    wait_for_keys(&redis, 1).await;
    let (timing, fetched) = ask(&two).await;
    assert!(timing.contains("desc=\"redis\""), "{timing}");
    let (timing, remembered) = ask(&two).await;
    assert!(timing.contains("desc=\"memory\""), "{timing}");
    assert!(fetched == computed && remembered == computed);
}

/// A real question of a tenth of a second and more, asked 64 times at once of each of two processes.
#[tokio::test(flavor = "multi_thread")]
async fn two_processes_compute_a_heavy_question_once_each_and_alike() {
    const HEAVY: &str = r#"{"attackers":1000,"attacks":2,"steps":[{"name":"hit","needs":"3+"},{"name":"save","needs":"5+"}],"damage":"1d3","target":{"models":200,"health":3}}"#;
    let programs = [Program::start(&[]), Program::start(&[])];
    let client = reqwest::Client::new();
    let ask = |program: &Program| {
        let request = client.post(format!("{}/v1/odds", program.address)).header("content-type", "application/json");
        let sent = request.body(HEAVY).send();
        async move {
            let response = sent.await.expect("a response");
            assert_eq!(response.status(), 200);
            response.bytes().await.expect("a body")
        }
    };
    let answers = join_all(programs.iter().flat_map(|program| (0..64).map(|_| ask(program)))).await;
    assert!(answers.iter().all(|answer| *answer == answers[0]), "byte for byte, whoever computed it");
    for program in &programs {
        let metrics = client.get(format!("{}/metrics", program.address)).send().await.expect("a response");
        let metrics = metrics.text().await.expect("text");
        let read = |name| pipwright_tests::service::read_metric(&metrics, name);
        println!(
            "128 questions at once of two processes, computed by this one: {}",
            read("pipwright_computations_total")
        );
        assert_eq!(read("pipwright_computations_total"), 1.0);
        assert_eq!(read("http_requests_total{route=\"/v1/odds\""), 64.0);
    }
}
