//! A reading as a complete sentence: typed as it stands, it gives that reading again.
use super::reading::{Act, Reading};
use crate::client::index::{NameKind, PackIndex};
use crate::draft::Draft;
use crate::typing::{Arg, Value};
use serde_json::Value as Json;

/// What was understood of a message about a fight: `attacker 3 Ram Barges, rear`; nothing where nothing was.
pub fn understood(index: &PackIndex, text: &str) -> Option<String> {
    let message = super::message::ParsedMessage::of(text, index);
    let battle = super::battle::Battle::of(&message);
    let mut parts: Vec<String> = Vec::new();
    for (at, found) in battle.sides.iter().enumerate().filter(|(_, side)| !side.helper && side.ids.len() == 1) {
        let seat = if battle.fighters().count() > 2 {
            "unit"
        } else if battle.roles.attackers.contains(&at) {
            "attacker"
        } else {
            "target"
        };
        parts.push(format!("{seat} {}", side(index, &super::battle::side_json(index, found, true))));
    }
    let on_table = super::battle::situation(&battle.table).unwrap_or_default();
    parts.extend(Some(table(index, &on_table).trim_start_matches(", ").to_owned()).filter(|words| !words.is_empty()));
    (!parts.is_empty()).then(|| format!("Understood so far: {}.", parts.join(", ")))
}

/// A question back that points at readings of which none can be shown: it points at nothing then.
pub fn unshown(question: &str) -> String {
    const UNSURE: &str = "I'm not sure what you mean: could you say it in other words?";
    match question {
        "Which of these do you mean?" | "Is this what you mean?" => UNSURE.to_owned(),
        question => question
            .replace(" Is this what you mean? If not, say it in other words.", " Could you say it in other words?")
            .replace("Is this what you mean? ", ""),
    }
}

/// The sentence.
pub fn sentence(index: &PackIndex, reading: &Reading) -> Option<String> {
    match &reading.act {
        Act::Question(question) => of_question(index, reading.command.name, question),
        Act::Args(read) => Some(of_args(reading.command.name, &read.args)),
        Act::Lacks { .. } => None,
    }
}

fn of_args(command: &str, args: &[Arg]) -> String {
    let mut words = format!("/{command}");
    for arg in args {
        let said = match (&arg.value, arg.option) {
            (Value::Flag, option) => option.to_owned(),
            (Value::Text(text), "list" | "about" | "contents") => text.replace('\n', "; "),
            (value, "turns") => format!("{} turns", value.words()),
            (value, "missing") => format!("{} lost", value.words()),
            (value, "left") => format!("{} left", value.words()),
            (value, "incoming") => format!("losing {} each turn", value.words()),
            (value, "near") => format!("near the {}", value.words()),
            (value, "distance") => format!("{} inches", value.words()),
            (value, _) => value.words(),
        };
        words.push_str(&format!(" {said}"));
    }
    words
}

fn named(index: &PackIndex, kind: NameKind, id: &Json) -> String {
    let id = id.words();
    index.called(kind).find(|(known, ..)| *known == id).map_or_else(|| id.clone(), |(_, name, _)| name.to_lowercase())
}

/// `3 Ram Barge with signal mast near the Wharf Captain`.
fn side(index: &PackIndex, side: &Json) -> String {
    let id = side.unit().words();
    let unit = index.unit(&id);
    let name = unit.map_or(id, |unit| unit.name.clone());
    let models = side.models().and_then(|models| u32::try_from(models).ok());
    let mut words = match (models, unit) {
        (Some(models), Some(unit)) => index.counting(unit).in_full(models),
        (Some(models), None) => format!("{models} {name}"),
        (None, _) => name,
    };
    for (at, option) in side.options().iter().enumerate() {
        let option = option.words();
        let known = unit.and_then(|unit| unit.options.iter().find(|known| option.ends_with(&known.id)));
        let times = option
            .split(' ')
            .next()
            .filter(|first| first.parse::<u64>().is_ok())
            .map_or_else(String::new, |times| format!("{times} "));
        let name = known.map_or_else(|| option.clone(), |known| format!("{times}{}", known.name.to_lowercase()));
        words.push_str(&format!(" {} {name}", if at == 0 { "with" } else { "and" }));
    }
    for near in side.near() {
        words.push_str(&format!(" near the {}", named(index, NameKind::Unit, near)));
    }
    for weapon in side.weapons() {
        let id = weapon.words();
        let name = index.weapons.iter().find(|known| known.id == id).map_or(id.clone(), |known| known.name.clone());
        words.push_str(&format!(", {name} only"));
    }
    for status in side.statuses() {
        words.push_str(&format!(", {}", status.words()));
    }
    for (state, said) in [("left", "left"), ("hurt", "lost")] {
        if let Some(points) = side.part(state).as_u64() {
            words.push_str(&format!(", {points} {said}"));
        }
    }
    words
}

