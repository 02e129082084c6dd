//! Everything that goes wrong, as RFC 9457 problem details. The only place that knows status codes of errors.
use axum::{
    http::{HeaderValue, header},
    response::{IntoResponse, Response},
};
use pipwright_shared::rules::fault::Fault;
use pipwright_shared::wire::mistake::{Mistake, MistakeKind};
use serde::Serialize;
use utoipa::ToSchema;

mod kind;
pub use kind::Kind;

/// What went wrong, on its way to the client.
#[derive(Clone, Debug)]
pub struct Problem {
    kind: Kind,
    detail: String,
    pointer: String,
    did_you_mean: Vec<String>,
    errors: Vec<Entry>,
    retry_after_s: Option<u32>,
}

/// What a client gets in place of an answer (`application/problem+json`).
#[derive(Serialize, ToSchema)]
#[schema(as = Problem)]
pub struct Shown<'a> {
    /// Path of the page about this kind of problem, on this service.
    #[serde(rename = "type")]
    #[schema(example = "/docs/problems/bad-value")]
    about: String,
    /// The kind of problem in a few words; the same for all of the kind.
    #[schema(example = "A value that the field does not take")]
    title: &'static str,
    /// The HTTP status.
    #[schema(example = 422, minimum = 400, maximum = 599)]
    status: u16,
    /// What is wrong and what to do about it.
    detail: &'a str,
    /// RFC 6901 pointer to the field at fault.
    #[serde(skip_serializing_if = "str::is_empty")]
    #[schema(required = false, example = "/steps/0/needs")]
    pointer: &'a str,
    /// The closest names, best first, where a name was not found.
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    #[schema(required = false)]
    did_you_mean: &'a [String],
    /// All the mistakes, where there are several; the fields above speak of the first.
    #[serde(skip_serializing_if = "<[Entry]>::is_empty")]
    #[schema(required = false)]
    errors: &'a [Entry],
}

/// One of several mistakes.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Entry {
    /// Path of the page about this kind of problem.
    #[serde(rename = "type")]
    about: String,
    /// What is wrong and what to do about it.
    detail: String,
    /// RFC 6901 pointer to the field at fault; empty for the whole request.
    pointer: String,
    /// The closest names, best first, where a name was not found.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(required = false)]
    did_you_mean: Vec<String>,
    /// Where in the files of a pack it is.
    #[serde(flatten)]
    place: Option<Place>,
}

/// A place in a file of a pack.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Place {
    /// The file, as it was called in the request.
    #[schema(required = false)]
    file: String,
    /// The line, from 1.
    #[schema(required = false)]
    line: u32,
    /// The character in that line, from 1.
    #[schema(required = false)]
    column: u32,
    /// In a spreadsheet, the cell; line and column are its row and column.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(required = false, nullable = false)]
    cell: Option<String>,
    /// What would mend it, where that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(required = false, nullable = false)]
    suggestion: Option<String>,
}

impl Problem {
    /// A problem of a kind, said in words.
    pub fn new(kind: Kind, detail: impl Into<String>) -> Self {
        Self {
            kind,
            detail: detail.into(),
            pointer: String::new(),
            did_you_mean: Vec::new(),
            errors: Vec::new(),
            retry_after_s: None,
        }
    }

    /// The same, saying when to try again.
    #[must_use]
    pub fn retry_after(mut self, seconds: u32) -> Self {
        self.retry_after_s = Some(seconds.max(1));
        self
    }

    /// The same, with more said at the end.
    #[must_use]
    pub fn and(mut self, more: &str) -> Self {
        self.detail.push_str(more);
        self
    }

    /// Its kind.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// All that is wrong in the files of a pack, each with its place.
    pub fn of_faults(faults: Vec<Fault>) -> Self {
        let said = faults.first().map_or_else(|| "The pack could not be read.".to_owned(), ToString::to_string);
        let detail = match faults.len() {
            0 | 1 => said,
            2 => format!("{said}, and one more mistake."),
            count => format!("{said}, and {} more mistakes.", count - 1),
        };
        let entry = |fault: Fault| {
            let Fault { file, line, column, cell, message, suggestion, .. } = fault;
            let place = Some(Place { file, line, column, cell, suggestion });
            let (about, pointer, did_you_mean) = (Kind::BadPack.about(), String::new(), Vec::new());
            Entry { about, detail: message, pointer, did_you_mean, place }
        };
        Self { errors: faults.into_iter().map(entry).collect(), ..Self::new(Kind::BadPack, detail) }
    }

    /// All that is wrong with a request. Names that nobody knows are 404 only where nothing else is wrong.
    pub fn of(mistakes: Vec<Mistake>) -> Self {
        let is_name = |kind| matches!(kind, MistakeKind::UnknownName | MistakeKind::PackGone);
        let first = mistakes.iter().find(|m| !is_name(m.kind)).or(mistakes.first()).cloned();
        let Some(first) = first else { return Self::new(Kind::Internal, "refused without a reason") };
        let mut problem = Self::new(first.kind.into(), first.detail);
        problem.pointer = first.pointer;
        problem.did_you_mean = first.did_you_mean;
        if mistakes.len() > 1 {
            problem.errors = mistakes.into_iter().map(Entry::from).collect();
        }
        problem
    }
}

impl Problem {
    /// As the client sees it.
    pub fn shown(&self) -> Shown<'_> {
        Shown {
            about: self.kind.about(),
            title: self.kind.title(),
            status: self.kind.status().as_u16(),
            detail: &self.detail,
            pointer: &self.pointer,
            did_you_mean: &self.did_you_mean,
            errors: &self.errors,
        }
    }
}

impl From<Mistake> for Entry {
    fn from(mistake: Mistake) -> Self {
        Self {
            about: Kind::from(mistake.kind).about(),
            detail: mistake.detail,
            pointer: mistake.pointer,
            did_you_mean: mistake.did_you_mean,
            place: None,
        }
    }
}

impl From<Mistake> for Problem {
    fn from(mistake: Mistake) -> Self {
        Self::of(vec![mistake])
    }
}

impl From<Vec<Mistake>> for Problem {
    fn from(mistakes: Vec<Mistake>) -> Self {
        Self::of(mistakes)
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let body = serde_json::to_vec(&self.shown()).unwrap_or_default();
        let headers = [
            (header::CONTENT_TYPE, HeaderValue::from_static("application/problem+json")),
            (header::CACHE_CONTROL, HeaderValue::from_static("no-store")),
        ];
        let mut response = (self.kind.status(), headers, body).into_response();
        if let Some(seconds) = self.retry_after_s {
            response.headers_mut().insert(header::RETRY_AFTER, seconds.into());
        }
        if self.kind == Kind::UnknownKey {
            response.headers_mut().insert(header::WWW_AUTHENTICATE, HeaderValue::from_static("Bearer"));
        }
        response
    }
}
