//! One Redis server: killed, hung, restarted, full, read-only, answering garbage, slow, with another password, flushed.
use super::seen::run;
use crate::api::wait_for_keys;
use pipwright_api::{Config, config::Secret};
use pipwright_tests::{
    redis::{Redis, free_port},
    service::{Service, config},
};
use std::time::Duration;
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt, copy},
    net::{TcpListener, TcpStream},
    time::sleep,
};

pub(super) async fn service(redis: &str) -> Service {
    Service::start(Config { redis: Some(Secret::new(redis)), ..config() }).await
}

#[tokio::test(flavor = "multi_thread")]
async fn killed_in_the_middle_of_2000_requests() {
    let Some(mut redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let normal = run(&service, 0..1_000, async || ()).await;
    let seen = run(&service, 1_000..3_000, async || redis.kill()).await;
    assert!(service.metric("pipwright_redis_failures_total").await > 0.0, "it was noticed");
    seen.judge_beside(normal, "Redis killed");
    assert_eq!(service.metric("pipwright_redis_breaker_open").await, 1.0);
    assert_eq!(service.get("/readyz").await.status(), 200);
}

#[tokio::test(flavor = "multi_thread")]
async fn hung_and_going_on() {
    let Some(redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let normal = run(&service, 0..1_000, async || ()).await;
    let seen = run(&service, 1_000..3_000, async || redis.freeze()).await;
    seen.judge_beside(normal, "Redis stopped (SIGSTOP)");
    assert_eq!(service.get("/readyz").await.status(), 200);
    redis.thaw();
    sleep(Duration::from_secs(1)).await;
    run(&service, 3_000..3_100, async || ()).await.judge("Redis going on (SIGCONT)");
    assert_eq!(service.metric("pipwright_redis_breaker_open").await, 0.0, "it is asked again");
}

#[tokio::test(flavor = "multi_thread")]
async fn restarted_under_load() {
    let Some(mut redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let normal = run(&service, 0..1_000, async || ()).await;
    let seen = run(&service, 1_000..5_000, async || redis.restart()).await;
    seen.judge_beside(normal, "Redis restarted");
    sleep(Duration::from_secs(1)).await;
    assert_eq!(service.metric("pipwright_redis_breaker_open").await, 0.0, "it is asked again");
}

#[tokio::test(flavor = "multi_thread")]
async fn not_there_at_the_start_and_there_later() {
    let Some(mut redis) = Redis::start(&[]) else { return };
    redis.kill();
    let service = service(&redis.url()).await;
    run(&service, 0..200, async || ()).await.judge("Redis not there at the start");
    redis.restart();
    sleep(Duration::from_secs(1)).await;
    service.app.memory.clear();
    run(&service, 0..200, async || ()).await.judge("Redis there later");
    wait_for_keys(&redis, 200).await;
    let nowhere = self::service(&format!("redis://127.0.0.1:{}", free_port())).await;
    run(&nowhere, 0..200, async || ()).await.judge("Redis nowhere");
}

#[tokio::test(flavor = "multi_thread")]
async fn out_of_memory() {
    let Some(redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let normal = run(&service, 0..1_000, async || ()).await;
    let full = async || {
        redis.cli(&["config", "set", "maxmemory-policy", "noeviction"]);
        redis.cli(&["config", "set", "maxmemory", "1"]);
    };
    let seen = run(&service, 1_000..3_000, full).await;
    assert!(redis.cli(&["set", "a", "b"]).contains("OOM"), "it is full");
    assert!(service.metric("pipwright_redis_failures_total{call=\"set\"").await > 0.0, "it was noticed");
    seen.judge_beside(normal, "Redis out of memory (noeviction)");
    service.app.memory.clear();
    run(&service, 0..100, async || ()).await.judge("Redis full, what it has still read");
    assert!(service.metric("pipwright_cache_hits_total{tier=\"redis\"}").await > 50.0);
}

#[tokio::test(flavor = "multi_thread")]
async fn read_only() {
    let Some(redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let normal = run(&service, 0..1_000, async || ()).await;
    let nobody = free_port().to_string();
    let seen = run(&service, 1_000..3_000, async || drop(redis.cli(&["replicaof", "127.0.0.1", &nobody]))).await;
    assert!(redis.cli(&["set", "a", "b"]).contains("READONLY"), "it is a replica now");
    seen.judge_beside(normal, "Redis read-only (replica)");
}

#[tokio::test(flavor = "multi_thread")]
async fn flushed_in_use() {
    let Some(redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let normal = run(&service, 0..1_000, async || ()).await;
    let flush = async || {
        for _ in 0..20 {
            redis.cli(&["flushall"]);
            service.app.memory.clear();
            sleep(Duration::from_millis(20)).await;
        }
    };
    run(&service, 0..2_000, flush).await.judge_beside(normal, "Redis flushed 20 times, memory too");
}

#[tokio::test(flavor = "multi_thread")]
async fn with_another_password() {
    let Some(redis) = Redis::start(&[]) else { return };
    let service = service(&redis.url()).await;
    let normal = run(&service, 0..1_000, async || ()).await;
    let locked = async || {
        redis.cli(&["config", "set", "requirepass", "another"]);
        redis.cli(&["-a", "another", "client", "kill", "type", "normal"]);
    };
    run(&service, 1_000..3_000, locked).await.judge_beside(normal, "Redis with another password in use");
    let wrong = self::service(&redis.url().replace("://", "://:wrong@")).await;
    run(&wrong, 0..1_000, async || ()).await.judge("Redis with the wrong password from the start");
    let right = self::service(&redis.url().replace("://", "://:another@")).await;
    run(&right, 0..100, async || ()).await.judge("Redis with the right password");
    right.app.memory.clear();
    sleep(Duration::from_millis(200)).await;
    run(&right, 0..100, async || ()).await.judge("Redis with the right password, again");
    assert!(right.metric("pipwright_cache_hits_total{tier=\"redis\"}").await > 50.0);
}

#[tokio::test(flavor = "multi_thread")]
async fn answering_garbage() {
    let listener = TcpListener::bind("127.0.0.1:0").await.expect("a free port");
    let port = listener.local_addr().expect("bound").port();
    tokio::spawn(async move {
        while let Ok((mut stream, _)) = listener.accept().await {
            tokio::spawn(async move {
                let mut asked = [0; 4_096];
                while stream.read(&mut asked).await.is_ok_and(|read| read > 0) {
                    // The first byte is none that begins an answer; some look like the beginning of a long one.
                    let garbage: &[u8] = match fastrand::u8(0..3) {
                        0 => b"\x00\xffHTTP/1.1 200 OK\r\n\r\n",
                        1 => b"$99999999\r\nx",
                        _ => b"*3\r\n:1\r\n+OK\r\n$-7\r\n",
                    };
                    if stream.write_all(garbage).await.is_err() {
                        return;
                    }
                }
            });
        }
    });
    let plain = Service::plain().await;
    let normal = run(&plain, 0..1_000, async || ()).await;
    let service = service(&format!("redis://127.0.0.1:{port}")).await;
    run(&service, 0..2_000, async || ()).await.judge_beside(normal, "Redis answering garbage");
}

#[tokio::test(flavor = "multi_thread")]
async fn slow_by_two_seconds() {
    let Some(redis) = Redis::start(&[]) else { return };
    let listener = TcpListener::bind("127.0.0.1:0").await.expect("a free port");
    let (port, behind) = (listener.local_addr().expect("bound").port(), redis.port());
    tokio::spawn(async move {
        while let Ok((near, _)) = listener.accept().await {
            let Ok(far) = TcpStream::connect(("127.0.0.1", behind)).await else { return };
            let ((mut from_near, mut to_near), (mut from_far, mut to_far)) = (near.into_split(), far.into_split());
            tokio::spawn(async move { copy(&mut from_near, &mut to_far).await });
            tokio::spawn(async move {
                let mut bytes = [0; 4_096];
                while let Ok(read @ 1..) = from_far.read(&mut bytes).await {
                    sleep(Duration::from_secs(2)).await;
                    if to_near.write_all(&bytes[..read]).await.is_err() {
                        return;
                    }
                }
            });
        }
    });
    let plain = Service::plain().await;
    let normal = run(&plain, 0..1_000, async || ()).await;
    let service = service(&format!("redis://127.0.0.1:{port}")).await;
    run(&service, 0..2_000, async || ()).await.judge_beside(normal, "Redis slow by 2 s");
    assert!(service.metric("pipwright_redis_failures_total").await > 0.0, "it was noticed");
}
