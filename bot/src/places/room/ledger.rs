//! What was said, the last of it only, in memory only.
use super::wire::{self, Answered, Said};
use crate::link::Link;
use axum::extract::ws::Utf8Bytes;
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
    /// The frame of this line alone, which is what most people need.
    frame: Utf8Bytes,
    /// Where it is an answer: what was asked.
    link: Option<Link>,
}

/// What somebody has not seen yet.
#[derive(Debug, Default)]
pub struct News {
    /// The frame of the lines, the oldest first; none where there are no lines.
    pub frame: Option<Frame>,
    /// The number of the last one.
    pub newest: u64,
    /// Whether some before them are gone.
    pub missed: bool,
}

/// What is sent.
#[derive(Debug)]
pub enum Frame {
    /// One line.
    One(Utf8Bytes),
    /// Several, still to be put together: not while others wait for the ledger.
    Several(Vec<Arc<str>>),
}

impl From<Frame> for Utf8Bytes {
    fn from(frame: Frame) -> Self {
        match frame {
            Frame::One(frame) => frame,
            Frame::Several(lines) => wire::lines(&lines).into(),
        }
    }
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
        let text: Arc<str> = serde_json::to_string(line).unwrap_or_default().into();
        let frame = wire::lines(&[Arc::clone(&text)]).into();
        self.lines.push_back(Line { number, text, frame, link });
        self.newest = number;
        if self.lines.len() > KEPT {
            self.lines.pop_front();
        }
        number
    }

    /// What came after a line.
    pub fn since(&self, seen: u64) -> News {
        let seen = seen.min(self.newest);
        let oldest = self.lines.front().map_or(self.newest + 1, |line| line.number);
        // The numbers have no gaps.
        let known = usize::try_from((seen + 1).saturating_sub(oldest)).unwrap_or(usize::MAX).min(self.lines.len());
        let frame = match self.lines.len() - known {
            0 => None,
            1 => self.lines.back().map(|line| Frame::One(line.frame.clone())),
            _ => Some(Frame::Several(self.lines.range(known..).map(|line| Arc::clone(&line.text)).collect())),
        };
        News { frame, newest: self.newest, missed: oldest > seen + 1 }
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
