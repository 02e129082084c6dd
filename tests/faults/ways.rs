//! The other ways to Redis: over TLS, to whichever server a sentinel names, to a cluster; each with what breaks there.
use super::{
    redis::service,
    seen::{Seen, run},
};
use pipwright_api::{Config, config::Secret};
use pipwright_tests::{
    redis::group::{Cluster, Guarded, Tls},
    service::{Service, config},
};
use std::time::Duration;
use tokio::time::sleep;

/// Connections to several servers are looked for beside the requests; this is time enough.
const FOUND: Duration = Duration::from_millis(700);

async fn hits(service: &Service) -> f64 {
    service.metric("pipwright_cache_hits_total{tier=\"redis\"}").await
}

/// Asks, forgets, and asks again: this share of the answers came from Redis. On a machine with much else to do a call of
/// Redis may take longer than a request waits for it, so it may try a few times.
async fn twice(service: &Service, questions: usize) -> (Seen, f64) {
    let mut seen = run(service, 0..questions, async || ()).await;
    let mut share: f64 = 0.0;
    for _ in 0..5 {
        sleep(Duration::from_millis(300)).await;
        service.app.memory.clear();
        let before = hits(service).await;
        seen = seen.and(run(service, 0..questions, async || ()).await);
        share = share.max((hits(service).await - before) / questions as f64);
        if share > 0.9 {
            break;
        }
    }
    (seen, share)
}

#[tokio::test(flavor = "multi_thread")]
async fn over_tls_with_an_authority_of_ones_own() {
    let Some(tls) = Tls::start() else { return };
    let authority = Some(tls.authority());
    let redis = Some(Secret::new(tls.url()));
    let trusting = Service::start(Config { redis: redis.clone(), redis_authority: authority, ..config() }).await;
    // The first connection over TLS may take longer than a request waits for it.
    run(&trusting, 900..910, async || ()).await.judge("Redis over TLS, the first questions");
    sleep(FOUND).await;
    let (seen, fetched) = twice(&trusting, 200).await;
    seen.judge("Redis over TLS");
    assert!(fetched > 0.7, "{fetched} of them came from Redis");
    let wary = Service::start(Config { redis, ..config() }).await;
    let (seen, fetched) = twice(&wary, 200).await;
    seen.judge("Redis over TLS, its authority not believed");
    assert_eq!(fetched, 0.0);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_cluster_with_one_node_killed() {
    for (full, what) in [("yes", "a cluster of three, one killed"), ("no", "the same, the others going on")] {
        let Some(mut cluster) = Cluster::start(&["--cluster-require-full-coverage", full]) else { return };
        let service = service(&cluster.url()).await;
        sleep(FOUND).await;
        let (seen, fetched) = twice(&service, 300).await;
        seen.judge("Redis in a cluster of three");
        // Every node has a third of the keys.
        assert!(fetched > 0.7, "{fetched} of them came from Redis");
        let normal = run(&service, 1_000..2_000, async || ()).await;
        let seen = run(&service, 2_000..5_000, async || cluster.0[1].kill()).await;
        seen.judge_beside(normal, what);
        assert_eq!(service.get("/readyz").await.status(), 200);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_sentinel_names_another_server() {
    let Some(mut guarded) = Guarded::start() else { return };
    let service = service(&guarded.url()).await;
    sleep(FOUND).await;
    let (seen, fetched) = twice(&service, 200).await;
    seen.judge("Redis named by a sentinel");
    assert!(fetched > 0.7, "{fetched} of them came from Redis");
    let normal = run(&service, 1_000..2_000, async || ()).await;
    let seen = run(&service, 2_000..5_000, async || guarded.first.kill()).await;
    seen.judge_beside(normal, "the server that the sentinel named, killed");
    let promoted = || guarded.second.cli(&["role"]).starts_with("master");
    for _ in 0..200 {
        if promoted() && service.metric("pipwright_redis_breaker_open").await == 0.0 {
            break;
        }
        sleep(Duration::from_millis(100)).await;
    }
    assert!(promoted(), "the sentinel put the replica in its place");
    let (seen, fetched) = twice(&service, 200).await;
    seen.judge("the server named instead");
    assert!(fetched > 0.7, "{fetched} of them came from the other server");
}
