//! What a button says when it is pressed. The bot keeps no state: all that it needs stands in the button and its message.
use super::text::length;
use crate::card::Unfinished;
use crate::commands;
use serde::Serialize;

/// The version of this way of writing; buttons of other versions are answered in words.
const VERSION: char = '1';
/// The longest that the platform keeps.
const LONGEST: usize = 100;

/// What the platform keeps with a button, and gives back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Id(String);

/// What pressing a button means.
#[derive(Clone, Debug, PartialEq)]
pub enum Press {
    /// The answer's question again, with this changed.
    Again(String),
    /// A question of its own.
    Ask(String),
    /// The working of the answer.
    Steps,
    /// A form for what a message lacks.
    Form(Unfinished),
}

impl Press {
    /// As it is kept with the button; none where it is too long for that.
    pub fn id(&self) -> Option<Id> {
        let id = match self {
            Self::Again(says) => format!("{VERSION}a:{says}"),
            Self::Ask(says) => format!("{VERSION}q:{says}"),
            Self::Steps => format!("{VERSION}s:"),
            Self::Form(lacking) => {
                let lines = if lacking.lines { 'l' } else { 'w' };
                format!("{VERSION}{lines}:{}:{}", lacking.option.unwrap_or_default(), lacking.text)
            }
        };
        (length(&id) <= LONGEST).then_some(Id(id))
    }

    /// What a button of this version says.
    pub fn read(id: &str) -> Option<Self> {
        let (kind, says) = id.strip_prefix(VERSION)?.split_once(':')?;
        Some(match kind {
            "a" => Self::Again(says.to_owned()),
            "q" => Self::Ask(says.to_owned()),
            "s" => Self::Steps,
            "l" | "w" => {
                let (option, text) = says.split_once(':')?;
                Self::Form(Unfinished { text: text.to_owned(), option: known(text, option)?, lines: kind == "l" })
            }
            _ => return None,
        })
    }
}

/// The option of the message's command that has this name.
fn known(text: &str, option: &str) -> Option<Option<&'static str>> {
    if option.is_empty() {
        return Some(None);
    }
    let name = text.strip_prefix('/')?.split_whitespace().next()?;
    Some(Some(commands::named(name)?.option(option)?.name))
}
