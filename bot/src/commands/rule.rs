//! `/rule`: the pack's text for a rule.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use serde_json::Value as Json;

/// The definition.
pub const RULE: Command = Command {
    name: "rule",
    about: "The pack's text for a rule, and what it changes in numbers",
    words: &["rule", "rules", "work", "works", "mean", "means", "explain", "apply", "applies"],
    options: &[Opt::new("about", Kind::Text, "A rule's name, or words of its text")
        .required("Which rule? Say its name or some of its words.")],
    shares: &[],
    examples: &[],
    path: None,
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    let Some(about) = asked.read.text("about") else {
        return Err(asked.lacks("about", names.rules.iter().take(5).map(|rule| rule.name.clone()).collect()));
    };
    let about = crate::typing::scan::folded(about);
    let found: Json = asked.api.read(&["packs", &names.id, "rules"], &[("q", &about)]).await?;
    let rules = found["rules"].as_array().or_else(|| found.as_array());
    let Some((first, others)) = rules.and_then(|rules| rules.split_first()) else {
        return Err(Halt::Say(format!("No rule of the {} pack speaks of that.", names.name)));
    };
    let mut card = Card { headline: format!("{}.", first["name"].as_str().unwrap_or_default()), ..Card::default() };
    card.text.extend(first["text"].as_str().map(str::to_owned));
    for other in others.iter().take(3) {
        if let Some(name) = other["name"].as_str() {
            card.follow_up(name, format!("/rule {name}"));
        }
    }
    Ok(card)
}
