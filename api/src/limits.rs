//! Who may ask, and how often: keys, addresses, and how much is in work at a time.
use crate::{
    config::Config,
    problem::{Kind, Problem},
    telemetry::metrics::Metrics,
};
use axum::http::HeaderMap;
use ipnet::IpNet;
use std::{net::IpAddr, sync::Arc, time::Instant};
use tokio::sync::{Semaphore, SemaphorePermit};

pub mod address;
pub mod keys;
pub mod rate;
pub mod together;
pub mod told;

use keys::Keys;
use rate::{Left, Rate, Rates, Refused, Who};
use told::Told;

/// Why a request is not let in, and what its caller is told of its rate.
pub struct Refusal {
    /// Why.
    pub problem: Box<Problem>,
    /// Its rate, where that is why.
    pub told: Option<Told>,
}

impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Self {
        Self { problem: Box::new(problem), told: None }
    }
}

/// All the limits of a service.
pub struct Limits {
    keys: Keys,
    pub(crate) rates: Rates,
    by_address: Rate,
    trusted: Vec<IpNet>,
    in_flight: Semaphore,
    metrics: Arc<Metrics>,
}

impl Limits {
    /// The limits that the settings ask for.
    pub fn new(config: &Config, metrics: Arc<Metrics>) -> Self {
        Self {
            keys: Keys::new(&config.keys),
            rates: Rates::default(),
            by_address: Rate { per_second: config.per_second, burst: config.burst },
            trusted: config.trusted_proxies.clone(),
            in_flight: Semaphore::new(config.in_flight),
            metrics,
        }
    }

    /// Lets a whole request begin its work, for as long as the permit lives. Bodies that are still on their way
    /// do not count, so that slow senders cannot keep the others out.
    ///
    /// # Errors
    /// A problem where too much is in work.
    pub fn begin(&self) -> Result<SemaphorePermit<'_>, Problem> {
        self.in_flight.try_acquire().map_err(|_| {
            self.metrics.shed("in flight");
            Problem::new(Kind::Busy, "Too many requests are in work.").retry_after(1)
        })
    }

    /// Counts a request for its caller, who is told what is left where there is a limit.
    ///
    /// # Errors
    /// A problem where its key is not known or its rate is used up.
    pub fn admit(&self, headers: &HeaderMap, peer: Option<IpAddr>, now: Instant) -> Result<Option<Told>, Refusal> {
        let (who, rate) = self.who(headers, peer)?;
        match self.rates.take(who, rate, now) {
            Ok(left) => Ok(left.map(|left| Told { rate, left })),
            Err(Refused { wait }) => {
                let seconds = wait.as_secs_f64().ceil() as u32;
                let (by, what) = match who {
                    Who::Address(_) => ("address", "for one address"),
                    Who::Key(_) => ("key", "for this key"),
                };
                let detail =
                    format!("At most {} requests a second {what}. Wait {} s.", rate.per_second, seconds.max(1));
                self.metrics.limited(by);
                let problem = Problem::new(Kind::TooMany, detail).retry_after(seconds);
                Err(Refusal {
                    problem: Box::new(problem),
                    told: Some(Told { rate, left: Left { remaining: 0, full_in: wait } }),
                })
            }
        }
    }

    /// Forgets who has not asked for a while.
    pub fn tidy(&self, now: Instant) {
        self.rates.tidy(now);
    }

    fn who(&self, headers: &HeaderMap, peer: Option<IpAddr>) -> Result<(Who, Rate), Problem> {
        match keys::presented(headers) {
            Some(key) => {
                let known = self.keys.find(&key).ok_or_else(|| {
                    Problem::new(Kind::UnknownKey, "This API key is not known here. Leave it out, or ask for one.")
                })?;
                Ok((Who::Key(known.index), known.rate))
            }
            None => Ok((Who::of(address::client(headers, peer, &self.trusted)), self.by_address)),
        }
    }
}
