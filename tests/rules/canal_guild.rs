//! Ten matchups of the canal guild, worked by hand from its rules: common arithmetic, no published source.
use super::worked::{Worked, all};
use serde_json::json;

#[test]
fn ten_matchups_come_out_as_worked() {
    all(
        "canal-guild",
        &[
            // Drill 4+: 1/2. Force 4 - Bulk 3 = 1: 3+, 2/3. Coat 6+ at -1 would need a 7: never saved.
            // One shot kills with 1/2 x 2/3 = 1/3; two shots.
            Worked {
                request: json!({"attacker": {"unit": "quay rifles", "models": 2, "weapons": ["long rifle"]},
                    "target": {"unit": "dyke hands"}, "situation": {"range": "mid"}}),
                steps: &["hit 1/2", "hurt 2/3", "save 1"],
                quantity: "models",
                rows: &["0: 4/9", "1: 4/9", "2: 1/9"],
                also: &[],
            },
            // Brawl 4+: 1/2. Force 3 - Bulk 4 = -1: 5+, 1/3. Coat 3+ saves 2/3. One blow: 1/2 x 1/3 x 1/3 = 1/18.
            // Three blows on Vigour 2: (17/18)^3 = 4913/5832 lose nothing; 3 x 289/5832 = 289/1944; 3 x 17/5832 =
            // 17/1944; 1/5832. A model falls with two or three: 52/5832 = 13/1458.
            Worked {
                request: json!({"attacker": {"unit": "dyke hands", "models": 3, "weapons": ["cudgel"]},
                    "target": {"unit": "lock wardens"}, "situation": {"range": "contact"}}),
                steps: &["hit 1/2", "hurt 1/3", "save 1/3"],
                quantity: "health_lost",
                rows: &["0: 4913/5832", "1: 289/1944", "2: 17/1944", "3: 1/5832"],
                also: &[],
            },
            // Two swivels with 3 shots each. Drill 4+, ones again: 1/2 + 1/6 x 1/2 = 7/12. Force 5 - Bulk 4 = 1: 3+.
            // Coat 4+ at -1 saves on 5+: fails 2/3. One shot: 7/12 x 2/3 x 2/3 = 7/27. Six shots on five riders: all
            // five fall with 6 (7/27)^5 (20/27) + (7/27)^6 = 7^5 (120 + 7) / 27^6 = 2134489/387420489.
            Worked {
                request: json!({"attacker": {"unit": "swivel crew", "weapons": ["swivel gun"]},
                    "target": {"unit": "heath riders"}}),
                steps: &["hit 7/12", "hurt 2/3", "save 2/3"],
                quantity: "models",
                rows: &[
                    "0: 64000000/387420489",
                    "1: 44800000/129140163",
                    "2: 39200000/129140163",
                    "3: 54880000/387420489",
                    "4: 4802000/129140163",
                    "5: 2134489/387420489",
                ],
                also: &[("/destroyed", "2134489/387420489")],
            },
            // d3 shots. Drill 4+; a 6 is two hits: none 1/2, one 1/3, two 1/6. Force 3 - Bulk 3: 4+. Behind brick the
            // shelter 4+ is better than the coat 5+. Each hit kills 1/4. One shot: 0 with 1/2 + 1/3 x 3/4 + 1/6 x 9/16 =
            // 27/32; 1 with 1/3 x 1/4 + 1/6 x 6/16 = 7/48; 2 with 1/6 x 1/16 = 1/96. One, two or three of these added up,
            // a third each; the sixth of six is lost, since five stand there.
            Worked {
                request: json!({"attacker": {"unit": "mud sappers", "models": 1, "weapons": ["scatter gun"]},
                    "target": {"unit": "quay rifles"}, "situation": {"cover": "brick"}}),
                steps: &["hit 1/2", "hurt 1/2", "save 1/2"],
                quantity: "models",
                rows: &[
                    "0: 23553/32768",
                    "1: 34573/147456",
                    "2: 36965/884736",
                    "3: 3059/663552",
                    "4: 103/294912",
                    "5: 43/2654208",
                ],
                also: &[],
            },
            // Drill 4+: 1/2. Bolt at middle range 15 + Drive 1 + d6 against Hull 18: a 2 equals it, 3 to 6 beat it (the
            // 6's bonus changes nothing): 4/6. A breach comes with 1/2 x 2/3 = 1/3. On the chart, of 36: 2-4 six, 5-7
            // fifteen, 8-9 nine, 10-11 five, 12 one. One point lost: 1/3 x 30/36 = 5/18; two (boiler): 5/108; wrecked,
            // all four: 1/108.
            Worked {
                request: json!({"attacker": {"unit": "lock wardens", "models": 1, "weapons": ["bolt gun"],
                    "options": ["bolt gun"]}, "target": {"unit": "heron"}, "situation": {"arc": "rear", "range": "mid"}}),
                steps: &["hit 1/2", "pierce 5/6"],
                quantity: "structure",
                rows: &["0: 2/3", "1: 5/18", "2: 5/108", "4: 1/108"],
                also: &[
                    ("/statuses/crew ducking", "1/18"),
                    ("/statuses/steering gone", "5/36"),
                    ("/statuses/gun dismounted", "1/12"),
                    ("/statuses/boiler cracked", "5/108"),
                ],
            },
            // The screen does nothing at near range. Drill 4+. 17 + d6 against Hull 22: a 5 equals, a 6 beats; 1 to 4 are
            // rolled again: beats 1/6 + 4/6 x 1/6 = 5/18, in favour 2/6 + 4/6 x 2/6 = 5/9. A breach: 1/2 x 5/18 = 5/36,
            // then the chart as above: 5/36 x 30/36, x 5/36, x 1/36.
            Worked {
                request: json!({"attacker": {"unit": "bittern", "weapons": ["culverin"]},
                    "target": {"unit": "heron"}, "situation": {"arc": "front", "range": "near"}}),
                steps: &["hit 1/2", "pierce 5/9"],
                quantity: "structure",
                rows: &["0: 31/36", "1: 25/216", "2: 25/1296", "4: 5/1296"],
                also: &[],
            },
            // Brawl 4+, twice. 17 + 2 (under way) + d6 is above Hull 18 whatever it shows (the skirts do nothing in
            // contact): every hit breaches. One hit of the two (1/2): 1 with 30/36, 2 with 5/36, all 3 with 1/36. Two
            // (1/4): the first leaves a mark, and the same mark again costs 1 more (steering, gun) or the whole (boiler).
            // Two ordinary breaches take 2 unless both are steering (225 of 1296) or both gun (81): 3. So of 1296: exactly 2
            // with 30 x 30 - 306 = 594; all else is 3. Sum: 0 1/4; 1 1/2 x 30/36 = 5/12; 2 1/2 x 5/36 + 1/4 x 594/1296 =
            // 53/288; 3 the rest, 43/288.
            Worked {
                request: json!({"attacker": {"unit": "barge", "weapons": ["ram prow"]}, "target": {"unit": "ferry crab"},
                    "situation": {"arc": "side", "range": "contact", "moved": true}}),
                steps: &["hit 1/2", "pierce 1"],
                quantity: "structure",
                rows: &["0: 1/4", "1: 5/12", "2: 53/288", "3: 43/288"],
                also: &[("/destroyed", "43/288")],
            },
            // d6 jets. Drill 4+. Force 5 - Bulk 3 = 2: 3+. Coat 6+ at -2: never. One jet kills 1/3; a sixth each for one to
            // six of them: no kill (2/3 + 4/9 + 8/27 + 16/81 + 32/243 + 64/729) / 6 = 665/2187. A 1 scalds unless 3+:
            // 1/6 x 1/3 = 1/18 a jet.
            Worked {
                request: json!({"attacker": {"unit": "ferry crab", "weapons": ["steam pipe"]},
                    "target": {"unit": "dyke hands"}}),
                steps: &["hit 1/2", "hurt 2/3", "save 1"],
                quantity: "models",
                rows: &["0: 665/2187", "1: 179/486", "2: 313/1458", "3: 379/4374", "4: 11/486", "5: 8/2187"],
                also: &[],
            },
            // Brawl 4+. Force 8 - Bulk 5 = 3: 2+, and Grit is rolled. Coat 5+ at -2: never. 5/12 come through with d3, each
            // point shrugged off with 1/6. Of Vigour 2 lost: nothing of 1: 1/6, of 2: 1/36, of 3: 1/216; two or more of 2:
            // 25/36, of 3: 200/216. The model falls with 5/12 x 1/3 x (25/36 + 25/27) = 875/3888.
            Worked {
                request: json!({"attacker": {"unit": "mud sappers", "models": 1, "options": ["keel charges"],
                    "weapons": ["keel charge"]}, "target": {"unit": "stilt riders", "models": 1},
                    "situation": {"range": "contact"}}),
                steps: &["hit 1/2", "hurt 5/6", "save 1"],
                quantity: "health_lost",
                rows: &["0: 4751/7776", "1: 425/2592", "2: 875/3888"],
                also: &[("/destroyed", "875/3888")],
            },
            // In fog at middle range Drill 4+ is 5+; braced, misses are rolled again: 1 - 4/9 = 5/9. Near the captain ones
            // to hurt on 3+ are rolled again: 2/3 + 1/6 x 2/3 = 7/9. Behind timber 5+ is better than a coat of 6+ at -1:
            // fails 2/3. 5/9 x 7/9 x 2/3 = 70/243.
            Worked {
                request: json!({"attacker": {"unit": "quay rifles", "models": 1, "weapons": ["long rifle"],
                    "near": ["captain"]}, "target": {"unit": "dyke hands"},
                    "situation": {"range": "mid", "cover": "wharf", "fog": true, "braced": true}}),
                steps: &["hit 5/9", "hurt 7/9", "save 2/3"],
                quantity: "models",
                rows: &["0: 173/243", "1: 70/243"],
                also: &[],
            },
        ],
    );
}
