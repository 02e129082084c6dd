//! What is wrong with a request, said so that a player can mend it.
use crate::rules::names::shortened;
use serde::Serialize;
use utoipa::ToSchema;

/// What sort of mistake it is; the service gives each its status and its documentation page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum MistakeKind {
    /// The body is no JSON.
    BrokenJson,
    /// A value that the field does not take.
    BadValue,
    /// A field that the request does not have.
    UnknownField,
    /// A field that must be there is not.
    MissingField,
    /// A pack, unit, weapon, option or rule that is not in the books.
    UnknownName,
    /// A pack that is named by its content and is not kept here.
    PackGone,
    /// The question asks for more work than one question may.
    TooMuchWork,
}

/// The most characters of a pointer, and of what is said of it.
const LONGEST: usize = 1_000;

/// The most mistakes of one question that are told: more of them help nobody.
const MOST: usize = 50;

/// One mistake.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct Mistake {
    /// Its sort.
    pub kind: MistakeKind,
    /// RFC 6901 pointer to the field at fault; empty for the whole request.
    pub pointer: String,
    /// What is wrong and what to do, in words.
    pub detail: String,
    /// The closest names, best first, where a name was not found.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub did_you_mean: Vec<String>,
}

impl Mistake {
    /// A value that the field does not take.
    pub fn value(pointer: impl Into<String>, detail: impl Into<String>) -> Self {
        let kind = MistakeKind::BadValue;
        Self { kind, pointer: pointer.into(), detail: detail.into(), did_you_mean: Vec::new() }.shortened()
    }

    /// The same without the rest of a text that is longer than anybody reads: requests hold texts of any length, and what
    /// is wrong with them repeats their words.
    #[must_use]
    pub(super) fn shortened(self) -> Self {
        Self { pointer: shortened(self.pointer, LONGEST), detail: shortened(self.detail, LONGEST), ..self }
    }

    /// A field that must be there is not.
    pub fn missing(pointer: impl Into<String>, detail: impl Into<String>) -> Self {
        Self { kind: MistakeKind::MissingField, ..Self::value(pointer, detail) }
    }

    /// A name that is not in the books, with the closest ones that are.
    pub fn name(pointer: impl Into<String>, detail: impl Into<String>, did_you_mean: Vec<String>) -> Self {
        Self { kind: MistakeKind::UnknownName, did_you_mean, ..Self::value(pointer, detail) }
    }

    /// The same mistake, its pointer put behind another one.
    #[must_use]
    pub fn below(mut self, pointer: &str) -> Self {
        self.pointer.insert_str(0, pointer);
        self
    }
}

/// A pointer with one more step, escaped as RFC 6901 says.
pub fn pointer(base: impl std::fmt::Display, step: impl std::fmt::Display) -> String {
    format!("{base}/{}", step.to_string().replace('~', "~0").replace('/', "~1"))
}

/// Collects mistakes, so that all of a request come together.
#[derive(Debug, Default)]
pub struct Mistakes(pub Vec<Mistake>);

impl Mistakes {
    /// Keeps the mistake, if it is one, and goes on with `None`.
    pub fn keep<T>(&mut self, result: Result<T, Mistake>) -> Option<T> {
        result.map_err(|mistake| self.push(mistake)).ok()
    }

    /// Keeps all the mistakes, if there are any, and goes on with `None`.
    pub fn keep_all<T>(&mut self, result: Result<T, Vec<Mistake>>) -> Option<T> {
        result.map_err(|mistakes| mistakes.into_iter().for_each(|mistake| self.push(mistake))).ok()
    }

    /// Adds one, unless there are too many already.
    pub fn push(&mut self, mistake: Mistake) {
        if self.0.len() < MOST {
            self.0.push(mistake);
        }
    }

    /// `value`, if nothing was wrong.
    ///
    /// # Errors
    /// All the mistakes kept.
    pub fn or<T>(self, value: Option<T>) -> Result<T, Vec<Mistake>> {
        match value {
            Some(value) if self.0.is_empty() => Ok(value),
            _ => Err(self.0),
        }
    }
}
