//! `/appraise`: what a unit is worth, on one card; the whole page stands behind its link.
use super::asked::{Asked, Halt, set};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::counted;
use super::unit::text;
use crate::card::{Bar, Card, Chart};
use crate::client::index::PackIndex;
use crate::link::Link;
use crate::saying::{count, mean, per_point, percent, unproven, verb};
use crate::typing::{Side, Value};
use serde_json::{Value as Json, json};

/// The definition.
pub const APPRAISE: Command = Command {
    name: "appraise",
    about: "What a unit is worth: what it costs, what it does, how long it lives, what matters most",
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

fn card(names: &PackIndex, question: Json, answer: &Json) -> Card {
    let mut card = Card::default();
    let (name, worth) = (text(&answer["name"]), &answer["worth"]);
    let who = text(&answer["counted"]);
    let several = who.starts_with(|c: char| c.is_ascii_digit());
    let the = if several { "" } else { "the " };
    card.headline = format!(
        "Left alone for a game of {}, {the}{who} ({}) {} {} points on average; attacked every turn, {} {} of it.",
        count(answer["turns"].as_u64().unwrap_or(0), "turn", "turns"),
        count(answer["cost"]["points"].as_u64().unwrap_or(0), "point", "points"),
        verb("destroy", several),
        mean(number(&worth["takes"])),
        if several { "they survive" } else { "it survives" },
        percent(unproven(number(&worth["stands"])))
    );
    if each(&answer["damage"]).next().is_none() && each(&answer["approach"]).next().is_none() {
        card.headline = format!(
            "Nobody to review {the}{who} against: this pack names no opponents for a review. Name one yourself."
        );
        let others = names.units.iter().map(|unit| &unit.name).filter(|other| **other != name);
        for other in others.take(3) {
            card.follow_up(format!("against {other}"), format!("/appraise {name} v {other}"));
        }
    }
    for game in each(&answer["damage"]) {
        let each = game["per_point"].as_f64();
        let each = each.map_or_else(String::new, |earned| format!(", {} per point spent", per_point(earned)));
        card.line(text(&game["target_counted"]), format!("{} points destroyed{each}", mean(number(&game["points"]))));
    }
    card.text.extend(each(&answer["verdict"]).map(|row| text(&row["text"])));
    card.text.extend(each(&answer["advice"]).map(|row| text(&row["text"])));
    let games = each(&answer["approach"]).filter(|life| life["without"].is_null());
    let hardest = games.min_by(|a, b| number(&a["stood"]).total_cmp(&number(&b["stood"])));
    card.chart = hardest.map(chart);
    card.read_as = described(names, &question);
    card.follow_up("profile", format!("/unit {name}"));
    for option in each(&answer["cost"]["options"]).take(3) {
        let option = text(&option["option"]);
        card.follow_up(format!("with {option}"), format!("/appraise {name} + {option}"));
    }
    let link = Link::new("/v1/appraisal", question);
    card.notes.push(format!(
        "The whole review as a page, to show or to print: {}",
        Link::new("/v1/appraisal.html", link.question.clone())
    ));
    card.link = Some(link);
    card
}

/// The chances of still standing, turn by turn, where it lives shortest.
fn chart(life: &Json) -> Chart {
    let attacker = text(&life["attacker_counted"]);
    let the = if attacker.starts_with(|c: char| c.is_ascii_digit()) { "" } else { "the " };
    let bars: Vec<Bar> = each(&life["standing"])
        .zip(1..)
        .map(|(chance, turn)| Bar {
            label: format!("turn {turn}"),
            chance: unproven(number(chance)),
            strong: number(chance) >= 0.5,
        })
        .collect();
    let last = bars.last().map_or(0.0, |bar| bar.chance);
    let title = format!("still alive, attacked by {the}{attacker}");
    let alt = format!("Bar chart of {title}: {} after the last turn.", percent(last));
    Chart { title, bars, alt, whole: true, ..Chart::default() }
}

fn described(names: &PackIndex, question: &Json) -> String {
    let side = |side: &Json| {
        let mut words = counted(names, side);
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
        words.push_str(&format!(", {}", count(turns, "turn", "turns")));
    }
    words
}