/// `, rear, near, moved`.
fn table(index: &PackIndex, situation: &Json) -> String {
    let mut words = String::new();
    for (key, kind) in [("arc", NameKind::Arc), ("range", NameKind::Range), ("cover", NameKind::Cover)] {
        match situation.part(key).said() {
            Some(Json::Number(inches)) => words.push_str(&format!(", {inches} inches away")),
            Some(value) if key == "cover" => words.push_str(&format!(", in {}", named(index, kind, value))),
            Some(value) => words.push_str(&format!(", {}", named(index, kind, value))),
            None => {}
        }
    }
    match situation.part("moved").as_bool() {
        Some(true) => words.push_str(", moved"),
        Some(false) => words.push_str(", stood still"),
        None => {}
    }
    for flag in index.situation.iter().filter(|flag| flag.id != "moved") {
        match situation.part(&flag.id).as_bool() {
            Some(true) => words.push_str(&format!(", {}", flag.name.to_lowercase())),
            Some(false) => words.push_str(&format!(", no {}", flag.name.to_lowercase())),
            None => {}
        }
    }
    words
}

fn rules(index: &PackIndex, question: &Json) -> String {
    let mut words = String::new();
    for key in ["with", "without"] {
        for rule in question.part(key).items() {
            words.push_str(&format!(", {key} the {} rule", named(index, NameKind::Rule, rule)));
        }
    }
    words
}

fn percent(value: &Json) -> String {
    format!("{}%", super::battle::number((value.as_f64().unwrap_or(0.9) * 1000.0).round() / 10.0))
}

/// `3 Ram Barge v Heron Carriage, rear`.
pub fn matchup(index: &PackIndex, question: &Json) -> String {
    let (attacker, target) = (side(index, question.attacker()), side(index, question.target()));
    format!("{attacker} v {target}{}{}", table(index, question.situation()), rules(index, question))
}

fn of_question(index: &PackIndex, command: &str, question: &Json) -> Option<String> {
    Some(match command {
        "matchup" => format!("/matchup {}", matchup(index, question)),
        "duel" => {
            let (a, b) = (side(index, question.a()), side(index, question.b()));
            let turns = question.turns().map_or_else(String::new, |turns| format!(", {turns} turns"));
            let first = match question.first() {
                Some("a") => ", i go first".to_owned(),
                Some("b") => ", they go first".to_owned(),
                Some("roll") => ", roll off".to_owned(),
                Some(_) => ", at the same time".to_owned(),
                None => String::new(),
            };
            format!(
                "/duel {a} v {b}{}{}{turns}{first}",
                table(index, question.situation()),
                table(index, question.b().situation())
            )
        }
        "needed" if question.matchup().is_said() => {
            let want = question.want();
            let chance = percent(want.destroyed().said().unwrap_or(want.chance()));
            let lost =
                want.structure().or(want.models()).map_or_else(String::new, |lost| format!(", to knock {lost} off"));
            format!("/needed how many {}{lost}, {chance}", matchup(index, question.matchup()))
        }
        "luck" if question.matchup().is_said() => {
            let result = question.result().fields().next()?;
            let said = if result.0 == "backfires" { "backfires" } else { "killed" };
            format!("/luck {}, {} {said}", matchup(index, question.matchup()), result.1)
        }
        "check" => {
            let dice = question.dice().words();
            let needs = question.need().unwrap_or_default();
            let tries = question.tries().map_or_else(String::new, |tries| format!(" {tries} times"));
            format!("/check {dice} {needs}{tries}")
        }
        _ => return None,
    })
}
