//! The sentences of the Floe Run.
use super::*;

/// Of two ten-sided dice one is ahead of the other by d or more in (10 - d)(11 - d)/2 of 100 ways.
#[test]
fn the_floe_run_does_what_it_says() {
    let rifles = || with("drift rifles", 1, "seal rifle");
    let clinch = || json!({"range": "clinch"});
    let lines = [
        // Squint 3 - 1 - 2 against Wary 2: ahead by 3: 28.
        (
            "snow-blind",
            "a shot beyond hail counts two less",
            Step(on(rifles(), a("deck hands"), json!({"whiteout": true, "range": "sight"})), "bead", "7/25"),
        ),
        // Squint 3 + 1 - 2 against 2: ahead by 1: 45.
        (
            "rested",
            "two less when its unit has moved",
            Step(on(rifles(), a("deck hands"), json!({"moved": true})), "bead", "9/20"),
        ),
        // Squint 3 - 1 - 2 against Wary 3 and a drift of 1: ahead by 5: 15.
        (
            "white-smocks",
            "a shot at them counts two less, unless they are on bare ice",
            Step(on(rifles(), a("drift rifles"), json!({"range": "sight", "cover": "drift"})), "bead", "3/20"),
        ),
        // Squint 3 - 1 against 3: ahead by 2: 36.
        (
            "white-smocks",
            "unless they are on bare ice",
            Step(on(rifles(), a("drift rifles"), json!({"range": "sight"})), "bead", "9/25"),
        ),
        // Two ten-sided dice and 10 against 22 and 2: 14 or more: 28.
        (
            "ice-plough",
            "two more Rind against what comes from there, on the gouge",
            Step(on(with("gun sledge", 1, "deck gun"), a("tread hauler"), json!({})), "gouge", "7/25"),
        ),
        // Surge 11 is half of 22, which would be a d3; of 24 it is less, which is 2.
        (
            "ice-plough",
            "where Surge is set against Rind",
            Is(
                on(with("tread hauler", 1, "iron prow"), a("tread hauler"), clinch()),
                "/chain/steps/1/breach/structure",
                json!(2),
            ),
        ),
        (
            "ice-plough",
            "from there",
            Is(
                on(
                    with("tread hauler", 1, "iron prow"),
                    a("tread hauler"),
                    json!({"range": "clinch", "arc": "broadside"}),
                ),
                "/chain/steps/1/against",
                json!(20),
            ),
        ),
        // The higher of two dice, 3 - 3 - 1, against a die and 4, ties hit: 75, 64, 51, 36 and 19 of 1000.
        (
            "low-freeboard",
            "shots from the haze count one less",
            Step(
                on(with("pivot gun crew", 4, "pivot gun"), a("sail sledge"), json!({"range": "haze"})),
                "bead",
                "49/200",
            ),
        ),
        (
            "on-the-run",
            "strike twice as often in the clinch",
            Mean(
                on(with("dog team", 1, "snapping jaws"), a("deck hands"), json!({"range": "clinch", "moved": true})),
                "/attacks/expected",
                4.0,
            ),
        ),
        // Two dice, 5 and 2 against 17: 10 or more: 64.
        (
            "finish-her",
            "two more on the gouge against one that is listing when the attack begins",
            Step(
                on(
                    with("grapnel gang", 1, "flensing hook"),
                    json!({"unit": "sail sledge", "statuses": ["listing"]}),
                    clinch(),
                ),
                "gouge",
                "16/25",
            ),
        ),
        // 5 against 17 alone: 12 or more: 45.
        (
            "finish-her",
            "when the attack begins",
            Step(on(with("grapnel gang", 1, "flensing hook"), a("sail sledge"), clinch()), "gouge", "9/20"),
        ),
        (
            "thaw-gang",
            "rolls a die for each missing spar, and each 9 or more brings one back",
            Repair("tread hauler", "", "", "9+", json!("each_missing")),
        ),
        ("hot-irons", "mends easier by two", Repair("tread hauler", "", "stove sledge", "7+", json!("each_missing"))),
        (
            "hot-stove",
            "two dice at the start of their turn, and each 6 or more",
            Repair("musk drovers", "", "stove sledge", "6+", json!(2)),
        ),
        // Elbow 4 and one against 2, ties hold: behind by 3 at most: 100 - 21.
        ("sea-chest", "a grapnel is thrown with one more", Check("grapnel gang", "", "", "grapnel", "79/100")),
        ("ice-wise", "re-roll a failed ice test", Check("ice pilot", "", "", "ice-test", "24/25")),
        ("ice-wise", "nettle tests are easier by one", Check("ice pilot", "", "", "nettle-test", "9/10")),
        // 1 - (6/10)^3.
        (
            "night-bell",
            "a cold watch is kept by three, and the best one counts",
            Check("deck hands", "", "convoy master + night bell", "cold-watch", "98/125"),
        ),
        // N6: 2 and Squint against Wary 4, so the die is 2 behind; two dice and 4 against 15: 11 or more 55, 9 or more 72, 7 or
        // more 85, 4 or more 97. Of 100: ahead by less than 3 with no 10: 18; by 3 to 6 (two more): 10. A 10 always hits and adds two:
        // by 7 or more once (5 + 2), by 3 to 6 four times (2 + 2), else five times (2).
        (
            "bursting-flare",
            "and two more on a gouge",
            Mean(
                on(with("deck hands", 1, "flare pistol"), a("sail sledge"), json!({"arc": "stern"})),
                "/structure/distribution/1/at_least",
                (18.0 * 55.0 + 10.0 * 72.0 + 97.0 + 4.0 * 85.0 + 5.0 * 72.0) / 10_000.0,
            ),
        ),
    ];
    all("floe-run", 14, &lines);
}
