//! The gateway: resuming after a break, shards in one process and in several, an end that is no loop, health.
use super::made::{command, somebody};
use super::platform::{Platform, Shared};
use super::started;
use pipwright_bot::places::discord::Shards;
use pipwright_bot::places::discord::health::Health;
use serde_json::{Value, json};
use std::time::{Duration, Instant};

fn check() -> Value {
    command(somebody(), "check", &[("needs", json!("4+"))])
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn comes_back_and_misses_nothing() {
    let bot = started::started().await;
    bot.platform.does(&check()).await;
    for (nth, broken) in [false, true].into_iter().enumerate() {
        // It has settled in: a break while it only just resumes may cost it the session, on the platform too.
        let beats = |shared: &Shared| shared.lines.last().map_or(0, |line| line.with_op(1).len());
        let before = beats(&bot.platform.shared());
        bot.platform.until("a heartbeat", |shared| (beats(shared) > before).then_some(())).await;
        let line = bot.platform.shared().lines.last().expect("a line").clone();
        let missed = check();
        {
            // Somebody asks while the bot is away: it can't come back before the platform has noted that.
            let mut shared = bot.platform.shared();
            if broken {
                line.break_off();
            } else {
                line.ask_to_reconnect();
            }
            line.dispatch(&mut shared, "INTERACTION_CREATE", &missed);
        }
        let answer = bot.platform.first(&missed).await;
        assert_eq!(answer.body["type"], 4);
        let shared = bot.platform.shared();
        let resumed: Vec<&Value> = shared.lines.iter().flat_map(|line| line.with_op(6)).collect();
        assert_eq!(resumed.len(), nth + 1, "resumed, not begun anew");
        assert_eq!(resumed[nth]["d"]["session_id"], "session-0");
        let begun: usize = shared.lines.iter().map(|line| line.with_op(2).len()).sum();
        assert_eq!(begun, 1, "each beginning counts towards a thousand a day");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_shards_in_one_process() {
    let platform = Platform::start().await;
    platform.shared().shards = 2;
    let bot = started::with(platform, |_| {}).await;
    for shard in [0, 1] {
        let asked = check();
        bot.platform.dispatch_to(shard, "INTERACTION_CREATE", &asked).await;
        assert_eq!(bot.platform.first(&asked).await.body["type"], 4, "shard {shard}");
    }
    let shared = bot.platform.shared();
    let begun: Vec<&Value> = shared.lines.iter().flat_map(|line| line.with_op(2)).collect();
    assert_eq!(begun.iter().map(|value| &value["d"]["shard"]).collect::<Vec<_>>(), [&json!([0, 2]), &json!([1, 2])]);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_range_of_shards() {
    let bot = started::with(Platform::start().await, |settings| settings.shards = "3-3/8".parse().ok()).await;
    let asked = check();
    bot.platform.dispatch_to(3, "INTERACTION_CREATE", &asked).await;
    bot.platform.first(&asked).await;
    let shared = bot.platform.shared();
    let begun: Vec<&Value> = shared.lines.iter().flat_map(|line| line.with_op(2)).collect();
    assert_eq!(begun.iter().map(|value| &value["d"]["shard"]).collect::<Vec<_>>(), [&json!([3, 8])]);
}

#[test]
fn shards_in_words() {
    assert_eq!("4".parse::<Shards>().ok(), Some(Shards { mine: 0..4, all: 4 }));
    assert_eq!("0-3/8".parse::<Shards>().ok(), Some(Shards { mine: 0..4, all: 8 }));
    assert_eq!("7/8".parse::<Shards>().ok(), Some(Shards { mine: 7..8, all: 8 }));
    for wrong in ["", "0", "8/8", "5-4/8", "0-8/8", "x", "-1", "0-4294967295/8"] {
        assert!(wrong.parse::<Shards>().is_err(), "{wrong}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_can_not_be_mended_ends() {
    // 4004: authentication failed. Source: the platform's table of gateway close codes, "Reconnect: false".
    let mut bot = started::started().await;
    bot.platform.does(&check()).await;
    let line = bot.platform.shared().lines.last().expect("a line").clone();
    line.close(4004);
    assert!(bot.ended().await.is_err(), "it says so and stops");
    assert_eq!(bot.platform.shared().lines.len(), 1, "and does not try again");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn healthy_by_its_heartbeats() {
    let bot = started::started().await;
    assert!(!bot.place.health.is_well(Instant::now()), "not there yet");
    let end = Instant::now() + Duration::from_secs(15);
    while bot.place.health.beating() == 0 {
        assert!(Instant::now() < end, "no heartbeat was answered");
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    let now = Instant::now();
    assert!(bot.place.health.is_well(now));
    assert!(!bot.place.health.is_well(now + Health::TIMEOUT + Health::TIMEOUT), "a silent process is not well");
}

#[test]
fn one_dead_shard_is_seen() {
    let (health, now) = (Health::default(), Instant::now());
    health.look([(0, true, true), (1, true, true)].into_iter(), now);
    let later = now + Health::TIMEOUT;
    health.look([(0, true, true), (1, true, false)].into_iter(), later);
    assert!(!health.is_well(later));
    health.look([(1, true, true)].into_iter(), later);
    assert!(health.is_well(later));
}
