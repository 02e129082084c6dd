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
             own steam pipe within six turns about 1 time in 9 (11.3%).",
        ),
    ] {
        assert_eq!(room.hear(pack, text).await.headline, headline, "{text}");
    }
    let card = room.hear("canal-guild", "duel bittern v ferry crab, contact").await;
    assert!(card.lines.iter().all(|line| line.label != "points"), "{:?}", card.lines);
    let card = room.hear("canal-guild", "duel heron v dredge walker, 4 turns").await;
    assert!(
        card.headline.contains(" by the Heron Carriage alone, the rest with the help of its own "),
        "{}",
        card.headline
    );
    let card = room.hear("canal-guild", "duel 5 quay rifles v 10 dyke hands").await;
    assert!(card.headline.contains("wipe out or rout"), "{}", card.headline);
}

/// The likelier end leads, and what both may come to is told where both attack at once.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn duels_say_who_wins() {
    let room = Room::open().await;
    let card = room.hear("sedge-moot", "duel 5 eel spears v 2 wallow oxen at grips, oxen first").await;
    assert!(
        card.headline.starts_with("Two Wallow Oxen wipe out five Eel Spears within six turns "),
        "{}",
        card.headline
    );
    assert!(card.headline.contains("; the other way round "), "{}", card.headline);
    assert!(reading(&card).ends_with("the Wallow Oxen first"), "{}", card.read_as);
    let card = room.hear("floe-run", "duel whaleback v tread hauler, 8 turns, hail, both at once").await;
    let link = card.link.clone().expect("a link");
    let (_, answer) = room.service.ask(&link.path, &link.question).await;
    let last = answer["turns"].as_array().and_then(|turns| turns.last()).expect("turns");
    let number = |key: &str| last[key].as_f64().expect("a number");
    // What is not one side's, not the other's and not open, both have lost.
    let both = number("a_destroyed") + number("b_destroyed") + number("both_standing") - 1.0;
    let percents = card.headline.split('%').filter_map(|before| before.rsplit(' ').next()?.parse().ok());
    let said: Vec<f64> = percents.collect();
    assert!(card.headline.starts_with("The Whaleback wins "), "{}", card.headline);
    assert!(card.headline.contains("; both are wrecked "), "{}", card.headline);
    assert!(both > 0.001, "{both}");
    assert_eq!(said.len(), 4, "{}", card.headline);
    assert!((said.iter().sum::<f64>() - 100.0).abs() < 0.21, "{said:?}");
}

/// Half a reason is none: each weapon is accounted for, or none is.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_side_without_a_chance_says_why() {
    let room = Room::open().await;
    // Driving 11 and Drive 2 on one die come to 19, and the hull is 21.
    let card = room.hear("canal-guild", "duel bittern v dredge walker at 6 inches, 5 turns, bittern first").await;
    let why = "the Bittern Carriage can't be wrecked (the dredge claw is for contact only and the steam pipe can't get \
               through).";
    assert!(card.headline.ends_with(why), "{}", card.headline);
    assert!(
        card.steps.iter().any(|step| step.text.ends_with("1d6+13 against 21: never gets through")),
        "{:?}",
        card.steps
    );
    assert!(reading(&card).contains("at 6\""), "{}", card.read_as);
}

/// What was not said of a formation is the pack's, and said to be assumed.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn templates_are_laid_on_the_packs_formation() {
    let room = Room::open().await;
    let card = room.hear("floe-run", "/blast 80mm template, 10 models").await;
    assert_eq!(reading(&card), "template 80 mm, 10 models");
    let wanted = "30 mm bases, 20 mm apart, ranks of 4, counted where touched, aimed at the middle of the model where it \
                  catches most";
    assert_eq!(assumed(&card), wanted);
    assert!(card.headline.starts_with("Laid on the middle of one model, the template catches "), "{}", card.headline);
    let card = room.hear("canal-guild", "/blast 80mm template, 10 models, 40mm bases, gap 10mm, 2 files").await;
    assert_eq!(reading(&card), "template 80 mm, 10 models, 40 mm bases, 10 mm apart, ranks of 2");
}

/// Plain words change the pack where they ask for that, and only then; a list says which is on.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn packs_are_switched_by_plain_words() {
    let room = Room::open().await;
    for text in ["enough ice. put me on the marsh rules", "can we switch to sedge moot, chat wants swamp people"] {
        let card = room.hear("floe-run", text).await;
        assert_eq!(card.pack.as_deref(), Some("sedge-moot"), "{text}: {}", card.headline);
        assert_eq!(card.headline, "This chat now plays by the rules of the Sedge Moot.", "{text}");
    }
    let card = room.hear("sedge-moot", "which games does it know then").await;
    assert_eq!(card.pack, None, "{}", card.headline);
    let all = "I know three: Canal Guild, Sedge Moot and Floe Run; this chat plays by the rules of the Sedge Moot.";
    assert_eq!(card.headline, all);
    assert!(card.lines.iter().any(|line| line.label == "Sedge Moot (on)"), "{:?}", card.lines);
}

