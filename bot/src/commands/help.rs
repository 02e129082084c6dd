//! `/help`: what can be asked, from the definitions themselves.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;

/// The definition.
pub const HELP: Command = Command {
    name: "help",
    about: "What can be asked, and how",
    words: &["help", "commands"],
    options: &[Opt::new("command", Kind::Text, "A command, to see all that it can be told")],
    shares: &[],
    examples: &["/help check"],
    path: None,
    answer: |asked| -> Answering<'_> { Box::pin(async move { answer(&asked) }) },
};

fn answer(asked: &Asked<'_>) -> Result<Card, Halt> {
    let Some(wanted) = asked.read.text("command") else { return Ok(all()) };
    let name = crate::typing::scan::folded(wanted.trim_start_matches('/'));
    super::named(name.trim())
        .map(one)
        .ok_or_else(|| Halt::Say(format!("There is no /{name}. `/help` lists all commands.")))
}

fn all() -> Card {
    let mut card = Card { headline: "Ask in plain words, or with one of these.".into(), ..Card::default() };
    for command in super::ALL {
        card.line(format!("/{}", command.name), command.about);
    }
    card.notes.push(
        "Order, case, plurals and small slips make no difference; `what about …` changes one thing of the last answer."
            .into(),
    );
    for command in super::ALL.iter().filter(|command| command.name != "help").take(4) {
        card.follow_up(format!("/help {}", command.name), format!("/help {}", command.name));
    }
    card
}

fn one(command: &'static Command) -> Card {
    let mut card = Card { headline: format!("/{}: {}.", command.name, command.about), ..Card::default() };
    for option in command.options {
        card.line(option.name.replace('_', " "), option.about);
    }
    for example in command.examples {
        card.text.push(format!("e.g. {example}"));
    }
    card
}
