//! How fast somebody may go: a bucket that fills with time. It is told the time and never asks for it.
use std::time::{Duration, Instant};

/// So many at once, and so many each second after that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// At once.
    pub burst: u32,
    /// Each second.
    pub each_second: f64,
}

/// What is left of a rate.
#[derive(Clone, Copy, Debug)]
pub struct Pace {
    rate: Rate,
    left: f64,
    at: Instant,
}

impl Pace {
    /// All of a rate.
    pub fn new(rate: Rate, now: Instant) -> Self {
        Self { rate, left: f64::from(rate.burst), at: now }
    }

    /// Takes one, or says how long to wait for it.
    ///
    /// # Errors
    /// The time until there is one.
    pub fn take(&mut self, now: Instant) -> Result<(), Duration> {
        self.fill(now);
        if self.left >= 1.0 {
            self.left -= 1.0;
            return Ok(());
        }
        Err(Duration::try_from_secs_f64((1.0 - self.left) / self.rate.each_second).unwrap_or(Duration::MAX))
    }

    /// Gives one back that was not used.
    pub fn give_back(&mut self) {
        self.left = (self.left + 1.0).min(f64::from(self.rate.burst));
    }

    /// Whether one may take as many as ever.
    pub fn is_full(&mut self, now: Instant) -> bool {
        self.fill(now);
        self.left >= f64::from(self.rate.burst)
    }

    fn fill(&mut self, now: Instant) {
        let gained = now.saturating_duration_since(self.at).as_secs_f64() * self.rate.each_second;
        self.left = (self.left + gained).min(f64::from(self.rate.burst));
        self.at = self.at.max(now);
    }
}
