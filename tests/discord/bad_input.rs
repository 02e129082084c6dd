//! What should not be sent: an answer in words, nothing leaked, nobody else slowed.
use super::made::{Who, command, somebody};
use super::started;
use futures::future::join_all;
use serde_json::json;
use std::time::Instant;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn strange_words() {
    let bot = started::started().await;
    let long = "seven plus ".repeat(550);
    for text in [
        long.as_str(),
        "@everyone <@123> <@&5> <#6> @here",
        "\u{202e}sdrawkcab\u{202c}",
        "\u{200b}\u{200d}\u{feff}",
        "**bold** __under__ [a](https://evil.example) ||hidden|| `code` ```block```",
        "'; drop table units; --",
        "\u{0}\u{1b}[31m",
        "",
        "-99999999999999999999",
    ] {
        for (name, field) in
            [("check", "needs"), ("unit", "unit"), ("rule", "about"), ("pack", "name"), ("help", "command")]
        {
            let sent = bot.platform.does(&command(somebody(), name, &[(field, json!(text))])).await;
            let content =
                sent.body["data"]["content"].as_str().unwrap_or_else(|| panic!("{name} {text:?}: {:#}", sent.body));
            assert!(!content.is_empty(), "{name} {text:?}");
            for whole in ["@everyone", "@here"] {
                let shown = format!("{} {}", content, sent.body["data"]["embeds"]);
                assert!(!shown.contains(whole), "{name} {text:?}: {:#}", sent.body);
            }
            for (at, _) in content.match_indices(['<', '[', '*']) {
                let inside_code = content[..at].matches('`').count() % 2 == 1;
                assert!(inside_code || content[..at].ends_with('\\'), "{name} {text:?}: {content}");
            }
            assert!(!content.contains(['\u{202e}', '\u{feff}', '\u{1b}']), "{name} {text:?}: {content:?}");
        }
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_command_that_is_no_more() {
    let bot = started::started().await;
    let sent = bot.platform.does(&command(somebody(), "gone", &[("what", json!("ever"))])).await;
    assert_eq!(sent.body["data"]["content"], "There is no /gone any more. `/help` lists all commands.");
    let sent =
        bot.platform.does(&command(somebody(), "check", &[("gone", json!("ever")), ("needs", json!("4+"))])).await;
    assert!(sent.body["data"]["content"].as_str().is_some_and(|text| text.contains("(50%)")), "{:#}", sent.body);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn one_persons_flood() {
    let bot = started::started().await;
    let (loud, calm) = (somebody(), somebody());
    let asks = |who: Who| command(who, "check", &[("needs", json!("4+"))]);
    bot.platform.does(&asks(somebody())).await;
    let flood: Vec<_> = (0..100).map(|_| asks(loud)).collect();
    let flooding = Instant::now();
    for asked in &flood {
        bot.platform.dispatch("INTERACTION_CREATE", asked).await;
    }
    let begun = Instant::now();
    let answer = bot.platform.does(&asks(calm)).await;
    assert!(answer.body["data"]["content"].as_str().is_some_and(|text| text.contains("(50%)")), "{:#}", answer.body);
    let took = answer.at - begun;
    println!("beside the flood somebody else waits {took:?}");
    let answers = join_all(flood.iter().map(|asked| bot.platform.first(asked))).await;
    let refused = answers.iter().filter(|sent| {
        sent.body["data"]["content"]
            .as_str()
            .is_some_and(|text| text.starts_with("That is a lot at once. Ask again in"))
    });
    let (refused, seconds) = (refused.count(), flooding.elapsed().as_secs_f64());
    let most = 8 + (seconds / 2.0).ceil() as usize;
    println!("{refused} of 100 refused in {seconds:.1} s");
    assert!(refused <= 92 && refused + most >= 100, "{refused} of 100; eight at once, and one more in two seconds");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn one_loud_channel() {
    let bot = started::started().await;
    let channel = somebody().channel;
    let crowd: Vec<_> = (0..120).map(|_| command(Who { channel, ..somebody() }, "help", &[])).collect();
    let began = std::time::Instant::now();
    for asked in &crowd {
        bot.platform.dispatch("INTERACTION_CREATE", asked).await;
    }
    let answers = join_all(crowd.iter().map(|asked| bot.platform.first(asked))).await;
    // Thirty at once, and three more a second: however long the crowd takes.
    let most = 31.0 + 3.0 * began.elapsed().as_secs_f64();
    let served = answers.iter().filter(|sent| sent.body["data"]["flags"].as_u64() != Some(64)).count();
    assert!(
        served >= 30 && served < crowd.len() && served as f64 <= most,
        "{served} of {}, at most {most}",
        crowd.len()
    );
    bot.platform.does(&command(somebody(), "help", &[])).await;
}
