//! What every player of such games works out at the table: common practice, no published source.
use pipwright_tests::ask::ask;
use serde_json::json;

#[test]
fn re_rolls_at_the_table() {
    let answer = ask("check", json!({"dice": "d6", "needs": "2+", "reroll": "failures", "exact": true}));
    assert_eq!(answer["fraction"], "35/36");
    assert_eq!(answer["none"]["fraction"], "1/36");
}

#[test]
fn repair_by_the_turn() {
    for (needs, chance) in [("6+", "1/6"), ("5+", "1/3")] {
        let asked = json!({"capacity": 3, "missing": 1, "needs": needs, "turns": 1, "exact": true});
        let answer = ask("repair", asked);
        assert_eq!(answer["fraction"], chance);
        let row = &answer["restored"]["distribution"][1];
        assert_eq!((row["value"].as_i64(), row["fraction"].as_str()), (Some(1), Some(chance)));
    }
}

/// 7 and a die never exceed 14; with a d3 more on a natural 6 they equal it at 1 and beat it at 2 or 3.
#[test]
fn a_bonus_on_a_six() {
    let mut asked = json!({
        "steps": [{"name": "penetrate", "kind": "penetrate", "add": 7, "against": 14,
            "graze": {"structure": 1}, "breach": {"structure": 2}}],
        "target": {"structure": 2}, "exact": true});
    let without = ask("odds", asked.clone());
    assert_eq!(without["structure"]["distribution"].as_array().map(Vec::len), Some(1), "nothing is ever lost");
    assert_eq!(without["steps"][0]["fraction"], "0");
    asked["steps"][0]["critical"] = json!({"on": 6, "add": "1d3"});
    let with = ask("odds", asked);
    let rows = &with["structure"]["distribution"];
    assert_eq!(rows[1]["fraction"], "1/18");
    assert_eq!(rows[2]["fraction"], "1/9");
}

#[test]
fn one_less_strength_is_one_more_on_the_die() {
    for needs in 2..=5 {
        let weaker = ask("check", json!({"dice": "d6", "needs": format!("{needs}+"), "modifier": -1}));
        let harder = ask("check", json!({"dice": "d6", "needs": format!("{}+", needs + 1)}));
        assert_eq!(weaker["fraction"], harder["fraction"]);
    }
}
