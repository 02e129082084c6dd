//! Stops asking what does not answer, for a while. It is told the time and knows no clock.
use std::{
    sync::Mutex,
    time::{Duration, Instant},
};

/// Failures in a row that open it.
const FAILURES: u32 = 3;
/// The first pause; it doubles up to [`LONGEST`] while nothing gets better.
const PAUSE: Duration = Duration::from_millis(250);
const LONGEST: Duration = Duration::from_secs(4);

/// Closed: everybody asks. Open: nobody does, but after each pause a single one tries.
#[derive(Debug, Default)]
pub struct Breaker(Mutex<State>);

#[derive(Debug, Default)]
struct State {
    failures: u32,
    open_until: Option<Instant>,
}

impl Breaker {
    /// Whether to ask now. Where it is open and a pause is over, the one who is told yes tries for all.
    pub fn lets_through(&self, now: Instant) -> bool {
        let mut state = self.state();
        match state.open_until {
            None => true,
            Some(until) if now < until => false,
            Some(_) => {
                // Nobody else until this one has an answer.
                state.open_until = Some(now + pause(state.failures));
                true
            }
        }
    }

    /// There was an answer.
    pub fn succeeded(&self) {
        *self.state() = State::default();
    }

    /// There was none.
    pub fn failed(&self, now: Instant) {
        let mut state = self.state();
        state.failures = state.failures.saturating_add(1);
        if state.failures >= FAILURES {
            state.open_until = Some(now + pause(state.failures));
        }
    }

    /// Whether nobody asks at present.
    pub fn is_open(&self) -> bool {
        self.state().open_until.is_some()
    }

    fn state(&self) -> std::sync::MutexGuard<'_, State> {
        // A panic while it was held leaves nothing half done.
        self.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

fn pause(failures: u32) -> Duration {
    let doublings = failures.saturating_sub(FAILURES).min(8);
    LONGEST.min(PAUSE * 2_u32.pow(doublings))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_failures_open_it_and_one_tries_after_the_pause() {
        let (breaker, start) = (Breaker::default(), Instant::now());
        for _ in 0..FAILURES {
            assert!(breaker.lets_through(start));
            breaker.failed(start);
        }
        assert!(!breaker.lets_through(start), "open");
        assert!(!breaker.lets_through(start + PAUSE - Duration::from_millis(1)), "still");
        assert!(breaker.lets_through(start + PAUSE), "one tries");
        assert!(!breaker.lets_through(start + PAUSE), "and only one");
        breaker.succeeded();
        assert!(breaker.lets_through(start + PAUSE) && !breaker.is_open());
    }

    #[test]
    fn a_success_between_failures_keeps_it_closed() {
        let (breaker, now) = (Breaker::default(), Instant::now());
        for _ in 0..10 {
            breaker.failed(now);
            breaker.failed(now);
            breaker.succeeded();
        }
        assert!(breaker.lets_through(now));
    }

    #[test]
    fn the_pause_grows_but_not_for_ever() {
        assert_eq!(pause(3), PAUSE);
        assert_eq!(pause(4), PAUSE * 2);
        assert_eq!(pause(u32::MAX), LONGEST);
    }
}
