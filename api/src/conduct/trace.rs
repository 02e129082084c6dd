//! The id that follows a request through all programs: W3C Trace Context.
use axum::http::{HeaderName, HeaderValue};
use std::fmt;

/// The header.
pub const TRACEPARENT: HeaderName = HeaderName::from_static("traceparent");

/// A trace id; never zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trace(u128);

impl Trace {
    /// The trace of a `traceparent` header, where it is a valid one.
    pub fn parse(header: &HeaderValue) -> Option<Self> {
        let text = header.to_str().ok()?;
        let mut parts = text.split('-');
        let (version, trace, parent, flags) = (parts.next()?, parts.next()?, parts.next()?, parts.next()?);
        // Later versions may have more behind; this one has not, and there is no version ff.
        if version == "ff" || (version == "00" && parts.next().is_some()) {
            return None;
        }
        number(version, 2)?;
        number(flags, 2)?;
        number(parent, 16).filter(|id| *id != 0)?;
        number(trace, 32).filter(|id| *id != 0).map(Self)
    }

    /// A new one.
    pub fn random() -> Self {
        Self(fastrand::u128(1..))
    }
}

impl fmt::Display for Trace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

/// Lower-case hexadecimal digits, exactly so many.
fn number(text: &str, digits: usize) -> Option<u128> {
    let proper = text.len() == digits && text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
    if proper { u128::from_str_radix(text, 16).ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// W3C Trace Context, "Examples of HTTP traceparent Headers", and what its grammar forbids.
    #[test]
    fn as_the_standard_says() {
        let parse = |text: &'static str| Trace::parse(&HeaderValue::from_static(text)).map(|trace| trace.to_string());
        let id = Some("4bf92f3577b34da6a3ce929d0e0e4736".to_owned());
        assert_eq!(parse("00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"), id);
        assert_eq!(parse("00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-00"), id);
        assert_eq!(parse("cc-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01-more"), id, "a later version");
        for bad in [
            "00-00000000000000000000000000000000-00f067aa0ba902b7-01",
            "00-4bf92f3577b34da6a3ce929d0e0e4736-0000000000000000-01",
            "00-4BF92F3577B34DA6A3CE929D0E0E4736-00f067aa0ba902b7-01",
            "ff-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01",
            "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01-more",
            "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7",
            "",
        ] {
            assert_eq!(parse(bad), None, "{bad}");
        }
    }
}
