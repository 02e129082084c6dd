//! Answers as bytes: no more of them than an answer may have, and none for nobody.
use super::work::Failure;
use axum::body::Bytes;
use pipwright_shared::odds::halt::{Halt, Halted};
use serde::Serialize;
use std::io;

/// The JSON of an answer. It takes as much memory as it is long, so that what is kept of it can be counted.
///
/// # Errors
/// [`Halted`] where the halt was called meanwhile. Within: [`Failure::TooLarge`] where it is longer than it may be.
pub(super) fn json<T: Serialize>(answer: &T, most: usize, halt: &Halt) -> Result<Result<Bytes, Failure>, Halted> {
    let mut into = Bounded { bytes: Vec::new(), most, halt };
    if let Err(error) = serde_json::to_writer(&mut into, answer) {
        halt.look()?;
        if error.is_io() {
            return Ok(Err(Failure::TooLarge));
        }
        // Only maps with keys that are no text cannot be written, and no answer has any.
        tracing::error!("an answer that can't be written: {error}");
        return Ok(Err(Failure::Panicked));
    }
    Ok(Ok(into.bytes.into_boxed_slice().into()))
}

struct Bounded<'a> {
    bytes: Vec<u8>,
    most: usize,
    halt: &'a Halt,
}

impl io::Write for Bounded<'_> {
    fn write(&mut self, more: &[u8]) -> io::Result<usize> {
        if self.halt.look().is_err() {
            return Err(io::ErrorKind::TimedOut.into());
        }
        if self.bytes.len() + more.len() > self.most {
            return Err(io::ErrorKind::FileTooLarge.into());
        }
        self.bytes.extend_from_slice(more);
        Ok(more.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_is_as_long_as_it_may_be_and_no_longer() {
        let halt = Halt::default();
        let answer = "four";
        assert_eq!(json(&answer, 6, &halt), Ok(Ok(Bytes::from_static(b"\"four\""))));
        assert_eq!(json(&answer, 5, &halt), Ok(Err(Failure::TooLarge)));
        halt.stop();
        assert_eq!(json(&answer, 6, &halt), Err(Halted));
    }
}
