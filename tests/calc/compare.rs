//! Attacks side by side: every row is what the attack by itself comes to.
use super::{close, number, pointers};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

fn volley(shots: u32, needs: &str) -> Value {
    json!({"attackers": shots, "steps": [{"name": "hit", "needs": needs}]})
}

#[test]
fn a_board_of_plain_targets() {
    let targets = [json!({"models": 5}), json!({"models": 3, "health": 2})];
    let variants = [("many", volley(10, "5+")), ("few", volley(4, "2+"))];
    let request = json!({
        "variants": variants.iter().map(|(label, chain)| json!({"label": label, "chain": chain, "points": 60})).collect::<Vec<_>>(),
        "targets": targets.iter().map(|target| json!({"target": target})).collect::<Vec<_>>(),
    });
    let answer = ask("compare", request);
    let rows = answer["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 4);
    for (index, row) in rows.iter().enumerate() {
        let (label, chain) = &variants[index / 2];
        let mut alone = chain.clone();
        alone["target"] = targets[index % 2].clone();
        let odds = ask("odds", alone);
        assert_eq!(row["variant"], *label);
        assert_eq!(row["target"], format!("target {}", index % 2 + 1));
        close(number(&row["models"]), number(&odds["models"]["expected"]));
        close(number(&row["health_lost"]), number(&odds["health_lost"]["expected"]));
        close(number(&row["destroyed"]["chance"]), number(&odds["destroyed"]["chance"]));
        close(number(&row["points_each"]), 60.0 / number(&odds["models"]["expected"]));
    }
}

#[test]
fn units_against_units() {
    let request = json!({
        "variants": [{"matchup": {"attacker": {"unit": "barges", "models": 2}}}, {"label": "guns", "matchup": {"attacker": {"unit": "heron"}}}],
        "targets": [{"unit": {"unit": "heron"}, "situation": {"arc": "rear"}}, {"unit": {"unit": "sappers"}}],
        "exact": true,
    });
    let answer = ask("compare", request);
    let rows = answer["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 4);
    let rear =
        json!({"attacker": {"unit": "barges", "models": 2}, "target": {"unit": "heron"}, "situation": {"arc": "rear"}});
    let alone = ask("matchup", rear);
    close(number(&rows[0]["structure"]), number(&alone["structure"]["expected"]));
    assert_eq!(rows[0]["points"], alone["points"]["cost"]);
    assert!(rows[0]["destroyed"]["fraction"].is_string());
    assert_eq!(rows[2]["variant"], "guns");
    assert!(rows[3]["models"].is_number());
}

#[test]
fn what_is_wrong_is_named_once() {
    let board = |die: u32, models: u32| {
        pointers(
            "compare",
            json!({
                "variants": [{"chain": {"steps": [{"name": "hit", "die": die, "needs": "3+"}]}}],
                "targets": [{"target": {"models": 5}}, {"target": {"models": models}}],
            }),
        )
    };
    assert_eq!(board(1, 5), ["/variants/0/chain/steps/0/die"]);
    assert_eq!(board(6, 0), ["/targets/1/target/models"]);
    assert_eq!(pointers("compare", json!({"variants": []})), ["/variants"]);
    assert_eq!(pointers("compare", json!({"variants": [{}]})), ["/variants/0"]);
    assert_eq!(pointers("compare", json!({"variants": [{"chain": {}}]})), ["/variants/0/chain/target"]);
    let mixed = json!({"variants": [{"chain": {}}], "targets": [{"unit": {"unit": "heron"}}]});
    assert_eq!(pointers("compare", mixed), ["/targets/0/unit", "/targets/0/target"]);
    let thirteen: Vec<_> = (0..13).map(|_| json!({"chain": {"target": {"models": 1}}})).collect();
    assert_eq!(pointers("compare", json!({"variants": thirteen})), ["/variants"]);
    let unknown =
        json!({"variants": [{"matchup": {"attacker": {"unit": "heron"}}}], "targets": [{"unit": {"unit": "zzzz"}}]});
    assert_eq!(pointers("compare", unknown), ["/targets/0/unit/unit"]);
}
