//! Which kind of question a message is, by all its words at once: a second opinion, fitted to messages whose meaning is known.
//!
//! The readings know what a message would mean as a question of their kind; none of them knows how people ask the others. This is
//! a choice among all kinds (a multinomial logit): each feature of a message ([`features`]) adds its weight to each kind, and
//! the chance of a kind is `e^s / Σ e^s` over the kinds' sums `s`, each divided by the square root of how many features there are.
//! The weights stand in `kinds.txt`; `tests/understand/fitted.rs` fits them, and says to which messages.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::{Fit, Sort};
use crate::typing::fillers::singular;
use crate::typing::token::TokenKind;
use std::collections::{BTreeSet, HashMap};
use std::sync::LazyLock;

const TEXT: &str = include_str!("kinds.txt");

/// What is no question to us, among the kinds.
pub const NOTHING: &str = "nothing";

/// Weights of features for each kind.
#[derive(Debug, Default)]
pub struct Weights {
    kinds: Vec<String>,
    of: HashMap<String, Vec<(usize, f64)>>,
}

static WEIGHTS: LazyLock<Weights> = LazyLock::new(|| Weights::read(TEXT));

impl Weights {
    /// Those of the program.
    pub fn get() -> &'static Self {
        &WEIGHTS
    }

    /// Reads weights: a line of kinds, then a line for each feature: it, and behind a tabulator `kind:weight` for some kinds, each
    /// by its place in the first line. What is written otherwise is left out.
    pub fn read(text: &str) -> Self {
        let mut lines = text.lines().filter(|line| !line.starts_with('#'));
        let kinds = lines.next().map_or_else(Vec::new, |line| line.split(' ').map(str::to_owned).collect());
        let weights = |weights: &str| {
            let one = |pair: &str| {
                let (kind, weight) = pair.split_once(':')?;
                Some((kind.parse().ok()?, weight.parse().ok()?))
            };
            weights.split(' ').filter_map(one).collect()
        };
        let of = lines.filter_map(|line| line.split_once('\t')).map(|(name, rest)| (name.to_owned(), weights(rest)));
        Self { kinds, of: of.collect() }
    }

    /// How likely a message is of each kind.
    pub fn chances(&self, features: &BTreeSet<String>) -> Chances<'_> {
        let mut sums = vec![0.0; self.kinds.len()];
        for feature in features {
            for (kind, weight) in self.of.get(feature).map_or(&[][..], Vec::as_slice) {
                if let Some(sum) = sums.get_mut(*kind) {
                    *sum += weight;
                }
            }
        }
        let count = u32::try_from(features.len().max(1)).map_or(1.0, f64::from).sqrt();
        let most = sums.iter().copied().fold(f64::MIN, f64::max);
        let chances: Vec<f64> = sums.iter().map(|sum| ((sum - most) / count).exp()).collect();
        let all: f64 = chances.iter().sum();
        Chances { kinds: &self.kinds, chances: chances.iter().map(|one| one / all).collect() }
    }
}

/// How likely a message is of each kind.
#[derive(Clone, Debug)]
pub struct Chances<'a> {
    kinds: &'a [String],
    chances: Vec<f64>,
}

impl Chances<'_> {
    /// How likely it is of a kind, by the name of its command; none for a kind that was seen too seldom to tell.
    pub fn of(&self, kind: &str) -> Option<f64> {
        self.kinds.iter().position(|known| known == kind).map(|at| self.chances[at])
    }

    /// The likeliest kind.
    pub fn likeliest(&self) -> Option<(&str, f64)> {
        let best = (0..self.kinds.len()).max_by(|a, b| self.chances[*a].total_cmp(&self.chances[*b]))?;
        Some((&self.kinds[best], self.chances[best]))
    }
}

/// What of a message speaks for its kind: its words and pairs of words, names by what they are the name of, numbers by their sort.
pub fn features(message: &ParsedMessage<'_>) -> BTreeSet<String> {
    let words = words(message);
    let mut all = BTreeSet::new();
    for (at, word) in words.iter().enumerate() {
        let after = words.get(at + 1).map_or("$", String::as_str);
        all.insert(format!("{word} {after}"));
        if !word.starts_with('<') && word.len() > 5 {
            all.insert(format!("{}-", word.chars().take(5).collect::<String>()));
        }
        all.insert(word.clone());
    }
    if let Some(first) = words.first() {
        all.insert(format!("^ {first}"));
    }
    let units = words.iter().filter(|word| *word == "<unit>").count();
    all.insert(format!("units={}", units.min(3)));
    all.insert(format!("words={}", (words.len() / 4).min(6)));
    for class in Class::ALL.iter().filter(|class| **class != Class::Small && message.has(**class)) {
        all.insert(format!("@{}", class.word()));
    }
    all
}

/// The words of a message with names and numbers by their sort.
fn words(message: &ParsedMessage<'_>) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut at = 0;
    while at < message.tokens.len() {
        let named = message
            .mentions
            .iter()
            .filter(|one| one.at == at && (one.fit != Fit::Part || one.sort == Sort::Unit))
            .max_by_key(|one| (one.len, std::cmp::Reverse(one.sort)));
        let (word, taken) = match named {
            Some(one) => (sort(one.sort).to_owned(), one.len),
            None => (written(message, at), 1),
        };
        at += taken.max(1);
        if word.is_empty() || word == "<unit>" && words.last() == Some(&word) {
            continue;
        }
        words.push(word);
    }
    words
}

fn sort(sort: Sort) -> &'static str {
    match sort {
        Sort::Unit => "<unit>",
        Sort::Option => "<option>",
        Sort::Weapon => "<weapon>",
        Sort::Rule => "<rule>",
        Sort::Check => "<check>",
        Sort::Arc => "<arc>",
        Sort::Range => "<range>",
        Sort::Cover => "<cover>",
        Sort::Flag => "<flag>",
        Sort::Status => "<status>",
        Sort::Stat => "<stat>",
        Sort::Role => "<role>",
        Sort::Term => "<term>",
    }
}

fn written(message: &ParsedMessage<'_>, at: usize) -> String {
    let token = &message.tokens[at];
    let sort = match &token.kind {
        TokenKind::Word(_) => return singular(&token.word).to_owned(),
        TokenKind::Number(_) => "<number>",
        TokenKind::Times(_) => "<times>",
        TokenKind::Faces(_) => "<faces>",
        TokenKind::Needs(_) => "<needs>",
        TokenKind::AtLeast(_) => "<at least>",
        TokenKind::AtMost(_) => "<at most>",
        TokenKind::Dice(_) => "<dice>",
        TokenKind::Pool(_) => "<pool>",
        TokenKind::Signed(_) => "<signed>",
        TokenKind::Percent(_) => "<percent>",
        TokenKind::Share { .. } => "<share>",
        TokenKind::Inches(_) => "<inches>",
        TokenKind::Millimetres(_) => "<millimetres>",
        TokenKind::Reroll(_) | TokenKind::Rerolls(_) => "<re-roll>",
        TokenKind::Keep { .. } => "<keep>",
        TokenKind::Or => "<or>",
        TokenKind::Versus => "<versus>",
        TokenKind::Plus => "<plus>",
        TokenKind::Colon => ":",
        TokenKind::Break | TokenKind::Line => {
            let said = message.text.get(token.span.clone()).unwrap_or_default().trim();
            return said.chars().next().filter(|mark| !mark.is_whitespace()).map_or_else(String::new, String::from);
        }
    };
    sort.to_owned()
}
