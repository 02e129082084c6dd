//! Words that nobody knows become the closest ones that somebody knows.
use super::fillers::{FILLERS, PHRASE_WORDS, face_word, number_word, singular, times_word};
use super::token::{Token, TokenKind};
use crate::client::index::PackIndex;
use crate::commands;
use crate::understand::names::letters;
use std::collections::BTreeSet;

/// The words that are known: those of the commands, of the pack, and the small words between them.
#[derive(Clone, Debug, Default)]
pub struct Vocabulary {
    small: BTreeSet<String>,
    telling: BTreeSet<String>,
    names: BTreeSet<String>,
    letters: Vec<(u32, String)>,
}

impl Vocabulary {
    /// All that is known where this pack is chosen.
    pub fn of(index: Option<&PackIndex>) -> Self {
        let mut vocabulary = Self::default();
        vocabulary.small.extend(FILLERS.iter().map(ToString::to_string));
        vocabulary.telling.extend(PHRASE_WORDS.iter().map(ToString::to_string));
        for word in commands::words() {
            vocabulary.telling.extend(word.split(' ').map(str::to_owned));
        }
        if let Some(index) = index {
            vocabulary.names.extend(index.words().map(|word| singular(&word).to_owned()));
            vocabulary.telling.extend(vocabulary.names.iter().cloned());
        }
        vocabulary.letters = vocabulary.telling.iter().map(|word| (letters(word), word.clone())).collect();
        vocabulary
    }

    /// Whether the word needs no correction.
    pub fn knows(&self, word: &str) -> bool {
        let single = singular(word);
        [word, single].iter().any(|word| self.small.contains(*word) || self.telling.contains(*word))
            || number_word(word).or_else(|| face_word(word)).or_else(|| times_word(word)).is_some()
            || (word.len() >= 3
                && self.names.range(single.to_owned()..).next().is_some_and(|known| known.starts_with(single)))
    }

    /// The closest word that is known, where no other is as close; of equals the pack's, then one that begins alike.
    pub fn closest(&self, word: &str) -> Option<&str> {
        let initial = word.chars().next();
        let rank = |known: &String| {
            let distance = closeness(word, known)?;
            Some((distance, !self.names.contains(known), known.chars().next() != initial))
        };
        // Two changes, and an ending each, differ in six letters at most.
        let bits = letters(word);
        let near = self.letters.iter().filter(|(other, _)| (bits ^ other).count_ones() <= 6);
        let mut found: Vec<_> = near.filter_map(|(_, known)| Some((rank(known)?, known.as_str()))).collect();
        found.sort();
        // A word and its plural are one.
        found.dedup_by(|a, b| singular(a.1) == singular(b.1));
        match found.as_slice() {
            [(first, _), (second, _), ..] if first == second => None,
            found => found.first().map(|(_, known)| *known),
        }
    }
}

/// The changes between a word and a known one, where they are few enough for its length.
///
/// A letter too many, too few or wrong counts one, and so do two letters that changed places.
pub fn closeness(word: &str, known: &str) -> Option<usize> {
    let short = word.chars().count().min(known.chars().count());
    let allowed = match short {
        0..=3 => 0,
        4..=6 => 1,
        _ => 2,
    };
    if word.len().abs_diff(known.len()) > allowed + 2 {
        return None;
    }
    let (single, known_single) = (singular(word), singular(known));
    let distance = strsim::osa_distance(word, known).min(strsim::osa_distance(single, known_single));
    (distance <= allowed).then_some(distance)
}

/// Puts the closest known word in place of each unknown one, and says which.
pub fn correct(tokens: &mut [Token], vocabulary: &Vocabulary) -> Vec<(String, String)> {
    let mut corrected = Vec::new();
    for token in tokens {
        let TokenKind::Word(word) = &token.kind else { continue };
        // An ordinary word is no slip of the pen.
        if vocabulary.knows(word) || pipwright_shared::english::is_word(word) {
            continue;
        }
        if let Some(known) = vocabulary.closest(word) {
            corrected.push((word.clone(), known.to_owned()));
            token.kind = TokenKind::Word(known.to_owned());
        }
    }
    corrected
}
