//! What more, less and the other way round do to an answer.
use pipwright_tests::{
    ask::{affordable, ask},
    compare::{exact_rows, rows},
    random::{self, Size},
};
use proptest::prelude::*;
use serde_json::{Value, json};

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

/// The chance of so much or more, for every value up to the highest.
fn tails(summary: &Value) -> Vec<f64> {
    let rows = rows(summary);
    let last = *rows.keys().next_back().expect("a row");
    (0..=last.max(0)).map(|least| rows.range(least..).map(|(_, chance)| chance).sum()).collect()
}

/// Whether the second comes at least as far as the first, everywhere.
fn no_less(first: &Value, second: &Value) -> bool {
    let (first, second) = (tails(first), tails(second));
    first.iter().enumerate().all(|(n, chance)| *chance <= second.get(n).copied().unwrap_or(0.0) + 1e-12)
}

/// A chain of plain rolls, as easy as `needs` says.
fn plain(needs: [u32; 3], reroll: &str, dice: (u32, u32), natural: (bool, bool)) -> Value {
    let step = |name: &str, n: u32, by: &str| {
        json!({"name": name, "die": dice.0, "needs": format!("{n}+"), "reroll": reroll, "by": by,
            "low_fails": natural.0, "high_succeeds": natural.1})
    };
    json!({
        "attackers": dice.1, "attacks": "1d3", "damage": "1d2",
        "steps": [step("hit", needs[0], "attacker"), step("wound", needs[1], "attacker"), step("save", needs[2], "defender")],
        "target": {"models": 4, "health": 2, "spill": natural.0}})
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn harder_needs_do_less(
        needs in [1..8_u32, 1..8, 1..8], which in 0..3_usize, sides in prop::sample::select(vec![4, 6, 8, 10]),
        reroll in prop::sample::select(vec!["none", "worst", "failures"]), natural in any::<(bool, bool)>(), attackers in 0..5_u32,
    ) {
        let easier = ask("odds", plain(needs, reroll, (sides, attackers), natural));
        let mut harder = needs;
        harder[which] += 1;
        let harder = ask("odds", plain(harder, reroll, (sides, attackers), natural));
        // A save that needs more is easier on the attacker.
        let (less, more) = if which == 2 { (&easier, &harder) } else { (&harder, &easier) };
        for lost in ["through", "health_lost", "models"] {
            prop_assert!(no_less(&less[lost], &more[lost]), "{lost}: {needs:?}, then {which} harder");
        }
    }

    #[test]
    fn more_attackers_do_more(seed in any::<u64>()) {
        let mut request = random::odds(&mut fastrand::Rng::with_seed(seed), Size::Small);
        prop_assume!(request.get("volleys").is_none());
        let mut before: Option<Value> = None;
        for attackers in 0..4 {
            request["attackers"] = json!(attackers);
            let answer = affordable("odds", &request);
            prop_assume!(answer.is_some());
            let answer = answer.unwrap_or_default();
            for lost in ["attacks", "through", "health_lost", "models", "structure", "wrecked"] {
                if let Some(before) = before.as_ref().filter(|b| b.get(lost).is_some()) {
                    prop_assert!(no_less(&before[lost], &answer[lost]), "{lost} with {attackers}: {request}");
                }
            }
            before = Some(answer);
        }
    }

    /// High is good or low is good: the same roll with every face counted from the other end.
    #[test]
    fn needs_mirrored(
        sides in 3..11_i64, need in 1..11_i64, modifier in -3..4_i64, on in 2..11_i64, backfire in 1..11_i64,
        reroll in prop::sample::select(vec!["none", "worst", "failures", "natural_failures", "successes", "not_critical"]),
        natural in any::<(bool, bool)>(), always in any::<bool>(),
    ) {
        let (need, on, backfire) = (need.min(sides), on.min(sides - 1), backfire.min(sides - 1));
        let ask_with = |needs: String, modifier: i64, on: i64, backfire: i64| {
            ask("odds", json!({
                "attacks": 2, "exact": true, "passed": true,
                "steps": [
                    {"name": "hit", "die": sides, "needs": needs, "modifier": modifier, "reroll": reroll,
                        "low_fails": natural.0, "high_succeeds": natural.1, "backfire": {"on": backfire},
                        "critical": {"on": on, "always": always, "extra": 1, "then": {"wound": {"needs": "2+"}}}},
                    {"name": "wound", "needs": "4+"}],
                "target": {"models": 3}}))
        };
        let mirror = |face: i64| sides + 1 - face;
        let high = ask_with(format!("{need}+"), modifier, on, backfire);
        let low = ask_with(format!("{}-", mirror(need)), -modifier, mirror(on), mirror(backfire));
        let (mut high, mut low) = (high, low);
        // A mean is an f64 even in an exact answer, summed up in another order here.
        for step in 0..2 {
            let [a, b] = [&mut high, &mut low].map(|answer| answer["steps"][step]["reached"].take().as_f64());
            prop_assert!(a.zip(b).is_some_and(|(a, b)| (a - b).abs() <= 1e-12 * a.max(1.0)), "{a:?} {b:?}");
        }
        for (name, ours) in high.as_object().expect("an answer") {
            prop_assert_eq!(ours, &low[name], "{}", name);
        }
    }

    /// A volley in two is the same as one of both.
    #[test]
    fn a_volley_in_two_halves(seed in any::<u64>(), first in 0..3_u32, second in 0..3_u32) {
        let mut one = random::odds(&mut fastrand::Rng::with_seed(seed), Size::Small);
        prop_assume!(one.get("volleys").is_none() && one.get("aftermath").is_none());
        // One roll for all of a volley is not two rolls for its halves.
        prop_assume!(one["target"]["overflow"] != "wasted" && one["gate"]["per"] != "volley");
        one["exact"] = json!(true);
        one["attackers"] = json!(first + second);
        let mut half = one.clone();
        let target = one["target"].clone();
        for name in ["target", "exact", "passed"] {
            half.as_object_mut().expect("an object").remove(name);
        }
        let volleys = [first, second].map(|attackers| {
            let mut volley = half.clone();
            volley["attackers"] = json!(attackers);
            volley
        });
        let both = affordable("odds", &json!({"volleys": volleys, "target": target, "exact": true}));
        let one = affordable("odds", &one);
        prop_assume!(one.is_some() && both.is_some());
        let (one, both) = (one.unwrap_or_default(), both.unwrap_or_default());
        for lost in ["attacks", "through", "health_lost", "models", "structure", "wrecked", "destroyed", "statuses", "backfires"] {
            prop_assert_eq!(&both[lost], &one[lost], "{}", lost);
        }
    }
}

#[test]
fn tries_are_independent() {
    let answer = ask("check", json!({"dice": "2d6", "needs": "8+", "tries": 5, "exact": true}));
    let one = pipwright_tests::play::number::fraction(answer["fraction"].as_str().expect("a fraction"));
    assert_eq!(exact_rows(&answer["passes"])[&5], one.pow(5));
}
