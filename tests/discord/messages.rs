//! Messages in plain words: direct ones, and those that name the bot.
use super::made::{Who, message, said, somebody};
use super::platform::{APPLICATION, Sent};
use super::started::{self, Started};
use serde_json::json;

async fn reply(bot: &Started, who: Who, nth: usize) -> Sent {
    let path = format!("/channels/{}/messages", who.channel);
    let found = bot.platform.until("a reply", |shared| {
        shared.sent.iter().filter(|sent| sent.method == "POST" && sent.path == path).nth(nth).cloned()
    });
    found.await
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_direct_message_and_a_change_to_its_answer() {
    let bot = started::started().await;
    let who = somebody();
    let question = said(who, "2d6 7+", false);
    bot.platform.dispatch("MESSAGE_CREATE", &question).await;
    let answer = reply(&bot, who, 0).await;
    assert!(answer.body["content"].as_str().is_some_and(|text| text.contains("58.3%")), "{:#}", answer.body);
    assert_eq!(answer.body["message_reference"]["message_id"], question["id"]);
    assert_eq!(answer.body["allowed_mentions"], json!({"parse": [], "replied_user": false}));
    let mut change = said(who, "what about 8+", false);
    change["referenced_message"] = message(who, &answer);
    bot.platform.dispatch("MESSAGE_CREATE", &change).await;
    let changed = reply(&bot, who, 1).await;
    // 15 of 36 totals of two dice are 8 or more.
    assert!(changed.body["content"].as_str().is_some_and(|text| text.contains("41.7%")), "{:#}", changed.body);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_question_back_is_answered_by_a_reply() {
    let bot = started::started().await;
    let who = somebody();
    bot.platform.dispatch("MESSAGE_CREATE", &said(who, "/check 2d6", false)).await;
    let asks = reply(&bot, who, 0).await;
    assert!(asks.body["content"].as_str().is_some_and(|text| text.starts_with("What does the roll need?")));
    let mut answer = said(who, "7+", false);
    answer["referenced_message"] = message(who, &asks);
    bot.platform.dispatch("MESSAGE_CREATE", &answer).await;
    let told = reply(&bot, who, 1).await;
    assert!(told.body["content"].as_str().is_some_and(|text| text.contains("58.3%")), "{:#}", told.body);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn in_a_server_only_where_it_is_named() {
    let bot = started::started().await;
    let who = Who { server: Some(88), ..somebody() };
    bot.platform.dispatch("MESSAGE_CREATE", &said(who, "2d6 9+ I think", false)).await;
    let mut own = said(who, "2d6 10+", true);
    own["author"]["bot"] = json!(true);
    bot.platform.dispatch("MESSAGE_CREATE", &own).await;
    bot.platform.dispatch("MESSAGE_CREATE", &said(who, &format!("<@{APPLICATION}> 2d6 7+"), true)).await;
    let answer = reply(&bot, who, 0).await;
    assert!(answer.body["content"].as_str().is_some_and(|text| text.contains("58.3%")), "{:#}", answer.body);
    assert_eq!(bot.platform.sent("POST", "/channels/").len(), 1, "what was not meant for it has no answer");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_flood_is_told_once() {
    let bot = started::started().await;
    let who = somebody();
    for _ in 0..40 {
        bot.platform.dispatch("MESSAGE_CREATE", &said(who, "/help", false)).await;
    }
    let told = bot.platform.until("a word", |shared| {
        let mut told = shared.sent.iter().filter_map(|sent| sent.body["content"].as_str());
        told.any(|text| text.starts_with("That is a lot at once.")).then_some(())
    });
    told.await;
    reply(&bot, who, 8).await;
    let answers = bot.platform.sent("POST", "/channels/");
    let words = answers.iter().filter(|sent| sent.body["content"].as_str().is_some_and(|text| text.contains("a lot")));
    assert_eq!((words.count(), answers.len()), (1, 9), "eight answers, and one word about the rest");
}
