//! Rules: found by words, shown on an example, and asked about with yes or no.
use pipwright_shared::rules::Books;
use pipwright_tests::ask::{ask, refused};
use serde_json::{Value, json};

#[test]
fn print_all() {
    for pack in Books::demo().packs() {
        for rule in &pack.rules {
            let started = std::time::Instant::now();
            let answer = ask("rule", json!({"pack": pack.named.id, "rule": rule.named.id}));
            let e = &answer["example"];
            println!(
                "{:28} {:?} {} | {} {} | with {} without {}",
                rule.named.label,
                started.elapsed(),
                e["path"],
                e["text"],
                e["because"],
                e["with"],
                e["without"]
            );
        }
    }
    for text in [
        "does the lantern screen work from the side",
        "does the screen help at long range from the front?",
        "can guns be used in contact",
        "are hand weapons used at range",
        "does the lantern screen work",
        "do reed skirts work in contact",
        "does double charge work if it moved",
        "is the culverin harder to aim after moving",
        "do signal flags work in fog",
        "does low in the water matter at near range",
        "does the master tinker stack with bilge gang",
        "does the screen work from behind",
        "does the screen work against a culverin crew from the front at 20 inches",
        "do tarred coats help against mortars",
        "does the leadsman help with a charge",
        "is it harder to hit in fog at far range",
        "can a handy gun be used in contact",
        "does crushing blow work",
        "do the reeds shelter quay rifles better",
    ] {
        let a = ask("rule", json!({"ask": text}));
        println!(
            "{text}\n    {} | {} {} except {} ({})",
            a["name"], a["asked"]["answer"], a["asked"]["because"], a["asked"]["except"], a["asked"]["understood"]
        );
    }
    for text in ["latern screne", "gallop", "which rule is about mirrors", "whats bilge gang"] {
        println!("{text}: {}", ask("rule", json!({"ask": text}))["name"]);
    }
    for text in ["purple elephants", "bananas", "does the moon work from behind"] {
        println!("{text}: {:?}", refused("rule", json!({"ask": text})));
    }
    let _: Value = json!(1);
}
