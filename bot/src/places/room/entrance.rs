//! Who may come in: not too many from one address, and nobody who guesses at the pass phrase.
use super::door::Limits;
use crate::places::pace::Pace;
use std::collections::HashMap;
use std::net::IpAddr;
use std::time::Instant;
use subtle::ConstantTimeEq;

/// Addresses that are remembered; one that took nothing lately is forgotten first.
const REMEMBERED: usize = 4_096;

/// What is known of the addresses that people come from.
#[derive(Debug, Default)]
pub struct Entrance {
    known: HashMap<IpAddr, Known>,
}

#[derive(Debug)]
struct Known {
    arrivals: Pace,
    guesses: Pace,
}

impl Entrance {
    /// Whether one more may come from this address.
    pub fn admits(&mut self, from: IpAddr, limits: &Limits, now: Instant) -> bool {
        self.known(from, limits, now).arrivals.take(now).is_ok()
    }

    /// Whether the phrase is right; after too many wrong ones none is, for a while.
    pub fn knows(&mut self, from: IpAddr, phrase: &str, said: &str, limits: &Limits, now: Instant) -> bool {
        let guesses = &mut self.known(from, limits, now).guesses;
        if guesses.take(now).is_err() {
            return false;
        }
        let right = bool::from(said.trim().as_bytes().ct_eq(phrase.as_bytes()));
        if right {
            guesses.give_back();
        }
        right
    }

    fn known(&mut self, from: IpAddr, limits: &Limits, now: Instant) -> &mut Known {
        if self.known.len() >= REMEMBERED && !self.known.contains_key(&from) {
            self.known.retain(|_, known| !(known.arrivals.is_full(now) && known.guesses.is_full(now)));
        }
        let fresh = || Known { arrivals: Pace::new(limits.arrivals, now), guesses: Pace::new(limits.guesses, now) };
        self.known.entry(from).or_insert_with(fresh)
    }
}
