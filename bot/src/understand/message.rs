//! A message cut into words, with what each of them may mean: its classes, and the names that stand there.
use super::lexicon::{Class, Classes, Lexicon};
use super::names::{Fit, Names, Sort};
use super::numbers;
use super::spell::{Spelt, spelt};
use crate::client::index::PackIndex;
use crate::typing::fillers::singular;
use crate::typing::scan::scan;
use crate::typing::token::{Span, TokenKind};

/// One word, number or mark.
#[derive(Clone, Debug)]
pub struct ParsedToken {
    /// What it is.
    pub kind: TokenKind,
    /// The word as it is read; empty for what is none.
    pub word: String,
    /// Where it stands.
    pub span: Span,
    /// What it may be for.
    pub classes: Classes,
    /// Whether it owns what follows: `the heron's side`.
    pub owns: bool,
    /// Which sentence it stands in.
    pub sentence: usize,
    /// Whether nobody knows the word.
    pub unknown: bool,
}

/// A name that stands somewhere.
#[derive(Clone, Debug)]
pub struct Mention {
    /// The first word.
    pub at: usize,
    /// How many words.
    pub len: usize,
    /// What it is the name of.
    pub sort: Sort,
    /// As requests have it, and who may take it; several where the words fit several.
    pub ids: Vec<(String, Option<String>)>,
    /// How well it fits.
    pub fit: Fit,
}

/// A message with all that its words may mean.
#[derive(Debug)]
pub struct ParsedMessage<'a> {
    /// The message.
    pub text: &'a str,
    /// The names of the pack.
    pub index: &'a PackIndex,
    /// Its words.
    pub tokens: Vec<ParsedToken>,
    /// The names in it.
    pub mentions: Vec<Mention>,
    /// Words as written and as read.
    pub corrected: Vec<(String, String)>,
    /// A word that may be several.
    pub unclear: Option<(String, Vec<String>)>,
    spans: Vec<(Class, usize, usize)>,
}

impl<'a> ParsedMessage<'a> {
    /// Cuts a message.
    pub fn of(text: &'a str, index: &'a PackIndex) -> Self {
        let names = index.sayings();
        let mut message = Self {
            text,
            index,
            tokens: Vec::new(),
            mentions: Vec::new(),
            corrected: Vec::new(),
            unclear: None,
            spans: Vec::new(),
        };
        message.cut(names);
        message.classify();
        message.name(names);
        message
    }

    fn cut(&mut self, names: &Names) {
        let mut sentence = 0;
        for raw in scan(self.text) {
            let said = &self.text[raw.span.clone()];
            let mut token = ParsedToken {
                word: String::new(),
                owns: said.ends_with("'s") || said.ends_with("\u{2019}s"),
                kind: raw.kind,
                span: raw.span.clone(),
                classes: Classes::default(),
                sentence,
                unknown: false,
            };
            match &token.kind {
                TokenKind::Word(word) => {
                    let mut word = super::spell::in_full(word).map_or_else(|| word.clone(), str::to_owned);
                    if let Some((first, second)) = names.parted(&word) {
                        self.tokens.push(ParsedToken {
                            word: first.clone(),
                            owns: false,
                            kind: TokenKind::Word(first.clone()),
                            span: raw.span.clone(),
                            classes: Classes::default(),
                            sentence,
                            unknown: false,
                        });
                        word.clone_from(second);
                    }
                    match spelt(&word, names) {
                        Spelt::Known => {}
                        Spelt::Unknown => token.unknown = true,
                        Spelt::As(known) => {
                            if known != format!("{word}g") {
                                self.corrected.push((word.clone(), known.clone()));
                            }
                            word = known;
                        }
                        Spelt::Unclear(known) => {
                            token.unknown = true;
                            self.unclear.get_or_insert((word.clone(), known));
                        }
                    }
                    token.word = word;
                }
                TokenKind::Break | TokenKind::Line if !said.starts_with(',') => {
                    sentence += 1;
                }
                _ => {}
            }
            self.tokens.push(token);
        }
        numbers::join(&mut self.tokens);
    }

    fn classify(&mut self) {
        let lexicon = Lexicon::get();
        let count = self.tokens.len();
        for at in 0..count {
            for entry in lexicon.beginning(&self.tokens[at].word) {
                let fits = entry.words.iter().enumerate().all(|(more, word)| {
                    self.tokens.get(at + more).is_some_and(|token| {
                        token.word == *word
                            || token.word.is_empty()
                                && matches!(token.kind, TokenKind::Number(number) if number.to_string() == *word)
                    })
                });
                if fits {
                    let len = entry.words.len();
                    self.spans.push((entry.class, at, len));
                    for token in &mut self.tokens[at..at + len] {
                        token.classes.add(entry.class);
                    }
                }
            }
        }
    }

