//! Sentences of single cards: what each must say, beside the numbers that it says it of.
use pipwright_bot::card::Card;
use pipwright_bot::client::Api;
use pipwright_bot::hear::{Message, hear};
use pipwright_tests::service::Service;
use std::time::Duration;

struct Room {
    service: Service,
    api: Api,
}

impl Room {
    async fn open() -> Self {
        let service = Service::plain().await;
        let api = Api::new(&service.address, Duration::from_secs(60)).expect("an address");
        Self { service, api }
    }

    async fn hear(&self, pack: &str, text: &str) -> Card {
        hear(&self.api, Message { text, pack: Some(pack), ..Message::default() }).await
    }
}

/// What was read, without what was taken for granted.
fn reading(card: &Card) -> &str {
    card.read_as.split(" \u{b7} ").next().unwrap_or_default()
}

fn assumed(card: &Card) -> &str {
    card.read_as.split(" \u{b7} assumed: ").nth(1).unwrap_or_default()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_assumed_stands_under_every_question_of_units() {
    let room = Room::open().await;
    for text in [
        "3 barges v heron rear",
        "how many barges to wreck a heron, 75%",
        "luck 5 quay rifles v 10 dyke hands killed 2",
        "compare barge or heath riders v dyke hands at 330 points",
    ] {
        let card = room.hear("canal-guild", text).await;
        assert!(assumed(&card).contains("in the open"), "{text}: {} {}", card.headline, card.read_as);
        assert!(assumed(&card).contains("near"), "{text}: {}", card.read_as);
    }
}

/// Six turns are taken for granted, and said to be; what is said counts, and then nothing is assumed of it.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn duels_and_repairs_say_how_long_they_last() {
    let room = Room::open().await;
    for (pack, text, turns) in [
        ("sedge-moot", "duel eel spears v snipe walkers", 6),
        ("canal-guild", "duel 5 quay rifles v 10 dyke hands", 6),
        ("sedge-moot", "repair turf lighter, 3 gone", 6),
        ("canal-guild", "repair heron, 2 gone", 6),
    ] {
        let card = room.hear(pack, text).await;
        assert!(assumed(&card).contains(&format!("{turns} turns")), "{text}: {}", card.read_as);
        let link = card.link.expect("a link");
        let (_, answer) = room.service.ask(&link.path, &link.question).await;
        assert_eq!(answer["turns"].as_array().map(Vec::len), Some(turns), "{text}");
    }
    let card = room.hear("sedge-moot", "duel eel spears v snipe walkers, 3 turns").await;
    assert!(reading(&card).contains("3 turns") && !assumed(&card).contains("turns"), "{}", card.read_as);
}

/// A reading, typed as it stands, asks the same again, and counts without an x.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn readings_are_understood_again() {
    let room = Room::open().await;
    for (pack, text, read) in [
        ("canal-guild", "20 bolt-gun crew v bittern side", "20 Bolt-gun Crews (60 models) v Bittern Carriage, side"),
        ("canal-guild", "two swivel crews v heath riders", "2 Swivel Crews (6 models) v Heath Riders"),
        ("canal-guild", "3x ram barge v heron rear", "3 Ram Barges v Heron Carriage, rear"),
        ("canal-guild", "heron v 10 dyke hands in reeds", "Heron Carriage v 10 Dyke Hands, in reeds"),
        ("sedge-moot", "3 stake crews v coot punt", "3 Stake Crews (9 bodies) v Coot Punt"),
        ("sedge-moot", "6 withy bows v peat cutters in alders", "6 Withy Bows v Peat Cutters, in alders"),
        ("floe-run", "two rack crews v tread hauler", "2 Rack Crews (6 models) v Tread Hauler"),
        (
            "floe-run",
            "skate runners v drift rifles in a snow drift",
            "Skate Runners v Drift Rifles, behind a snow drift",
        ),
    ] {
        let card = room.hear(pack, text).await;
        assert_eq!(reading(&card), read, "{text}");
        let again = room.hear(pack, read).await;
        let links = (card.link.expect("a link"), again.link.unwrap_or_else(|| panic!("{read}: {}", again.headline)));
        assert_eq!(links.0, links.1, "{read}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn headlines_say_what_is_so() {
    let room = Room::open().await;
    for (pack, text, headline) in [
        // 1 - (4/6)² = 5/9.
        ("canal-guild", "/check best of 2d6 5+", "The best of 2d6 is 5+ 5 times in 9 (55.6%)."),
        (
            "canal-guild",
            "how many wharf captains to kill a heron",
            "Wharf Captains can't hurt the Heron Carriage, however many there are. A list may hold no more than 1 Wharf \
             Captain.",
        ),
        (
            "floe-run",
            "what is more good against the sail sledge by the stern: 5 drift rifles or 6 grapnel gang?",
            "6 Grapnel Gangers do more damage to the Sail Sledge (2.84 spars on average against 2.62); per point 5 Drift \
             Rifles do slightly more.",
        ),
        (
            "canal-guild",
            "/assign 3 ram barges, culverin crew, heron carriage against heron carriage, 10 quay rifles",
            "3 Ram Barges, Culverin Crew and Heron Carriage on 10 Quay Rifles: that destroys 60.98 points on average.",
        ),
        (
            "sedge-moot",
            "how many leeches to drop 3 cutters out of 10 at grips, three times in four",
            "4 Leech Gatherers take out at least 3 of ten Peat Cutters 83.6% of the time. The smallest unit has 8, for 24 \
             points.",
        ),
        // 1d6 + 10 and more beat nothing: of the two only the crab's own pipe does any harm.
        (
            "canal-guild",
            "duel bittern v ferry crab, contact",
            "Neither the Bittern Carriage nor the Ferry Crab can hurt the other, but the Ferry Crab is wrecked by its \
             own weapons within six turns about 1 time in 9 (11.3%).",
        ),
    ] {
        assert_eq!(room.hear(pack, text).await.headline, headline, "{text}");
    }
    let card = room.hear("canal-guild", "duel bittern v ferry crab, contact").await;
    assert!(card.lines.iter().all(|line| line.label != "points"), "{:?}", card.lines);
    let card = room.hear("canal-guild", "duel heron v dredge walker, 4 turns").await;
    assert!(card.headline.contains("if its own weapons did it no harm"), "{}", card.headline);
    let card = room.hear("canal-guild", "duel 5 quay rifles v 10 dyke hands").await;
    assert!(card.headline.contains("wipe out or rout"), "{}", card.headline);
}

/// A list that was asked for is told whole, and what it does without is told by its role.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn lists_are_told_whole() {
    let room = Room::open().await;
    let card = room
        .hear("sedge-moot", "make me the strongest five hundred point list you can that has the drum ox in it")
        .await;
    assert!(card.headline.starts_with("500 of 500 points: Drum Ox, "), "{}", card.headline);
    assert!(card.lines.iter().all(|line| line.label.starts_with("list ")), "{:?}", card.lines);
    let card = room.hear("floe-run", "/build 600 no haulers").await;
    assert!(reading(&card).contains("without Haulers (Tread Hauler, Whaleback),"), "{}", card.read_as);
    assert_eq!(card.link.expect("a link").question["exclude"], serde_json::json!(["tread-hauler", "whaleback"]));
    // A share of more than nothing and less than all, and no decimals of a whole game.
    assert!(card.text[1].contains("% of that comes from the "), "{:?}", card.text);
    assert!(card.text[1].starts_with("If it never ran out of targets, it would destroy about "), "{:?}", card.text);
}

