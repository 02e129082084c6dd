//! Sentences that are read out at a table: some hundred answers of all commands and packs are made up, and nothing in them
//! is untrue, unlike its number or no English. `PIPWRIGHT_WORDS=3200` reads so many, `PIPWRIGHT_SEED` others.
mod made;
mod numbers;
mod said;
mod sentences;
mod truth;

use made::{Asked, asked};
use pipwright_bot::card::{Card, Sort};
use pipwright_bot::client::Api;
use pipwright_bot::hear::{Message, again, hear};
use pipwright_bot::link::Link;
use pipwright_shared::rules::PackCatalog;
use pipwright_tests::service::Service;
use sentences::Read;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::time::Duration;

/// So many answers are read where nobody says.
const USUAL: usize = 640;

fn set(name: &str) -> Option<u64> {
    std::env::var(name).ok().and_then(|value| value.parse().ok())
}

/// Paths of which the chances come as fractions on request.
const EXACT: [&str; 3] = ["/v1/matchup", "/v1/odds", "/v1/check"];

/// The service's answer to the card's question, exact where it can be.
async fn answer(service: &Service, link: &Link) -> Value {
    let mut question = link.question.clone();
    if EXACT.contains(&link.path.as_str()) {
        question["exact"] = json!(true);
    }
    let (status, answer) = service.ask(&link.path, &question).await;
    if status == 200 {
        return answer;
    }
    // What is too long in fractions is read as it is.
    service.ask(&link.path, &link.question).await.1
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn answers_are_true_and_plain() {
    let service = Service::plain().await;
    let api = Api::new(&service.address, Duration::from_secs(60)).expect("an address");
    let books = PackCatalog::demo();
    let packs = books.packs();
    let count = set("PIPWRIGHT_WORDS").map_or(USUAL, |count| count as usize);
    let mut rng = fastrand::Rng::with_seed(set("PIPWRIGHT_SEED").unwrap_or(20));
    let mut read: BTreeMap<String, usize> = BTreeMap::new();
    let (mut refused, mut wrong) = (0, Vec::new());
    for number in 0..count {
        let pack = &packs[number / 16 % packs.len()];
        let name = Some(pack.named.id.as_str());
        let asked = asked(pack, number, &mut rng);
        let card: Card = match &asked {
            Asked::Link(path, question) => again(&api, name, &Link::new(path, question.clone())).await,
            Asked::Typed(text) => hear(&api, Message { text, pack: name, ..Message::default() }).await,
        };
        if card.sort != Sort::Answer {
            // What can't be asked (a weapon without reach, a rule that nobody has) is said, and read as well.
            refused += 1;
        }
        let (path, question) = match &card.link {
            Some(link) if card.sort == Sort::Answer => (link.path.clone(), link.question.clone()),
            _ => (String::new(), Value::Null),
        };
        let answer = match &card.link {
            Some(link) if card.sort == Sort::Answer => answer(&service, link).await,
            _ => Value::Null,
        };
        *read.entry(path.clone()).or_default() += 1;
        let faults = Read { pack, path: &path, question: &question, answer: &answer, card: &card }.faults();
        wrong.extend(faults.into_iter().map(|fault| format!("{}, {asked:?}:\n    {fault}", pack.named.id)));
    }
    println!("read {read:?}, of which {refused} say why there is no answer");
    assert!(refused * 4 < count, "{refused} of {count} have no answer");
    assert!(wrong.is_empty(), "{} faults in {count} answers:\n{}", wrong.len(), wrong.join("\n"));
}
