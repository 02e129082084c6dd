//! Suggestions while a field is typed: from the pack's names, within 200 ms, and always something.
use super::made::{somebody, typing};
use super::platform::{Platform, Sent};
use super::started;
use std::time::{Duration, Instant};

fn names(sent: &Sent) -> Vec<String> {
    let choices = sent.body["data"]["choices"].as_array().expect("choices");
    choices.iter().map(|choice| choice["value"].as_str().expect("text").to_owned()).collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn names_of_the_pack() {
    let bot = started::started().await;
    let index = bot.api.index(None).await.expect("names");
    let unit = index.units.first().expect("a unit").name.clone();
    let beginning: String = unit.chars().take(4).collect::<String>().to_lowercase();
    for (command, field, typed, wanted) in [
        ("matchup", "target", beginning.clone(), unit.clone()),
        ("matchup", "attacker", format!("3 {beginning}"), format!("3 {unit}")),
        ("unit", "unit", String::new(), unit.clone()),
        ("matchup", "arc", String::new(), index.arcs.first().expect("an arc").name.clone()),
        ("matchup", "without", String::new(), index.rules.first().expect("a rule").name.clone()),
    ] {
        let asked = typing(somebody(), command, field, &typed);
        let sent = bot.platform.does(&asked).await;
        assert_eq!(sent.body["type"], 8);
        assert!(names(&sent).contains(&wanted), "{command} {field} {typed:?}: {:?}", names(&sent));
    }
    // A slip of the fingers.
    let mut slip: Vec<char> = unit.to_lowercase().chars().collect();
    slip.swap(1, 2);
    let sent = bot.platform.does(&typing(somebody(), "unit", "unit", &slip.iter().collect::<String>())).await;
    assert!(names(&sent).contains(&unit), "{slip:?}: {:?}", names(&sent));
}

/// So long the names of a service take that is slow.
const SLOW: Duration = Duration::from_secs(120);

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn soon_even_where_the_service_is_slow_or_away() {
    for service in [started::slow_names(SLOW).await, "http://127.0.0.1:9".to_owned()] {
        let bot = started::at(Platform::start().await, &service, |_| {}).await;
        bot.platform.until("the gateway", |shared| shared.lines.iter().any(|line| line.is_open(0)).then_some(())).await;
        for (typed, wanted) in [("pil", "pil"), ("", "no names known: type it")] {
            let begun = Instant::now();
            let sent = bot.platform.does(&typing(somebody(), "unit", "unit", typed)).await;
            let took = sent.at - begun;
            assert_eq!(names(&sent), [wanted]);
            // Whoever waits for the names waits for minutes.
            println!("answered after {took:?}");
            assert!(took < SLOW / 2, "{took:?}");
        }
        let sent = bot.platform.does(&typing(somebody(), "gone", "field", "text")).await;
        assert_eq!(names(&sent), ["text"], "a command that is no more is answered, too");
    }
}
