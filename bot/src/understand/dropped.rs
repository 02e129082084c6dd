//! What was read of units and of the table, and is not in the question that a reading asks: it would answer another one.
use super::battle::Battle;
use super::message::ParsedMessage;
use super::reading::{Act, Reading};
use super::table::Range;
use crate::typing::Value;
use serde_json::Value as Json;

/// Questions in which each unit that was named has its place.
const OF_UNITS: &[&str] = &["matchup", "duel", "needed", "luck", "compare", "appraise", "repair", "check"];
/// Questions in which each word about the table has its place.
const OF_TABLES: &[&str] = &["matchup", "needed", "luck", "compare"];

/// The words of what is left out.
pub fn dropped(message: &ParsedMessage<'_>, battle: &Battle, reading: &Reading, follows: bool) -> Vec<usize> {
    let name = reading.command.name;
    if !OF_UNITS.contains(&name) || battle.sides.is_empty() {
        return Vec::new();
    }
    let mut said = Vec::new();
    match &reading.act {
        Act::Question(question) => values(question, "", &mut said),
        Act::Args(read) => {
            if let Some(before) = &reading.before {
                values(before, "", &mut said);
            }
            read.args.iter().for_each(|arg| of_value(&arg.value, &mut said));
        }
        Act::Lacks { .. } => return Vec::new(),
    }
    let has = |id: &str| said.iter().any(|known| known == id);
    let mut places = Vec::new();
    for side in &battle.sides {
        // `6 fowlers instead of the bows`: who is no longer meant; and a word that may be what the unit before can take.
        let replaced =
            (side.start.saturating_sub(3)..side.start).any(|at| message.any(at, &["instead", "rather", "not"]));
        if follows && (replaced || side.fit == super::names::Fit::Part) {
            continue;
        }
        if side.unit().is_some_and(|unit| !has(unit)) {
            places.push(side.at);
        }
        let carried = side.options.iter().map(|extra| &extra.id);
        let beside = side.near.iter().chain(carried);
        let marked = side.statuses.iter().chain(&side.weapons).filter(|_| OF_TABLES.contains(&name) || name == "duel");
        places.extend(beside.chain(marked).filter(|id| !has(id)).map(|id| place(message, id).unwrap_or(side.at)));
    }
    let table = &battle.table;
    let mut missing: Vec<&str> = Vec::new();
    let rules = table.with.iter().chain(&table.without);
    if name != "repair" && name != "check" {
        missing.extend(rules.map(String::as_str).filter(|id| !has(id)));
    }
    let flags = table.flags.iter().chain(&table.no_flags);
    missing.extend(flags.map(String::as_str).filter(|id| !has(id)));
    if OF_TABLES.contains(&name) || name == "duel" {
        missing.extend(table.cover.as_deref().filter(|id| !has(id)));
        missing.extend(table.arcs.last().map(String::as_str).filter(|id| !has(id)));
    }
    if OF_TABLES.contains(&name) {
        let range = match &table.range {
            Some(Range::Band(band)) if !has(band) => Some(band.as_str()),
            Some(Range::Inches(inches)) if !has(&super::battle::number(*inches).to_string()) => Some(""),
            _ => None,
        };
        missing.extend(range);
    }
    places.extend(missing.into_iter().map(|id| place(message, id).unwrap_or(0)));
    // Two ranges, or two kinds of cover: only one of them has a place.
    if table.other_range || table.other_cover {
        let held = [table.cover.as_deref(), band(table.range.as_ref())];
        let other = message.mentions.iter().find(|one| {
            matches!(one.sort, super::names::Sort::Range | super::names::Sort::Cover)
                && one.ids.iter().all(|(id, _)| !held.contains(&Some(id.as_str())))
        });
        places.push(other.map_or(0, |other| other.at));
    }
    places
}

fn band(range: Option<&Range>) -> Option<&str> {
    match range {
        Some(Range::Band(band)) => Some(band),
        _ => None,
    }
}

/// Where something of the pack is named.
fn place(message: &ParsedMessage<'_>, id: &str) -> Option<usize> {
    message.mentions.iter().find(|one| one.ids.iter().any(|(known, _)| known == id)).map(|one| one.at)
}

/// All texts and numbers of a question, and the keys of what is so or not so.
fn values(question: &Json, key: &str, said: &mut Vec<String>) {
    match question {
        Json::String(text) => {
            // `2 torches`
            said.extend(text.split_once(' ').map(|(_, id)| id.to_owned()));
            said.push(text.clone());
        }
        Json::Number(number) => said.push(number.to_string()),
        Json::Bool(_) => said.push(key.to_owned()),
        Json::Array(list) => list.iter().for_each(|value| values(value, key, said)),
        Json::Object(object) => object.iter().for_each(|(key, value)| values(value, key, said)),
        Json::Null => {}
    }
}

fn of_value(value: &Value, said: &mut Vec<String>) {
    match value {
        Value::Side(side) => {
            said.push(side.unit.id.clone());
            for name in side.extras.iter().chain(&side.near) {
                values(&Json::String(name.id.clone()), "", said);
            }
        }
        Value::Name(name) => said.push(name.id.clone()),
        other => values(&other.json(), "", said),
    }
}
