//! What was said, the last of it only, in memory only.
use super::wire::{Answered, Said};
use crate::link::Link;
use std::collections::VecDeque;
use std::sync::Arc;

/// So many lines are kept for those who come later.
pub const KEPT: usize = 200;

/// The lines of the room, numbered from 1.
#[derive(Debug, Default)]
pub struct Ledger {
    lines: VecDeque<Line>,
    newest: u64,
}

#[derive(Debug)]
struct Line {
    number: u64,
    /// As it is sent: written once for all.
    text: Arc<str>,
    /// Where it is an answer: what was asked.
    link: Option<Link>,
}

/// What somebody has not seen yet.
#[derive(Debug, Default)]
pub struct News {
    /// The lines, the oldest first.
    pub lines: Vec<Arc<str>>,
    /// The number of the last one.
    pub newest: u64,
    /// Whether some before them are gone.
    pub missed: bool,
}

impl Ledger {
    /// Writes a person's message down.
    pub fn say(&mut self, at: u64, who: &str, key: u64, text: &str) -> u64 {
        let number = self.newest + 1;
        self.write(number, &Said { number, at, who, key, text }, None)
    }

    /// Writes an answer down.
    pub fn answer(&mut self, answer: &mut Answered<'_>, link: Option<Link>) -> u64 {
        answer.number = self.newest + 1;
        self.write(answer.number, answer, link)
    }

    fn write(&mut self, number: u64, line: &impl serde::Serialize, link: Option<Link>) -> u64 {
        // Texts and numbers can always be written as JSON.
        let text = serde_json::to_string(line).unwrap_or_default().into();
        self.lines.push_back(Line { number, text, link });
        self.newest = number;
        if self.lines.len() > KEPT {
            self.lines.pop_front();
        }
        number
    }

    /// What came after a line.
    pub fn since(&self, seen: u64) -> News {
        let lines = self.lines.iter().filter(|line| line.number > seen);
        let oldest = self.lines.front().map_or(self.newest + 1, |line| line.number);
        News {
            lines: lines.map(|line| Arc::clone(&line.text)).collect(),
            newest: self.newest,
            missed: oldest > seen.saturating_add(1),
        }
    }

    /// What an answer was asked with.
    pub fn link(&self, number: u64) -> Option<Link> {
        self.lines.iter().find(|line| line.number == number).and_then(|line| line.link.clone())
    }

    /// What the newest answer was asked with.
    pub fn newest_link(&self) -> Option<Link> {
        self.lines.iter().rev().find_map(|line| line.link.clone())
    }
}
