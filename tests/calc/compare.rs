//! Attacks side by side: every row is what the attack by itself comes to.
use super::{close, number, pointers};
use pipwright_shared::rules::PackCatalog;
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

/// As many of each as the points buy; one more would cost too much. The numbers are those of the matchup by itself.
#[test]
fn at_equal_points() {
    let variants = ["ram barge", "heath riders", "quay rifles", "heron"];
    let request = |points: u32| {
        json!({
            "variants": variants.map(|unit| json!({"matchup": {"attacker": {"unit": unit}}})),
            "targets": [{"unit": {"unit": "dyke hands", "models": 10}}],
            "points": points,
        })
    };
    let cost = |unit: &str, models: u64| {
        let asked =
            json!({"attacker": {"unit": unit, "models": models}, "target": {"unit": "dyke hands", "models": 10}});
        ask("matchup", asked)
    };
    let answer = ask("compare", request(330));
    for (row, unit) in answer["rows"].as_array().expect("rows").iter().zip(variants) {
        let models = row["attackers"].as_u64().expect("a number");
        assert!(models > 0, "{row}");
        let alone = cost(unit, models);
        assert_eq!(row["points"], alone["points"]["cost"], "{unit}");
        assert_eq!(row["models"], alone["models"]["expected"], "{unit}");
        assert_eq!(row["destroyed"]["chance"], alone["destroyed"]["chance"], "{unit}");
        assert!(row["points"].as_u64().expect("points") <= 330, "{row}");
        assert!(cost(unit, models + 1)["points"]["cost"].as_u64().expect("points") > 330, "one more of {unit}");
    }
    let poor = ask("compare", request(20));
    let heron = &poor["rows"][3];
    assert_eq!((&heron["attackers"], &heron["points"], &heron["models"]), (&json!(0), &json!(0), &json!(0.0)));
    assert_eq!(heron["destroyed"]["chance"], 0.0);
}

/// The cheapest way to a wanted chance: each number is the one that `needed` finds.
#[test]
fn every_unit_for_a_wanted_chance() {
    let target = json!({"unit": "ram barge"});
    let answer = ask(
        "compare",
        json!({"every": {"pack": "canal-guild"}, "targets": [{"unit": target}], "want": {"destroyed": 0.5}, "most": 30}),
    );
    let rows = answer["rows"].as_array().expect("rows");
    let left_out = answer["left_out"].as_array().map_or(0, Vec::len);
    let units = PackCatalog::demo().pack(Some("canal-guild")).expect("the pack").units.len();
    assert_eq!(rows.len() + left_out, units);
    let (mut reached, mut never) = (0, 0);
    for row in rows {
        let matchup = json!({"attacker": {"unit": row["variant"]}, "target": target});
        let needed = ask("needed", json!({"matchup": matchup, "want": {"destroyed": 0.5}, "most": 30}));
        assert_eq!(row["attackers"], needed["attackers"], "{row}");
        if needed["attackers"].is_null() {
            never += 1;
            assert_eq!(row["chance"], needed["limit"]["chance"], "{row}");
        } else {
            reached += 1;
            assert_eq!(row["points"], needed["points"], "{row}");
            assert_eq!(row["chance"], needed["chance"], "{row}");
            close(number(&row["destroyed"]["chance"]), number(&needed["chance"]));
        }
    }
    assert!(reached >= 3 && never >= 1, "{reached} reach it, {never} never do");
}

#[test]
fn equal_points_and_wanted_chances_are_settled_or_refused() {
    let heron = json!({"matchup": {"attacker": {"unit": "heron"}, "target": {"unit": "sappers"}}});
    let plain = json!({"chain": {"target": {"models": 1}}});
    let wrong = |question: Value| pointers("compare", question);
    assert_eq!(wrong(json!({"variants": [heron], "points": 0})), ["/points"]);
    assert_eq!(wrong(json!({"variants": [plain], "points": 100})), ["/points"]);
    assert_eq!(wrong(json!({"variants": [heron], "points": 100, "want": {"destroyed": 0.5}})), ["/want"]);
    assert_eq!(wrong(json!({"variants": [heron], "most": 10})), ["/most"]);
    assert_eq!(wrong(json!({"variants": [heron], "want": {"structure": 2, "chance": 0.5}})), ["/want/structure"]);
    assert_eq!(wrong(json!({"variants": [heron], "every": {}, "targets": [{"unit": {"unit": "heron"}}]})), ["/every"]);
    assert_eq!(wrong(json!({"every": {}})), ["/targets"]);
    assert_eq!(wrong(json!({"every": {"pack": "zzzz"}, "targets": [{"unit": {"unit": "heron"}}]})), ["/every/pack"]);
    assert_eq!(wrong(json!({"every": {}, "targets": [{"unit": {"unit": "zzzz"}}]})), ["/targets/0/unit/unit"]);
    let moonlit = json!({"every": {"situation": {"range": "moonlit"}}, "targets": [{"unit": {"unit": "heron"}}]});
    assert_eq!(wrong(moonlit), ["/every/situation/range"]);
}

/// One that has no weapon is left out with its reason, and the others are compared.
#[test]
fn who_cannot_attack_is_left_out() {
    let book = "format = 1\npack = \"canal-guild\"\n\n[[unit]]\nid = \"idle-raft\"\nlabel = \"Idle Raft\"\n\
        kind = \"light-crawler\"\nrole = \"light\"\npoints = 11\n\
        stats = { drill = \"3+\", nerve = 7, pace = 1, hull = { front = 15, side = 14, rear = 13 }, frame = 2 }\n";
    let every = json!({"pack": "canal-guild", "book": book});
    let answer = ask("compare", json!({"every": every, "targets": [{"unit": {"unit": "heron"}}], "points": 300}));
    let units = PackCatalog::demo().pack(Some("canal-guild")).expect("the pack").units.len();
    assert_eq!(answer["rows"].as_array().expect("rows").len(), units);
    let left = json!([{"unit": "idle-raft", "name": "Idle Raft", "why": "Idle Raft has no weapon"}]);
    assert_eq!(answer["left_out"], left);
}
