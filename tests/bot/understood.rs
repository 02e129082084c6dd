//! What messages are understood as: each against the question that it makes.
use super::fake::Fake;
use serde_json::{Value, json};

async fn check(cases: &[(&str, &str, Value)]) {
    let fake = Fake::start().await;
    let mut wrong = Vec::new();
    for (text, path, wanted) in cases {
        let card = fake.hear(text, None).await;
        let got = fake.last();
        if got.as_ref() != Some(&((*path).to_owned(), wanted.clone())) {
            wrong.push(format!(
                "{text}\n  wanted {path} {wanted}\n  got    {got:?}\n  said   {} {:?}",
                card.headline, card.notes
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[tokio::test]
async fn checks() {
    check(&[
        ("/check 2d6 7+", "check", json!({"dice": "2d6", "needs": "7+"})),
        ("/check 7+ 2D6", "check", json!({"dice": "2d6", "needs": "7+"})),
        ("chance of 7 or more on 2 dice", "check", json!({"dice": "2d6", "needs": "7+"})),
        ("/chek 3+ rerolling 1s x4", "check", json!({"dice": "d6", "needs": "3+", "reroll": "worst", "tries": 4})),
        (
            "/check 4s re-roll failures 5 times",
            "check",
            json!({"dice": "d6", "needs": "4+", "reroll": "failures", "tries": 5}),
        ),
        ("/check at least 3 of 5 on 4s", "check", json!({"dice": "d6", "needs": "4+", "tries": 5})),
        ("/check best of 2 5+", "check", json!({"dice": "2d6", "needs": "5+", "keep": {"highest": 1}})),
        ("/check d10+3 vs d10+2", "check", json!({"dice": "d10+3", "versus": {"dice": "d10", "modifier": 2}})),
        ("/check 3+ 4+ 5+", "check", json!({"dice": "d6", "needs": ["3+", "4+", "5+"], "tries": 3})),
        ("/check 2d6 +1 8+ with 1 reroll", "check", json!({"dice": "2d6+1", "needs": "8+", "rerolls": 1})),
        ("/check 2d6 5 or less", "check", json!({"dice": "2d6", "needs": "5-"})),
    ])
    .await;
}

#[tokio::test]
async fn attacks_from_plain_numbers() {
    let steps =
        |hit: Value| json!([hit, {"name": "wound", "needs": "4+"}, {"name": "save", "by": "defender", "needs": "5+"}]);
    let usual = steps(json!({"name": "hit", "needs": "3+", "reroll": "worst"}));
    let plain = steps(json!({"name": "hit", "needs": "3+"}));
    check(&[
        ("/odds 20 shots 3s 4s 5s rerolling 1s", "odds", json!({"attacks": 20, "steps": usual, "target": {"models": 20}})),
        ("20 shots hitting on 3s, wounding on 4s, saving on 5s", "odds", json!({"attacks": 20, "steps": plain, "target": {"models": 20}})),
        ("/odds 3+ to hit 4+ to wound 5+ save 20 attacks", "odds", json!({"attacks": 20, "steps": plain, "target": {"models": 20}})),
        ("/odds 20 shots 3+/4+/5+ vs 10 models 2 health", "odds", json!({"attacks": 20, "steps": plain, "target": {"models": 10, "health": 2}})),
        (
            "/odds 3 shots 4+ piercing 2d6+9 armour 16 structure 4",
            "odds",
            json!({"attacks": 3, "steps": [
                {"name": "hit", "needs": "4+"},
                {"name": "penetrate", "kind": "penetrate", "dice": "2d6+9", "against": 16, "graze": {"structure": 0}, "breach": {"structure": 1}},
            ], "target": {"structure": 4}}),
        ),
    ])
    .await;
}

#[tokio::test]
async fn repairs() {
    check(&[
        (
            "/repair 5+ or 6+, 2 of 5 gone, 3 turns",
            "repair",
            json!({"needs": "5+", "compare": [{"needs": "6+"}], "missing": 2, "capacity": 5, "turns": 3}),
        ),
        ("/repair 6+ 1 missing", "repair", json!({"needs": "6+", "missing": 1, "capacity": 2})),
        (
            "does it mend twice in 4 turns on 5s",
            "repair",
            json!({"needs": "5+", "missing": 2, "capacity": 3, "turns": 4}),
        ),
        (
            "/repair heron 2 left",
            "repair",
            json!({"needs": "6+", "missing": 3, "capacity": 5, "label": "Heron Carriage"}),
        ),
    ])
    .await;
}

#[tokio::test]
async fn matchups() {
    let asked = |attacker: Value, situation: Value| json!({"pack": "canal-guild", "attacker": attacker, "target": {"unit": "heron-carriage"}, "situation": situation});
    let barges = json!({"unit": "reed-barge", "models": 3});
    let front = json!({"arc": "front", "cover": "cover"});
    check(&[
        ("3 barges v heron front cover?", "matchup", asked(barges.clone(), front.clone())),
        ("/matchup heron hit by 3 barges in cover from the front", "matchup", asked(barges.clone(), front.clone())),
        ("can 3x reed barges hurt a hreon carriage from the frnt in cover", "matchup", asked(barges.clone(), front.clone())),
        ("kill a heron in cover front with barges x3", "matchup", asked(barges.clone(), front)),
        (
            "/matchup 3 barges with signal mast v heron rear, 2 left, without steam screen",
            "matchup",
            json!({"pack": "canal-guild", "attacker": {"unit": "reed-barge", "models": 3, "options": ["signal-mast"]},
                "target": {"unit": "heron-carriage", "left": 2}, "situation": {"arc": "rear"}, "without": ["steam-screen"]}),
        ),
    ])
    .await;
}

#[tokio::test]
async fn one_thing_changed() {
    let fake = Fake::start().await;
    let card = fake.hear("3 barges v heron front", None).await;
    let link = card.link.expect("an answer has its link");
    for (text, pointer, wanted) in [
        ("what about from the side", "/situation/arc", json!("side")),
        ("in cover?", "/situation/cover", json!("cover")),
        ("what about 5 barges", "/attacker/models", json!(5)),
        ("one more", "/attacker/models", json!(4)),
        ("swap sides", "/attacker/unit", json!("heron-carriage")),
        ("what if 2 left", "/target/left", json!(2)),
        ("without the screen", "/without/0", json!("steam-screen")),
    ] {
        let card = fake.hear(text, Some(&link)).await;
        let (path, question) = fake.last().unwrap_or_else(|| panic!("{text}: nothing was asked: {}", card.headline));
        assert_eq!(path, "matchup", "{text}");
        assert_eq!(question.pointer(pointer), Some(&wanted), "{text}: {question}");
        assert_eq!(question.pointer("/pack"), Some(&json!("canal-guild")), "{text}");
    }
    let written = link.at("http://here.invalid");
    assert_eq!(pipwright_bot::link::parse(&written), Some(link), "{written}");
}

#[tokio::test]
async fn half_understood() {
    let fake = Fake::start().await;
    let card = fake.hear("/matchup heron rear, 2 left", None).await;
    assert!(card.headline.starts_with("Who attacks?"), "{}", card.headline);
    assert!(card.text.join(" ").contains("Heron Carriage") && card.text.join(" ").contains("Rear"), "{:?}", card.text);
    let card = fake.hear("/roll 2d6", None).await;
    assert!(card.headline.starts_with("I give odds, I don't roll dice"), "{}", card.headline);
}
