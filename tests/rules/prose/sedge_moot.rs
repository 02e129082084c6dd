//! The sentences of the Sedge Moot.
use super::*;

/// Two six-sided dice show 5 or more in 30 of 36 ways, 6 or more in 26, 7 in 21, 8 in 15, 9 in 10.
#[test]
fn the_sedge_moot_does_what_it_says() {
    let lines = [
        // Knack 1 - 1 on 8+.
        (
            "marsh-mist",
            "beyond a stone's throw counts one less",
            Step(
                on(with("withy bows", 5, "withy bow"), a("peat cutters"), json!({"mist": true, "range": "shout"})),
                "loose",
                "5/12",
            ),
        ),
        // Knack 2 - 1 on 7+.
        (
            "damp-pan",
            "one less on the two dice",
            Step(on(with("fowlers", 4, "fowling piece"), a("peat cutters"), json!({"mist": true})), "loose", "13/18"),
        ),
        // Knack 2 on 7+: the best two of three come to less than 5 in 11 of 216 ways.
        (
            "long-barrel",
            "roll three dice and keep the highest two",
            Step(
                on(with("fowlers", 4, "fowling piece"), a("peat cutters"), json!({"settled": true})),
                "loose",
                "205/216",
            ),
        ),
        (
            "raking",
            "What is too much for one goes on to the next",
            Is(
                on(with("coot punt", 1, "log beak"), a("leech gatherers"), json!({"range": "grips"})),
                "/chain/target/spill",
                json!(true),
            ),
        ),
        // 4 and three more against 12: 5 or more, and once more.
        (
            "driven-stake",
            "three more to stave in, and re-roll a stroke that glances off",
            Step(on(with("stake crew", 3, "stake thrower"), a("turf lighter"), json!({})), "stave", "35/36"),
        ),
        // Boards 3+ are 4+, less a gnaw of 2: a 6.
        (
            "heavy-swing",
            "boards against it are harder by one",
            Step(
                on(
                    json!({"unit": "peat cutters", "options": ["stake maul"], "weapons": ["stake maul"]}),
                    a("door bearers"),
                    json!({"range": "grips"}),
                ),
                "ward",
                "5/6",
            ),
        ),
        // A die shows 1 in 1 of 36 ways, anything else in 7. Shove 1 on 6 and 2: 7 or more fails in 6 x 49 + 8 x 7 + 1 of 1296.
        (
            "reeve-s-call",
            "re-roll every 1 on their dice to hit",
            Step(
                on(
                    json!({"unit": "peat cutters", "weapons": ["peat spade"], "near": ["moot reeve"]}),
                    a("door bearers"),
                    json!({"range": "grips"}),
                ),
                "wrestle",
                "35/48",
            ),
        ),
        (
            "together-now",
            "one more on the two dice",
            Step(on(with("withy bows", 10, "withy bow"), a("peat cutters"), json!({})), "loose", "5/6"),
        ),
        (
            "locked-doors",
            "their boards are better by one against what is loosed from beyond a stone's throw",
            Step(on(with("withy bows", 5, "withy bow"), a("door bearers"), json!({"range": "shout"})), "ward", "1/6"),
        ),
        (
            "herb-basket",
            "Salt rolls near a herb basket are easier by one",
            Is(
                on(
                    with("withy bows", 5, "withy bow"),
                    json!({"unit": "leech gatherers", "near": ["herb wife"]}),
                    json!({}),
                ),
                "/chain/target/ignore/needs",
                json!("4+"),
            ),
        ),
        ("poultice", "on a 4 or more; there are two tries", Repair("wallow oxen", "", "herb wife", "4+", json!(2))),
        (
            "bailing",
            "a die for each missing rib at the start of its turn, and each 6 brings one back",
            Repair("turf lighter", "", "", "6+", json!("each_missing")),
        ),
        (
            "peat-pump",
            "each 5 or more brings a rib back",
            Repair("turf lighter", "peat pump", "", "5+", json!("each_missing")),
        ),
        (
            "drummed-on",
            "their Pluck tests are easier by one",
            Check("peat cutters", "", "moot reeve + drummer", "pluck-test", "5/6"),
        ),
        (
            "stolid",
            "they waver later by two",
            Is(
                on(with("withy bows", 5, "withy bow"), a("stake crew"), json!({})),
                "/chain/aftermath/0/needs",
                json!("7+"),
            ),
        ),
        (
            "nervous-herd",
            "they waver sooner by one when those attack",
            Is(
                on(with("fowlers", 4, "fowling piece"), a("wallow oxen"), json!({})),
                "/chain/aftermath/0/needs",
                json!("5+"),
            ),
        ),
        // Stride 1 on 4+: 2/3, and once more.
        ("bog-born", "re-roll a failed bog step", Check("leech gatherers", "", "", "bog-step", "8/9")),
        (
            "hard-to-follow",
            "their ducking is better by one",
            Step(on(with("withy bows", 5, "withy bow"), a("fowlers"), json!({"flood": true})), "ward", "1/2"),
        ),
        // Knack 2 - 1 on 10+.
        (
            "low-on-the-water",
            "one less on the two dice",
            Step(on(with("fowlers", 4, "fowling piece"), a("coot punt"), json!({"range": "skyline"})), "loose", "5/18"),
        ),
        (
            "trampling",
            "one more damage to folk",
            Is(
                on(with("wallow oxen", 2, "ox horns"), a("peat cutters"), json!({"range": "grips", "moved": true})),
                "/chain/damage",
                json!(3),
            ),
        ),
    ];
    all("sedge-moot", 18, &lines);
}
