//! What an answer is kept under.
use axum::http::HeaderValue;
use pipwright_shared::wire::question::{PreparedQuery, Question};
use sha2::{Digest, Sha256};
use std::fmt;

/// Names everything that an answer depends on and no request says: the sources of the mathematics and the rules.
pub const ENGINE: &str = concat!(env!("CARGO_PKG_VERSION"), "-", env!("PIPWRIGHT_ENGINE"));

/// The SHA-256 of a question and of the engine that answers it.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Key([u8; 32]);

impl Key {
    /// The key of a resolved question: two spellings of one question have the same.
    pub fn of<Q: Question>(query: &Q::Prepared) -> Self {
        let mut hash = begin(ENGINE, Q::PATH);
        hash.update(query.canonical_bytes());
        Self(hash.finalize().into())
    }

    /// The key of a spelling: finds a question asked before in the very same words.
    pub fn of_spelling(path: &str, catalog: u64, text: &[u8]) -> Self {
        let mut hash = begin("spelling", path);
        hash.update(catalog.to_le_bytes());
        hash.update(text);
        Self(hash.finalize().into())
    }

    /// Its bytes.
    pub fn bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The strong validator of the answer (RFC 9110, 8.8.3).
    pub fn etag(&self) -> HeaderValue {
        HeaderValue::try_from(format!("\"{self}\"")).unwrap_or_else(|_| HeaderValue::from_static("\"\""))
    }
}

fn begin(kind: &str, path: &str) -> Sha256 {
    let mut hash = Sha256::new();
    for part in [kind, path] {
        hash.update((part.len() as u64).to_le_bytes());
        hash.update(part);
    }
    hash
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}