/// Repairs count what the pack counts, and answer how many with a number.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn repairs_are_told_in_the_packs_words() {
    let room = Room::open().await;
    // Two tries of 4+ in two turns, of three missing: at least one with 1 - (1/2)^4.
    let card = room.hear("sedge-moot", "/repair drum ox near herb wife, 3 missing, 2 turns").await;
    assert!(card.headline.starts_with("The Drum Ox gets at least one breath back within 2 turns"), "{}", card.headline);
    assert!(card.headline.ends_with("; 1.94 of its 3 missing breath on average."), "{}", card.headline);
    assert!(reading(&card).contains("two tries a turn"), "{}", card.read_as);
    let card = room.hear(
        "floe-run",
        "The hauler lost four spars, the stove sledge is next to it. How many come back in three turns?",
    );
    let card = card.await;
    let much = "The Tread Hauler gets 3.14 of its 4 missing spars back within 3 turns on average, and all of them about 3 \
                times in 8 (37.8%).";
    assert_eq!(card.headline, much);
    assert!(
        reading(&card).contains("Thaw gang with Hot irons") && reading(&card).contains("7+ on d10"),
        "{}",
        card.read_as
    );
    let card = room.hear("canal-guild", "/repair heron carriage").await;
    assert!(card.headline.contains("gets its missing point of structure back"), "{}", card.headline);
    assert!(assumed(&card).starts_with("1 of 4 missing"), "{}", card.read_as);
}

/// The answer leads: who has a rule, how fast something is, what an option is of.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn look_ups_answer_what_was_asked() {
    let room = Room::open().await;
    let card = room.hear("floe-run", "Could you tell me which hulls have a thaw gang?").await;
    assert_eq!(card.headline, "Thaw gang: the Tread Hauler and the Whaleback have it.");
    let card = room.hear("floe-run", "how fast is a sail sledge").await;
    assert_eq!(card.headline, "The Sail Sledge has Glide 7: its dash is 1d10+7 inches.");
    let card = room.hear("sedge-moot", "/rule elder").await;
    let elder = "No rule is called that: Elder is an option of the Door Bearers, +8 points: one of them has Breath 2, Hide 4+ \
                 and Salt 5+. Ask /unit Door Bearers.";
    assert_eq!(card.headline, elder);
}

/// A soldier's numbers go by no side, so none is assumed; those of boards do.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn sides_are_assumed_of_what_has_them() {
    let room = Room::open().await;
    for (pack, text, arc) in [
        ("floe-run", "drift rifles v deck hands", None),
        ("floe-run", "drift rifles v gun sledge", Some("bow")),
        ("sedge-moot", "withy bows v door bearers", Some("front")),
        ("canal-guild", "quay rifles v dyke hands", None),
    ] {
        let card = room.hear(pack, text).await;
        let said = assumed(&card).split(", ").any(|word| ["bow", "front"].contains(&word));
        assert_eq!(said, arc.is_some(), "{text}: {}", card.read_as);
    }
}

/// The chart is of what was asked for, and the bars that answer it are full.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn charts_show_what_was_asked() {
    let room = Room::open().await;
    let card = room.hear(
        "sedge-moot",
        "there are 5 black stones and 3 white ones in the bag, I pull 2. chance that both are white?",
    );
    let chart = card.await.chart.expect("a chart");
    assert_eq!(chart.title, "white drawn");
    let full: Vec<&str> = chart.bars.iter().filter(|bar| bar.strong).map(|bar| bar.label.as_str()).collect();
    assert_eq!(full, ["2"]);
    // 13 and more of 2d10 are 36 of 100 ways.
    let chart = room.hear("floe-run", "/check 2d10 needs 13+").await.chart.expect("a chart");
    let full: f64 = chart.bars.iter().filter(|bar| bar.strong).map(|bar| bar.chance).sum();
    assert!((full - 0.36).abs() < 1e-12, "{full}");
    assert!(chart.bars.iter().any(|bar| bar.label == "11-12") && chart.bars.iter().any(|bar| bar.label == "13-14"));
}

/// Whose luck it is stands beside it.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn luck_names_whose_it_is() {
    let room = Room::open().await;
    let card = room.hear("sedge-moot", "/luck 10 withy bows v 12 leech gatherers lost 9").await;
    assert!(card.headline.starts_with("A little unlucky for the Withy Bows: 9 or fewer "), "{}", card.headline);
    let card = room.hear("sedge-moot", "/luck 4 fowlers v 10 leech gatherers lost 0").await;
    assert!(card.headline.contains(" for the Fowlers: "), "{}", card.headline);
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
