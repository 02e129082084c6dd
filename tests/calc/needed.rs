//! The smallest number for a wanted chance, against published answers and against counting up.
use super::{close, number, pointers};
use fastrand::Rng;
use pipwright_tests::{
    ask::{ask, try_ask},
    random::{self, Size},
};
use serde_json::{Value, json};

fn tries(needed: Value) -> Option<u64> {
    ask("needed", needed)["tries"].as_u64()
}

#[test]
fn the_wagers_of_old() {
    // Huygens, De ratiociniis in ludo aleae (1657), English of Arbuthnot (1692), propositions X, XI and XII:
    // an even chance of a six takes 4 throws, of a double six 25, of two sixes 10 dice.
    let even = |dice: &str, needs: &str, passes: u32| {
        tries(json!({"check": {"dice": dice, "needs": needs}, "want": {"passes": passes, "chance": 0.5}}))
    };
    assert_eq!(even("1d6", "6+", 1), Some(4));
    assert_eq!(even("2d6", "12+", 1), Some(25));
    assert_eq!(even("1d6", "6+", 2), Some(10));
    let six = ask(
        "needed",
        json!({"check": {"dice": "d6", "needs": "6+"}, "want": {"passes": 1, "chance": 0.5}, "exact": true}),
    );
    // Proposition X again: 671/1296 with four throws, 91/216 with three.
    assert_eq!(six["fraction"], "671/1296");
    assert_eq!(six["below"]["fraction"], "91/216");
    assert_eq!(six["below"]["tries"], 3);
    let shown: Vec<_> = six["table"].as_array().unwrap().iter().map(|row| row["tries"].as_u64().unwrap()).collect();
    assert_eq!(shown, [1, 2, 3, 4, 5, 6, 7]);
    // Proposition XII: 10 dice give 10389767/20155392.
    let two = ask(
        "needed",
        json!({"check": {"dice": "d6", "needs": "6+"}, "want": {"passes": 2, "chance": 0.5}, "exact": true}),
    );
    assert_eq!((&two["fraction"], &two["below"]["fraction"]), (&json!("10389767/20155392"), &json!("2304473/5038848")));
}

/// Sets the attackers of every volley.
fn with_attackers(chain: &Value, attackers: u32) -> Value {
    let mut chain = chain.clone();
    match chain.get_mut("volleys").and_then(Value::as_array_mut) {
        Some(volleys) => volleys.iter_mut().for_each(|volley| volley["attackers"] = json!(attackers)),
        None => chain["attackers"] = json!(attackers),
    }
    chain
}

/// The chance of what is wanted, from the whole answer to the chain.
fn reached(answer: &Value, quantity: &str, wanted: i64) -> f64 {
    if quantity == "destroyed" {
        return number(&answer["destroyed"]["chance"]);
    }
    let rows = answer[quantity]["distribution"].as_array().expect("rows");
    rows.iter().filter(|row| row["value"].as_i64() >= Some(wanted)).map(|row| number(&row["chance"])).sum()
}

#[test]
fn counting_up_finds_the_same_on_three_hundred_chains() {
    const MOST: u32 = 16;
    let mut rng = Rng::with_seed(3_141);
    let (mut compared, mut found, mut several) = (0, 0, 0);
    while compared < 300 {
        let mut chain = random::odds(&mut rng, Size::Small);
        for field in ["exact", "passed"] {
            chain.as_object_mut().unwrap().remove(field);
        }
        let Ok(first) = try_ask("odds", chain.clone()) else { continue };
        let kinds = if first.get("models").is_some() { ["models", "health_lost"] } else { ["wrecked", "structure"] };
        let quantity = ["destroyed", kinds[0], kinds[1]][rng.usize(0..3)];
        let wanted = rng.u32(1..=2);
        // Thirteenths, so that no chance of a small chain falls on the wanted one by design.
        let chance = f64::from(rng.u32(1..=12)) / 13.0;
        let want = if quantity == "destroyed" {
            json!({"destroyed": chance})
        } else {
            json!({quantity: wanted, "chance": chance})
        };
        let answers: Result<Vec<Value>, _> =
            (0..=MOST).map(|attackers| try_ask("odds", with_attackers(&chain, attackers))).collect();
        // Some chains cost too much to count up; the next one takes their place.
        let Ok(answers) = answers else { continue };
        let chances: Vec<f64> = answers.iter().map(|answer| reached(answer, quantity, wanted.into())).collect();
        let answer = ask("needed", json!({"chain": chain, "want": want, "most": MOST}));
        let right = chances.iter().position(|ours| *ours >= chance - 1e-12);
        assert_eq!(answer["attackers"].as_u64(), right.map(|n| n as u64), "{chain} {want}: {chances:?}");
        for row in answer["table"].as_array().unwrap() {
            close(number(&row["chance"]), chances[row["attackers"].as_u64().unwrap() as usize]);
        }
        match right {
            Some(right) => close(number(&answer["chance"]), chances[right]),
            None => close(number(&answer["limit"]["chance"]), chances[MOST as usize]),
        }
        compared += 1;
        found += usize::from(right.is_some());
        several += usize::from(chain.get("volleys").is_some());
    }
    assert!(found > 100 && found < 290 && several > 20, "{found} found, {several} with volleys: the chains say little");
}

