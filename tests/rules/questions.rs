//! Rules: found by words, shown on an example, and asked about with yes or no.
use pipwright_shared::rules::PackCatalog;
use pipwright_tests::ask::{ask, refused};
use serde_json::{Value, json};

/// Questions about the demo pack, answered from its printed texts by hand.
#[test]
fn yes_or_no_as_the_text_says() {
    for (text, rule, answer) in [
        ("does the lantern screen work from the side", "lantern-screen", "no"),
        ("does the screen work from behind", "lantern-screen", "no"),
        ("does the screen help at long range from the front?", "lantern-screen", "yes"),
        ("does the screen work against a culverin crew from the front at 20 inches", "lantern-screen", "yes"),
        ("does the lantern screen work", "lantern-screen", "depends"),
        ("does the screen work at near range", "lantern-screen", "no"),
        ("can guns be used in contact", "out-of-arm-s-reach", "no"),
        ("can a handy gun be used in contact", "out-of-arm-s-reach", "yes"),
        ("are hand weapons used at range", "out-of-arm-s-reach", "no"),
        ("do reed skirts work in contact", "reed-skirts", "no"),
        ("do the skirts help from the side at 20 inches", "reed-skirts", "yes"),
        ("does double charge work if it moved", "double-charge", "no"),
        ("does double charge work when it has not moved", "double-charge", "yes"),
        ("is the culverin harder to aim after moving", "on-the-move", "yes"),
        ("do signal flags work in fog", "signal-flags", "no"),
        ("does low in the water matter at near range", "low-in-the-water", "no"),
        ("do tarred coats help against mortars", "tarred-coats", "yes"),
        ("does the leadsman help with a charge", "leadsman", "no"),
        ("does the leadsman help in a hazard test", "leadsman", "yes"),
        ("does the master tinker stack with the bilge gang", "master-tinker", "no"),
        ("do old hands help against soldiers", "old-hands", "no"),
        ("do old hands help against crawlers", "old-hands", "yes"),
    ] {
        let found = ask("rule", json!({"pack": "canal-guild", "ask": text}));
        assert_eq!((&found["id"], &found["asked"]["answer"]), (&json!(rule), &json!(answer)), "{text}: {found}");
    }
    let guns = ask("rule", json!({"ask": "can guns be used in contact"}));
    // All that shoots and is handy, whether its name says gun or not: from the unit book.
    let except: Vec<&str> = guns["asked"]["except"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|gun| gun["id"].as_str().expect("an id"))
        .collect();
    assert_eq!(except, ["bank-pistol", "scatter-gun", "steam-pipe"], "{guns}");
}

#[test]
fn rules_are_found_by_words_and_nonsense_finds_none() {
    for (text, rule) in [
        ("latern screne", "lantern-screen"),
        ("gallop", "at-the-gallop"),
        ("which rule is about mirrors", "lantern-screen"),
        ("whats bilge gang", "bilge-gang"),
        ("crushing", "crushing-blow"),
    ] {
        let found = ask("rule", json!({"pack": "canal-guild", "ask": text}));
        assert_eq!(found["id"], rule, "{text}");
        assert_eq!(found.get("asked"), None, "{text} asks for no yes or no");
    }
    for text in ["purple elephants", "bananas", "does the moon work from behind", "xyzzy"] {
        let mistakes = refused("rule", json!({"pack": "canal-guild", "ask": text}));
        assert!(mistakes[0].detail.contains("no rule of the Canal Guild mentions"), "{mistakes:?}");
    }
}

/// Where the two requests of an example are asked, they give the numbers that stand beside them, and these differ.
#[test]
fn examples_show_the_rule_at_work() {
    let books = PackCatalog::demo();
    let mut lacking: Vec<&str> = Vec::new();
    for pack in books.packs() {
        for rule in &pack.rules {
            let answer = ask("rule", json!({"pack": pack.named.id, "rule": rule.named.id}));
            let changes = !rule.changes.is_empty() || rule.repair.is_some();
            let Some(example) = answer.get("example") else {
                lacking.extend(changes.then_some(&*rule.named.label));
                continue;
            };
            assert_ne!(example["with"], example["without"], "{}", rule.named.label);
            let path = example["path"].as_str().expect("a path");
            let with = ask(path, example["request"].clone());
            same(&with, &example["with"], &rule.named.label);
            if let Some(request) = example.get("request_without") {
                same(&ask(path, request.clone()), &example["without"], &rule.named.label);
            }
            if path == "matchup" {
                let acted = with["rules"]["acted"].as_array().expect("a list");
                assert!(acted.iter().any(|note| note["id"] == rule.named.id.as_str()), "{}", rule.named.label);
            }
        }
    }
    assert!(lacking.is_empty(), "no examples: {}", lacking.join(", "));
}

#[track_caller]
fn same(answer: &Value, numbers: &Value, rule: &str) {
    for (name, value) in numbers.as_object().expect("an object") {
        let given = match name.as_str() {
            "destroyed" => answer["destroyed"].clone(),
            "aftermath" => answer["aftermath"].clone(),
            "chance" => json!({"chance": answer["chance"], "fraction": answer["fraction"]}),
            mean => answer[mean]["expected"].clone(),
        };
        assert_eq!(given, *value, "{name} of {rule}");
    }
}
