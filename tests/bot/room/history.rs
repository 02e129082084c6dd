//! Nothing is lost: late joiners, dropped lines, restarts.
use super::{Settings, Table, guest::Guest};
use pipwright_bot::places::{pace::Rate, room::Limits};
use serde_json::json;

fn unhurried() -> Settings {
    let all = Rate { burst: 1_000, each_second: 100.0 };
    Settings { limits: Limits { person: all, room: all, ..Limits::default() }, ..Settings::default() }
}

/// Talk that nobody takes for a question.
const TALK: &str = "good evening";

#[tokio::test]
async fn who_comes_late_gets_the_last_two_hundred() {
    let table = Table::open(unhurried()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    for _ in 0..250 {
        ada.say(TALK).await;
    }
    ada.line(250).await;
    let numbers = |guest: &Guest| guest.lines.iter().filter_map(|line| line["number"].as_u64()).collect::<Vec<_>>();
    assert_eq!(numbers(&ada), (1..=250).collect::<Vec<_>>());
    let mut bo = Guest::join(table.address, "Bo").await;
    bo.line(250).await;
    assert_eq!(numbers(&bo), (51..=250).collect::<Vec<_>>());
}

#[tokio::test]
async fn who_comes_back_gets_what_was_missed_and_no_more() {
    let table = Table::open(unhurried()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let mut bo = Guest::join(table.address, "Bo").await;
    ada.say(TALK).await;
    bo.line(1).await;
    let session = bo.session;
    bo.leave().await;
    ada.say("/check 2d6 7+").await;
    ada.line(3).await;
    let back = json!({"name": "Bo", "sitting": session, "seen": 1});
    let (mut bo, told) = Guest::join_with(table.address, back).await;
    assert_eq!((&told["kind"], &told["missed"]), (&json!("welcome"), &json!(false)), "{told}");
    bo.line(3).await;
    let numbers: Vec<u64> = bo.lines.iter().filter_map(|line| line["number"].as_u64()).collect();
    assert_eq!(numbers, [2, 3]);
    // A message said again because nobody knew whether it had arrived is written once.
    for _ in 0..2 {
        ada.send(&json!({"kind": "say", "key": 50, "text": TALK})).await;
    }
    ada.send(&json!({"kind": "say", "key": 51, "text": "the end"})).await;
    assert_eq!(bo.line(5).await["text"], "the end");
    // After more than the ledger keeps, the gap is said.
    for key in 100..350 {
        ada.send(&json!({"kind": "say", "key": key, "text": TALK})).await;
    }
    ada.line(255).await;
    let (_, told) = Guest::join_with(table.address, json!({"name": "Cy", "sitting": session, "seen": 5})).await;
    assert_eq!(told["missed"], true, "{told}");
}

#[tokio::test]
async fn a_line_that_hangs_gives_way_to_the_same_person() {
    let table = Table::open(Settings::default()).await;
    let mut before = Guest::join(table.address, "Ada").await;
    let mut now = Guest::join(table.address, "Ada").await;
    while before.next().await.is_some() {}
    now.say(TALK).await;
    now.line(1).await;
}

#[tokio::test]
async fn after_a_restart_the_room_is_empty_and_open() {
    let mut table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    ada.say(TALK).await;
    ada.line(1).await;
    let session = ada.session;
    table.close().await;
    while ada.next().await.is_some() {}
    table.start().await;
    let (mut ada, told) = Guest::join_with(table.address, json!({"name": "Ada", "sitting": session, "seen": 1})).await;
    assert_ne!(told["sitting"], session);
    assert_eq!((&told["key"], &told["missed"]), (&json!(0), &json!(false)));
    ada.say("/check 2d6 7+").await;
    ada.line(2).await;
    assert_eq!(ada.lines[0]["number"], 1);
}
