//! `/points`: what a pasted or attached list costs, and what breaks which limit.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::draft::{Draft, set};
use crate::link::Link;
use pipwright_shared::cards;
use pipwright_shared::wire::list_points::ListAnswer;
use serde_json::json;

/// The definition.
pub const POINTS: Command = Command {
    name: "points",
    about: "What a pasted or attached list costs, and which limits it breaks",
    words: &["points", "list", "lists", "cost", "costs", "legal", "army", "roster"],
    options: &[
        Opt::new("limit", Kind::Number, "The points limit").cues(&["limit", "point", "max"]).bare(),
        Opt::new("list", Kind::Lines, "The list, a unit a line, such as 3x name + option")
            .required("Which list? Paste it below the command, a unit a line."),
    ],
    shares: &[],
    examples: &[],
    path: Some("/v1/list-points"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

/// A list has not more lines.
const MOST: usize = 200;

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    let before: Vec<&str> = asked.before.iter().flat_map(|question| question.part("lines").texts()).collect();
    let before = before.join("\n");
    let list = asked.attached.or(asked.read.text("list")).unwrap_or(&before);
    // On one line commas part the units.
    let parts: &[char] = if list.contains(['\n', ';']) { &['\n', ';'] } else { &[','] };
    let lines: Vec<&str> = list.split(parts).map(str::trim).filter(|line| !line.is_empty()).collect();
    if lines.is_empty() {
        return Err(asked.lacks("list", Vec::new()));
    }
    if lines.len() > MOST {
        return Err(Halt::Say(format!("That list has {} lines; up to {MOST} are read.", lines.len())));
    }
    let mut question = json!({"pack": names.id, "lines": lines});
    let limit = asked.read.number("limit").or(asked.before.as_ref().and_then(Draft::limit));
    if let Some(limit) = limit {
        set(&mut question, "/limit", json!(limit));
    }
    let answer: ListAnswer = asked.api.ask("/v1/list-points", &question).await?;
    let mut card = cards::points::card(names, &answer);
    // A long list is too long for a link.
    card.link = Some(Link::new("/v1/list-points", question)).filter(|link| link.to_string().len() <= LONGEST);
    Ok(card)
}

/// Addresses longer than this are cut somewhere.
const LONGEST: usize = 1_800;
