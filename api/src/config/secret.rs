//! A setting that must not be seen: an address with a password in it.
use serde::{Deserialize, Serialize, Serializer};
use std::fmt;

/// Read plainly, shown masked.
#[derive(Clone, PartialEq, Eq, Deserialize)]
#[serde(transparent)]
pub struct Secret(String);

impl Secret {
    /// Keeps `text`.
    pub fn new(text: impl Into<String>) -> Self {
        Self(text.into())
    }

    /// The text itself, for the one place that needs it.
    pub fn plain(&self) -> &str {
        &self.0
    }

    /// The address without who logs in and what stands behind a `?`; all of it where it is no address.
    fn masked(&self) -> String {
        let Some((scheme, rest)) = self.0.split_once("://") else { return "***".to_owned() };
        let rest = rest.split_once('?').map_or(rest.to_owned(), |(before, _)| format!("{before}?***"));
        match rest.rsplit_once('@') {
            Some((_, host)) => format!("{scheme}://***@{host}"),
            None => format!("{scheme}://{rest}"),
        }
    }
}

impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.masked())
    }
}

impl Serialize for Secret {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.masked())
    }
}
