//! Asking and answering in the room.
use super::{Settings, Table, guest::Guest};
use pipwright_bot::client::Api;
use serde_json::{Value, json};
use std::time::Duration;

#[tokio::test]
async fn all_see_the_question_and_the_answer() {
    let table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let mut bo = Guest::join(table.address, "Bo").await;
    ada.say("/check 2d6 7+").await;
    for guest in [&mut ada, &mut bo] {
        let said = guest.line(1).await;
        assert_eq!((&said["who"], &said["text"]), (&json!("Ada"), &json!("/check 2d6 7+")));
        let answer = guest.line(2).await;
        assert_eq!((&answer["asked_by"], &answer["to"]), (&json!("Ada"), &json!(1)));
        let card = &answer["card"];
        assert!(
            card["headline"].as_str().expect("text").starts_with("7+ on 2d6 passes 7 times in 12 (58.3%)."),
            "{card}"
        );
        assert_eq!(card["link"]["text"], "/v1/check?dice=2d6&needs=7%2B");
        assert!(card["chart"]["svg"].as_str().expect("text").starts_with("<svg "), "{card}");
        assert_eq!(card["chart"]["bars"].as_array().map(Vec::len), Some(3), "{card}");
    }
}

#[tokio::test]
async fn asking_on_from_an_answer() {
    let table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let mut bo = Guest::join(table.address, "Bo").await;
    ada.say("3 barges v heron front").await;
    let card = ada.line(2).await["card"].clone();
    assert_eq!(card["read_as"], "3 Reed Barges v Heron Carriage, front");
    assert!(card["follow_ups"].as_array().is_some_and(|ways| !ways.is_empty()), "{card}");
    // Another person asks on, while newer answers have come.
    ada.say("/check 2d6 7+").await;
    ada.line(4).await;
    bo.line(4).await;
    bo.say_about("what about from the side", Some(2)).await;
    assert_eq!(bo.line(6).await["card"]["read_as"], "3 Reed Barges v Heron Carriage, side");
    // Without a button it is the person's own last answer that is meant.
    ada.line(6).await;
    ada.say("what about 8+").await;
    assert_eq!(ada.line(8).await["card"]["read_as"], "8+ on 2d6");
    bo.line(8).await;
    bo.say("and from the rear").await;
    assert_eq!(bo.line(10).await["card"]["read_as"], "3 Reed Barges v Heron Carriage, rear");
    // An answer that is not there any more is said to be so.
    bo.say_about("in cover", Some(77)).await;
    let aside = bo.told("aside").await;
    assert!(aside["card"]["headline"].as_str().expect("text").contains("no longer in the ledger"), "{aside}");
}

#[tokio::test]
async fn what_is_no_answer_is_told_to_one_person() {
    let table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let mut bo = Guest::join(table.address, "Bo").await;
    ada.say("/matchup heron rear, 2 left").await;
    let aside = ada.told("aside").await;
    assert_eq!((&aside["to"], &aside["quiet"]), (&json!(1), &json!(false)));
    assert_eq!(aside["card"]["sort"], "question");
    assert!(aside["card"]["headline"].as_str().expect("text").starts_with("Who attacks?"), "{aside}");
    ada.say("3 barges").await;
    assert_eq!(ada.line(3).await["card"]["read_as"], "3 Reed Barges v Heron Carriage, rear, 2 left");
    // The club's own talk is not answered aloud.
    bo.say("who brings the biscuits").await;
    let aside = bo.told("aside").await;
    assert_eq!((&aside["to"], &aside["quiet"]), (&json!(4), &json!(true)), "{aside}");
    bo.say("/roll 2d6").await;
    let aside = bo.told("aside").await;
    assert!(
        aside["card"]["headline"].as_str().expect("text").starts_with("I give odds, I don't roll dice."),
        "{aside}"
    );
    bo.say("/check 2d6 7+").await;
    bo.line(7).await;
    ada.line(7).await;
    let numbers: Vec<u64> = ada.lines.iter().filter_map(|line| line["number"].as_u64()).collect();
    assert_eq!(numbers, (1..=7).collect::<Vec<_>>(), "nothing but the ledger came to Ada");
}

#[tokio::test]
async fn words_are_completed_while_one_types() {
    let table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let words = async |ada: &mut Guest, text: &str| -> Value {
        ada.send(&json!({"kind": "complete", "key": 7, "text": text})).await;
        ada.told("complete").await
    };
    let told = words(&mut ada, "/mat").await;
    assert_eq!(told, json!({"kind": "complete", "key": 7, "start": 0, "words": ["/matchup"]}));
    let told = words(&mut ada, "3 barges v her").await;
    assert_eq!((&told["start"], &told["words"]), (&json!(11), &json!(["Heron Carriage"])));
    // The page counts in UTF-16 units: the wave is two of them.
    let told = words(&mut ada, "🌊 v her").await;
    assert_eq!((&told["start"], &told["words"]), (&json!(5), &json!(["Heron Carriage"])));
}

#[tokio::test]
async fn the_pack_is_the_rooms() {
    let table = Table::open(Settings::default()).await;
    let mut ada = Guest::join(table.address, "Ada").await;
    let mut bo = Guest::join(table.address, "Bo").await;
    ada.say("/pack canal guild").await;
    let card = ada.line(2).await["card"].clone();
    assert_eq!(card["sort"], "answer", "{card}");
    bo.line(2).await;
    bo.say("3 barges v heron front").await;
    bo.line(4).await;
    let (_, question) = table.fake.last().expect("a question");
    assert_eq!(question["pack"], "canal-guild", "{question}");
}

#[tokio::test]
async fn a_service_that_is_away_is_said_to_be_so() {
    let mut table = Table::open(Settings::default()).await;
    table.close().await;
    // Nobody listens at the discard port.
    table.fake.api = Api::new("http://127.0.0.1:9", Duration::from_secs(5)).expect("an address");
    table.start().await;
    let mut ada = Guest::join(table.address, "Ada").await;
    ada.say("/check 2d6 7+").await;
    let aside = ada.told("aside").await;
    assert_eq!((&aside["card"]["sort"], &aside["quiet"]), (&json!("trouble"), &json!(false)));
    let sentence = "The odds service can't be reached just now. Try again in a minute.";
    assert_eq!(aside["card"]["headline"], sentence);
}