/// Who is told of an attacker in the plan is as many as it is, and who is sent nowhere stands with why.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn plans_count_their_units() {
    let room = Room::open().await;
    let card = room.hear("sedge-moot", "/assign fowlers, stake crew, wallow oxen against tar gang, peat cutters").await;
    assert!(
        assumed(&card).starts_with("4 Fowlers, 2 Wallow Oxen, 1 Tar Gang (3 bodies), 5 Peat Cutters, "),
        "{}",
        card.read_as
    );
    assert!(
        card.text[0].starts_with("4 Fowlers on 1 Tar Gang (3 bodies): their best target anyway; without them, "),
        "{:?}",
        card.text
    );
    assert!(card.text[1].contains("but 4 Fowlers see to that; without it, 3.76 points fewer"), "{:?}", card.text);
    let nowhere = "2 Wallow Oxen are sent nowhere: none of their weapons can be used here (ox horns: grips only).";
    assert_eq!(card.text[2], nowhere);
    // Three barges on one target are one line, and the other target has nobody.
    let card = room.hear("canal-guild", "/assign 3 ram barges, culverin crew v heron, 10 quay rifles").await;
    assert!(
        card.text[0].starts_with("The 3 Ram Barges on 10 Quay Rifles: their best target anyway; without one of them, "),
        "{:?}",
        card.text
    );
    assert_eq!(card.lines[0].value, "nobody is sent there");
}

/// Most damage per point is the least points for each model, looked up in the answer that the card is made of.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn most_per_point_is_that() {
    let room = Room::open().await;
    for (pack, text) in [
        ("sedge-moot", "compare withy bows or fowlers v leech gatherers, 100 points"),
        ("floe-run", "compare drift rifles or deck hands v tally crew at 300 points"),
        ("canal-guild", "compare barge, heath riders, quay rifles v dyke hands at 330 points"),
        ("canal-guild", "compare heron, quay rifles v dyke hands"),
    ] {
        let card = room.hear(pack, text).await;
        let link = card.link.expect("a link");
        let (_, answer) = room.service.ask(&link.path, &link.question).await;
        let rows = answer["rows"].as_array().expect("rows");
        let number = |row: &serde_json::Value, key: &str| row[key].as_f64().expect("a number");
        let most = rows.iter().max_by(|a, b| number(a, "models").total_cmp(&number(b, "models"))).expect("rows");
        let cheap = rows.iter().min_by(|a, b| number(a, "points_each").total_cmp(&number(b, "points_each")));
        let same = most["variant"] == cheap.expect("rows")["variant"];
        let both = [", also per point.", ", and slightly more per point."];
        assert_eq!(both.iter().any(|said| card.headline.ends_with(said)), same, "{text}: {}", card.headline);
        assert_eq!(card.headline.contains("; per point "), !same, "{text}: {}", card.headline);
    }
}
