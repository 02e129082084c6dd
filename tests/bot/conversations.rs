//! One conversation a command: what a person types, and what the terminal answers with the real service behind it.
//!
//! A line that begins with `> ` is typed (several in a row are one message of several lines); the lines below it are the
//! answer. Each file is one chat, so that a message may change the one before. With `PIPWRIGHT_ACCEPT=1` in the environment the
//! answers are written anew: read the difference before it is committed.
use pipwright_bot::card::Card;
use pipwright_bot::client::Api;
use pipwright_bot::commands::ALL;
use pipwright_bot::hear::{Message, hear};
use pipwright_bot::places::terminal::Chat;
use pipwright_tests::service::Service;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::Duration;

const WIDTH: usize = 60;

/// A message and its answer.
pub struct Exchange {
    /// What is typed.
    pub says: String,
    /// What the terminal shows.
    pub answer: String,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("bot/conversations")
}

/// Whether answers are written instead of compared.
pub fn accepts() -> bool {
    std::env::var_os("PIPWRIGHT_ACCEPT").is_some_and(|value| value == "1")
}

/// The conversation of a command.
pub fn of(command: &str) -> Vec<Exchange> {
    let path = folder().join(format!("{command}.txt"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut exchanges: Vec<Exchange> = Vec::new();
    let mut typing = false;
    for line in text.lines() {
        match (line.strip_prefix("> "), exchanges.last_mut()) {
            (Some(said), Some(last)) if typing => last.says.push_str(&format!("\n{said}")),
            (Some(said), _) => exchanges.push(Exchange { says: said.to_owned(), answer: String::new() }),
            (None, Some(last)) => last.answer.push_str(&format!("{line}\n")),
            (None, None) => panic!("{command}: a conversation begins with `> `"),
        }
        typing = line.starts_with("> ");
    }
    exchanges
}

/// Whether another place's card says what the terminal showed: the same headline, and the same numbers.
pub fn agrees(exchange: &Exchange, card: &Card) -> bool {
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let shown = flat(&exchange.answer);
    let says = |text: &str| shown.contains(&flat(text));
    says(&card.headline) && card.lines.iter().all(|line| says(&line.value))
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_command_answers_as_its_conversation_says() {
    let service = Service::plain().await;
    let api = Api::new(&service.address, Duration::from_secs(20)).expect("an address");
    let mut wrong = Vec::new();
    for command in ALL {
        let mut chat = Chat::default();
        let mut text = String::new();
        for exchange in of(command.name) {
            let answer = chat.line(&api, &exchange.says, WIDTH).await;
            if answer.trim_end() != exchange.answer.trim_end() {
                wrong.push(format!("/{}: {}\n{answer}", command.name, exchange.says));
            }
            let said = exchange.says.lines().map(|line| format!("> {line}\n")).collect::<String>();
            text.push_str(&format!("{said}{}\n\n", answer.trim_end()));
        }
        assert!(!text.is_empty(), "/{} has an empty conversation", command.name);
        if accepts() {
            let path = folder().join(format!("{}.txt", command.name));
            std::fs::write(path, format!("{}\n", text.trim_end())).expect("a writable conversation");
        }
    }
    assert!(accepts() || wrong.is_empty(), "not as written:\n{}", wrong.join("\n"));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_neutral_card_says_what_the_terminal_shows() {
    let service = Service::plain().await;
    let api = Api::new(&service.address, Duration::from_secs(20)).expect("an address");
    for command in ALL {
        // The first message of a chat needs none before it.
        let exchange = of(command.name).into_iter().next().expect("an exchange");
        let card = hear(&api, Message { text: &exchange.says, ..Message::default() }).await;
        assert!(agrees(&exchange, &card), "{}: {card:?}", exchange.says);
    }
}

#[test]
fn every_conversation_is_of_a_command() {
    let files = std::fs::read_dir(folder()).expect("conversations").flatten();
    let named: BTreeSet<String> =
        files.map(|file| file.file_name().to_string_lossy().trim_end_matches(".txt").to_owned()).collect();
    let commands: BTreeSet<String> = ALL.iter().map(|command| command.name.to_owned()).collect();
    assert_eq!(named, commands);
}
