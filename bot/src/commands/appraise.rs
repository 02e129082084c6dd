//! `/appraise`: what a unit is worth, on one card; the whole page stands behind its link.
use super::asked::{Asked, Halt, set};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::unit_name;
use super::unit::text;
use crate::card::{Bar, Card, Chart};
use crate::client::index::PackIndex;
use crate::link::Link;
use crate::saying::{mean, percent, plural};
use crate::typing::{Side, Value};
use serde_json::{Value as Json, json};

/// The definition.
pub const APPRAISE: Command = Command {
    name: "appraise",
    about: "What a unit is worth: cost, what it does, how long it lives, what drives it",
    words: &["appraise", "appraisal", "appraised", "worth", "value", "review", "rate"],
    options: &[
        Opt::new("unit", Kind::Side, "The unit, with what it carries").required("Which unit? Name one of the pack."),
        Opt::new("against", Kind::Side, "A unit to hold it against, in place of the pack's board"),
        Opt::new("turns", Kind::Number, "Turns of a game").cues(&["rounds"]),
    ],
    shares: &[],
    examples: &[],
    path: Some("/v1/appraisal"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    let mut question = asked.question();
    if question.get("pack").is_none() {
        set(&mut question, "/pack", json!(names.id));
    }
    if let Some(Value::Side(side)) = asked.read.get("unit") {
        let pack = question["pack"].take();
        question = json!({ "pack": pack });
        put(&mut question, "", side);
    }
    if let Some(Value::Side(side)) = asked.read.get("against") {
        let mut against = json!({});
        put(&mut against, "", side);
        set(&mut question, "/against", json!([against]));
    }
    asked.put(&mut question, "turns", "/turns");
    if question.get("unit").is_none() {
        return Err(asked.lacks("unit", names.units.iter().take(5).map(|unit| unit.name.clone()).collect()));
    }
    if let Some(inline) = asked.inline {
        inline.put(&mut question);
    }
    let answer: Json = asked.api.ask("/v1/appraisal", &question).await?;
    Ok(card(names, question, &answer))
}

fn put(question: &mut Json, at: &str, side: &Side) {
    set(question, &format!("{at}/unit"), json!(side.unit.id));
    if let Some(models) = side.models {
        set(question, &format!("{at}/models"), json!(models));
    }
    for (field, all) in [("options", &side.extras), ("near", &side.near)] {
        if !all.is_empty() {
            let ids: Vec<&str> = all.iter().map(|name| name.id.as_str()).collect();
            set(question, &format!("{at}/{field}"), json!(ids));
        }
    }
}

fn each(list: &Json) -> impl Iterator<Item = &Json> {
    list.as_array().into_iter().flatten()
}

fn number(value: &Json) -> f64 {
    value.as_f64().unwrap_or(0.0)
}

fn counted(name: &Json, models: &Json) -> String {
    match models.as_u64() {
        Some(models) if models > 1 => format!("{models} {}", plural(&text(name))),
        _ => text(name),
    }
}

fn card(names: &PackIndex, question: Json, answer: &Json) -> Card {
    let mut card = Card::default();
    let (name, worth, turns) = (text(&answer["name"]), &answer["worth"], text(&answer["turns"]));
    card.headline = format!(
        "For {} points {} takes {} off the table in a game of {turns} turns, and stands {} of it.",
        text(&answer["cost"]["points"]),
        counted(&answer["name"], &answer["models"]),
        mean(number(&worth["takes"])),
        percent(number(&worth["stands"]))
    );
    for game in each(&answer["damage"]) {
        let each = game["per_point"].as_f64().map_or_else(String::new, |earned| format!(", {} a point", mean(earned)));
        card.line(
            counted(&game["target"], &game["target_models"]),
            format!("{} points off{each}", mean(number(&game["points"]))),
        );
    }
    card.text.extend(each(&answer["verdict"]).map(|row| text(&row["text"])));
    let games = each(&answer["survival"]).filter(|life| life["without"].is_null());
    let hardest = games.min_by(|a, b| number(&a["stood"]).total_cmp(&number(&b["stood"])));
    card.chart = hardest.map(chart);
    card.read_as = described(names, &question);
    card.follow_up("profile", format!("/unit {name}"));
    for option in each(&answer["cost"]["options"]).take(3) {
        let option = text(&option["option"]);
        card.follow_up(format!("with {option}"), format!("/appraise {name} + {option}"));
    }
    let link = Link::new("/v1/appraisal", question);
    card.notes
        .push(format!("As a page, to show or to print: {}", Link::new("/v1/appraisal.html", link.question.clone())));
    card.link = Some(link);
    card
}

/// The chances of still standing, turn by turn, where it lives shortest.
fn chart(life: &Json) -> Chart {
    let attacker = counted(&life["attacker"], &life["attacker_models"]);
    let from = life["arc"].as_str().map_or_else(String::new, |arc| format!(", from the {arc}"));
    let bars: Vec<Bar> = each(&life["standing"])
        .zip(1..)
        .map(|(chance, turn)| Bar {
            label: format!("turn {turn}"),
            chance: number(chance),
            strong: number(chance) >= 0.5,
        })
        .collect();
    let last = bars.last().map_or(0.0, |bar| bar.chance);
    let title = format!("still standing under {attacker}{from}");
    let alt = format!("Bar chart of {title}: {} after the last turn.", percent(last));
    Chart { title, bars, alt, ..Chart::default() }
}

fn described(names: &PackIndex, question: &Json) -> String {
    let side = |side: &Json| {
        let models = side["models"].as_u64().map_or_else(String::new, |models| format!("{models} x "));
        let mut words = format!("{models}{}", unit_name(names, &side["unit"]));
        for (field, joined) in [("options", " + "), ("near", " near ")] {
            each(&side[field]).for_each(|id| words.push_str(&format!("{joined}{}", text(id).replace('-', " "))));
        }
        words
    };
    let mut words = side(question);
    for against in each(&question["against"]) {
        words.push_str(&format!(" against {}", side(against)));
    }
    if let Some(turns) = question["turns"].as_u64() {
        words.push_str(&format!(", {turns} turns"));
    }
    words
}
