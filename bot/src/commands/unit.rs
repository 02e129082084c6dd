//! `/unit`: a unit's profile, options and points.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::told;
use crate::card::Card;
use crate::client::index::NameKind;
use crate::draft::{Draft, set, unset};
use crate::saying::count;
use crate::typing::Value;
use pipwright_shared::cards::{pack, unit as sheet};
use pipwright_shared::wire::packs::{UnitAnswer, UnitHead};
use serde_json::{Value as Json, json};

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
        return match pack::term(names, &term) {
            Some(card) => Ok(card),
            // What a chart or a mark says is known where rules are.
            None => super::rule::explain(&asked, &term).await,
        };
    }
    if asked.read.has("list") {
        return Ok(pack::list(names, asked.read.text("role")));
    }
    let Some(unit) = asked.read.name("unit") else {
        if let Some(halt) = told::part(names, asked.text) {
            return Err(halt);
        }
        return Err(asked.lacks("unit", names.units.iter().take(5).map(|unit| unit.name.clone()).collect()));
    };
    let unit = unit_of(&asked, &unit.id, &[]).await?;
    let mut card = sheet::card(&unit, names.label("models"));
    if let Some(weapon) = asked.read.text("reach") {
        sheet::reach(&mut card, &unit, weapon);
    }
    with_options(&asked, &mut card, &unit);
    if let Some(stat) = asked.read.text("stat") {
        sheet::stat(&mut card, &unit, stat);
    } else if asks_speed(asked.text) {
        let many = names.units.iter().any(|known| unit.id == known.id && known.counts_as_many());
        sheet::speed(&mut card, &unit, many);
    }
    Ok(card)
}

/// `how fast is a sledge`
fn asks_speed(text: &str) -> bool {
    let words = crate::client::index::name_words(text);
    words.iter().any(|word| ["fast", "speed", "quick", "slow"].contains(&word.as_str()))
}

/// Says what the unit costs with the options that were named.
fn with_options(asked: &Asked<'_>, card: &mut Card, unit: &UnitAnswer) {
    let Some(Value::Side(side)) = asked.read.given("unit") else { return };
    for extra in &side.extras {
        let id = extra.id.rsplit(' ').next().unwrap_or_default();
        let Some(option) = unit.options.iter().find(|option| option.id == id) else { continue };
        let (cost, base) = (u64::from(option.points), unit.points);
        let said = match option.per.as_str() {
            per @ ("model" | "weapon") => format!("{} a {per} more", count(cost, "point", "points")),
            _ => format!("{} in all", count(base + cost, "point", "points")),
        };
        card.lines.insert(0, crate::card::Line { label: format!("with {}", option.name), value: said });
    }
}

/// A unit as it stands: by itself, or near others.
///
/// # Errors
/// Where the service does not tell it.
pub async fn unit_of(asked: &Asked<'_>, unit: &str, query: &[(&str, &str)]) -> Result<UnitAnswer, Halt> {
    let names = asked.names()?;
    Ok(asked.api.read(&["packs", &names.id, "units", unit], query).await?)
}

/// How many models the unit has, what it carries and who stands by it, as far as that was said.
pub fn carried(asked: &Asked<'_>) -> Vec<(&'static str, String)> {
    let ids = |names: &[crate::typing::Name]| names.iter().map(|name| name.id.clone()).collect::<Vec<_>>();
    let mut near: Vec<String> = asked.read.name("near").map(|near| near.id.clone()).into_iter().collect();
    let mut query = Vec::new();
    if let Some(Value::Side(side)) = asked.read.given("unit") {
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
    let name = unit.name;
    let Some(repair) = unit.repair else {
        let many = asked.names()?.unit_called(&name).is_some_and(UnitHead::counts_as_many);
        let (have, they) = if many { ("have", "them") } else { ("has", "it") };
        let why = format!("The {name} {have} no repair roll that could bring {they} anything back.");
        return Err(Halt::Say(format!("{why} Models that have fallen do not come back.")));
    };
    let mut others: Vec<String> = (repair.because.iter())
        .filter_map(|reason| asked.names().ok()?.rules.iter().find(|rule| reason.rule == rule.id))
        .map(|rule| rule.name.clone())
        .filter(|name| repair.label != *name)
        .collect();
    others.dedup();
    // What stands anyway is left out, so that the link stays short.
    let mut question = json!(repair);
    unset(&mut question, "because");
    for (field, usual) in [("rolls", json!("one")), ("die", json!(6)), ("restores", json!(1))] {
        if *question.part(field) == usual {
            unset(&mut question, field);
        }
    }
    let rule = repair.label;
    let label = if rule.is_empty() { name } else { format!("{name} ({rule})") };
    set(&mut question, "/label", json!(label));
    Ok((question, others))
}
