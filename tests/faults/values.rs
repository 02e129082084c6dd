//! What stands in Redis under our names and is none of ours any more: older, cut, altered, another question's.
use super::{redis::service, seen::run};
use pipwright_tests::redis::Redis;
use std::time::Duration;
use tokio::time::sleep;

async fn damaged(what: &str, damage: impl Fn(&Redis, &[String])) {
    const KEYS: usize = 100;
    let Some(redis) = Redis::start(&[]) else { return };
    let writer = service(&redis.url()).await;
    run(&writer, 0..KEYS, async || ()).await.judge("written");
    // Nobody waits for a write, and one that takes too long is given up: not all need have arrived.
    sleep(Duration::from_millis(500)).await;
    let names: Vec<String> = redis.cli(&["keys", "pipwright:answer:*"]).lines().map(str::to_owned).collect();
    assert!(names.len() > KEYS / 2, "{} of {KEYS} were written", names.len());
    damage(&redis, &names);
    let reader = service(&redis.url()).await;
    run(&reader, 0..KEYS, async || ()).await.judge(what);
    assert_eq!(reader.metric("pipwright_computations_total").await, KEYS as f64, "{what}: every one is a miss");
    let told_apart = reader.metric("pipwright_redis_failures_total{call=\"open\"").await;
    assert!(told_apart > KEYS as f64 / 3.0, "{what}: and counted, {told_apart}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_value_of_an_older_version() {
    damaged("values of an older version", |redis, names| {
        for name in names {
            redis.cli(&["setrange", name, "0", "pw0"]);
        }
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_value_that_was_cut() {
    damaged("values cut", |redis, names| {
        for (at, name) in names.iter().enumerate() {
            // Within the head, at its end, and in the answer.
            let kept = ["2", "35", "40"][at % 3];
            redis.cli(&[
                "eval",
                "redis.call('set', KEYS[1], string.sub(redis.call('get', KEYS[1]), 1, ARGV[1]))",
                "1",
                name,
                kept,
            ]);
        }
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_value_that_was_altered() {
    damaged("values altered", |redis, names| {
        for (at, name) in names.iter().enumerate() {
            // A digit of the sum, a byte of the checksum, or more than there was.
            match at % 3 {
                0 => redis.cli(&["setrange", name, "43", "x"]),
                // Whatever byte stood there, now it is another.
                1 => redis.cli(&[
                    "eval",
                    "local was = string.byte(redis.call('getrange', KEYS[1], 10, 10)) \
                     redis.call('setrange', KEYS[1], 10, string.char((was + 1) % 256))",
                    "1",
                    name,
                ]),
                _ => redis.cli(&["append", name, "0"]),
            };
        }
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn an_answer_under_another_name() {
    damaged("answers of other questions", |redis, names| {
        let script = "local first = redis.call('get', KEYS[1]) \
            for at = 1, #KEYS - 1 do redis.call('set', KEYS[at], redis.call('get', KEYS[at + 1])) end \
            redis.call('set', KEYS[#KEYS], first)";
        let count = names.len().to_string();
        let arguments = ["eval", script, &count].into_iter().chain(names.iter().map(String::as_str));
        redis.cli(&arguments.collect::<Vec<_>>());
    })
    .await;
}
