//! Questions as players write them, with the rule that they are about and the answer: written without sight of the program.
//!
//! `questions.jsonl` holds them, a JSON object a line. Three quarters may be tuned on; those `held_out` (the SHA-256 of the id
//! is a multiple of four) are only counted.
use pipwright_shared::packs;
use pipwright_tests::ask::{ask, try_ask};
use serde_json::{Value, json};

const QUESTIONS: &str = include_str!("questions.jsonl");

/// What became of a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// The rule and the answer that are wanted.
    Right,
    /// The rule that is wanted, and no yes or no, or that it depends.
    Open,
    /// It was asked back.
    Asked,
    /// Another rule, or the opposite answer.
    Wrong,
}

fn request(pack: &Value, text: &str) -> Value {
    // The starter pack is no pack of the service: its files come along.
    if pack == "our-club" {
        let files = packs::starter("our-club");
        return json!({"pack": files[0].text, "book": files[1].text, "ask": text});
    }
    json!({"pack": pack, "ask": text})
}

fn outcome(question: &Value) -> Outcome {
    let mut request_of = request(&question["pack"], question["say"].as_str().expect("a text"));
    if let Some(before) = question["before"].as_array() {
        // A follow-up is about the rule of the question before it.
        let earlier = ask("rule", request(&question["pack"], before[0].as_str().expect("a text")));
        request_of["rule"] = earlier["id"].clone();
    }
    let answer = try_ask("rule", request_of);
    let wanted = question["want"].as_array().expect("a list");
    let mut best = if answer.is_ok() { Outcome::Wrong } else { Outcome::Asked };
    for want in wanted {
        let found = match &answer {
            Err(_) if want.get("back").is_some() => Outcome::Right,
            Err(_) => Outcome::Asked,
            Ok(answer) => of_answer(want, answer),
        };
        if found == Outcome::Right || (found == Outcome::Open && best == Outcome::Wrong) {
            best = found;
        }
    }
    best
}

fn of_answer(want: &Value, answer: &Value) -> Outcome {
    if let Some(words) = want["text"].as_array() {
        let all = answer.to_string().to_lowercase();
        let has = |word: &Value| all.contains(&word.as_str().expect("a word").to_lowercase());
        return if words.iter().all(has) { Outcome::Right } else { Outcome::Wrong };
    }
    let given = &answer["asked"]["answer"];
    match want.get("answer") {
        _ if answer["id"] != want["rule"] => Outcome::Wrong,
        None => Outcome::Right,
        Some(wanted) if wanted == given => Outcome::Right,
        _ if given.is_null() || given == "depends" => Outcome::Open,
        Some(_) => Outcome::Wrong,
    }
}

#[test]
fn questions_as_players_write_them() {
    let questions: Vec<Value> = QUESTIONS.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    let mut missed = Vec::new();
    let mut counts = [[0_usize; 4]; 2];
    for question in &questions {
        let id = question["id"].as_str().expect("an id");
        let held = question["held_out"] == true;
        let outcome = outcome(question);
        counts[usize::from(held)][outcome as usize] += 1;
        if outcome != Outcome::Right && !held {
            missed.push(format!("{outcome:?} {id}: {}", question["say"]));
        }
    }
    let share = |of: [usize; 4], which: Outcome| of[which as usize] as f64 / of.iter().sum::<usize>() as f64;
    let table = format!(
        "right, open, asked back, wrong: tuned {:?}, held out {:?}\n{}",
        counts[0],
        counts[1],
        missed.join("\n")
    );
    assert!(share(counts[0], Outcome::Right) >= 0.9, "{table}");
    assert!(share(counts[1], Outcome::Right) >= 0.8, "{table}");
    let wrong = counts.iter().map(|of| of[Outcome::Wrong as usize]).sum::<usize>();
    assert!(wrong as f64 / questions.len() as f64 <= 0.03, "{table}");
}

/// Each sentence says by itself what is so, and begins with the verdict.
#[test]
fn sentences_begin_with_the_verdict() {
    for line in QUESTIONS.lines() {
        let question: Value = serde_json::from_str(line).expect("JSON");
        let Ok(answer) = try_ask("rule", request(&question["pack"], question["say"].as_str().expect("a text"))) else {
            continue;
        };
        let Some(sentence) = answer["asked"]["sentence"].as_str() else { continue };
        let begins = match answer["asked"]["answer"].as_str() {
            Some("yes") => sentence.starts_with("Yes"),
            Some("no") => sentence.starts_with("No"),
            _ => sentence.starts_with("It depends"),
        };
        assert!(begins && sentence.ends_with('.'), "{sentence}");
        assert!(sentence.len() > 20 && !sentence.contains(": it "), "it names what it is about: {sentence}");
    }
}

/// Words of the packs, from their printed texts.
#[test]
fn terms_are_looked_up() {
    for (pack, text, sort, words) in [
        ("canal-guild", "what is grit", "stat", vec!["carry on"]),
        ("canal-guild", "what does Drill mean", "stat", vec!["find its mark"]),
        ("canal-guild", "what is the driving chart", "chart", vec!["16", "great"]),
        ("canal-guild", "what does reeds do", "cover", vec!["Shelter", "1", "Reed-wise"]),
        ("canal-guild", "what's the shelter behind brick", "cover", vec!["2"]),
        ("canal-guild", "what is a breach", "term", vec!["Hull", "steering gone"]),
        ("sedge-moot", "whats salt", "stat", vec!["stand up again"]),
        ("sedge-moot", "what is wavering", "aftermath", vec!["gives ground"]),
        ("floe-run", "what happens in a snowstorm", "rule", vec!["two less"]),
        ("floe-run", "what does listing mean", "mark", vec!["cracks", "Finish her"]),
        ("floe-run", "what is the cold watch", "check", vec!["2d10", "7+"]),
    ] {
        let answer = ask("rule", json!({"pack": pack, "ask": text}));
        assert_eq!(answer["sort"], sort, "{text}: {answer}");
        let all = format!("{} {} {}", answer["text"], answer["does"], answer["table"]);
        words.iter().for_each(|word| assert!(all.contains(word), "{text}: {word} is not in {all}"));
    }
}

/// Questions about rolls that no rule decides, from the packs' stats and texts: doors guard the front alone; a crew of
/// three that lost three has nobody left to run.
#[test]
fn rolls_are_asked_about() {
    for (pack, text, id, answer) in [
        ("sedge-moot", "do boards work against a shot from the side?", "boards", "no"),
        ("sedge-moot", "does salt work against gnaw", "salt", "yes"),
        ("canal-guild", "can a bolt-gun crew rout", "rout", "no"),
        ("canal-guild", "can dyke hands rout", "rout", "yes"),
        ("canal-guild", "can a heron rout", "rout", "no"),
    ] {
        let found = ask("rule", json!({"pack": pack, "ask": text}));
        assert_eq!((&found["id"], &found["asked"]["answer"]), (&json!(id), &json!(answer)), "{text}: {found}");
    }
}
