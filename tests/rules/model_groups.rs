//! Units whose last models are unlike the others.
use pipwright_shared::rules::compile::compile_unanswered_turn_ranges;
use pipwright_shared::rules::duel_matchup::TurnRange;
use pipwright_shared::rules::fault::Source;
use pipwright_shared::rules::matchup::{Matchup, Situation, UnitInstance};
use pipwright_shared::rules::model::limits::Place;
use pipwright_shared::rules::{PackCatalog, read};
use pipwright_shared::wire::packs::{UnitQuery, unit};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

fn target(pack: &str, request: Value) -> Value {
    let mut request = request;
    request["pack"] = json!(pack);
    let answer = ask("matchup", request);
    let odds = ask("odds", answer["chain"].clone());
    for quantity in ["models", "health_lost", "destroyed", "aftermath"] {
        assert_eq!(answer[quantity], odds[quantity], "{quantity}");
    }
    answer["chain"]["target"].clone()
}

#[test]
fn the_last_model_has_its_own_health_and_ward() {
    let shot = |left: u32| {
        target(
            "sedge-moot",
            json!({"attacker": {"unit": "withy bows"}, "target": {"unit": "peat cutters", "left": left}}),
        )
    };
    let groups = shot(5)["groups"].clone();
    assert_eq!((&groups[0]["models"], &groups[1]["models"]), (&json!(4), &json!(1)));
    assert_eq!(groups[1]["health"], 2);
    assert_eq!(groups[1]["then"]["ward"]["needs"], "5+");
    // One alone is the ganger, and his numbers are the chain's own.
    let alone = shot(1);
    assert_eq!((&alone["models"], &alone["health"], alone.get("groups")), (&json!(1), &json!(2), None));
}

#[test]
fn an_option_may_bring_one() {
    let shot = |options: Value| {
        target(
            "sedge-moot",
            json!({"attacker": {"unit": "fowlers"}, "target": {"unit": "door bearers", "options": options}}),
        )
    };
    assert_eq!(shot(json!([]))["models"], 6);
    let groups = shot(json!(["elder"]))["groups"].clone();
    assert_eq!(groups[1]["ignore"]["needs"], "5+");
    assert_eq!(groups[0].get("ignore"), None);
}

