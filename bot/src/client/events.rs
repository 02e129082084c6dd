//! Answers that take long: how far they have come, then the answer (server-sent events, WHATWG HTML 9.2).
use super::Trouble;
use super::trouble::Problem;
use serde::Deserialize;
use serde_json::Value as Json;

/// What came.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Event {
    /// So many parts are done, of so many.
    Progress(u64, u64),
    /// The answer.
    Answer(Json),
}

/// How far an answer has come.
#[derive(Deserialize)]
struct Progress {
    /// So many parts are done.
    done: u64,
    /// Of so many.
    of: u64,
}

/// Events read from bytes as they come.
#[derive(Debug, Default)]
pub(super) struct Reading {
    bytes: Vec<u8>,
}

impl Reading {
    /// The events that are whole with these bytes.
    pub(super) fn take(&mut self, bytes: &[u8]) -> Result<Vec<Event>, Trouble> {
        self.bytes.extend_from_slice(bytes);
        let mut events = Vec::new();
        // An event ends with an empty line.
        while let Some(end) = self.bytes.windows(2).position(|two| two == b"\n\n") {
            let whole: Vec<u8> = self.bytes.drain(..end + 2).collect();
            events.extend(event(&String::from_utf8_lossy(&whole))?);
        }
        Ok(events)
    }
}

fn event(text: &str) -> Result<Option<Event>, Trouble> {
    let field = |name: &str| {
        let lines = text.lines().filter_map(|line| line.strip_prefix(name)?.strip_prefix(':'));
        lines.map(|value| value.strip_prefix(' ').unwrap_or(value)).collect::<Vec<_>>()
    };
    let data = field("data").join("\n");
    let json = || serde_json::from_str::<Json>(&data).map_err(|_| Trouble::InvalidResponse);
    Ok(match field("event").first() {
        Some(&"progress") => {
            let progress: Progress = serde_json::from_str(&data).map_err(|_| Trouble::InvalidResponse)?;
            Some(Event::Progress(progress.done, progress.of))
        }
        Some(&"answer") => Some(Event::Answer(json()?)),
        Some(&"problem") => {
            return Err(serde_json::from_str::<Problem>(&data)
                .map_or(Trouble::InvalidResponse, |problem| Trouble::Refused(Box::new(problem))));
        }
        // A comment that keeps the line open, or something newer than this program.
        _ => None,
    })
}
