//! Bytes or a query string to a request type.
use super::query;
use crate::problem::Problem;
use axum::body::Bytes;
use pipwright_shared::wire::{question::Question, read};
use serde_json::Value;

/// A request before it is understood.
#[derive(Clone, Debug)]
pub enum Raw {
    /// A JSON body.
    Body(Bytes),
    /// A query string, undecoded.
    Query(String),
}

impl Raw {
    /// Its bytes.
    pub fn len(&self) -> usize {
        match self {
            Self::Body(body) => body.len(),
            Self::Query(text) => text.len(),
        }
    }

    /// Whether it has none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Whether it may bring the text of a pack or a book: one has line breaks, which neither JSON nor a link writes as they are.
    pub fn may_bring_text(&self) -> bool {
        match self {
            Self::Body(body) => body.contains(&b'\\'),
            Self::Query(text) => text.contains("%0") || text.contains('\\') || text.contains("%5"),
        }
    }

    /// As JSON, as this question reads it.
    ///
    /// # Errors
    /// A problem where it is none.
    pub fn value<Q: Question>(&self) -> Result<Value, Problem> {
        match self {
            Self::Body(body) => Ok(read::body(body)?),
            Self::Query(text) => Ok(query::value(text, Q::NUMBERED)?),
        }
    }
}

/// Understands the request.
///
/// # Errors
/// A problem with all the mistakes: no JSON, fields that are wrong, unknown or missing.
pub fn read<Q: Question>(raw: &Raw) -> Result<Q, Problem> {
    match raw {
        Raw::Body(body) => Ok(read::body(body)?),
        Raw::Query(text) => read::value(query::value(text, Q::NUMBERED)?).map_err(|mistakes| {
            // A bare + is a space in a query string, and `needs=7+` is what everybody types first.
            let problem = Problem::of(mistakes);
            if text.contains('+') { problem.and(" In a link, write + as %2B.") } else { problem }
        }),
    }
}
