//! A chat that plays by a pack named by its content.
use crate::api::packs::pack_of;
use pipwright_bot::client::Api;
use pipwright_bot::hear::{Message, hear};
use pipwright_tests::service::Service;
use serde_json::json;
use std::time::Duration;

#[tokio::test(flavor = "multi_thread")]
async fn a_chat_plays_by_a_pack_that_was_sent() {
    let service = Service::plain().await;
    let [rules, units] = pack_of("our-club");
    let files = json!({"files": [{"name": rules.0, "text": rules.1}, {"name": units.0, "text": units.1}]});
    let (status, sent) = service.ask("/v1/packs", &files).await;
    assert_eq!(status, 200, "{sent}");
    let api = Api::new(&service.address, Duration::from_secs(20)).expect("an address");
    let say = async |text: &str, pack: Option<&str>| hear(&api, Message { text, pack, ..Message::default() }).await;
    for name in ["address", "pinned"] {
        let address = sent[name].as_str().expect("text");
        let card = say(&format!("/pack {address}"), None).await;
        assert_eq!(card.pack.as_deref(), Some(address), "{card:?}");
        assert!(card.headline.contains("Our Club"), "{card:?}");
        let card = say("3 barges v heron rear", card.pack.as_deref()).await;
        let link = card.link.as_ref().unwrap_or_else(|| panic!("no answer: {card:?}"));
        assert_eq!(link.question["pack"], address, "the link asks for the same again: {card:?}");
        assert!(card.headline.contains("Ram Barges"), "{card:?}");
    }
    let gone = say("3 barges v heron rear", Some("our-club@0123456789")).await;
    assert!(gone.link.is_none(), "{gone:?}");
    let wrong = say("/pack our-club@0123456789", None).await;
    assert!(wrong.pack.is_none() && wrong.headline.contains("send the pack again"), "{wrong:?}");
}
