//! Ten matchups of the floe run, worked by hand from its rules: common arithmetic, no published source.
//!
//! Of two ten-sided dice, one is ahead of the other by d in 10 - |d| of 100 ways. In each of the ten what a side wins by
//! makes the damage.
use super::worked::{Worked, all, rows};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

fn ten() -> [Worked; 10] {
    [
        // Squint 3 + hail 1 against Wary 4: even. Won by 1 to 3: 24/100, by 4 to 7: 18, by 8 or 9: 3. Surge 6 goes once into
        // Quilt 6: 6+, greased 5+: saved 6/10; by 8 at -2: 4/10. Damage 1, 2, 3 on Warmth 2: 1 with 24/100 x 4/10 = 12/125;
        // 2 with 18/100 x 4/10 + 3/100 x 6/10 = 9/100.
        Worked {
            request: json!({"attacker": {"unit": "drift rifles", "models": 1, "weapons": ["seal rifle"]},
                "target": {"unit": "tally crew"}}),
            steps: &["bead 9/20", "bear 2/5"],
            quantity: "health_lost",
            rows: &["0: 407/500", "1: 12/125", "2: 9/100"],
            also: &[],
        },
        // Near a crow's nest a 1 is rolled again: the shot's die shows 1 with 1/100, each other face with 11/100. Squint 3 + 1
        // against Wary 5: the die must be ahead by 2 to hit, by 5 for one more, by 9 for two: of 1000, for the die at x there
        // are x - 2 (x - 5, x - 9) ways of ten: hit 11 x 36, by 4 11 x 15, by 8 11. So 231, 154, 11 of 1000. Surge 6 on Quilt 4 is
        // one and a half: 8+, fails 7/10; at -2 9/10. One shot: 1 with 231 x 7, 2 with 154 x 7 + 11 x 9, of 10000. Two shots on
        // Warmth 2.
        Worked {
            request: json!({"attacker": {"unit": "drift rifles", "models": 2, "weapons": ["seal rifle"], "near": ["ice pilot"]},
                "target": {"unit": "ice pilot"}}),
            steps: &["bead 99/250", "bear 7/10"],
            quantity: "health_lost",
            rows: &["0: 12981609/25000000", "1: 5826051/25000000", "2: 309617/1250000"],
            also: &[("/destroyed", "309617/1250000")],
        },
        // Through two lenses the higher of two dice: x with (2x - 1)/100. Squint 4 + 1 against Wary 2: 3 ahead. Hit by 1 to 3
        // 49/200, by 4 to 7 37/100, by 8 on 49/200: together 43/50. Surge 9 on Quilt 7: 6+, greased 5+, fails 4/10; at -2
        // 6/10. Then Mettle 7+ for the whole of it: 6/10 stays. Toll 2 and 0, 1 or 2 more on Warmth 4.
        Worked {
            request: json!({"attacker": {"unit": "convoy master", "options": ["walrus rifle"], "weapons": ["walrus rifle"]},
                "target": {"unit": "musk drovers"}}),
            steps: &["bead 43/50", "bear 2/5"],
            quantity: "health_lost",
            rows: &["0: 3821/5000", "2: 147/2500", "3: 111/1250", "4: 441/5000"],
            also: &[("/destroyed", "0")],
        },
        // Squint 2, sight -1 against Wary 4: 3 behind, so ahead by 4 on the dice to hit: 21/100, by 7 for one more; two more is
        // out of reach. Surge 9 is three times Quilt 3: no bearing it. Toll 2. A 9 or 10 that hits throws splinters with a plain Toll 2.
        // Mettle 8+ lets 3/10 run on from each. Of 100, by 4 to 6 and by 7 to 9: with a 10 three and three ways, with a 9 three and
        // two; with less nine and one. So a rocket that takes 2: 9 x 7/10 + 6 x 21/100 + 11 x 21/100 (the splinters alone) of 100; 3:
        // 7/10 + 5 x 21/100; 4: 6 x 49/100; 5: 5 x 49/100; 0 else. Two rockets on four dogs of 2, and what spills goes on. In
        // deep cold a 1 or a 2 hangs unless 8+.
        Worked {
            request: json!({"attacker": {"unit": "rack crew", "weapons": ["rocket rack"]}, "target": {"unit": "dog team"},
                "situation": {"range": "sight", "deep-cold": true}}),
            steps: &["bead 21/100", "bear 1"],
            quantity: "health_lost",
            rows: &[
                "0: 68873401/100000000",
                "2: 8191113/50000000",
                "3: 58093/2000000",
                "4: 5853981/100000000",
                "5: 110299/2500000",
                "6: 610981/100000000",
                "7: 58653/10000000",
                "8: 376271/100000000",
            ],
            also: &[("/destroyed", "376271/100000000")],
        },
        // Elbow 4 + Poise 1 against Elbow 4: 1 ahead, ties (9/100) rolled again, so of 91: won by 1, 2: 19, by 3 to 5: 21, by 6 on:
        // 15. Surge 5 on Quilt 6 is more than a half: 4+, greased 3+: fails 2/10. Damage 1, 2, d3+2 on Warmth 2.
        Worked {
            request: json!({"attacker": {"unit": "grapnel gang", "models": 1, "weapons": ["flensing hook"]},
                "target": {"unit": "tally crew"}, "situation": {"range": "clinch"}}),
            steps: &["clash 55/91", "bear 1/5"],
            quantity: "health_lost",
            rows: &["0: 80/91", "1: 19/455", "2: 36/455"],
            also: &[],
        },
        // Elbow 2 and eight of them, 1, against Elbow 3: even, ties again, so of 90: by 1, 2: 17; by 3 to 5: 18; by 6 on: 10. Surge
        // 3 on Quilt 5 is more than a half: 4+, fails 3/10. One blow: 1 with 17/300, 2 with 6/100, 3 or more with 1/30. Eight blows on
        // Warmth 3: none (17/20)^8, one 8 x 17/300 x (17/20)^7, two 28 x (17/300)^2 (17/20)^6 + 8 x 6/100 x (17/20)^7, else all.
        Worked {
            request: json!({"attacker": {"unit": "deck hands", "models": 8, "weapons": ["marlin spike"]},
                "target": {"unit": "convoy master"}, "situation": {"range": "clinch"}}),
            steps: &["clash 1/2", "bear 3/10"],
            quantity: "health_lost",
            rows: &[
                "0: 6975757441/25600000000",
                "1: 6975757441/48000000000",
                "2: 270413185507/1440000000000",
                "3: 2271710940827/5760000000000",
            ],
            also: &[("/destroyed", "2271710940827/5760000000000")],
        },
        // Squint 1 + 1 against Wary 4 + Lee 2: 4 behind. A 10 bursts whatever the other shows. Of 100: hits without it when ahead
        // by 5: of a 9 4, of an 8 3, 7 2, 6 1: ten, one of them (9 against 1) by 4, for one more. A 10: ten ways, all with one
        // more; against 1 or 2 it wins by 4: another. So damage 1, 2, 3 with 9, 9, 2 of 100. Surge 4 on Quilt 5: 4+, fails 3/10.
        // Two flares on Warmth 3.
        Worked {
            request: json!({"attacker": {"unit": "deck hands", "models": 2, "weapons": ["flare pistol"]},
                "target": {"unit": "convoy master"}, "situation": {"cover": "hummock"}}),
            steps: &["bead 1/5", "bear 3/10"],
            quantity: "health_lost",
            rows: &["0: 2209/2500", "1: 1269/25000", "2: 51489/1000000", "3: 14151/1000000"],
            also: &[("/destroyed", "14151/1000000")],
        },
        // Squint 3, sight -1 against Wary 4: 2 behind, and a tie hits. By 0 to 2: 21/100, by 3 to 6: 14, by 7: 1. Surge 6 on two
        // dice against Rind 16: 10 scrapes (9/100), more goes in (55/100); 2 more on it: 8 (7/100), more (72/100); 5 more: 5
        // (4/100), more (90/100). In: 6 into 16 is more than a quarter, two spars; on the cracks a 10 sinks it: all 3.
        // Scraped: 21 x 9 + 14 x 7 + 4 = 291 of 10000; in: 21 x 55 + 14 x 72 + 90 = 2253 of 10000, 9/10 of it 2, 1/10 of it 3.
        Worked {
            request: json!({"attacker": {"unit": "drift rifles", "models": 1, "weapons": ["seal rifle"]},
                "target": {"unit": "sail sledge"}, "situation": {"arc": "broadside", "range": "sight"}}),
            steps: &["bead 9/25", "gouge 16/25"],
            quantity: "structure",
            rows: &["0: 466/625", "1: 291/10000", "2: 20277/100000", "3: 2253/100000"],
            also: &[("/statuses/runner bent", "6759/100000"), ("/statuses/through the ice", "2253/100000")],
        },
        // Two lenses, Squint 3 + 1 against Wary 1: 3 ahead, a tie hits: by 0 to 2 97/500, by 3 to 6 193/500, by 7 on 329/1000.
        // Surge 14 on two dice against Rind 24: 64/100 scrape (9) or go in (55), then 7 and 72, then 4 and 90. In: 14 is more than
        // half of 24: d3 spars. Scraped: 194 x 9 + 386 x 7 + 329 x 4 = 5764 of 100000; in: 194 x 55 + 386 x 72 + 329 x 90 =
        // 68072/100000 = 8509/12500; a tenth of that sinks it, all nine; 9/10 of it a third each for 1, 2, 3.
        Worked {
            request: json!({"attacker": {"unit": "pivot gun crew", "weapons": ["pivot gun"]},
                "target": {"unit": "whaleback"}, "situation": {"arc": "bow"}}),
            steps: &["bead 909/1000", "gouge 16/25"],
            quantity: "structure",
            rows: &["0: 6541/25000", "1: 8183/31250", "2: 25527/125000", "3: 25527/125000", "9: 8509/125000"],
            also: &[("/destroyed", "8509/125000"), ("/statuses/listing", "25527/125000")],
        },
        // Elbow 4 - 1 against Wary 2: 1 ahead, a tie is no good: by 1 to 4 34/100, by 5 on 21/100. Surge 8 on two dice against
        // Rind 18: 10 scrapes, more goes in; below, sawn again: (9 + 36 x 9/100)/100 and (55 + 36 x 55/100)/100 = 12.24 and 74.8 of 100.
        // By 5: against 14: 6 scrapes (5), more (85), below (10) again: 5.5 and 93.5. In: 8 into 18 more than a quarter: 2 spars.
        // Scraped 34 x 12.24 + 21 x 5.5 = 531.66, in 34 x 74.8 + 21 x 93.5 = 4506.7 of 10000; a tenth of that sinks it, all seven.
        Worked {
            request: json!({"attacker": {"unit": "tally crew", "models": 1, "weapons": ["two-hand saw"]},
                "target": {"unit": "tread hauler"}, "situation": {"arc": "stern", "range": "clinch"}}),
            steps: &["clash 11/20", "gouge 544/625"],
            quantity: "structure",
            rows: &["0: 124041/250000", "1: 26583/500000", "2: 405603/1000000", "7: 45067/1000000"],
            also: &[("/destroyed", "45067/1000000")],
        },
    ]
}

