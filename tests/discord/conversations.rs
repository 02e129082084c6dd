//! Commands filled in field by field, each beside the words that a person would type for the same.
//!
//! In `conversations.txt` a line that begins with `> ` is a command with its fields; the line below it that begins with
//! `= ` is typed elsewhere and has to get the same answer; the rest is what the message says first. With
//! `PIPWRIGHT_ACCEPT=1` in the environment the answers are written anew: read the difference before it is committed.
use super::made::{command, somebody};
use super::started;
use pipwright_bot::commands::ALL;
use pipwright_bot::hear::{Message, hear};
use pipwright_bot::places::discord::text::Text;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;

struct Exchange {
    command: String,
    typed: String,
    answer: String,
}

fn exchanges(text: &str) -> Vec<Exchange> {
    let parts = text.split("\n\n").filter(|part| part.trim_start().starts_with("> "));
    let exchange = |part: &str| {
        let mut lines = part.trim().lines();
        let command = lines.next().and_then(|line| line.strip_prefix("> ")).expect("a command").to_owned();
        let typed = lines.next().and_then(|line| line.strip_prefix("= ")).expect("what is typed").to_owned();
        Exchange { command, typed, answer: lines.collect::<Vec<_>>().join("\n") }
    };
    parts.map(exchange).collect()
}

/// `/check needs=7+ | tries=3` as the platform tells it.
fn filled_in(line: &str) -> Value {
    let (name, fields) = line.trim_start_matches('/').split_once(' ').unwrap_or((line.trim_start_matches('/'), ""));
    let value = |text: &str| match text {
        "yes" => json!(true),
        number if number.parse::<i64>().is_ok() && !number.starts_with('+') => {
            json!(number.parse::<i64>().expect("so"))
        }
        text => json!(text),
    };
    let kind = |field: &str, given: Value| {
        let option = ALL.iter().find(|command| command.name == name).and_then(|command| command.option(field));
        use pipwright_bot::commands::Kind;
        match option.map(|option| option.kind) {
            Some(Kind::Number | Kind::Times | Kind::Budget | Kind::Modifier) => given,
            Some(Kind::Flag(_)) | None => given,
            // A field of words gets words, also where they look like a number.
            Some(_) if given.is_number() => json!(given.to_string()),
            Some(_) => given,
        }
    };
    let fields: Vec<(&str, Value)> = fields
        .split(" | ")
        .filter_map(|field| field.split_once('='))
        .map(|(field, text)| (field, kind(field, value(text))))
        .collect();
    command(somebody(), name, &fields)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn fields_say_what_words_say() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("discord/conversations.txt");
    let text = std::fs::read_to_string(&path).expect("the conversations");
    let bot = started::started().await;
    let (mut written, mut wrong, mut seen) = (String::new(), Vec::new(), BTreeSet::new());
    let exchanges = exchanges(&text);
    for Exchange { command, typed, answer } in &exchanges {
        seen.insert(command.trim_start_matches('/').split(' ').next().unwrap_or_default().to_owned());
        let sent = bot.platform.does(&filled_in(command)).await;
        let content = sent.body["data"]["content"].as_str().unwrap_or_default();
        let card = hear(&bot.api, Message { text: &typed.replace(" / ", "\n"), ..Message::default() }).await;
        let headline = Text::<2000>::marked(&card.headline);
        if content != headline.as_str() {
            wrong.push(format!("{command}\n  {content}\n{typed}\n  {}", headline.as_str()));
        }
        if content != answer && !crate::bot::accepts() {
            wrong.push(format!("{command}\n  said   {content}\n  wanted {answer}"));
        }
        // Writing into a string does not fail.
        let _ = write!(written, "> {command}\n= {typed}\n{content}\n\n");
    }
    if crate::bot::accepts() {
        std::fs::write(&path, written).expect("the conversations are written");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    assert!(exchanges.len() >= 60, "{} conversations", exchanges.len());
    let all: BTreeSet<String> = ALL.iter().map(|command| command.name.to_owned()).collect();
    assert_eq!(seen, all, "every command has a conversation");
}
