//! `/unit`: a unit's profile, options and points.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::told;
use crate::card::Card;
use crate::client::index::{NameKind, UnitName};
use crate::saying::{count, listed};
use crate::typing::Value;
use serde_json::Value as Json;

/// The definition.
pub const UNIT: Command = Command {
    name: "unit",
    about: "A unit's profile, options and points",
    words: &["unit", "profile", "profiles", "stats", "stat", "sheet", "cost", "costs"],
    options: &[
        Opt::new("unit", Kind::Name(NameKind::Unit), "The unit").required("Which unit? Name one from this pack.")
    ],
    shares: &[],
    examples: &[],
    path: None,
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    if let Some(term) = asked.read.text("term").map(str::to_owned) {
        return match told::term(names, &term) {
            Some(card) => Ok(card),
            // What a chart or a mark says is known where rules are.
            None => super::rule::explain(&asked, &term).await,
        };
    }
    if asked.read.has("list") {
        return Ok(told::list(names, asked.read.text("role")));
    }
    let Some(unit) = asked.read.name("unit") else {
        if let Some(halt) = told::part(names, asked.text) {
            return Err(halt);
        }
        return Err(asked.lacks("unit", names.units.iter().take(5).map(|unit| unit.name.clone()).collect()));
    };
    let unit = unit_of(&asked, &unit.id, &[]).await?;
    let mut card = card(&unit, names.labels.get("models").map_or("models", String::as_str));
    if let Some(weapon) = asked.read.text("reach") {
        told::reach(&mut card, &unit, weapon);
    }
    with_options(&asked, &mut card, &unit);
    if let Some(stat) = asked.read.text("stat") {
        told::stat(&mut card, &unit, stat);
    } else if asks_speed(asked.text) {
        let many = names.units.iter().any(|known| unit["id"] == known.id.as_str() && known.counts_as_many());
        told::speed(&mut card, &unit, many);
    }
    Ok(card)
}

/// `how fast is a sledge`
fn asks_speed(text: &str) -> bool {
    let words = crate::client::index::name_words(text);
    words.iter().any(|word| ["fast", "speed", "quick", "slow"].contains(&word.as_str()))
}

/// Says what the unit costs with the options that were named.
fn with_options(asked: &Asked<'_>, card: &mut Card, unit: &Json) {
    let Some(Value::Side(side)) = asked.read.get("unit") else { return };
    for extra in &side.extras {
        let id = extra.id.rsplit(' ').next().unwrap_or_default();
        let Some(option) = each(&unit["options"]).find(|option| option["id"] == id) else { continue };
        let (cost, base) = (option["points"].as_u64().unwrap_or(0), unit["points"].as_u64().unwrap_or(0));
        let said = match option["per"].as_str() {
            Some(per @ ("model" | "weapon")) => format!("{} a {per} more", count(cost, "point", "points")),
            _ => format!("{} in all", count(base + cost, "point", "points")),
        };
        card.lines.insert(0, crate::card::Line { label: format!("with {}", text(&option["name"])), value: said });
    }
}

/// A unit as it stands: by itself, or near others.
///
/// # Errors
/// Where the service does not tell it.
pub async fn unit_of(asked: &Asked<'_>, unit: &str, query: &[(&str, &str)]) -> Result<Json, Halt> {
    let names = asked.names()?;
    Ok(asked.api.read(&["packs", &names.id, "units", unit], query).await?)
}

/// How many models the unit has, what it carries and who stands by it, as far as that was said.
pub fn carried(asked: &Asked<'_>) -> Vec<(&'static str, String)> {
    let ids = |names: &[crate::typing::Name]| names.iter().map(|name| name.id.clone()).collect::<Vec<_>>();
    let mut near: Vec<String> = asked.read.name("near").map(|near| near.id.clone()).into_iter().collect();
    let mut query = Vec::new();
    if let Some(Value::Side(side)) = asked.read.get("unit") {
        query.extend(side.models.map(|models| ("models", models.to_string())));
        let options = ids(&side.extras);
        if !options.is_empty() {
            query.push(("options", options.join(",")));
        }
        near.extend(ids(&side.near));
    }
    if !near.is_empty() {
        query.push(("near", near.join(",")));
    }
    query
}

