//! Ten matchups of the sedge moot, worked by hand from its rules: common arithmetic, no published source.
//!
//! Two dice reach 2, 3, … 12 or more with 36, 35, 33, 30, 26, 21, 15, 10, 6, 3, 1 of 36.
use super::worked::{Worked, all};
use serde_json::json;

#[test]
fn ten_matchups_come_out_as_worked() {
    all(
        "sedge-moot",
        &[
            // A stone's throw asks 7, Knack 1: a 6 on two dice, 26/36. Nothing to ward with. Salt 5+ stands up 1/3.
            // One arrow takes one with 13/18 x 2/3 = 13/27; two arrows.
            Worked {
                request: json!({"attacker": {"unit": "withy bows", "models": 1, "weapons": ["withy bow"]},
                    "target": {"unit": "leech gatherers"}}),
                steps: &["loose 13/18", "ward 1"],
                quantity: "models",
                rows: &["0: 196/729", "1: 364/729", "2: 169/729"],
                also: &[],
            },
            // A shout asks 8, Knack 1, alders 2: a 9 on two dice. Near the reeve each 1 is rolled again: a die shows 1 with
            // 1/36 and each other face with 7/36, so 9 = 3+6, 4+5 (4 ways), 10 (3), 11 (2), 12 (1) come with
            // 10 x 49/1296 = 490/1296 = 245/648. Hide 6+ fails 5/6: 1225/3888 an arrow.
            Worked {
                request: json!({"attacker": {"unit": "withy bows", "models": 1, "weapons": ["withy bow"],
                    "near": ["reeve"]}, "target": {"unit": "peat cutters"},
                    "situation": {"range": "shout", "cover": "alders"}}),
                steps: &["loose 245/648", "ward 5/6"],
                quantity: "models",
                rows: &["0: 7091569/15116544", "1: 3262175/7558272", "2: 1500625/15116544"],
                also: &[],
            },
            // Six and Shove 2 asks 8, Shove 3: a 5 on two dice, 30/36. Boards 3+ at -1 (from 4) are better than hide 5+ at
            // -1: fails 1/2. With 10 or more (6/36) the ward is at -3: a 6 alone, fails 5/6. 24/36 x 1/2 + 6/36 x 5/6 =
            // 17/36.
            Worked {
                request: json!({"attacker": {"unit": "eel spears", "models": 1, "weapons": ["eel spear"]},
                    "target": {"unit": "door bearers"}, "situation": {"range": "grips", "arc": "front"}}),
                steps: &["wrestle 5/6", "ward 1/2"],
                quantity: "models",
                rows: &["0: 19/36", "1: 17/36"],
                also: &[],
            },
            // From the flank no boards: hide 5+ at -1, a 6, fails 5/6; hooked at -3, never saved.
            // 24/36 x 5/6 + 6/36 = 13/18.
            Worked {
                request: json!({"attacker": {"unit": "eel spears", "models": 1, "weapons": ["eel spear"]},
                    "target": {"unit": "door bearers"}, "situation": {"range": "grips", "arc": "flank"}}),
                steps: &["wrestle 5/6", "ward 5/6"],
                quantity: "models",
                rows: &["0: 5/18", "1: 13/18"],
                also: &[],
            },
            // The skyline asks 10, Knack 2: an 8 on the best two of three dice, since they settled: 147 of 216 = 49/72.
            // Duck 5+ is better than hide 5+ at -2: fails 2/3. d3 points, salt 6+ for each: at least one is left of 1, 2, 3
            // with 5/6, 35/36, 215/216, a third each: 605/648. 49/72 x 2/3 x 605/648 = 29645/69984.
            Worked {
                request: json!({"attacker": {"unit": "fowlers", "models": 1, "weapons": ["fowling piece"]},
                    "target": {"unit": "eel spears"}, "situation": {"range": "skyline", "settled": true}}),
                steps: &["loose 49/72", "ward 2/3"],
                quantity: "models",
                rows: &["0: 40339/69984", "1: 29645/69984"],
                also: &[],
            },
            // The same at the last one, the spear warden: Breath 2, salt 5+. 49/108 come through with d3, each point stays
            // with 2/3. Of 1: 1 with 2/3. Of 2: 1 with 4/9, 2 with 4/9. Of 3: 1 with 6/27, 2 or 3 with 20/27.
            // 1: 49/108 x (2/3 + 4/9 + 6/27) / 3 = 49/243; 2: 49/108 x (4/9 + 20/27) / 3 = 392/2187.
            Worked {
                request: json!({"attacker": {"unit": "fowlers", "models": 1, "weapons": ["fowling piece"]},
                    "target": {"unit": "eel spears", "left": 1}, "situation": {"range": "skyline", "settled": true}}),
                steps: &["loose 49/72", "ward 2/3"],
                quantity: "health_lost",
                rows: &["0: 1354/2187", "1: 49/243", "2: 392/2187"],
                also: &[("/destroyed", "392/2187")],
            },
            // Four arrows at 13/18 on a cutter (hide 6+) and his ganger (hide 5+, Breath 2). The cutter falls to each with
            // 13/18 x 5/6 = 65/108; then each hurts the ganger with 13/18 x 2/3 = 13/27, and the second time he falls.
            // None: (43/108)^4. The states 1, 2 and 3 follow arrow by arrow. Two lost are both gone, and nobody is left to waver.
            // All four past loose ((13/18)^4): then both fall unless too few of the four get through 5/6, 2/3 and 2/3 in turn:
            // 10/27 (1 + 1/6 + 1/3 + 1/3) = 55/81, so somebody is left with 26/81, and keeps his head down on a 4 or more.
            Worked {
                request: json!({"attacker": {"unit": "withy bows", "models": 2, "weapons": ["withy bow"]},
                    "target": {"unit": "peat cutters", "left": 2}}),
                steps: &["loose 13/18", "ward 5/6"],
                quantity: "health_lost",
                rows: &["0: 3418801/136048896", "1: 3564275/15116544", "2: 13581685/34012224", "3: 2889055/8503056"],
                also: &[
                    ("/destroyed", "2889055/8503056"),
                    ("/aftermath/gives ground", "0"),
                    ("/aftermath/heads down", "371293/8503056"),
                ],
            },
            // A shout asks 8, Knack 2: a 6, 13/18. Hide 4+ at -2: a 6 alone, fails 5/6. Three points, salt 6+ each; what is
            // left goes on to the next ox. A ball takes 0, 1, 2, 3 with 1 - 65/108 x 215/216, and 65/108 times 15/216,
            // 75/216, 125/216. Three balls on two oxen of 5: the first falls with 5 points or more, the second would need 10.
            Worked {
                request: json!({"attacker": {"unit": "punt gunners", "weapons": ["great fowling gun"]},
                    "target": {"unit": "wallow oxen"}, "situation": {"range": "shout"}}),
                steps: &["loose 13/18", "ward 5/6"],
                quantity: "models",
                rows: &["0: 1476341692763/3173748645888", "1: 1697406953125/3173748645888"],
                also: &[("/destroyed", "0"), ("/aftermath/gives ground", "0")],
            },
            // A shout asks 8, Knack 1: a 7, 21/36. Gnaw 4 and the stake's 3 on two dice against Planks 12: a 5 glances (4/36),
            // more goes in (26/36), less (6/36) is made again: 4/36 x 42/36 = 7/54 and 26/36 x 42/36 = 91/108, in favour
            // 35/36. In: d3+1, and a die with 2 (missing ribs) on the leaks: 3, 4 water, 5, 6 pole, 7, 8 keeling over and d3
            // more, a third each. Five ribs are left. In with 7/12 x 91/108 = 637/1296. Of that 2: 2/9; 3: 2/9 + 1/27; 4: 2/9 +
            // 2/27; 5 or more: 6/27. One, from glancing: 7/12 x 7/54 = 49/648.
            Worked {
                request: json!({"attacker": {"unit": "stake crew", "weapons": ["stake thrower"]},
                    "target": {"unit": "turf lighter", "hurt": 2}, "situation": {"range": "shout", "arc": "front"}}),
                steps: &["loose 7/12", "stave 35/36"],
                quantity: "structure",
                rows: &["0: 187/432", "1: 49/648", "2: 637/5832", "3: 4459/34992", "4: 637/4374", "5: 637/5832"],
                also: &[("/statuses/shipping water", "637/3888"), ("/statuses/keeling over", "637/3888")],
            },
            // Six and Shove 1 asks 7, Shove 2: a 5, 30/36. Gnaw 4 against Planks 8: a 4 glances (3/36), a 5 or more goes in
            // (30/36) and takes all three ribs. 5/6 x 1/12 = 5/72; 25/36. The leaks are rolled all the same: 3, 4 water; 5, 6 pole.
            Worked {
                request: json!({"attacker": {"unit": "coot punt", "weapons": ["log beak"]},
                    "target": {"unit": "punt gunners"}, "situation": {"range": "grips", "arc": "flank"}}),
                steps: &["wrestle 5/6", "stave 11/12"],
                quantity: "structure",
                rows: &["0: 17/72", "1: 5/72", "3: 25/36"],
                also: &[("/statuses/shipping water", "25/108"), ("/statuses/pole snapped", "25/108")],
            },
        ],
    );
}
