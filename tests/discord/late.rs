//! Answers that take long: put off within a second, then filled in. Trouble of the service: one plain sentence.
use super::made::{command, somebody};
use super::platform::Platform;
use super::started;
use serde_json::{Value, json};
use std::time::{Duration, Instant};

fn check(private: bool) -> Value {
    command(somebody(), "check", &[("needs", json!("4+")), ("private", json!(private))])
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn put_off_then_filled_in() {
    let service = started::slow(Duration::from_millis(1500)).await;
    let bot = started::at(Platform::start().await, &service, |_| {}).await;
    bot.platform.until("the gateway", |shared| shared.lines.iter().any(|line| line.is_open(0)).then_some(())).await;
    for private in [false, true] {
        let asked = check(private);
        let begun = Instant::now();
        bot.platform.dispatch("INTERACTION_CREATE", &asked).await;
        let first = bot.platform.first(&asked).await;
        assert_eq!(first.body["type"], 5);
        assert_eq!(first.body["data"]["flags"].as_u64(), private.then_some(64));
        let took = first.at - begun;
        println!("put off after {took:?}; the platform waits three seconds");
        let edit = bot.platform.edit(&asked).await;
        assert!(edit.body["content"].as_str().is_some_and(|text| text.contains("(50%)")), "{:#}", edit.body);
        assert_eq!(edit.files.len(), 1, "with its picture");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn limits_of_the_platform_are_waited_for() {
    let bot = started::started().await;
    bot.platform.until("the gateway", |shared| shared.lines.iter().any(|line| line.is_open(0)).then_some(())).await;
    bot.platform.refuse("/interactions", 429, 1);
    let first = bot.platform.does(&check(false)).await;
    assert_eq!(first.body["type"], 4, "sent again after the pause");

    let service = started::slow(Duration::from_millis(1100)).await;
    let bot = started::at(Platform::start().await, &service, |_| {}).await;
    bot.platform.until("the gateway", |shared| shared.lines.iter().any(|line| line.is_open(0)).then_some(())).await;
    for status in [429, 503] {
        bot.platform.refuse("/webhooks", status, 2);
        let asked = check(false);
        bot.platform.does(&asked).await;
        assert!(bot.platform.edit(&asked).await.body["content"].is_string());
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn trouble_in_plain_words() {
    // The first two sentences are those of the client of the service; what matters is that each is said, and no other.
    for (status, body, wanted) in [
        (500, "{}", "The odds service had a fault of its own."),
        (503, "{}", "The odds service is busy. Try again in 7 seconds."),
        (429, "{}", "The odds service is busy. Try again in 7 seconds."),
        (200, "<html>rubbish", "The odds service sent an answer that makes no sense here."),
    ] {
        let service = started::failing(status, body).await;
        let bot = started::at(Platform::start().await, &service, |_| {}).await;
        let told = bot.platform.does(&check(false)).await;
        let content = told.body["data"]["content"].as_str().expect("content").to_owned();
        assert!(content.starts_with(wanted), "{status}: {content}");
        assert_eq!(told.body["data"]["flags"], 64, "the channel need not read it");
    }
    let bot = started::at(Platform::start().await, "http://127.0.0.1:9", |_| {}).await;
    let told = bot.platform.does(&check(false)).await;
    let content = told.body["data"]["content"].as_str().expect("content").to_owned();
    assert!(content.contains("can't be reached"), "{content}");
}
