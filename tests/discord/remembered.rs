//! The pack of a chat: remembered by all processes where there is a Redis, and said plainly where that is away.
use super::made::{command, somebody};
use super::platform::{Platform, Sent};
use super::started::{self, Started};
use pipwright_tests::redis::Redis;
use serde_json::{Value, json};
use std::time::Instant;

async fn bot(url: &str) -> Started {
    started::with(Platform::start().await, |settings| settings.redis = url.parse().ok()).await
}

fn notes(sent: &Sent) -> String {
    sent.body["data"]["embeds"][0]["description"].as_str().unwrap_or_default().to_owned()
}

/// What a command gives when the memory is not late: the bot waits 50 ms for it, which other programs can take away.
async fn in_time(bot: &Started, asked: impl Fn() -> Value) -> Sent {
    for _ in 0..100 {
        let sent = bot.platform.does(&asked()).await;
        if !notes(&sent).contains("memory is away") {
            return sent;
        }
    }
    panic!("the memory is away a hundred times: {}", asked());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn by_another_process() {
    let Some(mut redis) = Redis::start(&[]) else { return };
    let (one, other) = (bot(&redis.url()).await, bot(&redis.url()).await);
    let who = somebody();
    let chosen = in_time(&one, || command(who, "pack", &[("name", json!("canal"))])).await;
    assert!(chosen.body["data"]["content"].as_str().is_some_and(|text| text.contains("now plays by")));
    let pack = redis.cli(&["GET", &format!("pipwright:chat:{}:pack", who.channel)]);
    assert_eq!(pack, "canal-guild");
    // Written by any process, read by every other: a pack that there is none of shows that it was read.
    redis.cli(&["SET", &format!("pipwright:chat:{}:pack", who.channel), "no-such-pack"]);
    let index = in_time(&other, || command(who, "unit", &[("unit", json!("heron"))])).await;
    assert!(index.body["data"]["content"].as_str().is_some_and(|text| !text.starts_with("Heron")), "{:#}", index.body);

    redis.kill();
    let stranger = somebody();
    let begun = Instant::now();
    let asked = other.platform.does(&command(stranger, "help", &[])).await;
    println!("beside a memory that is away: {:?}", asked.at - begun);
    assert!(notes(&asked).contains("The bot's memory is away: taken by the usual pack"), "{}", notes(&asked));
    let chosen = other.platform.does(&command(stranger, "pack", &[("name", json!("canal"))])).await;
    assert!(notes(&chosen).contains("may be forgotten"), "{:#}", chosen.body);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_memory_that_hangs_slows_nobody() {
    let Some(redis) = Redis::start(&[]) else { return };
    let bot = bot(&redis.url()).await;
    in_time(&bot, || command(somebody(), "help", &[])).await;
    redis.freeze();
    let begun = Instant::now();
    // The memory says nothing until it is thawed: whoever waited for it would never be answered here.
    let asked = bot.platform.does(&command(somebody(), "help", &[])).await;
    redis.thaw();
    println!("beside a memory that hangs: {:?}", asked.at - begun);
    assert!(notes(&asked).contains("memory is away"), "{}", notes(&asked));
}
