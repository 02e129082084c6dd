//! Each rule by a sentence of its own text: the sentence stands in the pack, and what it says comes out. The figures are
//! worked out by hand from the sentence and from the stats of the unit books, never from the rule's data.
use pipwright_shared::odds::number::Exact;
use pipwright_shared::rules::matchup::{Neighbour, UnitInstance};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::{PackCatalog, standing};
use pipwright_shared::wire::packs::{UnitQuery, unit};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

mod canal_guild;
mod floe_run;
mod sedge_moot;

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
    let books = PackCatalog::demo();
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
    let instance = UnitInstance { unit, models: pack.units[unit].models.0, near, ..UnitInstance::default() };
    let at = pack.checks.iter().position(|plan| plan.named.id == check)?;
    let check = standing::check(pack, &instance, at, None, &[], &[])?;
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
