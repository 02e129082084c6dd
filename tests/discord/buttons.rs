//! Buttons and forms: one thing changed, the working, what was missing. All from what stands in the message itself.
use super::made::{Who, command, form, press, somebody};
use super::platform::{Platform, Sent};
use super::started;
use serde_json::{Value, json};

/// The `custom_id` of the button that says this.
fn button(sent: &Sent, label: &str) -> String {
    let data = if sent.body["data"].is_object() { &sent.body["data"] } else { &sent.body };
    let rows = data["components"].as_array().expect("rows");
    let mut buttons = rows.iter().flat_map(|row| row["components"].as_array().expect("buttons"));
    let found = buttons.find(|button| button["label"] == label);
    found
        .and_then(|button| button["custom_id"].as_str())
        .unwrap_or_else(|| panic!("no {label} in {rows:#?}"))
        .to_owned()
}

fn content(sent: &Sent) -> &str {
    sent.body["data"]["content"].as_str().expect("content")
}

fn matchup(who: Who) -> Value {
    command(who, "matchup", &[("attacker", json!("2 lock runners")), ("target", json!("heron barge"))])
}

async fn asked(bot: &started::Started, who: Who) -> Sent {
    let index = bot.api.index(None).await.expect("names");
    let units: Vec<&str> = index.units.iter().map(|unit| unit.name.as_str()).collect();
    let mut made = matchup(who);
    made["data"]["options"][0]["value"] = json!(format!("2 {}", units[0]));
    made["data"]["options"][1]["value"] = json!(units[units.len() - 1]);
    bot.platform.does(&made).await
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn one_thing_changed_and_the_steps() {
    for links in [None, Some("https://odds.example/below".to_owned())] {
        let bot = started::with(Platform::start().await, |settings| settings.links = links.clone()).await;
        let who = somebody();
        let first = asked(&bot, who).await;
        assert_eq!(first.body["data"]["flags"].as_u64().unwrap_or(0), 0, "an answer is for all: {:#}", first.body);
        let url = &first.body["data"]["embeds"][0]["url"];
        assert_eq!(url.as_str().is_some_and(|url| url.starts_with("https://odds.example/below/v1/")), links.is_some());
        let swapped = bot.platform.does(&press(who, &button(&first, "swap sides"), &first)).await;
        assert_ne!(content(&swapped), content(&first));
        let back = bot.platform.does(&press(who, &button(&swapped, "swap sides"), &swapped)).await;
        assert_eq!(
            back.body["data"]["embeds"][0]["description"].is_string(),
            first.body["data"]["embeds"][0]["description"].is_string()
        );
        let steps = bot.platform.does(&press(who, &button(&first, "Steps"), &first)).await;
        assert_eq!(content(&steps), content(&first), "the same answer, with its working");
        assert_eq!(steps.body["data"]["flags"], 64, "which only the one who asked reads");
        let working = steps.body["data"]["embeds"][0]["description"].as_str().expect("the working");
        assert!(working.contains('/') && working.contains("**"), "fractions stand in it: {working}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_missing_is_asked_for() {
    let bot = started::started().await;
    let who = somebody();
    let asks = bot.platform.does(&command(who, "check", &[("dice", json!("2d6"))])).await;
    assert!(content(&asks).starts_with("What does the roll need?"), "{}", content(&asks));
    assert_eq!(asks.body["data"]["flags"], 64, "a question back is for the one who asked");
    let opened = bot.platform.does(&press(who, &button(&asks, "Answer"), &asks)).await;
    assert_eq!(opened.body["type"], 9, "a form: {:#}", opened.body);
    let id = opened.body["data"]["custom_id"].as_str().expect("an id");
    let answer = bot.platform.does(&form(who, id, "7+")).await;
    let direct = bot.platform.does(&command(who, "check", &[("dice", json!("2d6")), ("needs", json!("7+"))])).await;
    assert_eq!(content(&answer), content(&direct));
    assert!(content(&answer).contains("58.3%"), "21 of 36 totals of two dice are 7 or more: {}", content(&answer));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_form_for_a_long_list() {
    let bot = started::started().await;
    let who = somebody();
    let opened = bot.platform.does(&command(who, "points", &[("limit", json!(500))])).await;
    assert_eq!(opened.body["type"], 9, "{:#}", opened.body);
    let input = &opened.body["data"]["components"][0]["components"][0];
    assert_eq!((&input["style"], &input["max_length"]), (&json!(2), &json!(4000)), "many lines");
    let unit = bot.api.index(None).await.expect("names").units[0].clone();
    let lines = vec![unit.name.clone(); 40].join("\n");
    let id = opened.body["data"]["custom_id"].as_str().expect("an id");
    let answer = bot.platform.does(&form(who, id, &lines)).await;
    let points = 40 * unit.points;
    assert!(
        content(&answer).replace(',', "").starts_with(&format!("{points} points")),
        "{points}: {}",
        content(&answer)
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn buttons_of_another_time() {
    let bot = started::started().await;
    let who = somebody();
    let first = asked(&bot, who).await;
    let mut bare = first.clone();
    bare.body["data"]["embeds"] = json!([]);
    for (id, below) in
        [("0x:old", &first), ("9a:new", &first), ("1z:what", &first), ("", &first), ("1a:swap sides", &bare)]
    {
        let told = bot.platform.does(&press(who, id, below)).await;
        assert!(content(&told).starts_with("That button is of another version"), "{id}: {}", content(&told));
        assert_eq!(told.body["data"]["flags"], 64);
    }
}
