//! Each rule by a sentence of its own text: the sentence stands in the pack, and what it says comes out. The figures are
//! worked out by hand from the sentence and from the stats of the unit books, never from the rule's data.
//!
//! Long because each rule of each pack has its sentence and its example here.
use pipwright_shared::odds::number::Exact;
use pipwright_shared::rules::matchup::{Fielded, Neighbour};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::{Books, standing};
use pipwright_shared::wire::packs::{UnitQuery, unit};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

/// What comes of a sentence.
enum Comes {
    /// Of a matchup: a step by name, the chance of one roll in the attacker's favour.
    Step(Value, &'static str, &'static str),
    /// Of a matchup: a number by pointer.
    Mean(Value, &'static str, f64),
    /// Of a matchup: a value by pointer.
    Is(Value, &'static str, Value),
    /// Of a unit with others near it, options and a distance: its check, and the chance to pass.
    Check(&'static str, &'static str, &'static str, &'static str, &'static str),
    /// Of a unit with others near it and options: what its repair needs, and how often it is rolled.
    Repair(&'static str, &'static str, &'static str, &'static str, Value),
}
use Comes::{Check, Is, Mean, Repair, Step};

/// One sentence: its rule, what it says, and what comes of it.
type Line = (&'static str, &'static str, Comes);

fn on(attacker: Value, target: Value, situation: Value) -> Value {
    json!({"attacker": attacker, "target": target, "situation": situation})
}

fn with(unit: &str, models: u32, weapon: &str) -> Value {
    json!({"unit": unit, "models": models, "weapons": [weapon]})
}

fn a(unit: &str) -> Value {
    json!({"unit": unit})
}

/// The chance of one ordinary roll of a step.
fn step(answer: &Value, name: &str) -> String {
    let steps = answer["steps"].as_array().expect("steps").iter();
    let found = steps.clone().find(|step| step["name"] == name);
    let found = found.unwrap_or_else(|| panic!("no step {name} in {}", answer["steps"]));
    found["fraction"].as_str().expect("a fraction").to_owned()
}

fn told(pack: &str, line: &Line) -> Result<(), String> {
    let (rule, sentence, comes) = line;
    let books = Books::demo();
    let book = books.pack(Some(pack)).expect("a demo pack");
    let plan = book.rules.iter().find(|one| one.named.id == *rule).ok_or(format!("no rule {rule}"))?;
    if !plan.named.text.contains(sentence) {
        return Err(format!("{rule} does not say {sentence:?} but {:?}", plan.named.text));
    }
    let matchup = |request: &Value| {
        let mut request = request.clone();
        request["pack"] = json!(pack);
        ask("matchup", request)
    };
    let text = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    let (found, wanted) = match comes {
        Step(request, name, wanted) => (step(&matchup(request), name), (*wanted).to_owned()),
        Mean(request, pointer, wanted) => {
            let answer = matchup(request);
            let found = answer.pointer(pointer).and_then(Value::as_f64).ok_or(format!("no {pointer} in {answer}"))?;
            if (found - wanted).abs() < 1e-12 {
                return Ok(());
            }
            (found.to_string(), wanted.to_string())
        }
        Is(request, pointer, wanted) => {
            let answer = matchup(request);
            (answer.pointer(pointer).unwrap_or(&Value::Null).to_string(), wanted.to_string())
        }
        Check(name, "", near, id, wanted) if near.contains('+') => {
            (beside(&book, name, near, id).ok_or(format!("no check {id} beside {near}"))?, (*wanted).to_owned())
        }
        Check(name, options, near, id, wanted) => {
            let query = UnitQuery { options: text(options), near: text(near), ..UnitQuery::default() };
            let answer = serde_json::to_value(unit(&book, name, &query).map_err(|wrong| format!("{wrong:?}"))?);
            let answer = answer.expect("JSON");
            let check = answer["checks"].as_array().expect("checks").iter().find(|check| check["id"] == *id);
            let check = check.ok_or(format!("no check {id}"))?;
            (
                ask("check", check["request"].clone())["fraction"].as_str().unwrap_or("?").to_owned(),
                (*wanted).to_owned(),
            )
        }
        Repair(name, options, near, needs, rolls) => {
            let query = UnitQuery { options: text(options), near: text(near), ..UnitQuery::default() };
            let answer = serde_json::to_value(unit(&book, name, &query).map_err(|wrong| format!("{wrong:?}"))?);
            let repair = &answer.expect("JSON")["repair"];
            (json!([repair["needs"], repair["rolls"]]).to_string(), json!([needs, rolls]).to_string())
        }
    };
    if found == wanted { Ok(()) } else { Err(format!("{rule}, {sentence:?}: {found}, and by the sentence {wanted}")) }
}

/// The chance of a check with a unit near that has options of its own.
fn beside(pack: &Pack, name: &str, near: &str, check: &str) -> Option<String> {
    let (neighbour, option) = near.split_once(" + ")?;
    let neighbour = pack.find.units.find(neighbour).ok()?;
    let options = vec![pack.units[neighbour].find.find(option).ok()?];
    let unit = pack.find.units.find(name).ok()?;
    let near = vec![Neighbour { unit: neighbour, options }];
    let fielded = Fielded { unit, models: pack.units[unit].models.0, near, ..Fielded::default() };
    let at = pack.checks.iter().position(|plan| plan.named.id == check)?;
    let check = standing::check(pack, &fielded, at, None, &[], &[])?;
    Some(check.roll.score::<Exact>().success().to_string())
}

#[track_caller]
fn all(pack: &str, least: usize, lines: &[Line]) {
    let wrong: Vec<String> = lines.iter().filter_map(|line| told(pack, line).err()).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let mut rules: Vec<&str> = lines.iter().map(|(rule, ..)| *rule).collect();
    rules.dedup();
    assert!(rules.len() >= least, "{} rules are looked at", rules.len());
}

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
            Repair("deck hands", "", "stove sledge", "6+", json!(2)),
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
        ("poultice", "on a 4 or more; there are two tries", Repair("peat cutters", "", "herb wife", "4+", json!(2))),
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
