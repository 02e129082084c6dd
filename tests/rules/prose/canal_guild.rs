//! The sentences of the Canal Guild.
use super::*;

/// Quay Rifles, Guild Launches and crews shoot on a Drill of 4+ (the Launch on 3+): 1/2. One harder is 1/3, one easier 2/3.
#[test]
fn the_canal_guild_does_what_it_says() {
    let rifles = || with("quay rifles", 1, "long rifle");
    let near = |range: &str| json!({"range": range});
    let crew = |weapon: &str| with(&format!("{weapon} crew"), 3, weapon);
    let lines = [
        (
            "behind-something",
            "harder to hit by one",
            Step(on(rifles(), a("heron"), json!({"cover": "wharf"})), "hit", "1/3"),
        ),
        (
            "canal-fog",
            "beyond near range are harder by one",
            Step(on(rifles(), a("dyke hands"), json!({"fog": true, "range": "mid"})), "hit", "1/3"),
        ),
        ("canal-fog", "beyond near range", Step(on(rifles(), a("dyke hands"), json!({"fog": true})), "hit", "1/2")),
        // 5+, and a 1 again: 1/3 + 1/6 x 1/3.
        (
            "on-the-move",
            "harder to aim by one when its unit has moved",
            Step(on(with("swivel crew", 3, "swivel gun"), a("dyke hands"), json!({"moved": true})), "hit", "7/18"),
        ),
        // 1/2 + 1/6 x 1/2.
        (
            "well-served",
            "re-roll ones to hit",
            Step(on(with("swivel crew", 3, "swivel gun"), a("dyke hands"), json!({})), "hit", "7/12"),
        ),
        ("braced-stock", "re-roll misses", Step(on(rifles(), a("dyke hands"), json!({"braced": true})), "hit", "3/4")),
        // Two shots on average, each 1/2 and 1/6 more; Force 3 on Bulk 3 without a coat goes down 1/2.
        (
            "shrapnel",
            "A 6 to hit counts as two hits",
            Mean(on(with("mud sappers", 1, "scatter gun"), a("dyke hands"), json!({})), "/through/expected", 2.0 / 3.0),
        ),
        // Force 4 on Bulk 4 is 4+, Coat 3 leaves only the 1: a 4 or 5 (1/3) brings one down with 1/6, a 6 (1/6) with 2/6.
        (
            "barbed",
            "staying up is harder by two",
            Mean(
                on(with("stilt riders", 1, "boat hook"), a("lock wardens"), near("contact")),
                "/through/expected",
                1.0 / 9.0,
            ),
        ),
        // 15 and a 6 is 21, which the d3 takes to 22 and more: 1/2 x 1/6. A breach costs 1, and on the chart a 7 (6/36), an 11
        // or a 12 (3/36) one more.
        (
            "auger-head",
            "A 6 against a hull bites on: a d3 more",
            Mean(on(crew("bolt gun"), a("heron"), json!({})), "/structure/expected", 5.0 / 48.0),
        ),
        // 16 and a die against 22: a 6, and once more.
        (
            "double-charge",
            "re-roll a shot that does not reach the hull",
            Step(on(crew("culverin"), a("heron"), json!({})), "pierce", "11/36"),
        ),
        (
            "double-charge",
            "When the unit has not moved",
            Step(on(crew("culverin"), a("heron"), json!({"moved": true})), "pierce", "1/6"),
        ),
        // 16 and two more against 22: 4 and more.
        (
            "under-way",
            "Drive is better by two when its unit has moved",
            Step(
                on(with("ram barge", 1, "ram prow"), a("heron"), json!({"range": "contact", "moved": true})),
                "pierce",
                "1/2",
            ),
        ),
        (
            "under-way",
            "when its unit has moved",
            Step(on(with("ram barge", 1, "ram prow"), a("heron"), near("contact")), "pierce", "1/6"),
        ),
        // Three and a half shots, 1/6 of them a 1, of which a 1 or a 2 is not saved.
        (
            "hot-pipes",
            "A 1 to hit scalds the crew, unless it rolls a 3 or more",
            Mean(
                on(with("ferry crab", 1, "steam pipe"), a("dyke hands"), json!({})),
                "/backfires/expected",
                3.5 / 18.0,
            ),
        ),
        // 17 and a die against 18 always breaches. Two dice and two: 7 (a 5 on the dice, 4/36) and 11 or more (9 and more,
        // 10/36) cost one more: 1/2 x 50/36.
        (
            "seeks-the-stern",
            "two more on the breach chart",
            Mean(
                on(with("heron", 1, "long culverin"), a("bittern"), json!({"arc": "rear"})),
                "/structure/expected",
                25.0 / 36.0,
            ),
        ),
        (
            "lantern-screen",
            "from the front at middle or far range count two less against the hull",
            Step(on(crew("culverin"), a("heron"), near("mid")), "pierce", "0"),
        ),
        // 16 and a die against 20 and one: 5 and more, and once more.
        (
            "reed-skirts",
            "hull is better by one against shots from the side",
            Step(on(crew("culverin"), a("dredge walker"), json!({"arc": "side"})), "pierce", "5/9"),
        ),
        (
            "low-in-the-water",
            "shots from middle or far range are harder by one",
            Step(on(rifles(), a("lamp skiff"), near("mid")), "hit", "1/3"),
        ),
        // Force 4 on Bulk 3 is 5+; reeds and one are 2, more than Coat 1 less Rend 1: 3+.
        (
            "reed-wise",
            "reeds shelter them better by one",
            Step(on(rifles(), a("quay rifles"), json!({"cover": "reeds"})), "stay up", "1/3"),
        ),
        // Force 4 on Bulk 4 is 4+; Coat 1 and one leave only the 1.
        (
            "tarred-coats",
            "against weapons that lay a template the coat is better by one",
            Step(
                on(
                    with("mortar crew", 3, "mud mortar"),
                    json!({"unit": "mud sappers", "options": ["tarred coats"]}),
                    near("mid"),
                ),
                "stay up",
                "1/6",
            ),
        ),
        (
            "old-hands",
            "blows are easier by one against anything larger than a person",
            Step(on(with("lock wardens", 1, "felling axe"), a("heron"), near("contact")), "hit", "5/6"),
        ),
        (
            "at-the-gallop",
            "Riders that moved into contact strike twice as often",
            Mean(
                on(with("heath riders", 1, "horse spear"), a("dyke hands"), json!({"range": "contact", "moved": true})),
                "/attacks/expected",
                4.0,
            ),
        ),
        (
            "speaking-tubes",
            "shots at far range are easier by one",
            Step(
                on(
                    json!({"unit": "quay rifles", "models": 5, "options": ["marksman"], "weapons": ["long rifle"]}),
                    a("heron"),
                    json!({"range": "far", "arc": "rear"}),
                ),
                "hit",
                "2/3",
            ),
        ),
        (
            "signal-flags",
            "Units near it hit easier by one at middle and far range",
            Step(
                on(
                    json!({"unit": "quay rifles", "weapons": ["long rifle"], "near": ["guild launch"]}),
                    a("heron"),
                    near("mid"),
                ),
                "hit",
                "2/3",
            ),
        ),
        (
            "signal-flags",
            "fog hides the flags",
            Step(
                on(
                    json!({"unit": "quay rifles", "weapons": ["long rifle"], "near": ["guild launch"]}),
                    a("heron"),
                    json!({"range": "mid", "fog": true}),
                ),
                "hit",
                "1/3",
            ),
        ),
        ("signal-flags", "Its own arrival is easier by one", Check("guild launch", "", "", "arrival", "2/3")),
        // Force 4 on Bulk 3 is 5+, and 6+ by the captain. Crews are soldiers as well: 4+ and 5+.
        (
            "captain-s-eye",
            "staying up is harder by one against what they do at near range or in contact",
            Step(
                on(
                    json!({"unit": "quay rifles", "weapons": ["long rifle"], "near": ["wharf captain"]}),
                    a("dyke hands"),
                    json!({}),
                ),
                "stay up",
                "5/6",
            ),
        ),
        (
            "captain-s-eye",
            "at near range or in contact",
            Step(
                on(
                    json!({"unit": "quay rifles", "weapons": ["long rifle"], "near": ["wharf captain"]}),
                    a("dyke hands"),
                    near("mid"),
                ),
                "stay up",
                "2/3",
            ),
        ),
        (
            "captain-s-eye",
            "Soldiers near a captain",
            Step(
                on(
                    json!({"unit": "bolt gun crew", "weapons": ["bank pistol"], "near": ["wharf captain"]}),
                    a("dyke hands"),
                    json!({}),
                ),
                "stay up",
                "2/3",
            ),
        ),
        (
            "crushing-blow",
            "no Grit roll",
            Is(on(crew("culverin"), a("mud sappers"), json!({})), "/chain/target/ignore", Value::Null),
        ),
        ("bilge-gang", "on a 6 a point comes back", Repair("heron", "", "", "6+", json!("one"))),
        ("master-tinker", "mends on a 5 or more", Repair("heron", "", "tinker's cutter", "5+", json!("one"))),
        ("ledge-rails", "re-roll a failed hazard test", Check("ram barge", "", "", "hazard", "35/36")),
        ("leadsman", "a 1 counts as a 2", Check("guild launch", "leadsman aboard", "", "hazard", "1")),
        // Two dice at most 6 and one: 21/36.
        (
            "guild-banner",
            "Nerve tests are easier by one",
            Check("dyke hands", "", "wharf captain", "nerve-test", "7/12"),
        ),
    ];
    all("canal-guild", 25, &lines);
}
