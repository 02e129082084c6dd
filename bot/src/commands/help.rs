//! `/help`: what can be asked, from the definitions themselves.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::typing::Value;

/// The definition.
pub const HELP: Command = Command {
    name: "help",
    about: "What you can ask, and how",
    words: &["help", "commands", "use"],
    options: &[Opt::new("command", Kind::Command, "A command, to see everything you can tell it")],
    shares: &[],
    examples: &["/help check"],
    path: None,
    answer: |asked| -> Answering<'_> { Box::pin(async move { answer(&asked) }) },
};

fn answer(asked: &Asked<'_>) -> Result<Card, Halt> {
    if let Some(Value::Choice(name)) = asked.read.given("command") {
        return Ok(super::named(name).map_or_else(all, one));
    }
    let Some(unread) = asked.read.unread.first().and_then(|span| asked.text.get(span.clone())) else {
        return Ok(all());
    };
    Err(Halt::Say(format!("There is no /{unread}. `/help` lists all commands.")))
}

fn all() -> Card {
    let mut card = Card { headline: "Ask in plain words, or with one of these.".into(), ..Card::default() };
    for command in super::ALL {
        card.line(format!("/{}", command.name), command.about);
    }
    card.notes.push(
        "Order, capitals, plurals and small typos make no difference; `what about …` changes one thing in the last question."
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
        // What is said by its own words is shown by them.
        let said = match option.kind {
            Kind::Flag(words) => words.first().map_or(option.name, |word| *word).to_owned(),
            _ => option.name.replace('_', " "),
        };
        card.line(said, option.about);
    }
    for example in command.examples {
        card.text.push(format!("e.g. {example}"));
    }
    card
}
