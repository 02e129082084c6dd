//! What a pack's index tells: the names that a message may use. The only reader of that answer.
use crate::typing::scan::folded;
use crate::typing::spelling::Vocabulary;
use crate::understand::names::Names;
pub use pipwright_shared::cards::NameKind;
use pipwright_shared::wire::packs::{PackAnswer, UnitHead};
use serde::Deserialize;
use std::collections::HashMap;
use std::ops::Deref;
use std::sync::OnceLock;

/// The names of one pack, as the service tells them, with what was made of them.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(from = "PackAnswer")]
pub struct PackIndex {
    /// What the service tells.
    answer: PackAnswer,
    /// All ways to say its names, made when they are first needed.
    sayings: OnceLock<Names>,
    /// Where each unit stands, by its id; made when it is first needed.
    places: OnceLock<HashMap<String, usize>>,
    /// The words that are known beside it, made when they are first needed.
    vocabulary: OnceLock<Vocabulary>,
}

impl From<PackAnswer> for PackIndex {
    fn from(answer: PackAnswer) -> Self {
        Self { answer, ..Self::default() }
    }
}

impl Deref for PackIndex {
    type Target = PackAnswer;

    fn deref(&self) -> &PackAnswer {
        &self.answer
    }
}

impl PackIndex {
    /// The same under another id.
    #[must_use]
    pub fn called_by(mut self, id: String) -> Self {
        self.answer.id = id;
        self
    }

    /// The faces of the usual die; six where no pack is known.
    pub fn die(&self) -> u32 {
        if self.answer.die == 0 { 6 } else { self.answer.die }
    }

    /// All ways to say its names.
    pub fn sayings(&self) -> &Names {
        self.sayings.get_or_init(|| Names::of(self))
    }

    /// The words that need no correction where this pack is chosen.
    pub fn vocabulary(&self) -> &Vocabulary {
        self.vocabulary.get_or_init(|| Vocabulary::of(Some(self)))
    }

    /// A unit by its id.
    pub fn unit(&self, id: &str) -> Option<&UnitHead> {
        let place = |(at, unit): (usize, &UnitHead)| (unit.id.clone(), at);
        let places = self.places.get_or_init(|| self.units.iter().enumerate().map(place).collect());
        places.get(id).and_then(|at| self.units.get(*at))
    }

    /// Every word of every name.
    pub fn words(&self) -> impl Iterator<Item = String> {
        const KINDS: [NameKind; 8] = [
            NameKind::Unit,
            NameKind::Extra,
            NameKind::Rule,
            NameKind::Check,
            NameKind::Arc,
            NameKind::Range,
            NameKind::Cover,
            NameKind::Situation,
        ];
        let said = |(_, name, also): (&str, &str, &[String])| {
            std::iter::once(name).chain(also.iter().map(String::as_str)).flat_map(name_words).collect::<Vec<_>>()
        };
        KINDS.into_iter().flat_map(|kind| self.called(kind)).flat_map(said)
    }
}

/// The words of a name, in the form in which messages are compared.
pub fn name_words(name: &str) -> Vec<String> {
    let folded = folded(name).replace('\'', "");
    folded.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}
