//! Anything at all may be asked: there is an answer with chances from 0 to 1, or a refusal with a sentence.
use pipwright_tests::{ask::try_ask, random::wild, spent::on_processor};
use serde_json::Value;
use std::time::Duration;

/// How many are asked; `PIPWRIGHT_WILD` asks more.
fn how_many() -> u64 {
    std::env::var("PIPWRIGHT_WILD").ok().and_then(|n| n.parse().ok()).unwrap_or(20_000)
}

fn chances_in_range(value: &Value) -> bool {
    match value {
        Value::Object(fields) => fields.iter().all(|(name, v)| {
            let chance = ["chance", "at_least", "by", "alive", "any_restored"].contains(&name.as_str());
            // What no number reaches is answered with none; what is wrong with a whole list has no line.
            if v.is_null() && ["attackers", "tries", "line", "throws_needed"].contains(&name.as_str()) {
                return true;
            }
            let fits = v.as_f64().is_none_or(|v| (0.0..=1.0).contains(&v));
            (!chance || fits) && chances_in_range(v)
        }),
        Value::Array(list) => list.iter().all(chances_in_range),
        Value::Null => false,
        _ => true,
    }
}

/// Asks those whose numbers are `part` modulo `parts`; how many were answered, and how many refused.
fn asked(part: u64, parts: usize) -> (u64, u64) {
    let (mut answered, mut refused) = (0, 0);
    for seed in (part..how_many()).step_by(parts) {
        let (path, request) = wild(&mut fastrand::Rng::with_seed(seed));
        let before = on_processor("thread-self");
        match try_ask(path, request.clone()) {
            Ok(answer) => {
                answered += 1;
                assert!(chances_in_range(&answer), "seed {seed}: {path} {request}: {answer}");
            }
            Err(mistakes) => {
                refused += 1;
                assert!(!mistakes.is_empty(), "seed {seed}: {path} {request}");
                assert!(mistakes.iter().all(|m| !m.detail.is_empty()), "seed {seed}: {path} {request}: {mistakes:?}");
            }
        }
        // The processor's time, which other programs do not lengthen; a hang takes much longer.
        let took = on_processor("thread-self") - before;
        assert!(took < Duration::from_secs(5), "seed {seed} took {took:?}: {path} {request}");
    }
    (answered, refused)
}

#[test]
fn no_panic_no_hang_no_nonsense() {
    let parts = std::thread::available_parallelism().map_or(1, usize::from);
    let (answered, refused) = std::thread::scope(|scope| {
        let all: Vec<_> = (0..parts as u64).map(|part| scope.spawn(move || asked(part, parts))).collect();
        let counts = all.into_iter().map(|one| one.join().expect("no panic"));
        counts.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    });
    println!("{answered} answered, {refused} refused");
    assert_eq!(answered + refused, how_many());
    assert!(answered * 10 > how_many() && refused * 10 > how_many(), "answered {answered}, refused {refused}");
}
