//! What can come instead of an answer, each in one plain sentence.
use serde::Deserialize;

/// What came instead of an answer.
#[derive(Clone, Debug, thiserror::Error)]
pub enum Trouble {
    /// Nobody answers at the address.
    #[error("The odds service can't be reached just now. Try again in a minute.")]
    Away,
    /// The answer took too long.
    #[error("The odds service is taking too long. Try again in a minute, or ask for something smaller.")]
    Slow,
    /// The service asks for a pause.
    #[error("The odds service is busy. Try again in {}.", wait(*.seconds))]
    Busy {
        /// How long, where it said so.
        seconds: Option<u64>,
    },
    /// The service failed.
    #[error("The odds service had a fault of its own. It is not your message; try again in a minute.")]
    Broken,
    /// The answer was none that the bot can read.
    #[error("The odds service sent an answer that makes no sense here. It may be of another version.")]
    InvalidResponse,
    /// The service refused the question.
    #[error("{}", .0.sentence())]
    Refused(Box<Problem>),
}

fn wait(seconds: Option<u64>) -> String {
    seconds.map_or_else(|| "a moment".to_owned(), |seconds| crate::saying::count(seconds, "second", "seconds"))
}

impl Trouble {
    /// What a failed request means.
    pub fn of(error: &reqwest::Error) -> Self {
        if error.is_timeout() {
            Self::Slow
        } else if error.is_connect() || error.is_request() {
            Self::Away
        } else {
            Self::InvalidResponse
        }
    }
}

/// Problem details as the service writes them.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Problem {
    /// The sort of problem.
    pub title: String,
    /// What is wrong, in words.
    pub detail: String,
    /// The field at fault.
    pub pointer: String,
    /// Names that were close.
    pub did_you_mean: Vec<String>,
    /// Where there are several.
    pub errors: Vec<Problem>,
}

impl Problem {
    /// Whether it is about this field or a part of it.
    pub fn is_at(&self, pointer: &str) -> bool {
        self.pointer.starts_with(pointer) || self.errors.iter().any(|error| error.pointer.starts_with(pointer))
    }

    /// What is wrong, in one sentence.
    pub fn sentence(&self) -> String {
        let first = self.errors.first().unwrap_or(self);
        let detail = [&first.detail, &self.detail, &self.title].into_iter().find(|text| !text.is_empty());
        let mut sentence =
            detail.map_or_else(|| "That can't be worked out.".to_owned(), |text| crate::saying::sentence(text));
        if !sentence.ends_with(['.', '?', '!']) {
            sentence.push('.');
        }
        let close = if first.did_you_mean.is_empty() { &self.did_you_mean } else { &first.did_you_mean };
        if !close.is_empty() && !sentence.contains("ean") {
            sentence.push_str(&format!(" Did you mean {}?", close.join(" or ")));
        }
        sentence
    }
}
