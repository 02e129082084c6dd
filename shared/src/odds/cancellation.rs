//! How a long calculation is stopped from outside, without a clock in here.
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// Told to a running calculation that nobody waits for its answer any more; tells in turn how far it has come. What is
/// cloned is the same one.
#[derive(Clone, Debug, Default)]
pub struct CancellationToken(Arc<State>);

#[derive(Debug, Default)]
struct State {
    cancelled: AtomicBool,
    done: AtomicU64,
    of: AtomicU64,
}

/// The calculation was stopped before it was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("stopped before it was done")]
pub struct Cancelled;

impl CancellationToken {
    /// Stops the calculation at its next look.
    pub fn cancel(&self) {
        self.0.cancelled.store(true, Ordering::Relaxed);
    }

    /// Looks whether to go on.
    ///
    /// # Errors
    /// [`Cancelled`] after [`CancellationToken::cancel`].
    pub fn check(&self) -> Result<(), Cancelled> {
        if self.0.cancelled.load(Ordering::Relaxed) { Err(Cancelled) } else { Ok(()) }
    }

    /// A long calculation says of how many parts it is.
    pub fn expect(&self, parts: u64) {
        self.0.of.store(parts, Ordering::Relaxed);
    }

    /// A long calculation has done a part.
    pub fn step(&self) {
        self.0.done.fetch_add(1, Ordering::Relaxed);
    }

    /// Parts done, and of how many; 0 of 0 where the calculation is a short one.
    pub fn progress(&self) -> (u64, u64) {
        (self.0.done.load(Ordering::Relaxed), self.0.of.load(Ordering::Relaxed))
    }
}
