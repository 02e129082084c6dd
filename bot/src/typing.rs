//! Forgiving text to arguments, with their places in the message. Asks nobody and changes nothing.
//!
//! A message goes through five small stages:
//!
//! | stage | what it does |
//! | --- | --- |
//! | [`scan`] | characters to tokens: words, numbers, `2d6+1`, `7+`, `x12` |
//! | [`spelling`] | words that nobody knows become the closest ones that somebody knows |
//! | [`phrases`] | `at least 7`, `2 of 5`, `rerolling 1s` become one token each |
//! | [`names`] | words become units, arcs, rules … of the pack |
//! | [`assign`] | what is left goes to the options of a command |
//!
//! [`choose`] finds the command behind a slash.
pub mod assign;
pub mod choose;
pub mod complete;
pub mod fillers;
pub mod names;
pub mod phrases;
pub mod rerolls;
pub mod scan;
pub mod sides;
pub mod spelling;
pub mod token;
pub mod value;

pub use token::{Span, Token, TokenKind};
pub use value::{Arg, Name, Read, Side, Value};

use crate::client::index::PackIndex;

/// A message cut into tokens, with what was read otherwise than it was written.
#[derive(Clone, Debug, Default)]
pub struct Tokens {
    /// The tokens, in the order of the message.
    pub tokens: Vec<Token>,
    /// Words as written and as read.
    pub corrected: Vec<(String, String)>,
}

/// Cuts a message into tokens.
pub fn tokens(text: &str, index: Option<&PackIndex>) -> Tokens {
    let mut tokens = scan::scan(text);
    let corrected = match index {
        Some(index) => spelling::correct(&mut tokens, index.vocabulary()),
        None => spelling::correct(&mut tokens, &spelling::Vocabulary::of(None)),
    };
    Tokens { tokens: phrases::join(tokens), corrected }
}
