//! What a message may ask: a reading, or a question that lacks one thing.
use super::battle::Battle;
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;
use crate::client::index::PackIndex;
use crate::commands::Command;
use crate::typing::token::TokenKind;
use crate::typing::{Name, Read, Side, Value, value::Arg};
use serde_json::Value as Json;

/// What a reading does.
#[derive(Clone, Debug)]
pub enum Act {
    /// Asks this question of the service.
    Question(Json),
    /// Hands these arguments to the command.
    Args(Read),
    /// One thing is missing.
    Lacks {
        /// The option that would take it.
        option: Option<&'static str>,
        /// What is asked.
        question: String,
        /// Some words that would answer it.
        choices: Vec<String>,
    },
}

/// One way to read a message.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The command that answers it.
    pub command: &'static Command,
    /// What it does.
    pub act: Act,
    /// How much speaks for it.
    pub score: f64,
    /// Which words it explains.
    pub used: Vec<bool>,
    /// Classes whose words it explains as well.
    pub cues: &'static [Class],
    /// What was taken for granted.
    pub notes: Vec<String>,
    /// What the card is to know beside the question.
    pub beside: Read,
    /// The question that the arguments change.
    pub before: Option<Json>,
    /// The same with each unit that may be meant, where the words fit several.
    pub variants: Vec<Reading>,
}

impl Reading {
    /// A reading that asks.
    pub fn asks(
        command: &'static Command,
        question: Json,
        score: f64,
        used: Vec<bool>,
        cues: &'static [Class],
    ) -> Self {
        Self {
            command,
            act: Act::Question(question),
            score,
            used,
            cues,
            notes: Vec::new(),
            beside: Read::default(),
            before: None,
            variants: Vec::new(),
        }
    }

    /// A reading that hands arguments to a command.
    pub fn args(
        command: &'static Command,
        args: Vec<Arg>,
        score: f64,
        used: Vec<bool>,
        cues: &'static [Class],
    ) -> Self {
        let read = Read { args, ..Read::default() };
        Self {
            command,
            act: Act::Args(read),
            score,
            used,
            cues,
            notes: Vec::new(),
            beside: Read::default(),
            before: None,
            variants: Vec::new(),
        }
    }

    /// A reading that lacks one thing.
    pub fn lacks(
        command: &'static Command,
        option: Option<&'static str>,
        question: impl Into<String>,
        score: f64,
        used: Vec<bool>,
        cues: &'static [Class],
    ) -> Self {
        let act = Act::Lacks { option, question: question.into(), choices: Vec::new() };
        Self {
            command,
            act,
            score,
            used,
            cues,
            notes: Vec::new(),
            beside: Read::default(),
            before: None,
            variants: Vec::new(),
        }
    }

    /// Whether nothing is missing.
    pub fn is_whole(&self) -> bool {
        !matches!(self.act, Act::Lacks { .. })
    }
}

/// An argument, wherever it was said.
pub fn arg(option: &'static str, value: Value) -> Arg {
    Arg { option, value, span: 0..0, alternative: false }
}

/// A name of the pack by its id.
pub fn name(id: &str, name: &str) -> Name {
    Name { id: id.to_owned(), name: name.to_owned(), others: Vec::new() }
}

/// A unit's name by its id.
pub fn unit_name(index: &PackIndex, id: &str) -> Name {
    name(id, index.unit(id).map_or(id, |unit| unit.name.as_str()))
}

/// A side as commands take it.
pub fn side_value(index: &PackIndex, side: &super::sides::Side) -> Value {
    let id = side.ids.first().cloned().unwrap_or_default();
    let extras = side.options.iter().map(|extra| {
        let text = super::battle::option_text(extra);
        let text = text.as_str().unwrap_or_default();
        let known = index.unit(&id).and_then(|unit| unit.options.iter().find(|option| option.id == extra.id));
        name(text, known.map_or(text, |option| option.name.as_str()))
    });
    Value::Side(Side {
        unit: unit_name(index, &id),
        models: side.models(index),
        extras: extras.collect(),
        near: side.near.iter().map(|near| unit_name(index, near)).collect(),
    })
}

/// A message with what was read of it so far.
pub struct Told<'a> {
    /// Its words.
    pub message: &'a ParsedMessage<'a>,
    /// Its units and table.
    pub battle: &'a Battle,
}

