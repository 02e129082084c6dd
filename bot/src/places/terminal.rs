//! The terminal: a prompt, or one answer for a script. The only place that prints.
use crate::card::{Card, Sort, Unfinished};
use crate::client::Api;
use crate::hear::{Message, hear, hear_on};
use crate::link::Link;
use std::io::{self, Write};

pub mod draw;
pub mod league;
pub mod prompt;

pub use prompt::run;

/// Answers one message and prints it; the error goes to `complaints`.
///
/// # Errors
/// Where the output can't be written.
pub async fn once(
    api: &Api,
    message: Message<'_>,
    out: &mut dyn Write,
    complaints: &mut dyn Write,
) -> io::Result<bool> {
    let card = hear(api, message).await;
    if card.sort == Sort::Answer {
        out.write_all(draw::card(&card, width(), true).as_bytes())?;
        Ok(true)
    } else {
        complaints.write_all(draw::card(&card, width(), true).as_bytes())?;
        Ok(false)
    }
}

/// The columns there are: those of the terminal, of `COLUMNS`, or 80.
pub fn width() -> usize {
    let terminal = terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    let set = || std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    terminal.or_else(set).unwrap_or(80).clamp(24, 100)
}

/// What the terminal remembers of the chat between two messages.
#[derive(Debug, Default)]
pub struct Chat {
    pack: Option<String>,
    before: Option<Card>,
    unfinished: Option<Unfinished>,
}

impl Chat {
    /// A chat that plays by this pack.
    pub fn new(pack: Option<String>) -> Self {
        Self { pack, ..Self::default() }
    }

    /// Answers a line, so many columns wide; the answer is kept for the next.
    pub async fn line(&mut self, api: &Api, text: &str, width: usize) -> String {
        if let Some(steps) = self.steps(text, width) {
            return steps;
        }
        let card = self.ask(api, text).await;
        // Who asks why sees the steps beneath the answer.
        let drawn = draw::card(&card, width, crate::understand::asks_why(text));
        self.unfinished.clone_from(&card.unfinished);
        if let Some(pack) = &card.pack {
            self.pack = Some(pack.clone());
        }
        if card.dropped {
            self.before = None;
        } else if card.sort == Sort::Answer {
            self.before = Some(card);
        }
        drawn
    }

    /// The steps of the card before, where they are asked for.
    fn steps(&self, text: &str, width: usize) -> Option<String> {
        let asks = matches!(text.trim().trim_start_matches('/').trim_end_matches('?'), "steps" | "why" | "show steps");
        let card = self.before.as_ref().filter(|_| asks)?;
        let steps = draw::steps(card, width);
        Some(if steps.is_empty() { "There is nothing to work out here.\n".to_owned() } else { steps })
    }

    async fn ask(&self, api: &Api, text: &str) -> Card {
        let before: Option<&Link> = self.before.as_ref().and_then(|card| card.link.as_ref());
        let message = Message { text, pack: self.pack.as_deref(), before, attached: None };
        match self.unfinished.as_ref().filter(|_| !text.trim_start().starts_with('/')) {
            Some(unfinished) => hear_on(api, message, unfinished).await,
            None => hear(api, message).await,
        }
    }
}
