//! What goes over the socket, both ways: one JSON object a frame, its `kind` first.
use super::drawn::Drawn;
use super::names::Names;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What a page says.
#[derive(Debug, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum ClientFrame {
    /// The first frame.
    Join(Join),
    /// A message.
    Say {
        /// Counts up; a page that is not sure says it again with the same key.
        key: u64,
        /// The message.
        text: String,
        /// The answer that it asks on from.
        #[serde(default)]
        about: Option<u64>,
        /// The question itself, as a permanent link has it, where it was put together by taps: then it is answered as it
        /// stands, and the text is only what others read.
        #[serde(default)]
        link: Option<String>,
    },
    /// What may come next?
    Complete {
        /// Comes back with the words.
        key: u64,
        /// The message as far as the caret.
        text: String,
    },
    /// What can be tapped: the names of the room's pack?
    Names {
        /// Comes back with the names.
        key: u64,
    },
}

/// Who wants to come in.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Join {
    /// The name for tonight.
    pub name: String,
    /// Made up by the page: who has it may take its own name again.
    pub seat: String,
    /// The pass phrase.
    #[serde(default)]
    pub phrase: Option<String>,
    /// The run of the program that `seen` is about.
    #[serde(default, rename = "sitting")]
    pub session: Option<u64>,
    /// The last line that the page has.
    #[serde(default)]
    pub seen: Option<u64>,
}

/// What the room says to one page.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ServerFrame {
    /// Come in.
    Welcome {
        /// The name, as others see it.
        name: String,
        /// This run of the program.
        #[serde(rename = "sitting")]
        session: u64,
        /// The highest key that the room has from this person.
        key: u64,
        /// Whether lines between those seen and those that follow are gone.
        missed: bool,
    },
    /// Stay out.
    Turned {
        /// What is wrong: `name`, `phrase` or `room`.
        what: &'static str,
        /// In words.
        text: String,
    },
    /// A message was not taken.
    Refused {
        /// Its key.
        key: Option<u64>,
        /// In words.
        text: String,
    },
    /// What did not become an answer for all.
    Aside {
        /// The line that it is about.
        to: u64,
        /// Whether the message was most likely not meant as a question.
        quiet: bool,
        /// What there is to say.
        card: Box<Drawn>,
    },
    /// Words that may come next.
    Complete {
        /// The key of the question.
        key: u64,
        /// Where they begin, in UTF-16 units as a page counts them.
        start: usize,
        /// The words.
        words: Vec<String>,
    },
    /// What can be tapped.
    Names {
        /// The key of the question.
        key: u64,
        /// The names.
        names: Box<Names>,
    },
    /// How many are here. Sent every while, so that a page notices a dead line.
    Here {
        /// How many.
        people: usize,
    },
}

/// A line of the ledger: what somebody said.
#[derive(Debug, Serialize)]
pub struct Said<'a> {
    /// Its number.
    pub number: u64,
    /// Milliseconds since 1970.
    pub at: u64,
    /// By whom.
    pub who: &'a str,
    /// The key that it was said with.
    pub key: u64,
    /// What.
    pub text: &'a str,
}

/// A line of the ledger: an answer.
#[derive(Debug, Serialize)]
pub struct Answered<'a> {
    /// Its number.
    pub number: u64,
    /// Milliseconds since 1970.
    pub at: u64,
    /// Who asked.
    pub asked_by: &'a str,
    /// The line that asked.
    pub to: u64,
    /// The answer.
    pub card: &'a Drawn,
}

/// The frame of some lines, which are JSON already.
pub fn lines(lines: &[Arc<str>]) -> String {
    let mut frame = String::with_capacity(lines.iter().map(|line| line.len() + 1).sum::<usize>() + 32);
    frame.push_str(r#"{"kind":"lines","lines":["#);
    for (at, line) in lines.iter().enumerate() {
        if at > 0 {
            frame.push(',');
        }
        frame.push_str(line);
    }
    frame.push_str("]}");
    frame
}