#[test]
fn a_budget_of_rerolls_and_counting_up() {
    let mut rng = Rng::with_seed(59);
    for _ in 0..60 {
        let budget = rng.u32(0..4);
        let check = |tries: u32| json!({"dice": "d6", "needs": format!("{}+", 4), "rerolls": budget, "tries": tries});
        let (passes, chance) = (rng.u32(1..5), f64::from(rng.u32(1..13)) / 13.0);
        let answer = ask("needed", json!({"check": check(1), "want": {"passes": passes, "chance": chance}}));
        let enough = |tries: u32| reached(&ask("check", check(tries)), "passes", passes.into()) >= chance - 1e-12;
        assert_eq!(answer["tries"].as_u64(), (1u32..).find(|tries| enough(*tries)).map(u64::from));
    }
}

#[test]
fn out_of_reach_is_an_answer() {
    let answer = ask(
        "needed",
        json!({"chain": {"steps": [{"name": "hit", "needs": "never"}], "target": {"models": 1}}, "want": {"destroyed": 0.5}}),
    );
    assert!(answer["attackers"].is_null() && answer.as_object().unwrap().contains_key("attackers"));
    assert_eq!(answer["limit"]["attackers"], 10_000);
    assert_eq!(number(&answer["limit"]["chance"]), 0.0);
    // Two weapons, one of which is wasted after each wreck: more than one unit can never go in two volleys.
    let wasted = json!({
        "volleys": [{"steps": [{"name": "hit", "needs": "auto"}, {"name": "pierce", "kind": "penetrate", "dice": "1d6",
            "add": 20, "against": 5, "breach": {"structure": 9}}]}],
        "target": {"structure": 2, "units": 2, "overflow": "wasted"}
    });
    let answer = ask("needed", json!({"chain": wasted, "want": {"wrecked": 2, "chance": 0.1}}));
    assert!(answer["attackers"].is_null(), "{answer}");
}

#[test]
fn nothing_wanted_needs_nobody() {
    let answer = ask("needed", json!({"chain": {"target": {"models": 2}}, "want": {"destroyed": 0}}));
    assert_eq!(answer["attackers"], 0);
    assert!(answer.get("below").is_none());
}

#[test]
fn models_of_a_matchup_with_their_points() {
    let matchup = json!({"attacker": {"unit": "barges"}, "target": {"unit": "heron"}});
    let answer = ask("needed", json!({"matchup": matchup, "want": {"destroyed": 0.9}}));
    let needed = answer["attackers"].as_u64().expect("barges can wreck it");
    let instance = |models: u64| {
        ask("matchup", json!({"attacker": {"unit": "barges", "models": models}, "target": {"unit": "heron"}}))
    };
    let (enough, fewer) = (instance(needed), instance(needed - 1));
    close(number(&answer["chance"]), number(&enough["destroyed"]["chance"]));
    assert!(number(&enough["destroyed"]["chance"]) >= 0.9 && number(&fewer["destroyed"]["chance"]) < 0.9);
    assert_eq!(answer["points"], enough["points"]["cost"]);
}

#[test]
fn what_is_wrong_is_named() {
    let chain = json!({"target": {"models": 2}});
    let want = |want: Value| pointers("needed", json!({"chain": chain, "want": want}));
    assert_eq!(want(json!({"destroyed": 90})), ["/want/destroyed"]);
    assert_eq!(want(json!({"models": 1, "chance": 1.5})), ["/want/chance"]);
    assert_eq!(want(json!({"models": 1})), ["/want/chance"]);
    assert_eq!(want(json!({})), ["/want"]);
    assert_eq!(want(json!({"wrecked": 1, "chance": 0.5})), ["/want/wrecked"]);
    assert_eq!(want(json!({"models": 0, "chance": 0.5})), ["/want/models"]);
    assert_eq!(pointers("needed", json!({"want": {"destroyed": 0.5}})), [""]);
    let check = json!({"dice": "d6", "needs": ["3+", "4+"]});
    assert_eq!(pointers("needed", json!({"check": check, "want": {"passes": 1, "chance": 0.5}})), ["/check/needs"]);
    let unknown = json!({"attacker": {"unit": "zzzz"}, "target": {"unit": "heron"}});
    assert_eq!(pointers("needed", json!({"matchup": unknown, "want": {"destroyed": 0.5}})), ["/matchup/attacker/unit"]);
}

/// Certainty is reached by what cannot fail, not by many nines.
#[test]
fn what_can_fail_is_never_certain() {
    let certain = json!({"passes": 1, "chance": 1});
    let tosses = ask("needed", json!({"check": {"dice": "d6", "needs": "4+"}, "want": certain, "exact": true}));
    assert_eq!(tosses["tries"], Value::Null, "{tosses}");
    let sure = ask("needed", json!({"check": {"dice": "d6", "needs": "1+"}, "want": {"passes": 3, "chance": 1}}));
    assert_eq!(sure["tries"], 3, "{sure}");
    let many = json!({"attacks": 2, "steps": [{"name": "hit", "needs": "auto"}], "target": {"models": 1_000}});
    let all = ask("needed", json!({"chain": many, "want": {"destroyed": 1}}));
    assert_eq!((&all["attackers"], number(&all["below"]["chance"])), (&json!(500), 0.0), "{all}");
    let chain = |needs: &str| {
        let target = json!({"models": 3});
        let chain = json!({"attacks": 2, "steps": [{"name": "hit", "needs": needs}], "target": target});
        ask("needed", json!({"chain": chain, "want": {"destroyed": 1}, "most": 2_000}))
    };
    assert_eq!(chain("4+")["attackers"], Value::Null, "{}", chain("4+"));
    assert!(number(&chain("4+")["limit"]["chance"]) < 1.0);
    assert_eq!(chain("auto")["attackers"], 2);
}