/// The request of `/v1/repair` that a unit's own repair roll makes, its label saying whose it is; and the other rules that
/// made the roll what it is.
///
/// # Errors
/// Where the unit has none, or the service does not tell it.
pub async fn repair_of(asked: &Asked<'_>, unit: &str) -> Result<(Json, Vec<String>), Halt> {
    let own = carried(asked);
    let query: Vec<(&str, &str)> = own.iter().map(|(key, value)| (*key, value.as_str())).collect();
    let unit = unit_of(asked, unit, &query).await?;
    let name = text(&unit["name"]);
    let Some(Json::Object(mut repair)) = unit.get("repair").cloned() else {
        let many = asked.names()?.unit_called(&name).is_some_and(UnitName::counts_as_many);
        let (have, they) = if many { ("have", "them") } else { ("has", "it") };
        let why = format!("The {name} {have} no repair roll that could bring {they} anything back.");
        return Err(Halt::Say(format!("{why} Models that have fallen do not come back.")));
    };
    let because = repair.remove("because").unwrap_or_default();
    let mut others: Vec<String> = each(&because)
        .filter_map(|reason| asked.names().ok()?.rules.iter().find(|rule| reason["rule"] == rule.id.as_str()))
        .map(|rule| rule.name.clone())
        .filter(|name| repair.get("label") != Some(&Json::from(name.as_str())))
        .collect();
    others.dedup();
    // What stands anyway is left out, so that the link stays short.
    for (field, usual) in [("rolls", Json::from("one")), ("die", Json::from(6)), ("restores", Json::from(1))] {
        if repair.get(field) == Some(&usual) {
            repair.remove(field);
        }
    }
    let rule = repair.get("label").map(text).unwrap_or_default();
    let label = if rule.is_empty() { name } else { format!("{name} ({rule})") };
    repair.insert("label".into(), Json::from(label));
    Ok((Json::Object(repair), others))
}

fn card(unit: &Json, several: &str) -> Card {
    let mut card = Card::default();
    let name = text(&unit["name"]);
    let models = &unit["models"];
    let size = match (models["least"].as_u64(), models["most"].as_u64()) {
        (Some(least), Some(most)) if most > least => {
            // Without what each more costs, the price of ten can't be told from that of five.
            let each = unit["each_more"].as_u64().filter(|each| *each > 0);
            let each = each.map_or_else(String::new, |each| format!(", {each} for each extra one"));
            let counted = if least == 1 { "one".to_owned() } else { format!("{least} {several}") };
            format!(" for {counted}{each}, up to {most}")
        }
        (Some(least), _) if least > 1 => format!(" for {least} {several}"),
        _ => String::new(),
    };
    card.headline = format!(
        "{name} ({}): {}{size}.",
        text(&unit["role"]),
        count(unit["points"].as_u64().unwrap_or(0), "point", "points")
    );
    for stat in each(&unit["profile"]) {
        card.line(text(&stat["name"]), text(&stat["value"]));
    }
    for group in each(&unit["groups"]) {
        let own: Vec<String> =
            each(&group["profile"]).map(|stat| format!("{} {}", text(&stat["name"]), text(&stat["value"]))).collect();
        card.line(
            format!("{} x {}", text(&group["models"]), text(&group["name"])),
            format!("{}, lost last", own.join(", ")),
        );
    }
    for weapon in each(&unit["weapons"]) {
        let mut stats: Vec<String> =
            each(&weapon["profile"]).map(|stat| format!("{} {}", text(&stat["name"]), text(&stat["value"]))).collect();
        stats.extend(weapon["reach"].as_u64().map(|reach| format!("reach {reach}")));
        stats.extend(each(&weapon["rules"]).map(|rule| text(&rule["name"])));
        let count =
            weapon["count"].as_u64().filter(|count| *count > 1).map_or_else(String::new, |count| format!("{count} x "));
        card.line(format!("{count}{}", text(&weapon["name"])), stats.join(", "));
    }
    let rules: Vec<String> = each(&unit["rules"]).map(|rule| text(&rule["name"])).collect();
    if !rules.is_empty() {
        card.line("rules", rules.join(", "));
    }
    let options: Vec<String> = each(&unit["options"])
        .map(|option| {
            let per =
                option["per"].as_str().filter(|per| *per != "unit").map_or_else(String::new, |per| format!(" a {per}"));
            let inside = option["inside"].as_str().map(str::to_owned);
            let needed = inside.into_iter().chain(each(&option["requires"]).map(text));
            let needed: Vec<String> = needed.map(|id| called(unit, &id)).collect();
            let with = if needed.is_empty() { String::new() } else { format!(" (with {})", listed(&needed)) };
            format!("{} +{}{per}{with}", text(&option["name"]), text(&option["points"]))
        })
        .collect();
    if !options.is_empty() {
        card.line("options", options.join(", "));
    }
    if unit["repair"].is_object() {
        card.line("repairs", format!("on {}, {}", text(&unit["repair"]["needs"]), text(&unit["repair"]["label"])));
        card.follow_up("repair", format!("/repair {name}"));
    }
    let checks: Vec<String> = each(&unit["checks"]).map(|check| text(&check["name"])).collect();
    if !checks.is_empty() {
        card.line("checks", checks.join(", "));
        card.follow_up("checks", format!("/check {} {name}", checks[0].to_lowercase()));
    }
    card.follow_ups.extend(
        rules.iter().take(3).map(|rule| crate::card::FollowUp { label: rule.clone(), says: format!("/rule {rule}") }),
    );
    card
}

/// The name of an option by its id.
fn called(unit: &Json, id: &str) -> String {
    each(&unit["options"])
        .find(|option| option["id"] == id)
        .map_or_else(|| id.to_owned(), |option| text(&option["name"]))
}

pub(super) fn each(list: &Json) -> impl Iterator<Item = &Json> {
    list.as_array().into_iter().flatten()
}

/// A value as people read it.
pub fn text(value: &Json) -> String {
    match value {
        Json::String(text) => text.clone(),
        Json::Null => String::new(),
        other => other.to_string(),
    }
}
