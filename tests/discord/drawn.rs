//! A card as a message: markup of others is shown, not read; what is too long is cut where it may be.
use super::limits;
use super::platform::Sent;
use super::published::against;
use pipwright_bot::card::{Bar, Card, Chart, Sort, Step, Unfinished};
use pipwright_bot::link::Link;
use pipwright_bot::places::discord::button::Press;
use pipwright_bot::places::discord::draw::{card, link_of, steps};
use pipwright_bot::places::discord::text::{Text, length};
use serde_json::json;
use std::time::Instant;

#[test]
fn markup_is_shown() {
    let marked = |text: &str| Text::<2000>::marked(text).as_str().to_owned();
    assert_eq!(marked("**Heron** _x_ ~y~ |z|"), "\\*\\*Heron\\*\\* \\_x\\_ \\~y\\~ \\|z\\|");
    assert_eq!(marked("[here](https://x.example)"), "\\[here\\](https:\u{200b}//x.example)");
    assert_eq!(marked("@everyone <@1> <t:1>"), "@\u{200b}everyone \\<@\u{200b}1\\> \\<t:1\\>");
    assert_eq!(marked("# head\n> quote"), "\\# head\n\\> quote");
    assert_eq!(marked("Try `/check 2d6 7+`."), "Try `/check 2d6 7+`.", "our own examples stay code");
    assert_eq!(marked("``` a `b"), "\\`\\`\\` a \\`b", "a block never opens");
    assert_eq!(marked("a\u{202e}b\u{200b}c\u{e0041}"), "abc");
}

#[test]
fn cut_by_signs_never_inside_an_escape() {
    assert_eq!(Text::<5>::plain("12345").as_str(), "12345");
    assert_eq!(Text::<5>::plain("123456").as_str(), "1234\u{2026}");
    assert_eq!(Text::<5>::marked("****").as_str(), "\\*\\*\u{2026}");
    for most in [Text::<9>::marked("🜁🜂🜃🜄🜁🜂🜃🜄").as_str(), Text::<9>::marked(&"*".repeat(99)).as_str()]
    {
        assert!(length(most) <= 9 && most.ends_with('\u{2026}') && !most.ends_with("\\\u{2026}"), "{most}");
    }
}

/// A card with far too much of everything, all of it markup.
fn huge() -> Card {
    let much = |length: usize| "*_[@<🜁 ".repeat(length / 7);
    let mut huge = Card::saying(Sort::Answer, much(9000));
    huge.read_as = much(900);
    huge.text = vec![much(5000); 9];
    huge.notes = vec![much(500); 9];
    let bar = |at: usize| Bar { label: much(30), chance: 0.1 * at as f64, strong: at.is_multiple_of(2) };
    huge.chart = Some(Chart { title: much(90), bars: (0..16).map(bar).collect(), alt: much(3000), ..Chart::default() });
    huge.steps = vec![Step { name: much(50), text: much(5000), because: vec![much(3000); 4] }; 30];
    huge.link = Some(Link::new("/v1/check", json!({"needs": "7+"})));
    for at in 0..40 {
        huge.line(much(300), much(300));
        huge.follow_up(format!("{at}{}", much(200)), format!("what about {at}"));
        huge.follow_up("again", "what about 1");
        huge.follow_up("", much(300));
    }
    huge
}

#[test]
fn too_much_of_everything_still_fits() {
    let mut lacking = huge();
    lacking.unfinished = Some(Unfinished { text: "/check 2d6".into(), option: Some("needs"), lines: false });
    lacking.sort = Sort::Question;
    for big in [huge(), lacking] {
        let drawn = card(&big, Some("https://odds.example"));
        for (message, picture) in [(drawn.message, drawn.picture), (steps(&big), None)] {
            let body = json!({"type": 4, "data": message});
            let files = picture.map(|bytes| ("chart.png".to_owned(), bytes)).into_iter().collect();
            let sent = Sent {
                method: "POST".into(),
                path: "/interactions/1/key/callback".into(),
                body: body.clone(),
                files,
                at: Instant::now(),
            };
            let faults = [limits::faults(&sent), against("CreateMessageInteractionCallbackRequest", &body)].concat();
            assert!(faults.is_empty(), "{faults:?}");
        }
    }
}

#[test]
fn the_picture_is_described() {
    let drawn = card(&huge(), None);
    let message = json!(drawn.message);
    assert!(drawn.picture.is_some());
    let description = message["attachments"][0]["description"].as_str().expect("a description");
    assert!(length(description) <= 1024 && description.ends_with('\u{2026}'), "{description}");
    assert_eq!(message["embeds"][0]["image"]["url"], "attachment://chart.png");
}

#[test]
fn a_sentence_alone_has_no_frame() {
    let message = json!(card(&Card::saying(Sort::Refusal, "No."), None).message);
    assert_eq!(message["embeds"], json!([]));
    assert_eq!(message["content"], "No.");
}

#[test]
fn buttons_say_what_they_are() {
    let unfinished = Unfinished { text: "/check 2d6".into(), option: Some("needs"), lines: false };
    for press in [
        Press::Again("what about: colons".into()),
        Press::Ask("/check 2d6 7+".into()),
        Press::Steps,
        Press::Form(unfinished),
        Press::Form(Unfinished { text: "/points limit: 5".into(), option: Some("list"), lines: true }),
        Press::Form(Unfinished { text: "/check".into(), option: None, lines: false }),
    ] {
        let id = json!(press.id().expect("short enough"));
        assert_eq!(Press::read(id.as_str().expect("text")), Some(press));
    }
    assert!(Press::Again("x".repeat(97)).id().is_some() && Press::Again("x".repeat(98)).id().is_none());
    for wrong in ["", "1", "1a", "2a:x", "1x:y", "1w:needs", "1w:gone:/check", "1l:needs:/gone x", "1w:needs:check"] {
        assert_eq!(Press::read(wrong), None, "{wrong}");
    }
}

#[test]
fn links_are_found_again() {
    let link = Link::new("/v1/check", json!({"dice": "2d6", "needs": "7+"}));
    for links in [None, Some("https://odds.example/below")] {
        let drawn = card(&Card { link: Some(link.clone()), ..Card::saying(Sort::Answer, "x") }, links);
        let message = json!(drawn.message);
        let embed = &message["embeds"][0];
        assert_eq!(link_of(embed["url"].as_str(), embed["footer"]["text"].as_str()), Some(link.clone()));
    }
    assert_eq!(link_of(Some("https://elsewhere.example/page"), Some("a footer")), None);
    let long = Link::new("/v1/check", json!({"needs": "7".repeat(3000)}));
    let mut too_long = Card { link: Some(long), ..Card::saying(Sort::Answer, "x") };
    too_long.follow_up("other", "what about 5+");
    let message = json!(card(&too_long, None).message);
    assert_eq!(message["components"][0]["components"][0]["custom_id"], "1q:what about 5+", "asked on its own");
}
