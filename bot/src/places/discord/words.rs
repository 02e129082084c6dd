//! What was put into a command's fields, as the line that a person would have typed: one reading for all places.
use crate::commands::{Command, Kind, Opt};
use std::fmt::Write as _;

/// What one field was given.
#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// A whole number.
    Whole(i64),
    /// Yes or no.
    Flag(bool),
    /// Words.
    Words(String),
}

/// The line; fields that the command does not have are left out.
pub fn line(command: &Command, given: &[(String, Given)]) -> String {
    let mut line = format!("/{}", command.name);
    let mut last = String::new();
    let mut separator = " ";
    for option in command.options {
        let Some((_, given)) = given.iter().find(|(name, _)| name == option.name) else { continue };
        match option.kind {
            Kind::Lines => last = format!("\n{}", words(given)),
            Kind::Text | Kind::About(_) => last = format!(" {}", words(given)),
            _ => {
                let Some(said) = said(command, option, given) else { continue };
                // Writing into a string does not fail.
                let _ = write!(line, "{separator}{said}");
                separator = ", ";
            }
        }
    }
    line + &last
}

fn said(command: &Command, option: &Opt, given: &Given) -> Option<String> {
    let words = words(given).split_whitespace().collect::<Vec<_>>().join(" ");
    if words.is_empty() {
        return None;
    }
    let name = option.name.replace('_', " ");
    Some(match (option.kind, given) {
        (Kind::Flag(phrases), Given::Flag(true)) => phrases.first().map_or(name, |phrase| (*phrase).to_owned()),
        (Kind::Flag(_), _) => return None,
        (Kind::Choice(choices), _) => {
            let (_, phrases) = choices.iter().find(|(choice, _)| *choice == words)?;
            phrases.first().map_or(words, |phrase| (*phrase).to_owned())
        }
        (Kind::Budget, Given::Whole(many)) => format!("with {many} rerolls"),
        (Kind::Modifier, Given::Whole(modifier)) => format!("{name} {modifier:+}"),
        (Kind::Times, Given::Whole(times)) => format!("{name}: {times}"),
        (Kind::Reroll, _) if !words.to_lowercase().starts_with("re") => format!("rerolling {words}"),
        // These say by themselves what they are; a name beside a field's own word could be read as two.
        (Kind::Reroll | Kind::Keep, _) => words,
        (Kind::Name(_), _) if command.options.iter().filter(|other| other.kind == option.kind).count() == 1 => words,
        _ => format!("{name}: {words}"),
    })
}

fn words(given: &Given) -> String {
    match given {
        Given::Whole(number) => number.to_string(),
        Given::Flag(flag) => flag.to_string(),
        Given::Words(words) => words.clone(),
    }
}
