//! What a command is handed, and what it may hand back instead of a card.
use super::Command;
use crate::client::index::PackIndex;
use crate::client::{Api, Trouble};
use crate::draft::{Draft, set};
use crate::inline::Inline;
use crate::typing::{Read, Value};
use serde_json::{Map, Value as Json};

/// A message as its command gets it.
#[derive(Debug)]
pub struct Asked<'a> {
    /// The service.
    pub api: &'a Api,
    /// The names of the pack; none where the service does not tell them.
    pub index: Option<&'a PackIndex>,
    /// The pack chosen in this chat.
    pub pack: Option<&'a str>,
    /// The command.
    pub command: &'static Command,
    /// What was understood.
    pub read: Read,
    /// The question of the card before, where it is asked again with something changed.
    pub before: Option<Json>,
    /// The message behind its command.
    pub text: &'a str,
    /// A file that came with the message.
    pub attached: Option<&'a str>,
    /// A club's own pack or unit book that came with it.
    pub inline: Option<&'a Inline>,
}

/// A question about another question, with that one.
pub struct About<'a> {
    /// What the other question is called in requests: its command's name.
    pub key: &'static str,
    /// The other question, as its own command would be asked it.
    pub asked: Asked<'a>,
}

/// Why there is no answer.
#[derive(Clone, Debug, thiserror::Error)]
pub enum Halt {
    /// One thing is missing.
    #[error("{question}")]
    Missing {
        /// The option that would answer it.
        option: Option<&'static str>,
        /// What is asked.
        question: String,
        /// Some words that would answer it.
        choices: Vec<String>,
    },
    /// The message can't be answered, and this says why.
    #[error("{0}")]
    Say(String),
    /// The service did not answer.
    #[error(transparent)]
    Trouble(#[from] Trouble),
}

impl Halt {
    /// One thing is missing, which this option takes.
    pub fn missing(option: &'static str, question: impl Into<String>) -> Self {
        Self::Missing { option: Some(option), question: question.into(), choices: Vec::new() }
    }
}

impl<'a> Asked<'a> {
    /// The question that this one is about.
    pub fn about(&self) -> Option<About<'a>> {
        let command = self.read.about?;
        let before = self.before.as_ref().and_then(|question| question.part(command.request()).said()).cloned();
        let asked = Asked { command, before, read: self.read.clone(), ..*self };
        Some(About { key: command.request(), asked })
    }

    /// The question to begin with: the one before, or an empty one.
    pub fn question(&self) -> Json {
        self.before.clone().unwrap_or_else(|| Json::Object(Map::new()))
    }

    /// Puts what an option was given into the question.
    pub fn put(&self, question: &mut Json, option: &str, pointer: &str) {
        if let Some(value) = self.read.given(option) {
            set(question, pointer, value.json());
        }
    }

    /// The option's question back, where neither this message nor the one before answers it.
    ///
    /// # Errors
    /// The question.
    pub fn need(&self, question: &Json, option: &'static str, pointer: &str) -> Result<(), Halt> {
        if question.at(pointer).is_said() { Ok(()) } else { Err(self.lacks(option, Vec::new())) }
    }

    /// The option's question back, with some words that would answer it.
    pub fn lacks(&self, option: &'static str, choices: Vec<String>) -> Halt {
        let asks = self.command.option(option).and_then(|option| option.required).unwrap_or("What is missing?");
        Halt::Missing { option: Some(option), question: asks.to_owned(), choices }
    }

    /// The names of the pack.
    ///
    /// # Errors
    /// Where the service did not tell them.
    pub fn names(&self) -> Result<&PackIndex, Halt> {
        self.index.ok_or(Halt::Trouble(Trouble::Away))
    }

    /// The faces of the usual die.
    pub fn die(&self) -> u32 {
        self.index.map_or(6, PackIndex::die)
    }

    /// Refuses words that fit several names.
    ///
    /// # Errors
    /// The question which of them is meant.
    pub fn certain(&self) -> Result<(), Halt> {
        for arg in &self.read.args {
            let name = match &arg.value {
                Value::Name(name) => name,
                Value::Side(side) => &side.unit,
                _ => continue,
            };
            if !name.others.is_empty() {
                let mut choices = vec![name.name.clone()];
                choices.extend(name.others.iter().take(4).cloned());
                return Err(Halt::Missing {
                    option: Some(arg.option),
                    question: format!("Which one do you mean: {}?", choices.join(" or ")),
                    choices,
                });
            }
        }
        Ok(())
    }
}
