//! Stops asking what does not answer. It knows no clock: whoever is told that it has just opened sees to it that
//! somebody tries now and then and closes it again.
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// Failures in a row that open it.
const FAILURES: u32 = 3;

/// Closed: everybody asks. Open: nobody does.
#[derive(Debug, Default)]
pub struct Breaker {
    failures: AtomicU32,
    open: AtomicBool,
}

impl Breaker {
    /// Whether nobody should ask now.
    pub fn is_open(&self) -> bool {
        self.open.load(Ordering::Relaxed)
    }

    /// There was an answer. Late ones, from before it opened, do not close it.
    pub fn succeeded(&self) {
        self.failures.store(0, Ordering::Relaxed);
    }

    /// There was none; whether that is enough to open it.
    pub fn failed(&self) -> bool {
        self.failures.fetch_add(1, Ordering::Relaxed) + 1 >= FAILURES && !self.is_open()
    }

    /// Opens it; whether it was closed.
    pub fn open(&self) -> bool {
        !self.open.swap(true, Ordering::Relaxed)
    }

    /// It answers again.
    pub fn close(&self) {
        self.failures.store(0, Ordering::Relaxed);
        self.open.store(false, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_failures_in_a_row_are_enough_and_it_opens_once() {
        let breaker = Breaker::default();
        assert!(!breaker.failed() && !breaker.failed() && !breaker.is_open());
        assert!(breaker.failed() && breaker.open() && breaker.is_open());
        assert!(!breaker.failed() && !breaker.open(), "it was open already");
        breaker.succeeded();
        assert!(breaker.is_open(), "a late answer does not close it");
        breaker.close();
        assert!(!breaker.is_open() && !breaker.failed() && !breaker.failed() && breaker.failed());
    }

    #[test]
    fn a_success_between_failures_keeps_it_closed() {
        let breaker = Breaker::default();
        for _ in 0..10 {
            assert!(!breaker.failed() && !breaker.failed());
            breaker.succeeded();
        }
    }
}
