//! The id that follows a request through all programs: W3C Trace Context.
use axum::http::{HeaderName, HeaderValue};
use std::fmt;

/// The header.
pub const TRACEPARENT: HeaderName = HeaderName::from_static("traceparent");

/// A trace: its id, which is never zero, and whose part in it called us.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trace {
    id: u128,
    caller: Option<Caller>,
}

/// What the caller says of its own part in a trace.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caller {
    /// Its span; never zero.
    pub span: u64,
    /// Whether it keeps what it sees of this trace.
    pub sampled: bool,
}

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
        let sampled = number(flags, 2)? & 1 == 1;
        let span = number(parent, 16).and_then(|id| u64::try_from(id).ok()).filter(|id| *id != 0)?;
        let id = number(trace, 32).filter(|id| *id != 0)?;
        Some(Self { id, caller: Some(Caller { span, sampled }) })
    }

    /// The trace of this id that nobody called us with.
    pub fn new(id: u128) -> Option<Self> {
        (id != 0).then_some(Self { id, caller: None })
    }

    /// A new one.
    pub fn random() -> Self {
        Self { id: fastrand::u128(1..), caller: None }
    }

    /// Its id.
    pub fn id(&self) -> u128 {
        self.id
    }

    /// Who called.
    pub fn caller(&self) -> Option<Caller> {
        self.caller
    }
}

impl fmt::Display for Trace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.id)
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
        let caller =
            |text: &'static str| Trace::parse(&HeaderValue::from_static(text)).and_then(|trace| trace.caller());
        let span = 0x00f0_67aa_0ba9_02b7;
        let given = caller("00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01");
        assert_eq!(given, Some(Caller { span, sampled: true }));
        let given = caller("00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-02");
        assert_eq!(given, Some(Caller { span, sampled: false }), "one bit of the flags");
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