    fn name(&mut self, names: &Names) {
        let mut found: Vec<Mention> = Vec::new();
        for at in 0..self.tokens.len() {
            if self.tokens[at].word.is_empty() {
                continue;
            }
            let firsts = singles(&self.tokens[at].word);
            for said in firsts.iter().flat_map(|first| names.beginning(first)) {
                let fits = said.words.iter().enumerate().all(|(more, word)| {
                    self.tokens.get(at + more).is_some_and(|token| singles(&token.word).contains(word))
                });
                // `gun down`: a verb of two words is no part of a name.
                let verb = said.fit != Fit::Whole
                    && said.words.len() == 1
                    && self.begins(Class::Attack, at).is_some_and(|len| len > 1);
                // `skiff opens`: it begins, and stands in no open.
                let begins = said.sort == Sort::Cover && matches!(self.tokens[at].word.as_str(), "opens" | "opened");
                if verb || begins || !fits || (said.fit == Fit::Part && said.words.len() == 1 && self.is_trade(at)) {
                    continue;
                }
                let (len, id) = (said.words.len(), (said.id.clone(), said.owner.clone()));
                let same = |one: &&mut Mention| one.at == at && one.len == len && one.sort == said.sort;
                match found.iter_mut().find(same) {
                    Some(known) if known.fit > said.fit => {}
                    Some(known) if known.fit == said.fit => {
                        if !known.ids.contains(&id) {
                            known.ids.push(id);
                        }
                    }
                    Some(known) => (known.fit, known.ids) = (said.fit, vec![id]),
                    None => found.push(Mention { at, len, sort: said.sort, ids: vec![id], fit: said.fit }),
                }
            }
        }
        // What stands within a longer name is no name of its own.
        let within = |one: &Mention, all: &[Mention]| {
            all.iter()
                .any(|other| other.len > one.len && other.at <= one.at && other.at + other.len >= one.at + one.len)
        };
        let all = found.clone();
        found.retain(|one| !within(one, &all));
        // `5 riders (heath)`: a word behind says which of several.
        for one in found.iter_mut().filter(|one| one.sort == Sort::Unit && one.ids.len() > 1) {
            let behind = (one.at + one.len..one.at + one.len + 2)
                .find(|at| self.tokens.get(*at).is_some_and(|token| !token.word.is_empty()));
            let Some(at) = behind.filter(|at| self.text[..self.tokens[*at].span.start].trim_end().ends_with('('))
            else {
                continue;
            };
            let has = |id: &str| {
                let name = self.index.unit(id).map(|unit| unit.name.as_str()).unwrap_or_default();
                let said = singular(&self.tokens[at].word);
                crate::client::index::name_words(name).iter().any(|word| singular(word) == said)
            };
            let fit: Vec<(String, Option<String>)> = one.ids.iter().filter(|(id, _)| has(id)).cloned().collect();
            if let [_] = fit.as_slice() {
                (one.ids, one.len) = (fit, at + 1 - one.at);
            }
        }
        found.sort_by_key(|one| (one.at, one.sort));
        self.mentions = found;
    }

    /// Whether a word means something to the trade, so that alone it is no part of a name.
    fn is_trade(&self, at: usize) -> bool {
        let classes = self.tokens[at].classes;
        let strong = Class::ALL.iter().any(|class| {
            classes.has(*class)
                && !matches!(class, Class::Attack | Class::Kill | Class::Unit | Class::Draw | Class::Check)
        });
        strong || classes.has(Class::Attack) && self.tokens[at].word != "gun"
    }

    /// Whether a class stands anywhere.
    pub fn has(&self, class: Class) -> bool {
        self.spans.iter().any(|(known, ..)| *known == class)
    }

    /// Where a class stands: the first word and how many.
    pub fn spans(&self, class: Class) -> impl Iterator<Item = (usize, usize)> {
        self.spans.iter().filter(move |(known, ..)| *known == class).map(|(_, at, len)| (*at, *len))
    }

    /// The longest entry of a class that begins here.
    pub fn begins(&self, class: Class, at: usize) -> Option<usize> {
        self.spans(class).filter(|(start, _)| *start == at).map(|(_, len)| len).max()
    }

    /// The longest entry of a class that ends right before a place.
    pub fn ends(&self, class: Class, before: usize) -> Option<usize> {
        self.spans(class).filter(|(at, len)| at + len == before).map(|(_, len)| len).max()
    }

    /// Whether a word is of a class.
    pub fn is(&self, at: usize, class: Class) -> bool {
        self.tokens.get(at).is_some_and(|token| token.classes.has(class))
    }

    /// The word at a place; empty where there is none.
    pub fn word(&self, at: usize) -> &str {
        self.tokens.get(at).map_or("", |token| token.word.as_str())
    }

    /// Whether one of these words stands at a place.
    pub fn any(&self, at: usize, words: &[&str]) -> bool {
        let word = self.word(at);
        !word.is_empty() && words.contains(&word)
    }

    /// The whole number at a place.
    pub fn number(&self, at: usize) -> Option<u64> {
        match self.tokens.get(at)?.kind {
            TokenKind::Number(number) => crate::typing::token::whole(number),
            _ => None,
        }
    }

    /// Whether a mark stands at a place, or nothing.
    pub fn is_end(&self, at: usize) -> bool {
        self.tokens
            .get(at)
            .is_none_or(|token| matches!(token.kind, TokenKind::Break | TokenKind::Line | TokenKind::Colon))
    }

    /// The mentions of a sort.
    pub fn named(&self, sort: Sort) -> impl Iterator<Item = &Mention> {
        self.mentions.iter().filter(move |mention| mention.sort == sort)
    }

    /// The longest mention of a sort that begins here.
    pub fn named_at(&self, sort: Sort, at: usize) -> Option<&Mention> {
        self.mentions
            .iter()
            .filter(|mention| mention.sort == sort && mention.at == at)
            .max_by_key(|mention| mention.len)
    }

    /// Whether a text ends with a question mark.
    pub fn asks(&self) -> bool {
        self.text.contains('?')
    }
}

/// A word in the singular, in all the ways in which its plural may have been made; and the present of what was.
fn singles(word: &str) -> Vec<String> {
    let mut all = vec![singular(word).to_owned()];
    if let Some(stem) = word.strip_suffix("ies").filter(|stem| stem.len() > 1) {
        all.push(format!("{stem}y"));
    }
    // `skaters` of Skate Runners
    if let Some(stem) = singular(word).strip_suffix("er").filter(|stem| stem.len() > 3) {
        all.push(format!("{stem}e"));
    }
    if word == "take" {
        all.push("took".to_owned());
    }
    all
}