#[test]
fn ten_matchups_come_out_as_worked() {
    all("floe-run", &ten());
}

/// The chain with each opposed step changed.
fn opposed(chain: &Value, change: impl Fn(&mut serde_json::Map<String, Value>)) -> Value {
    let mut chain = chain.clone();
    let mut found = 0;
    for step in chain["steps"].as_array_mut().expect("steps").iter_mut().filter_map(Value::as_object_mut) {
        if step.contains_key("versus") {
            found += 1;
            change(step);
        }
    }
    assert_eq!(found, 1, "one opposed roll: {chain}");
    chain["exact"] = json!(true);
    chain
}

#[test]
fn no_fixed_need_in_place_of_the_other_side_gives_any_of_the_ten() {
    for one in ten() {
        let chain = one.answer("floe-run")["chain"].clone();
        assert_eq!(rows(&ask("odds", opposed(&chain, |_| {})), one.quantity), one.rows, "the chain is the matchup");
        for need in 1..=25 {
            let fixed = opposed(&chain, |step| {
                step.remove("versus");
                step.remove("ties");
                step.insert("needs".to_owned(), json!(format!("{need}+")));
            });
            let found = rows(&ask("odds", fixed), one.quantity);
            assert_ne!(found, one.rows, "{} with {need}+ instead", one.request);
        }
    }
}

#[test]
fn in_each_of_the_ten_the_margin_makes_damage() {
    for one in ten() {
        let chain = one.answer("floe-run")["chain"].clone();
        let plain = opposed(&chain, |step| drop(step.remove("margin").expect("a margin")));
        assert_ne!(rows(&ask("odds", plain), one.quantity), one.rows, "{}", one.request);
    }
}
