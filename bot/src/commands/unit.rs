//! `/unit`: a unit's profile, options and points.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::index::NameKind;
use crate::saying::listed;
use serde_json::Value as Json;

/// The definition.
pub const UNIT: Command = Command {
    name: "unit",
    about: "A unit's profile, options and points",
    words: &["unit", "profile", "profiles", "stats", "stat", "sheet", "cost", "costs"],
    options: &[Opt::new("unit", Kind::Name(NameKind::Unit), "The unit").required("Which unit? Name one of the pack.")],
    shares: &[],
    examples: &[],
    path: None,
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    let Some(unit) = asked.read.name("unit") else {
        return Err(asked.lacks("unit", names.units.iter().take(5).map(|unit| unit.name.clone()).collect()));
    };
    let unit: Json = asked.api.read(&["packs", &names.id, "units", &unit.id], &[]).await?;
    Ok(card(&unit))
}

/// The request of `/v1/repair` that a unit's own repair roll makes.
///
/// # Errors
/// Where the unit has none, or the service does not tell it.
pub async fn repair_of(asked: &Asked<'_>, unit: &str) -> Result<Json, Halt> {
    let names = asked.names()?;
    let unit: Json = asked.api.read(&["packs", &names.id, "units", unit], &[]).await?;
    let Some(Json::Object(mut repair)) = unit.get("repair").cloned() else {
        return Err(Halt::Say(format!("The {} has no repair roll.", text(&unit["name"]))));
    };
    repair.remove("because");
    Ok(Json::Object(repair))
}

fn card(unit: &Json) -> Card {
    let mut card = Card::default();
    let name = text(&unit["name"]);
    card.headline = match (unit["points"].as_u64(), unit["role"].as_str()) {
        (Some(points), Some(role)) => format!("{name}: {points} points, {role}."),
        (Some(points), None) => format!("{name}: {points} points."),
        _ => format!("{name}."),
    };
    for stat in unit["profile"].as_array().into_iter().flatten() {
        card.line(text(&stat["name"]), text(&stat["value"]));
    }
    for weapon in unit["weapons"].as_array().into_iter().flatten() {
        let stats: Vec<String> = weapon["profile"]
            .as_array()
            .into_iter()
            .flatten()
            .map(|stat| format!("{} {}", text(&stat["name"]), text(&stat["value"])))
            .collect();
        card.text.push(format!("{}: {}", text(&weapon["name"]), stats.join(", ")));
    }
    let rules: Vec<String> = unit["rules"].as_array().into_iter().flatten().map(|rule| text(&rule["name"])).collect();
    if !rules.is_empty() {
        card.text.push(format!("Rules: {}.", listed(&rules)));
    }
    for option in unit["options"].as_array().into_iter().flatten() {
        card.text.push(format!("Option: {}, {} points", text(&option["name"]), text(&option["points"])));
    }
    card
}

fn text(value: &Json) -> String {
    match value {
        Json::String(text) => text.clone(),
        Json::Null => String::new(),
        other => other.to_string(),
    }
}
