//! The conversations of the commands, typed in the room: the same headline and the same numbers as in the terminal.
use super::{Room, Settings, guest::Guest, serve};
use crate::bot::conversations::{agrees, of};
use pipwright_bot::card::Card;
use pipwright_bot::client::Api;
use pipwright_bot::places::{pace::Rate, room::Limits};
use pipwright_tests::service::Service;
use serde_json::Value;
use std::path::Path;
use std::time::Duration;
use tokio::net::TcpListener;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_conversation_holds_in_the_room() {
    let service = Service::plain().await;
    let all = Rate { burst: 1_000, each_second: 100.0 };
    let limits = Limits { person: all, room: all, ..Limits::default() };
    let mut wrong = Vec::new();
    let mut heard = 0;
    for command in commands() {
        let api = Api::new(&service.address, Duration::from_secs(20)).expect("an address");
        let listener = TcpListener::bind(("127.0.0.1", 0)).await.expect("a free port");
        let address = listener.local_addr().expect("an address");
        let settings = Settings { limits: limits.clone(), ..Settings::default() };
        tokio::spawn(serve(listener, Room::new(api, settings), std::future::pending()));
        let mut guest = Guest::join(address, "Ada").await;
        // In the room the steps of an answer lie folded below it; nobody types for them.
        let asked = of(&command).into_iter().filter(|exchange| !["steps", "why"].contains(&exchange.says.as_str()));
        for exchange in asked {
            guest.say(&exchange.says).await;
            let card = card(&mut guest).await;
            heard += 1;
            if !agrees(&exchange, &card) {
                wrong.push(format!("/{}: {}\n{card:?}", command, exchange.says));
            }
        }
    }
    assert!(heard >= 20, "only {heard} messages in all conversations");
    assert!(wrong.is_empty(), "not as in the terminal:\n{}", wrong.join("\n"));
}

/// The commands that have a conversation; that all have one is checked where the terminal is.
fn commands() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("bot/conversations");
    let files = std::fs::read_dir(folder).expect("conversations").map(|file| file.expect("a file").file_name());
    files.map(|name| name.to_string_lossy().trim_end_matches(".txt").to_owned()).collect()
}

/// What comes next for the one who asked, in the ledger or not, as a card again.
async fn card(guest: &mut Guest) -> Card {
    let drawn = loop {
        let frame = guest.next().await.expect("a line that holds");
        let mut cards = frame["lines"].as_array().into_iter().flatten().chain([&frame]).map(|line| &line["card"]);
        if let Some(drawn) = cards.find(|card| card.is_object()) {
            break drawn.clone();
        }
    };
    let text = |value: &Value| value.as_str().expect("text").to_owned();
    let mut card = Card { headline: text(&drawn["headline"]), ..Card::default() };
    for line in drawn["lines"].as_array().expect("lines") {
        card.line(text(&line["label"]), text(&line["value"]));
    }
    card
}
