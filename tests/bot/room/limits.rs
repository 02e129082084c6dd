//! Bad input: floods, long and strange messages, nonsense on the line.
use super::{Settings, Table, guest::Guest};
use pipwright_bot::places::{
    pace::{Pace, Rate},
    plain,
    room::Limits,
};
use serde_json::json;
use std::time::{Duration, Instant};

#[test]
fn a_pace_is_told_the_time() {
    let start = Instant::now();
    let mut pace = Pace::new(Rate { burst: 2, each_second: 0.5 }, start);
    assert_eq!([pace.take(start), pace.take(start)], [Ok(()), Ok(())]);
    assert_eq!(pace.take(start), Err(Duration::from_secs(2)));
    assert_eq!(pace.take(start + Duration::from_secs(1)), Err(Duration::from_secs(1)));
    assert_eq!(pace.take(start + Duration::from_secs(2)), Ok(()));
    assert!(!pace.is_full(start + Duration::from_secs(5)));
    assert!(pace.is_full(start + Duration::from_secs(6)));
}

#[tokio::test]
async fn long_messages_are_refused_in_words() {
    let table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let mut bo = Guest::join(table.address, "Bo").await;
    for (text, long) in [("x".repeat(6_000), 6_000), ("é".repeat(2_001), 2_001)] {
        let key = ada.say(&text).await;
        let refused = ada.told("refused").await;
        assert_eq!(refused["key"], key);
        let words = format!("That message is too long: {long} characters, and up to 2,000 fit. Send it in parts.");
        assert_eq!(refused["text"], words);
    }
    ada.say("\u{200b}\u{202e} \u{2066}").await;
    assert_eq!(ada.told("refused").await["text"], "There is nothing to read in that message.");
    ada.say(&"z".repeat(2_000)).await;
    assert_eq!(bo.line(1).await["text"].as_str().map(str::len), Some(2_000), "the others saw the one that fits, only");
}

/// Ada asks once more; how long the answer took.
async fn answered(ada: &mut Guest, times: usize) -> Duration {
    let asked = Instant::now();
    ada.say(&format!("/check 3d6 {}+", 9 + times)).await;
    while ada.lines.iter().filter(|line| line["asked_by"] == "Ada").count() < times {
        ada.next().await.expect("a line that holds");
    }
    asked.elapsed()
}

#[tokio::test]
async fn a_flood_is_one_persons_own_trouble() {
    let begun = Instant::now();
    let table = Table::open(Settings::default()).await;
    let mut flood = Guest::join(table.address, "Flo").await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let alone = answered(&mut ada, 1).await;
    for _ in 0..100 {
        flood.say("/check 2d6 7+").await;
    }
    let beside = answered(&mut ada, 2).await;
    println!("an answer took {alone:?} alone, {beside:?} beside a flood");
    // On a machine with much else to do, both take longer.
    assert!(beside < Duration::from_secs(1).max(alone * 20), "{beside:?}, {alone:?} alone");
    let refused = flood.told("refused").await;
    assert!(refused["text"].as_str().expect("text").starts_with("That was quick."), "{refused}");
    let theirs = ada.lines.iter().filter(|line| line["who"] == "Flo").count();
    let since = usize::try_from(begun.elapsed().as_secs()).expect("a small number");
    assert!((8..=10 + since).contains(&theirs), "eight at once, then one a second: {theirs}");
    // Who does not stop is cut off, and nobody else.
    for _ in 0..400 {
        flood.say("again").await;
    }
    while flood.next().await.is_some() {}
    ada.say("good evening").await;
    while !ada.lines.iter().any(|line| line["text"] == "good evening") {
        ada.next().await.expect("a line that holds");
    }
}

#[tokio::test]
async fn all_together_have_a_pace_too() {
    let limits = Limits { room: Rate { burst: 3, each_second: 0.001 }, ..Limits::default() };
    let table = Table::open(Settings { limits, ..Settings::default() }).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let mut bo = Guest::join(table.address, "Bo").await;
    for guest in [&mut ada, &mut bo] {
        guest.say("good evening").await;
        guest.say("good night").await;
    }
    let refused = bo.told("refused").await;
    assert!(refused["text"].as_str().expect("text").starts_with("All are asking at once."), "{refused}");
}

#[tokio::test]
async fn strange_characters_turn_nothing_around() {
    let table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    ada.say("\u{202e}/check\u{200b} 2d6 7+\u{2069} @everyone <img src=x onerror=alert(1)> **x**").await;
    let said = ada.line(1).await;
    assert_eq!(said["text"], "/check 2d6 7+ @everyone <img src=x onerror=alert(1)> **x**");
    let answer = ada.line(2).await["card"].to_string();
    assert!(!answer.contains(['\u{202e}', '\u{200b}', '\u{2069}']), "{answer}");
    assert!(answer.contains("Not understood and left out"), "{answer}");
}

#[test]
fn hidden_characters_go_and_letters_stay() {
    assert_eq!(plain::text("שלום \u{200f}עולם"), "שלום עולם");
    assert_eq!(plain::text("a\u{e0041}b\u{3164}c\u{61c}d\u{ad}e\u{7}f"), "abcdef");
    assert_eq!(plain::text("one\r\ntwo\tthree"), "one\ntwo three");
    assert_eq!(plain::text(&format!("e{}", "\u{301}".repeat(40))).chars().count(), 4, "a tower of accents");
    assert_eq!(plain::line("  one\n two  "), "one two");
}

#[tokio::test]
async fn nonsense_on_the_line() {
    let table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    for frame in [json!({}), json!({"kind": "say"}), json!([1]), json!({"kind": "say", "key": -1, "text": "x"})] {
        ada.send(&frame).await;
        let refused = ada.told("refused").await;
        assert_eq!(
            (&refused["key"], &refused["text"]),
            (&json!(null), &json!("That could not be read. Load the page again."))
        );
    }
    // What no page of ours sends ends the line, and nothing else.
    let mut stranger = Guest::connect(table.address).await;
    stranger.send(&json!({"kind": "say", "key": 1, "text": "first"})).await;
    assert_eq!(stranger.next().await, None);
    let mut large = Guest::join(table.address, "Lou").await;
    large.send(&json!({"kind": "say", "key": 1, "text": "x".repeat(200_000)})).await;
    while large.next().await.is_some() {}
    ada.say("good evening").await;
    ada.line(1).await;
}
