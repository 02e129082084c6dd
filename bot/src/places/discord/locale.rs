//! Names and descriptions of commands in other languages. None is written yet: a language is one entry of [`LANGUAGES`].
use std::collections::BTreeMap;

/// One language: the platform's name of it, and English texts with what they are in it.
#[derive(Clone, Copy, Debug)]
pub struct Language {
    /// Such as `de` or `pt-BR`.
    pub locale: &'static str,
    /// English names and descriptions of the definitions, each with its translation.
    pub words: &'static [(&'static str, &'static str)],
}

/// The languages that there are.
pub const LANGUAGES: &[Language] = &[];

/// A text in every language that has it; none where no language does.
pub fn in_all(languages: &[Language], english: &str) -> Option<BTreeMap<&'static str, &'static str>> {
    let translated = |language: &Language| {
        let (_, word) = language.words.iter().find(|(word, _)| *word == english)?;
        Some((language.locale, *word))
    };
    let all: BTreeMap<_, _> = languages.iter().filter_map(translated).collect();
    (!all.is_empty()).then_some(all)
}