impl Told<'_> {
    /// The names of the pack.
    pub fn index(&self) -> &PackIndex {
        self.message.index
    }

    /// How many units fight.
    pub fn fighters(&self) -> usize {
        self.battle.fighters().count()
    }

    /// One for a class that stands anywhere, or else nothing.
    pub fn has(&self, class: Class) -> f64 {
        f64::from(u8::from(self.message.has(class)))
    }

    /// Whether the message is a question by its form.
    pub fn asks(&self) -> bool {
        self.message.asks() || self.begins(Class::Wh) || self.begins(Class::YesNo)
    }

    /// Whether a sentence begins with a word of the class, over small words.
    pub fn begins(&self, class: Class) -> bool {
        let message = self.message;
        (0..message.tokens.len()).any(|at| {
            message.is(at, class)
                && (0..at).rev().take_while(|&at| !message.is_end(at)).all(|before| {
                    message.is(before, Class::Small)
                        && !message.is(before, Class::Wh)
                        && !message
                            .any(before, &["i", "we", "you", "he", "they", "it", "to", "and", "the", "my", "his"])
                })
        })
    }

    /// `could you work out …`, `would you kindly tell me …`: a request that wants no yes or no, unless of whether or if.
    pub fn is_courteous(&self) -> bool {
        const VERBS: &[&str] = &[
            "tell",
            "give",
            "work",
            "show",
            "calculate",
            "compute",
            "kindly",
            "please",
            "say",
            "figure",
            "let",
            "explain",
            "find",
            "run",
            "do",
            "help",
        ];
        let message = self.message;
        (0..message.tokens.len()).any(|at| {
            message.any(at, &["could", "can", "would", "will"])
                && message.any(at + 1, &["you", "u", "somebody", "someone", "anyone", "one", "we", "i"])
                && (at + 2..at + 6).any(|at| message.any(at, VERBS))
                && !(at + 2..at + 9).any(|at| message.any(at, &["whether", "if"]))
        })
    }

    /// Numbers with turns behind them: the place of the number, the number.
    pub fn turns(&self) -> Option<(usize, u64)> {
        let message = self.message;
        (0..message.tokens.len()).find_map(|at| {
            let number = message.number(at).filter(|_| !self.battle.used[at])?;
            let skip = usize::from(message.any(at + 1, &["more", "full", "whole", "game"]));
            let goes = message.any(at + 1, &["goes", "go"])
                && (message.any(at + 2, &["left", "to", "remaining", "each"]) || message.is_end(at + 2));
            (message.any(at + 1 + skip, &["turn", "turns", "round", "rounds"]) || goes).then_some((at, number))
        })
    }

    /// A chance that was said: its place, and how much.
    pub fn percent(&self) -> Option<(usize, usize, f64)> {
        let message = self.message;
        (0..message.tokens.len()).find_map(|at| {
            if self.battle.used[at] {
                return None;
            }
            match message.tokens[at].kind {
                TokenKind::Percent(percent) => Some((at, 1, percent / 100.0)),
                TokenKind::Share { part: 50, whole: 50, .. } => Some((at, 1, 0.5)),
                TokenKind::Number(number) if message.any(at + 1, &["percent", "pct", "pc"]) => {
                    Some((at, 2, number / 100.0))
                }
                TokenKind::Number(number) if message.any(at + 1, &["per"]) && message.any(at + 2, &["cent"]) => {
                    Some((at, 3, number / 100.0))
                }
                TokenKind::Number(number) if message.any(at + 1, &["sure", "certain"]) && number > 1.0 => {
                    Some((at, 2, number / 100.0))
                }
                TokenKind::Number(number) if number > 0.0 && number < 1.0 => Some((at, 1, number)),
                _ => None,
            }
        })
    }

    /// Whether a name of a sort stands somewhere that is not used.
    pub fn free(&self, sort: Sort) -> Option<&super::message::Mention> {
        self.message.named(sort).find(|one| self.battle.used[one.at..one.at + one.len].iter().all(|used| !used))
    }
}

/// Marks words as used.
pub fn mark(used: &mut [bool], from: usize, to: usize) {
    let to = to.min(used.len());
    if from < to {
        used[from..to].fill(true);
    }
}
