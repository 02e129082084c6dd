//! How a long calculation is stopped from outside, without a clock in here.
use std::sync::atomic::{AtomicBool, Ordering};

/// Told to a running calculation that nobody waits for its answer any more.
#[derive(Debug, Default)]
pub struct Halt(AtomicBool);

/// The calculation was stopped before it was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("stopped before it was done")]
pub struct Halted;

impl Halt {
    /// Stops the calculation at its next look.
    pub fn stop(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Looks.
    ///
    /// # Errors
    /// [`Halted`] after [`Halt::stop`].
    pub fn look(&self) -> Result<(), Halted> {
        if self.0.load(Ordering::Relaxed) { Err(Halted) } else { Ok(()) }
    }
}