/// Surge 4 goes into Quilt 6 more than half, into Quilt 9 less: only the whisk gun meets the keeper otherwise.
#[test]
fn weapons_that_meet_it_differently_have_steps_of_their_own() {
    let request = json!({"pack": "floe-run", "attacker": {"unit": "grapnel gang"}, "target": {"unit": "tally crew"},
        "situation": {"range": "clinch"}});
    let answer = ask("matchup", request.clone());
    let names: Vec<&str> =
        answer["steps"].as_array().unwrap().iter().map(|step| step["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["clash", "bear from flensing hook", "bead", "bear from whisk gun"]);
    let then = answer["chain"]["target"]["groups"][1]["then"].clone();
    assert_eq!(then, json!({"bear from whisk gun": {"needs": "2+"}}));
    target("floe-run", request);
}

#[test]
fn a_unit_tells_of_it() {
    let pack = PackCatalog::demo().pack(Some("sedge-moot")).unwrap();
    let cutters = serde_json::to_value(unit(&pack, "peat cutters", &UnitQuery::default()).unwrap()).unwrap();
    assert_eq!(cutters["groups"][0]["name"], "ganger");
    // Four of one breath, one of two.
    assert_eq!(cutters["capacity"], 6);
}

/// A demo pack's files, changed.
fn changed(id: &str, from: &str, to: &str) -> Vec<Source> {
    let files = pipwright_shared::packs::demo().into_iter().find(|files| files[0].name.starts_with(id)).unwrap();
    assert!(files.iter().any(|file| file.text.contains(from)), "{from} is not there");
    files.iter().map(|file| Source::new(file.name.clone(), file.text.replace(from, to))).collect()
}

fn faults(id: &str, from: &str, to: &str) -> Vec<String> {
    let read = read::read(&changed(id, from, to));
    read.err().into_iter().flatten().map(|fault| fault.to_string()).collect()
}

#[test]
fn groups_that_make_no_sense_are_refused() {
    let told = |faults: Vec<String>, words: &str| assert!(faults.iter().any(|f| f.contains(words)), "{faults:?}");
    let many = faults("sedge-moot", "id = \"ganger\",", "id = \"ganger\", models = 6,");
    told(many, "more models than the smallest such unit");
    let raft =
        faults("sedge-moot", "id = \"coot-punt\"", "id = \"coot-punt\"\ngroup = [{ id = \"x\", sets = { ribs = 4 } }]");
    told(raft, "only soldiers have models unlike the others");
    told(faults("sedge-moot", "id = \"ganger\", sets = { breath = 2, hide = \"5+\" }", "id = \"ganger\""), "in what");
}

/// A ganger who ducks on 4+ instead of warding with a hide of 6+ at -1: written with the chain's own modifier, 3+ at -1, so
/// that a spear's hook, two less on either, makes it 3+ at -3: a 6, as 4+ at -2 is.
#[test]
fn a_hook_takes_as_much_off_a_ward_of_another_sort() {
    use pipwright_shared::odds::chain::{Kind, Target};
    use pipwright_shared::odds::roll::Needs;
    use pipwright_shared::rules::compile::compile;
    use pipwright_shared::rules::matchup::{Matchup, Situation, UnitInstance};
    let files = changed("sedge-moot", "sets = { breath = 2, hide = \"5+\" }", "sets = { duck = \"4+\" }");
    let pack = std::sync::Arc::new(read::read(&files).expect("a good pack"));
    let field = |name: &str, models: u32| {
        let unit = pack.find.units.find(name).expect("a unit");
        UnitInstance { unit, models, ..UnitInstance::default() }
    };
    let spear = pack.find.weapons.find("eel spear").expect("a weapon");
    let matchup = Matchup {
        attacker: UnitInstance { weapons: vec![spear], ..field("eel spears", 5) },
        target: field("peat cutters", 5),
        situation: Situation { range: 0, ..Situation::usual(&pack) },
        with: Vec::new(),
        without: Vec::new(),
        pack: pack.clone(),
    };
    let chain = compile(&matchup).expect("a chain").chain;
    let Target::Soldiers(soldiers) = chain.target() else { panic!("soldiers") };
    let then = &soldiers.groups[1].then;
    assert_eq!((then.len(), then[0].step.as_str(), then[0].modifier), (1, "ward", None));
    assert_eq!(then[0].needs, Some(Needs::AtLeast(3)));
    let Kind::Roll(wrestle) = &chain.volleys()[0].steps[0].kind else { panic!("a roll") };
    assert_eq!((wrestle.critical.then[0].modifier, wrestle.critical.then[0].plus.modifier), (None, -2));
}

/// Each unit with each of its options, attacked by each other one as attackers come on: that can be worked out for all of
/// them. A game that could not would be missing in a review, as if nobody had attacked.
#[test]
fn everybody_can_be_attacked_along_the_approach() {
    let mut asked = 0;
    for pack in PackCatalog::demo().packs() {
        let usual = Situation::usual(pack);
        let along = |(place, turn): (&Place, u32)| {
            let situation = Situation { range: place.range, arc: place.arc, ..usual.clone() };
            TurnRange { situation, turns: (turn, turn) }
        };
        let turn_ranges: Vec<TurnRange> = pack.board.approach.iter().zip(1..).map(along).collect();
        let plain = |unit: usize| UnitInstance { unit, models: pack.units[unit].models.0, ..UnitInstance::default() };
        for (at, unit) in pack.units.iter().enumerate() {
            let options = (0..unit.options.len()).map(|option| vec![(option, 1)]);
            for options in std::iter::once(Vec::new()).chain(options) {
                for attacker in 0..pack.units.len() {
                    let matchup = Matchup {
                        pack: pack.clone(),
                        attacker: plain(attacker),
                        target: UnitInstance { options: options.clone(), ..plain(at) },
                        situation: turn_ranges.first().map_or_else(|| usual.clone(), |first| first.situation.clone()),
                        with: Vec::new(),
                        without: Vec::new(),
                    };
                    let game = compile_unanswered_turn_ranges(&matchup, turn_ranges.clone());
                    let other = &pack.units[attacker].named.id;
                    assert!(game.is_ok(), "{other} on {} with {options:?}: {:?}", unit.named.id, game.err());
                    asked += 1;
                }
            }
        }
    }
    assert!(asked > 1_000, "{asked}");
}
