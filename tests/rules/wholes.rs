//! Numbers that stand beside others so that they can be said: equal totals, whole crews, what is left open, medians.
use pipwright_shared::rules::PackCatalog;
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

/// By counting the 36 throws of two dice: 2d6 + 9 equals 16 with a 7, which 6 of them show, and is above it with 15.
#[test]
fn an_equal_total_is_told_from_a_greater_one() {
    let odds = |step: Value| {
        let chain = json!({"steps": [step], "target": {"structure": 4}});
        ask("odds", chain)["steps"][0].clone()
    };
    let step = json!({"name": "pierce", "kind": "penetrate", "dice": "2d6", "add": 9, "against": 16, "breach": {"structure": 1}});
    let one = odds(step.clone());
    assert_eq!((&one["fraction"], &one["equals"]["fraction"]), (&json!("7/12"), &json!("1/6")));
    // A failure is rolled again once: 15 of 36 fail, and of those again 6 of 36 are equal.
    let mut again = step.clone();
    again["reroll"] = json!("failures");
    assert_eq!(odds(again)["equals"]["fraction"], "17/72");
    // Where an equal total breaches, or nothing pierces, there is no such number.
    let mut breach = step;
    breach["equal"] = json!("breach");
    assert!(odds(breach)["equals"].is_null());
    assert!(odds(json!({"name": "pierce", "kind": "penetrate", "against": 4}))["equals"].is_object());
}

/// A crew of three is fielded whole: the answer is the fewest crews, each number checked as a matchup of its own.
#[test]
fn crews_are_needed_whole() {
    let matchup = |models: Option<u64>| {
        let mut attacker = json!({"unit": "bolt-gun crew"});
        if let Some(models) = models {
            attacker["models"] = json!(models);
        }
        json!({"attacker": attacker, "target": {"unit": "heron carriage"}, "situation": {"arc": "rear"}})
    };
    let chance = |models: u64| ask("matchup", matchup(Some(models)))["destroyed"]["chance"].as_f64().expect("a chance");
    let needed = ask("needed", json!({"matchup": matchup(None), "want": {"destroyed": 0.75}, "most": 50}));
    let number = needed["attackers"].as_u64().expect("a number");
    assert_eq!((number % 3, needed["below"]["attackers"].as_u64()), (0, Some(number - 3)));
    assert!(chance(number) >= 0.75 && chance(number - 3) < 0.75);
    for row in needed["table"].as_array().expect("rows") {
        let models = row["attackers"].as_u64().expect("a number");
        assert_eq!(models % 3, 0);
        assert!((row["chance"].as_f64().expect("a chance") - chance(models)).abs() < 1e-12, "{row}");
        // A crew costs 60, whatever is said of its models.
        assert_eq!(row["points"], json!(models / 3 * 60));
    }
    // Rifles are counted one by one.
    let rifles = json!({"attacker": {"unit": "quay rifles"}, "target": {"unit": "dyke hands"}});
    let rifles = ask("needed", json!({"matchup": rifles, "want": {"models": 2, "chance": 0.9}, "most": 50}));
    assert_eq!(rifles["below"]["attackers"].as_u64(), rifles["attackers"].as_u64().map(|number| number - 1));
}

/// 1d6 + 8 never reaches 22: no number of captains helps. A culverin reaches the walker, however seldom.
#[test]
fn what_no_number_can_hurt_is_said_so() {
    let needed = |attacker: &str, target: &str, want: f64| {
        let matchup = json!({"attacker": {"unit": attacker}, "target": {"unit": target}});
        ask("needed", json!({"matchup": matchup, "want": {"destroyed": want}, "most": 12}))
    };
    assert_eq!(needed("wharf captain", "heron carriage", 0.9)["harmless"], true);
    let seldom = needed("culverin crew", "sluice tower", 1.0);
    assert!(seldom["attackers"].is_null() && seldom["harmless"].is_null(), "{seldom}");
    assert!(needed("culverin crew", "dredge walker", 0.1)["harmless"].is_null());
}

#[test]
fn a_comparison_says_what_it_took_for_granted() {
    let variant = |unit: &str| json!({"matchup": {"attacker": {"unit": unit}}});
    let board = json!([{"unit": {"unit": "dyke hands"}}]);
    let request = json!({"variants": [variant("ram barge"), variant("quay rifles")], "targets": board});
    let pointers = |answer: &Value| -> Vec<String> {
        let all = answer["defaults"].as_array().expect("a list").iter();
        all.map(|one| one["pointer"].as_str().expect("a pointer").to_owned()).collect()
    };
    let open = pointers(&ask("compare", request.clone()));
    let once = |pointer: &str| open.iter().filter(|one| *one == pointer).count() == 1;
    assert!(once("/situation/range") && once("/situation/cover") && once("/target/models"), "{open:?}");
    assert_eq!(open.iter().filter(|one| *one == "/attacker/models").count(), 2, "{open:?}");
    // At equal points nothing was taken for the number of attackers.
    let mut equal = request;
    equal["points"] = json!(200);
    assert!(!pointers(&ask("compare", equal)).contains(&"/attacker/models".to_owned()));
}

/// The median is worked out here from the book: the mean of the two in the middle of an even count.
#[test]
fn a_median_and_small_chances_of_survival() {
    for pack in PackCatalog::demo().packs() {
        let mut costs: Vec<u32> = pack.units.iter().map(|unit| unit.cost(unit.models.0) as u32).collect();
        costs.sort_unstable();
        let half = costs.len() / 2;
        let median =
            if costs.len() % 2 == 1 { f64::from(costs[half]) } else { f64::from(costs[half - 1] + costs[half]) / 2.0 };
        let unit = &pack.units[0].named.id;
        let answer = ask("appraisal", json!({"pack": pack.named.id, "unit": unit, "turns": 1}));
        assert_eq!(answer["cost"]["median"].as_f64(), Some(median), "{}", pack.named.id);
    }
    // Five spears may miss in every turn; what is that unlikely is still no 0.
    let answer =
        ask("appraisal", json!({"pack": "sedge-moot", "unit": "stake-crew", "against": [{"unit": "eel-spears"}]}));
    let standing = answer["survival"][0]["standing"].as_array().expect("turns");
    assert!(standing.iter().all(|chance| chance.as_f64().expect("a chance") > 0.0), "{standing:?}");
}
