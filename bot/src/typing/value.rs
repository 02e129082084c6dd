//! Arguments: what a command was told.
use super::token::Span;
use crate::commands::Command;
use serde_json::{Value as Json, json};

/// What one option was given.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A whole number.
    Number(u64),
    /// A modifier.
    Modifier(i64),
    /// A chance, 0 to 1.
    Chance(f64),
    /// A length in millimetres.
    Length(f64),
    /// Degrees.
    Angle(f64),
    /// A place: to the right and up the table.
    Place(f64, f64),
    /// `7+`.
    Needs(String),
    /// `2d6+1`, or a plain number in its place.
    Dice(String),
    /// What is rolled again, in the contract's word.
    Reroll(&'static str),
    /// Which dice count.
    Keep {
        /// The highest dice, or the lowest.
        highest: bool,
        /// How many are kept.
        kept: u64,
        /// Of how many, where it was said.
        of: Option<u64>,
    },
    /// A name of the pack.
    Name(Name),
    /// A unit, how many models of it, and what it carries.
    Side(Side),
    /// One of the option's own words.
    Choice(&'static str),
    /// It was said.
    Flag,
    /// Free text.
    Text(String),
}

/// A name of the pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Name {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// Others that fit the same words as well; empty where the words are clear.
    pub others: Vec<String>,
}

/// One side of a matchup.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Side {
    /// Its unit.
    pub unit: Name,
    /// How many models, where it was said.
    pub models: Option<u64>,
    /// Options of the unit that were named.
    pub extras: Vec<Name>,
    /// Units of its side that it stands near.
    pub near: Vec<Name>,
}

/// One argument.
#[derive(Clone, Debug, PartialEq)]
pub struct Arg {
    /// The option's name.
    pub option: &'static str,
    /// What it was given.
    pub value: Value,
    /// Where it was said.
    pub span: Span,
    /// Whether `or` stood before it: it is compared with the one before.
    pub alternative: bool,
}

/// A message as one command reads it.
#[derive(Clone, Debug, Default)]
pub struct Read {
    /// What was understood.
    pub args: Vec<Arg>,
    /// What was not.
    pub unread: Vec<Span>,
    /// How many values went where they can be meant, but nothing said so.
    pub guessed: usize,
    /// Words as written and as read.
    pub corrected: Vec<(String, String)>,
    /// The command of the question that it is about.
    pub about: Option<&'static Command>,
    /// Whether it was typed behind a command, and not said in plain words.
    pub by_command: bool,
}

impl Read {
    /// What an option was given; the first where it was given several.
    pub fn given(&self, option: &str) -> Option<&Value> {
        self.args.iter().find(|arg| arg.option == option).map(|arg| &arg.value)
    }

    /// All that an option was given.
    pub fn all<'a>(&'a self, option: &'a str) -> impl Iterator<Item = &'a Arg> {
        self.args.iter().filter(move |arg| arg.option == option)
    }

    /// Whether a flag was said.
    pub fn has(&self, option: &str) -> bool {
        self.given(option).is_some()
    }

    /// A number, if the option was given one.
    pub fn number(&self, option: &str) -> Option<u64> {
        if let Some(Value::Number(number)) = self.given(option) { Some(*number) } else { None }
    }

    /// A text, if the option was given one.
    pub fn text(&self, option: &str) -> Option<&str> {
        if let Some(Value::Text(text)) = self.given(option) { Some(text) } else { None }
    }

    /// A name, if the option was given one.
    pub fn name(&self, option: &str) -> Option<&Name> {
        match self.given(option)? {
            Value::Name(name) => Some(name),
            Value::Side(side) => Some(&side.unit),
            _ => None,
        }
    }
}

impl Value {
    /// As requests have it.
    pub fn json(&self) -> Json {
        match self {
            Self::Number(number) => json!(number),
            Self::Modifier(modifier) => json!(modifier),
            Self::Chance(chance) => json!(chance),
            Self::Length(mm) => plain(*mm),
            Self::Angle(number) => plain(*number),
            Self::Place(x, y) => json!({"x": plain(*x), "y": plain(*y)}),
            Self::Needs(text) | Self::Text(text) => json!(text),
            Self::Dice(dice) => dice.parse::<u64>().map_or_else(|_| json!(dice), |number| json!(number)),
            Self::Reroll(what) | Self::Choice(what) => json!(what),
            Self::Keep { highest: true, kept, .. } => json!({"highest": kept}),
            Self::Keep { kept, .. } => json!({"lowest": kept}),
            Self::Name(name) => json!(name.id),
            Self::Side(side) => json!(side.unit.id),
            Self::Flag => json!(true),
        }
    }

    /// As people read it.
    pub fn words(&self) -> String {
        match self {
            Self::Number(number) => number.to_string(),
            Self::Modifier(modifier) => format!("{modifier:+}"),
            Self::Chance(chance) => crate::saying::percent(*chance),
            Self::Length(mm) => crate::saying::length(*mm),
            Self::Angle(number) => format!("{number}\u{b0}"),
            Self::Place(x, y) => format!("{x},{y}"),
            Self::Needs(text) | Self::Text(text) | Self::Dice(text) => text.clone(),
            Self::Reroll(what) => crate::saying::reroll(what, None).to_owned(),
            Self::Choice(what) => (*what).to_owned(),
            Self::Keep { highest, kept, .. } => format!("{} {kept}", if *highest { "highest" } else { "lowest" }),
            Self::Name(name) => name.name.clone(),
            Self::Side(side) => side.words(),
            Self::Flag => String::new(),
        }
    }
}

/// 25 rather than 25.0: a link shows it.
fn plain(number: f64) -> Json {
    serde_json::from_str(&number.to_string()).unwrap_or_else(|_| json!(number))
}

impl Side {
    /// `3 x Reed Barge with mast`.
    pub fn words(&self) -> String {
        let mut words = self.models.map_or(String::new(), |models| format!("{models} x "));
        words.push_str(&self.unit.name);
        for (at, extra) in self.extras.iter().enumerate() {
            words.push_str(if at == 0 { " with " } else { ", " });
            words.push_str(&extra.name);
        }
        for near in &self.near {
            words.push_str(&format!(" near the {}", near.name));
        }
        words
    }
}
