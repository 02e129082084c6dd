//! Redis killed, hung, restarted, and gone from the start.
use crate::api::wait_for_keys;
use pipwright_api::{Config, config::Secret};
use pipwright_tests::{
    redis::{Redis, free_port},
    service::{Service, config},
};
use serde_json::json;
use std::time::{Duration, Instant};

/// What was seen of a run of requests.
#[derive(Debug, Default)]
struct Seen {
    sent: usize,
    failed: usize,
    wrong: usize,
    longest: Duration,
}

impl Seen {
    /// Nothing failed, nothing was wrong, and nobody waited longer than Redis is given, and a little.
    #[track_caller]
    fn judge(&self, what: &str) {
        println!("{what}: {self:?}");
        assert_eq!((self.failed, self.wrong), (0, 0), "{what}: {self:?}");
    }
}

/// Sends different dear questions from several clients at once; `meddle` is called in the middle.
async fn run(service: &Service, requests: usize, meddle: impl AsyncFnOnce()) -> Seen {
    const CLIENTS: usize = 8;
    let half = |from: usize, to: usize| async move {
        let clients = (0..CLIENTS).map(|client| async move {
            let mut seen = Seen::default();
            for number in (from..to).skip(client).step_by(CLIENTS) {
                let question = json!({"numbers": [number % 1_000], "times": number, "price": 5_000_000});
                let asked = Instant::now();
                let (status, body) = service.ask("/v1/sum", &question).await;
                seen.longest = seen.longest.max(asked.elapsed());
                seen.sent += 1;
                seen.failed += usize::from(status != 200);
                seen.wrong += usize::from(body["sum"] != (number % 1_000) * number);
            }
            seen
        });
        futures::future::join_all(clients).await
    };
    let meddled = async {
        tokio::time::sleep(Duration::from_millis(100)).await;
        meddle().await;
    };
    let (seen, ()) = futures::join!(half(0, requests), meddled);
    seen.into_iter().fold(Seen::default(), |all, one| Seen {
        sent: all.sent + one.sent,
        failed: all.failed + one.failed,
        wrong: all.wrong + one.wrong,
        longest: all.longest.max(one.longest),
    })
}

async fn service(redis: &str) -> Service {
    Service::start(Config { redis: Some(Secret::new(redis)), ..config() }).await
}

#[tokio::test(flavor = "multi_thread")]
async fn killed_in_the_middle_of_2000_requests() {
    let Some(mut redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let seen = run(&service, 2_000, async || redis.kill()).await;
    assert_eq!(seen.sent, 2_000);
    assert!(service.metric("pipwright_redis_failures_total").await > 0.0, "it was noticed");
    seen.judge("killed");
    assert_eq!(service.metric("pipwright_redis_breaker_open").await, 1.0);
    assert_eq!(service.get("/readyz").await.status(), 200);
}

#[tokio::test(flavor = "multi_thread")]
async fn hung_and_going_on() {
    let Some(redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let seen = run(&service, 2_000, async || redis.freeze()).await;
    seen.judge("hung");
    assert_eq!(service.get("/readyz").await.status(), 200);
    redis.thaw();
    tokio::time::sleep(Duration::from_secs(1)).await;
    run(&service, 100, async || ()).await.judge("going on");
    assert_eq!(service.metric("pipwright_redis_breaker_open").await, 0.0, "it is asked again");
}

#[tokio::test(flavor = "multi_thread")]
async fn not_there_at_the_start_and_there_later() {
    let Some(mut redis) = Redis::start(&[]) else { return };
    redis.kill();
    let service = service(&redis.url()).await;
    run(&service, 200, async || ()).await.judge("not there");
    redis.restart();
    tokio::time::sleep(Duration::from_secs(1)).await;
    service.app.memory.clear();
    run(&service, 200, async || ()).await.judge("there");
    wait_for_keys(&redis, 200).await;
    let nowhere = self::service(&format!("redis://127.0.0.1:{}", free_port())).await;
    run(&nowhere, 200, async || ()).await.judge("nowhere");
}
