//! How fast people and channels go, so that one can't drown the others.
use crate::places::pace::{Pace, Rate};
use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// More of them are not kept: the oldest rates have filled up by then.
const MOST: usize = 20_000;

/// How much one may take.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Questions of one person.
    pub person: Rate,
    /// Questions in one channel.
    pub channel: Rate,
}

impl Default for Limits {
    fn default() -> Self {
        Self { person: Rate { burst: 8, each_second: 0.5 }, channel: Rate { burst: 30, each_second: 3.0 } }
    }
}

/// All chats of this process.
#[derive(Debug)]
pub struct Chats {
    limits: Limits,
    people: Mutex<HashMap<u64, Pace>>,
    warned: Mutex<HashMap<u64, Pace>>,
    channels: Mutex<HashMap<u64, Pace>>,
}

impl Chats {
    /// Nothing is known yet.
    pub fn new(limits: Limits) -> Self {
        Self { limits, people: Mutex::default(), warned: Mutex::default(), channels: Mutex::default() }
    }

    /// Takes one question of a person in a channel, or says how long to wait.
    ///
    /// # Errors
    /// The time until there is one.
    pub fn take(&self, person: u64, channel: u64, now: Instant) -> Result<(), Duration> {
        take(&self.people, self.limits.person, person, now)?;
        take(&self.channels, self.limits.channel, channel, now)
    }

    /// Whether a person is to be told that it is too much; a sentence to each message of a flood would be another.
    pub fn warns(&self, person: u64, now: Instant) -> bool {
        take(&self.warned, WARNINGS, person, now).is_ok()
    }
}

/// How often one person is told that it is too much, where each of their messages could get an answer.
const WARNINGS: Rate = Rate { burst: 1, each_second: 0.1 };

fn take(paces: &Mutex<HashMap<u64, Pace>>, rate: Rate, who: u64, now: Instant) -> Result<(), Duration> {
    let mut paces = paces.lock().unwrap_or_else(PoisonError::into_inner);
    if paces.len() >= MOST {
        paces.retain(|_, pace| !pace.is_full(now));
    }
    paces.entry(who).or_insert_with(|| Pace::new(rate, now)).take(now)
}
