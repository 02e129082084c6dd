//! The neutral answer, and how it is made of what the service answers. Every place draws it in its own way; nothing here
//! knows of a place.
use std::collections::BTreeMap;

pub mod appraise;
pub mod arc;
pub mod assign;
pub mod attack;
pub mod blast;
pub mod changed;
pub mod chart;
pub mod check;
pub mod draw;
pub mod fair;
mod link;
pub mod matchup;
mod names;
pub mod notes;
pub mod pack;
pub mod points;
pub mod repair;
pub mod rule;
pub mod unit;
pub mod versus;
mod who;
pub mod wish;
pub mod words;
pub use chart::{Bar, Chart};
pub use link::Link;
pub use names::NameKind;
pub use who::Who;

/// One answer.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Card {
    /// What it is.
    pub sort: Sort,
    /// The question as it was read, in canonical words.
    pub read_as: String,
    /// One sentence that settles it.
    pub headline: String,
    /// Three or four lines of numbers.
    pub lines: Vec<Line>,
    /// Longer text: a rule, a list, help.
    pub text: Vec<String>,
    /// What stands behind "Steps".
    pub steps: Vec<Step>,
    /// The distribution.
    pub chart: Option<Chart>,
    /// What to know about how it was read.
    pub notes: Vec<String>,
    /// Ways to ask again with one thing changed.
    pub follow_ups: Vec<FollowUp>,
    /// Where the same answer is always found.
    pub link: Option<Link>,
    /// The pack that this chat now plays by.
    pub pack: Option<String>,
    /// The message that the answer to this question completes.
    pub unfinished: Option<Unfinished>,
    /// Whether the answers before are dropped: what is asked next stands by itself.
    pub dropped: bool,
}

/// What a card is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sort {
    /// An answer.
    #[default]
    Answer,
    /// A question back: one thing is missing.
    Question,
    /// The message was understood, but it can't be answered.
    Refusal,
    /// The service is away or in trouble; asking later may help.
    Trouble,
}

/// What armour can lose, in the contract's word.
const STRUCTURE: &str = "structure";

/// One line of numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What it is.
    pub label: String,
    /// Its value, as people read it.
    pub value: String,
}

/// One step of the working.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Step {
    /// Its name.
    pub name: String,
    /// What it needs and how likely that is, with the fraction.
    pub text: String,
    /// The rules that made it so.
    pub because: Vec<String>,
}

/// A message that lacks one thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfinished {
    /// The message.
    pub text: String,
    /// The option that it lacks.
    pub option: Option<&'static str>,
    /// Whether that takes whole lines.
    pub lines: bool,
}

impl Unfinished {
    /// The message with what it lacked.
    pub fn with(&self, answer: &str) -> String {
        let (text, answer) = (self.text.trim_end(), answer.trim());
        match self.option {
            Some(_) if self.lines => format!("{text}\n{answer}"),
            Some(option) => format!("{text}, {option}: {answer}"),
            None => format!("{text}, {answer}"),
        }
    }
}

/// A way to ask again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FollowUp {
    /// What a button says.
    pub label: String,
    /// What a person would type.
    pub says: String,
}

impl Card {
    /// A card with only a headline.
    pub fn saying(sort: Sort, headline: impl Into<String>) -> Self {
        Self { sort, headline: headline.into(), ..Self::default() }
    }

    /// Says the club's own words in place of ordinary ones. In the sentence that settles it, where names stand too, only of
    /// what is lost.
    pub fn in_words_of(&mut self, words: &BTreeMap<String, String>) {
        if words.is_empty() {
            return;
        }
        // A club that counts its structure has no points of it.
        if let Some(structure) = words.get(STRUCTURE) {
            let one = structure.strip_suffix('s').unwrap_or(structure);
            self.headline = self.headline.replace("points of structure lost", "structure lost");
            self.headline = self.headline.replace("point of structure lost", &format!("{one} lost"));
        }
        self.headline = reworded(&self.headline, words, " lost");
        self.headline = reworded(&self.headline, words, " off ");
        self.headline = reworded(&self.headline, words, " on average");
        for line in &mut self.lines {
            line.label = reworded(&line.label, words, "");
        }
        if let Some(chart) = &mut self.chart {
            chart.title = reworded(&chart.title, words, "");
            chart.alt = reworded(&chart.alt, words, " lost");
        }
    }

    /// Adds a line of numbers.
    pub fn line(&mut self, label: impl Into<String>, value: impl Into<String>) {
        self.lines.push(Line { label: label.into(), value: value.into() });
    }

    /// Adds a way to ask again.
    pub fn follow_up(&mut self, label: impl Into<String>, says: impl Into<String>) {
        self.follow_ups.push(FollowUp { label: label.into(), says: says.into() });
    }
}

/// A text with each of the words replaced where it stands whole and goes on so.
fn reworded(text: &str, words: &BTreeMap<String, String>, goes_on: &str) -> String {
    let mut said = String::with_capacity(text.len());
    let mut rest = text;
    while !rest.is_empty() {
        let end = rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len());
        let (word, behind) = rest.split_at(end);
        let own = words.get(word).filter(|_| behind.starts_with(goes_on));
        said.push_str(own.map_or(word, String::as_str));
        let gap = behind.find(char::is_alphanumeric).unwrap_or(behind.len());
        said.push_str(&behind[..gap]);
        rest = &behind[gap..];
    }
    said
}
