//! A club's own pack or unit book that came with a message: attached, or pasted below the question.
use crate::draft::set;
use serde_json::{Value as Json, json};

/// Such a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Inline {
    /// A whole pack.
    Pack(String),
    /// Units beside those of a pack that the service has.
    Book {
        /// The file.
        text: String,
        /// The pack that it says it is for.
        pack: Option<String>,
    },
}

impl Inline {
    /// The file, if it is one: its head says the version of its form.
    pub fn of(text: &str) -> Option<Self> {
        text.lines().find(|line| is_head(line))?;
        // Every pack says what kinds of units there are; a unit book only says of which kind each of them is.
        let rules = text.lines().any(|line| line.trim_start().starts_with("[[kind]]"));
        let pack = text.lines().find(|line| key(line) == Some("pack")).and_then(|line| line.split('"').nth(1));
        let text = text.to_owned();
        Some(if rules { Self::Pack(text) } else { Self::Book { text, pack: pack.map(str::to_owned) } })
    }

    /// The question, and the file pasted below it.
    pub fn parted(message: &str) -> (&str, Option<&str>) {
        let mut at = 0;
        for line in message.split_inclusive('\n') {
            if at > 0 && is_head(line) {
                // Comments above the head are of no use to anyone.
                return (&message[..at], Some(&message[at..]));
            }
            at += line.len();
        }
        (message, None)
    }

    /// Puts it into a question.
    pub fn put(&self, question: &mut Json) {
        match self {
            Self::Pack(text) => set(question, "/pack", json!(text)),
            Self::Book { text, pack } => {
                set(question, "/book", json!(text));
                if let Some(pack) = pack {
                    set(question, "/pack", json!(pack));
                }
            }
        }
    }
}

fn key(line: &str) -> Option<&str> {
    line.split_once('=').map(|(key, _)| key.trim())
}

fn is_head(line: &str) -> bool {
    key(line) == Some("format") && line.chars().any(|c| c.is_ascii_digit())
}
