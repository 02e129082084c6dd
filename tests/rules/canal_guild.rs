//! Ten matchups of the canal guild, worked by hand from its rules: common arithmetic, no published source.
use super::worked::{Worked, all};
use serde_json::json;

#[test]
fn ten_matchups_come_out_as_worked() {
    all(
        "canal-guild",
        &[
            // Drill 4+: 1/2. Force 4 is 1 above Bulk 3: staying up needs a 5+. No Coat, and Rend takes nothing from nothing:
            // down on 4 of 6. One shot takes one with 1/2 x 2/3 = 1/3; two shots.
            Worked {
                request: json!({"attacker": {"unit": "quay rifles", "models": 2, "weapons": ["long rifle"]},
                    "target": {"unit": "dyke hands"}, "situation": {"range": "mid"}}),
                steps: &["hit 1/2", "stay up 2/3"],
                quantity: "models",
                rows: &["0: 4/9", "1: 4/9", "2: 1/9"],
                also: &[],
            },
            // Brawl 4+: 1/2. Force 3 is 1 below Bulk 4: 4+, and Coat 3 makes it good on all but the 1, which goes down:
            // 1/6. One blow: 1/12. Three blows on Vigour 2: (11/12)^3 = 1331/1728 lose nothing; 3 x 121/1728 = 121/576;
            // 3 x 11/1728 = 11/576; 1/1728.
            Worked {
                request: json!({"attacker": {"unit": "dyke hands", "models": 3, "weapons": ["cudgel"]},
                    "target": {"unit": "lock wardens"}, "situation": {"range": "contact"}}),
                steps: &["hit 1/2", "stay up 1/6"],
                quantity: "health_lost",
                rows: &["0: 1331/1728", "1: 121/576", "2: 11/576", "3: 1/1728"],
                also: &[],
            },
            // Two swivels with 3 shots each. Drill 4+, ones again: 1/2 + 1/6 x 1/2 = 7/12. Force 5 is 1 above Bulk 4: 5+;
            // Coat 2 less Rend 1 makes it a 4+: down 1/2. One shot: 7/24. Six shots on five riders, by the binomial; all
            // five fall with 6 (7/24)^5 (17/24) + (7/24)^6 = 7^5 (102 + 7) / 24^6 = 1831963/191102976.
            Worked {
                request: json!({"attacker": {"unit": "swivel crew", "weapons": ["swivel gun"]},
                    "target": {"unit": "heath riders"}}),
                steps: &["hit 7/12", "stay up 1/2"],
                quantity: "models",
                rows: &[
                    "0: 24137569/191102976",
                    "1: 9938999/31850496",
                    "2: 20462645/63700992",
                    "3: 8425795/47775744",
                    "4: 3469445/63700992",
                    "5: 1831963/191102976",
                ],
                also: &[("/destroyed", "1831963/191102976")],
            },
            // d3 shots. Drill 4+; a 6 is two hits: none 1/2, one 1/3, two 1/6. Force 3 on Bulk 3: 4+. Brick (2) is better
            // than Coat 1: 2+, down 1/6. One shot: 0 with 1/2 + 1/3 x 5/6 + 1/6 x 25/36 = 193/216; 1 with 1/3 x 1/6 +
            // 1/6 x 10/36 = 22/216; 2 with 1/6 x 1/36 = 1/216. One, two or three of these added up, a third each; the
            // sixth of six is lost, since five stand there.
            Worked {
                request: json!({"attacker": {"unit": "mud sappers", "models": 1, "weapons": ["scatter gun"]},
                    "target": {"unit": "quay rifles"}, "situation": {"cover": "brick"}}),
                steps: &["hit 1/2", "stay up 1/6"],
                quantity: "models",
                rows: &[
                    "0: 24239449/30233088",
                    "1: 886523/5038848",
                    "2: 208853/10077696",
                    "3: 11407/7558272",
                    "4: 749/10077696",
                    "5: 67/30233088",
                ],
                also: &[],
            },
            // Drill 4+: 1/2. Bolt at middle range 14 + Drive 1 + d6 against Hull 18: a 3 reaches it: 4/6. A breach comes with
            // 1/2 x 2/3 = 1/3. On the chart, of 36: 2-4 six, 5-6 nine, 7 six (one more lost), 8-10 twelve, 11-12 three (one
            // more lost). One point lost: 1/3 x 27/36 = 1/4; two: 1/3 x 9/36 = 1/12.
            Worked {
                request: json!({"attacker": {"unit": "lock wardens", "models": 1, "weapons": ["bolt gun"],
                    "options": ["bolt gun"]}, "target": {"unit": "heron"}, "situation": {"arc": "rear", "range": "mid"}}),
                steps: &["hit 1/2", "pierce 2/3"],
                quantity: "structure",
                rows: &["0: 2/3", "1: 1/4", "2: 1/12"],
                also: &[
                    ("/statuses/lamps out", "1/18"),
                    ("/statuses/steering gone", "1/12"),
                    ("/statuses/holed below the line", "1/18"),
                    ("/statuses/gun dismounted", "1/9"),
                    ("/statuses/boiler cracked", "1/36"),
                ],
            },
            // The screen does nothing at near range. Drill 4+. 16 + d6 against Hull 22: only a 6 reaches it, and all else is
            // rolled again: 1/6 + 5/6 x 1/6 = 11/36. A breach: 1/2 x 11/36 = 11/72, then the chart as above: 3/4 and 1/4.
            Worked {
                request: json!({"attacker": {"unit": "bittern", "weapons": ["culverin"]},
                    "target": {"unit": "heron"}, "situation": {"arc": "front", "range": "near"}}),
                steps: &["hit 1/2", "pierce 11/36"],
                quantity: "structure",
                rows: &["0: 61/72", "1: 11/96", "2: 11/288"],
                also: &[],
            },
            // Brawl 4+, twice. 16 + 2 (under way) + d6 reaches Hull 18 whatever it shows (the skirts do nothing in contact):
            // every hit breaches, for 1 with 3/4 and 2 with 1/4. One hit (1/2): 3/8 and 1/8. Two (1/4): 2 with 9/16, else
            // all three, 7/16. Sum: 0 1/4; 1 3/8; 2 1/8 + 9/64 = 17/64; 3 7/64.
            Worked {
                request: json!({"attacker": {"unit": "barge", "weapons": ["ram prow"]}, "target": {"unit": "ferry crab"},
                    "situation": {"arc": "side", "range": "contact", "moved": true}}),
                steps: &["hit 1/2", "pierce 1"],
                quantity: "structure",
                rows: &["0: 1/4", "1: 3/8", "2: 17/64", "3: 7/64"],
                also: &[("/destroyed", "7/64")],
            },
            // d6 jets. Drill 4+. Force 5 is 2 above Bulk 3: 5+, no Coat: down 2/3. One jet takes one with 1/3; a sixth each
            // for one to six of them: none (2/3 + 4/9 + 8/27 + 16/81 + 32/243 + 64/729) / 6 = 665/2187. A 1 scalds unless
            // 3+: 1/6 x 1/3 = 1/18 a jet.
            Worked {
                request: json!({"attacker": {"unit": "ferry crab", "weapons": ["steam pipe"]},
                    "target": {"unit": "dyke hands"}}),
                steps: &["hit 1/2", "stay up 2/3"],
                quantity: "models",
                rows: &["0: 665/2187", "1: 179/486", "2: 313/1458", "3: 379/4374", "4: 11/486", "5: 8/2187"],
                also: &[],
            },
            // Brawl 4+. Force 8 is 3 above Bulk 5: 6+, and Grit is rolled. Rend takes the Coat: down 5/6. 5/12 come through
            // with d3, each point met by Grit with 1/6. Of Vigour 2 lost: nothing of 1: 1/6, of 2: 1/36, of 3: 1/216; two or
            // more of 2: 25/36, of 3: 200/216. The model falls with 5/12 x 1/3 x (25/36 + 25/27) = 875/3888.
            Worked {
                request: json!({"attacker": {"unit": "mud sappers", "models": 1, "options": ["keel charges"],
                    "weapons": ["keel charge"]}, "target": {"unit": "stilt riders", "models": 1},
                    "situation": {"range": "contact"}}),
                steps: &["hit 1/2", "stay up 5/6"],
                quantity: "health_lost",
                rows: &["0: 4751/7776", "1: 425/2592", "2: 875/3888"],
                also: &[("/destroyed", "875/3888")],
            },
            // In fog at middle range Drill 4+ is 5+; braced, misses are rolled again: 1 - 4/9 = 5/9. The captain's eye does
            // not reach so far. 5+ and timber (1): 4+, down 1/2. 5/9 x 1/2 = 5/18.
            Worked {
                request: json!({"attacker": {"unit": "quay rifles", "models": 1, "weapons": ["long rifle"],
                    "near": ["captain"]}, "target": {"unit": "dyke hands"},
                    "situation": {"range": "mid", "cover": "wharf", "fog": true, "braced": true}}),
                steps: &["hit 5/9", "stay up 1/2"],
                quantity: "models",
                rows: &["0: 13/18", "1: 5/18"],
                also: &[],
            },
        ],
    );
}
