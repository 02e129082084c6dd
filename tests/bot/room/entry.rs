//! Who comes in: names, the pass phrase, other sites' pages, the door.
use super::{Settings, Table, guest::Guest};
use pipwright_bot::places::{
    pace::Rate,
    room::{Door, Limits},
};
use serde_json::{Value, json};

async fn turned(table: &Table, fields: Value) -> (String, String) {
    let (mut guest, told) = Guest::join_with(table.address, fields).await;
    assert_eq!(told["kind"], "turned", "{told}");
    while guest.next().await.is_some() {}
    let text = |name: &str| told[name].as_str().expect("text").to_owned();
    (text("what"), text("text"))
}

#[tokio::test]
async fn names_are_ones_own() {
    let table = Table::open(Settings::default()).await;
    let _ada = Guest::join(table.address, "Ada").await;
    let seat = "another-seat-0123456789";
    // The same to the eye: another case, hidden characters, wide letters.
    for name in ["Ada", "ADA", "\u{202e}A\u{200b}da\u{feff}", "Ａｄａ", "Adá"] {
        let (what, text) = turned(&table, json!({"name": name, "seat": seat})).await;
        assert_eq!(what, "name", "{name}: {text}");
        assert!(text.contains("already") && !text.contains(['\u{202e}', '\u{200b}', '\u{feff}']), "{text}");
    }
    for name in ["", "  ", "\u{200b}\u{2066}", "Pipwright", &"n".repeat(25)] {
        assert_eq!(turned(&table, json!({"name": name, "seat": seat})).await.0, "name", "{name}");
    }
    let (_bo, told) = Guest::join_with(table.address, json!({"name": " <b>Bo\u{202e}</b>\n& Cy ", "seat": seat})).await;
    assert_eq!(told["name"], "<b>Bo</b> & Cy", "text stays text; the page writes it as such");
    let (_dov, told) = Guest::join_with(table.address, json!({"name": "דוב"})).await;
    assert_eq!(told["name"], "דוב");
}

#[tokio::test]
async fn the_pass_phrase_is_asked_for_and_not_guessed() {
    let phrase = Some("nine wet herons".to_owned());
    let table = Table::open(Settings { phrase, ..Settings::default() }).await;
    let right = json!({"name": "Ada", "phrase": " nine wet herons "});
    for _ in 0..8 {
        assert_eq!(turned(&table, json!({"name": "Ada"})).await.0, "phrase", "not entering one is no guess");
    }
    let (_ada, told) = Guest::join_with(table.address, right.clone()).await;
    assert_eq!(told["kind"], "welcome", "{told}");
    for _ in 0..5 {
        assert_eq!(turned(&table, json!({"name": "Bo", "phrase": "nine wet heron"})).await.0, "phrase");
    }
    assert_eq!(turned(&table, right).await.0, "phrase", "after five wrong ones, not even the right one for a while");
}

#[tokio::test]
async fn a_full_room_and_a_crowd_at_the_door() {
    let limits = Limits { people: 2, arrivals: Rate { burst: 4, each_second: 0.001 }, ..Limits::default() };
    let table = Table::open(Settings { limits, ..Settings::default() }).await;
    let _ada = Guest::join(table.address, "Ada").await;
    let bo = Guest::join(table.address, "Bo").await;
    let (what, text) = turned(&table, json!({"name": "Cy"})).await;
    assert_eq!((what.as_str(), text.as_str()), ("room", "The room is full: 2 people are here."));
    drop(bo);
    let (mut bo, told) = Guest::join_with(table.address, json!({"name": "Bo"})).await;
    assert_eq!(told["kind"], "welcome", "{told}");
    bo.say("good evening").await;
    bo.line(1).await;
    let (what, text) = turned(&table, json!({"name": "Cy"})).await;
    assert_eq!(what, "room");
    assert!(text.starts_with("Too many are coming in at once."), "{text}");
}

#[tokio::test]
async fn another_sites_page_gets_no_line() {
    let table = Table::open(Settings::default()).await;
    let address = table.address;
    assert_eq!(Guest::from(address, "http://elsewhere.invalid").await, Some(403));
    assert_eq!(Guest::from(address, "null").await, Some(403));
    assert_eq!(Guest::from(address, &format!("http://127.0.0.1:{}", address.port() ^ 1)).await, Some(403));
    assert_eq!(Guest::from(address, &format!("http://{address}")).await, None);
    // A stranger's name that means this machine for once.
    let client = reqwest::Client::builder().no_proxy().build().expect("a client");
    let get = client.get(format!("http://{address}/")).header("host", "elsewhere.invalid");
    assert_eq!(get.send().await.expect("an answer").status(), 403);
}

#[tokio::test]
async fn an_open_door_needs_a_phrase() {
    let door = |room: &str, phrase: Option<&str>| Door {
        room: Some(room.parse().expect("an address")),
        room_phrase: phrase.map(String::from),
    };
    let refused = async |door: Door| door.listen().await.expect_err("a closed door").to_string();
    assert!(refused(door("0.0.0.0:0", None)).await.contains("set PIPWRIGHT_ROOM_PHRASE"));
    assert!(refused(door("0.0.0.0:0", Some("  "))).await.contains("set PIPWRIGHT_ROOM_PHRASE"));
    assert!(refused(door("127.0.0.1:0", Some("short"))).await.contains("needs 8 characters"));
    assert!(door("127.0.0.1:0", None).listen().await.expect("a door").is_some());
}
