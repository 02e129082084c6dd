//! Registration: made from the definitions, within the limits, and nothing changes when nothing changed.
use super::platform::{APPLICATION, Platform};
use super::started;
use pipwright_bot::commands::ALL;
use pipwright_bot::places::discord::definition::{Scope, all};
use pipwright_bot::places::discord::locale::Language;
use pipwright_bot::places::discord::register::same;
use serde_json::{Value, json};

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn once_and_not_again() {
    let mut bot = started::started().await;
    let path = format!("/applications/{APPLICATION}/commands");
    let put =
        bot.platform.until("a registration", |shared| shared.sent.iter().find(|sent| sent.method == "PUT").cloned());
    let put = put.await;
    assert_eq!(put.path, path);
    let names: Vec<&str> = put.body.as_array().expect("commands").iter().filter_map(|c| c["name"].as_str()).collect();
    assert_eq!(names, ALL.iter().map(|command| command.name).collect::<Vec<_>>());
    for command in put.body.as_array().expect("commands") {
        // Servers, direct messages with the bot, all other chats; installed by servers and by people.
        assert_eq!((&command["contexts"], &command["integration_types"]), (&json!([0, 1, 2]), &json!([0, 1])));
        let private = command["options"].as_array().and_then(|options| options.last()).expect("options");
        assert_eq!((&private["name"], &private["type"]), (&json!("private"), &json!(5)));
    }
    bot.stop();
    assert!(bot.ended().await.is_ok());

    let before = bot.platform.sent("PUT", &path).len();
    let platform = Platform::start().await;
    let written = bot.platform.shared().commands.clone();
    platform.shared().commands = written;
    let again = started::with(platform, |_| {}).await;
    again.platform.until("the gateway", |shared| shared.lines.iter().any(|line| line.is_open(0)).then_some(())).await;
    assert_eq!(before, 1);
    assert_eq!(again.platform.sent("PUT", "commands").len(), 0, "nothing changed");
    assert_eq!(again.platform.sent("GET", "commands").len(), 1, "but it was compared");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn on_servers() {
    let bot = started::with(Platform::start().await, |settings| settings.servers = vec![77, 78]).await;
    bot.platform
        .until("two registrations", |shared| {
            let put: Vec<_> =
                shared.sent.iter().filter(|sent| sent.method == "PUT").map(|sent| sent.path.clone()).collect();
            (put.len() == 2)
                .then(|| assert!(put[0].contains("/guilds/77/") && put[1].contains("/guilds/78/"), "{put:?}"))
        })
        .await;
    for put in bot.platform.sent("PUT", "guilds") {
        assert!(put.body[0].get("contexts").is_none(), "a server's commands have none");
    }
    let again = Platform::start().await;
    again.shared().commands = bot.platform.shared().commands.clone();
    let again = started::with(again, |settings| settings.servers = vec![77, 78]).await;
    again.platform.until("the gateway", |shared| shared.lines.iter().any(|line| line.is_open(0)).then_some(())).await;
    assert_eq!(again.platform.sent("PUT", "").len(), 0, "nothing changed");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn refused_registration_keeps_the_bot_alive() {
    let platform = Platform::start().await;
    platform.refuse("/commands", 429, 1);
    let bot = started::with(platform, |_| {}).await;
    bot.platform.until("the gateway", |shared| shared.lines.iter().any(|line| line.is_open(0)).then_some(())).await;
}

#[test]
fn every_change_is_seen() {
    let wanted = all(ALL, Scope::Everywhere, &[]);
    assert!(same(&wanted, &wanted));
    assert!(!same(&json!([]), &wanted));
    let changed = |pointer: &str, value: Value| {
        let mut there = wanted.clone();
        *there.pointer_mut(pointer).unwrap_or_else(|| panic!("no {pointer}")) = value;
        assert!(!same(&there, &wanted), "{pointer}");
    };
    changed("/0/description", json!("another"));
    changed("/0/options/0/name", json!("another"));
    changed("/0/options/0/required", json!(false));
    changed("/0/contexts", json!([0]));
    let mut reordered = wanted.clone();
    reordered.as_array_mut().expect("commands").reverse();
    assert!(same(&reordered, &wanted), "the platform lists commands as it likes");
}

#[test]
fn languages_are_an_entry_away() {
    const SOME: &[Language] = &[Language { locale: "de", words: &[("check", "probe"), ("needs", "braucht")] }];
    let wanted = all(ALL, Scope::Everywhere, SOME);
    let check = wanted.as_array().expect("commands").iter().find(|command| command["name"] == "check").expect("check");
    assert_eq!(check["name_localizations"], json!({"de": "probe"}));
    assert_eq!(check["options"][0]["name_localizations"], json!({"de": "braucht"}));
    assert!(!same(&all(ALL, Scope::Everywhere, &[]), &wanted), "a new language is registered");
}
