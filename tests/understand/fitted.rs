//! The weights by which the program tells kinds of questions apart, fitted to the messages whose meaning is known.
//!
//! Fitted to the messages of three quarters (the ids that do not hash to a multiple of four) that stand by themselves; the last
//! quarter is only reported. `PIPWRIGHT_ACCEPT=1 cargo test -p pipwright-tests --test all understand::fitted` writes
//! `bot/src/understand/kinds.txt` anew.
use super::judge::{Case, Judge, is_kept_apart};
use pipwright_bot::understand::kinds::{NOTHING, Weights, features};
use pipwright_bot::understand::message::ParsedMessage;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// A kind of which fewer are known is not told apart.
const FEWEST: usize = 12;
/// Rounds over all messages.
const ROUNDS: usize = 12;
/// Weights below this are left out.
const LEAST: f64 = 0.4;

/// A message's kind by the name of its command, where its author left no choice.
fn kind(case: &Case) -> Option<&str> {
    let mut kinds: Vec<&str> = case
        .want
        .iter()
        .filter_map(|want| {
            if want.get("decline").is_some() {
                return Some(NOTHING);
            }
            if want.get("text").is_some() {
                return Some(case.kind.as_str()).filter(|kind| ["unit", "help", "pack"].contains(kind));
            }
            let path = want.get("ask")?.as_str()?.trim_start_matches("/v1/");
            Some(match path {
                "list-points" => "points",
                "appraisal" => "appraise",
                "packs" => "pack",
                other => other,
            })
        })
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    match kinds.as_slice() {
        [one] => Some(one),
        _ => None,
    }
}

struct Example {
    features: Vec<usize>,
    kind: usize,
}

/// Fits weights to examples: stochastic gradient descent on the log-loss, each weight with a pace of its own (AdaGrad).
fn fit(examples: &[Example], features: usize, kinds: usize) -> Vec<Vec<f64>> {
    let mut weights = vec![vec![0.0; kinds]; features];
    let mut steps = vec![vec![1e-8; kinds]; features];
    let mut order: Vec<usize> = (0..examples.len()).collect();
    let mut seed = 1_u64;
    for _ in 0..ROUNDS {
        for at in (1..order.len()).rev() {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            order.swap(at, usize::try_from(seed >> 33).expect("31 bits") % (at + 1));
        }
        for at in &order {
            let example = &examples[*at];
            let share = 1.0 / (example.features.len() as f64).sqrt();
            let sum = |kind: usize| share * example.features.iter().map(|one| weights[*one][kind]).sum::<f64>();
            let sums: Vec<f64> = (0..kinds).map(sum).collect();
            let most = sums.iter().copied().fold(f64::MIN, f64::max);
            let all: f64 = sums.iter().map(|sum| (sum - most).exp()).sum();
            for kind in 0..kinds {
                let slope = (sums[kind] - most).exp() / all - f64::from(u8::from(kind == example.kind));
                if slope.abs() < 1e-3 {
                    continue;
                }
                for one in &example.features {
                    let slope = slope * share + 1e-5 * weights[*one][kind];
                    steps[*one][kind] += slope * slope;
                    weights[*one][kind] -= 0.5 * slope / steps[*one][kind].sqrt();
                }
            }
        }
    }
    weights
}

/// The weights as the program reads them.
fn written(messages: &[(BTreeSet<String>, &str)]) -> String {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for (_, kind) in messages {
        *counts.entry(kind).or_default() += 1;
    }
    let kinds: Vec<&str> = counts.iter().filter(|(_, count)| **count >= FEWEST).map(|(kind, _)| *kind).collect();
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for feature in messages.iter().flat_map(|(features, _)| features) {
        *seen.entry(feature).or_default() += 1;
    }
    let names: Vec<&str> = seen.iter().filter(|(_, count)| **count > 2).map(|(name, _)| *name).collect();
    let place: BTreeMap<&str, usize> = names.iter().enumerate().map(|(at, name)| (*name, at)).collect();
    let examples: Vec<Example> = messages
        .iter()
        .filter_map(|(features, kind)| {
            let kind = kinds.iter().position(|known| known == kind)?;
            let features = features.iter().filter_map(|name| place.get(name.as_str()).copied()).collect();
            Some(Example { features, kind })
        })
        .collect();
    let weights = fit(&examples, names.len(), kinds.len());
    let mut text = String::from(
        "# How much each feature of a message speaks for each kind of question; see kinds.rs. Made by tests/understand/fitted.rs.\n",
    );
    writeln!(text, "{}", kinds.join(" ")).expect("written");
    for (name, row) in names.iter().zip(&weights) {
        let kept: Vec<String> = row
            .iter()
            .enumerate()
            .filter(|(_, weight)| weight.abs() >= LEAST)
            .map(|(kind, weight)| format!("{kind}:{weight:.1}"))
            .collect();
        if !kept.is_empty() {
            writeln!(text, "{name}\t{}", kept.join(" ")).expect("written");
        }
    }
    text
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_weights_of_kinds_are_those_fitted_to_the_messages() {
    let judge = Judge::start().await;
    let mut all: Vec<(String, BTreeSet<String>, String, bool)> = Vec::new();
    for case in super::all().iter().filter(|case| case.before.is_empty()) {
        let Some(kind) = kind(case) else { continue };
        let index = judge.index(&case.pack).await;
        let features = features(&ParsedMessage::of(&case.say, &index));
        all.push((case.id.clone(), features, kind.to_owned(), is_kept_apart(&case.id)));
    }
    let tuned: Vec<(BTreeSet<String>, &str)> =
        all.iter().filter(|(.., kept)| !kept).map(|(_, features, kind, _)| (features.clone(), kind.as_str())).collect();
    let text = written(&tuned);
    let weights = Weights::read(&text);
    let apart: Vec<_> = all.iter().filter(|(.., kept)| *kept).collect();
    let right = apart
        .iter()
        .filter(|(_, features, kind, _)| weights.chances(features).likeliest().is_some_and(|(best, _)| best == kind))
        .count();
    println!("the kind of {right} of {} messages that were kept apart is the likeliest", apart.len());
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../bot/src/understand/kinds.txt");
    if std::env::var_os("PIPWRIGHT_ACCEPT").is_some() {
        std::fs::write(&path, &text).expect("written");
    }
    assert!(right * 100 >= apart.len() * 80, "{right} of {}", apart.len());
    // Another processor may round otherwise, so what is held against the file is what the weights say.
    let known = Weights::read(&std::fs::read_to_string(&path).expect("the weights"));
    for (id, features, ..) in &all {
        let (one, other) = (known.chances(features), weights.chances(features));
        let (best, chance) = other.likeliest().expect("a kind");
        let same = one.of(best).expect("a kind that is known");
        assert!((same - chance).abs() < 0.03, "{id}: {best} {same} in the file, {chance} as fitted");
    }
}
