//! Who may ask, and how often: keys, addresses, and how much is in work at a time.
use crate::{
    config::Config,
    problem::{Kind, Problem},
    telemetry::metrics::Metrics,
};
use axum::{body::Bytes, http::HeaderMap};
use ipnet::IpNet;
use std::{
    net::IpAddr,
    sync::{Arc, Mutex, PoisonError},
    time::Instant,
};
use tokio::sync::{Semaphore, SemaphorePermit};

pub mod address;
pub mod held;
pub mod keys;
pub mod rate;
pub mod rate_headers;
pub mod shared_rate;

use held::{Held, Most, Share};
use keys::Keys;
use rate::{Left, Rate, Rates, Refused, Who};
use rate_headers::RateHeaders;

/// Answers up to this size are not counted: connections bound them well enough.
const SMALL: usize = 16 << 10;

/// Why a request is not let in, and what its caller is told of its rate.
pub struct Refusal {
    /// Why.
    pub problem: Box<Problem>,
    /// Its rate, where that is why.
    pub rate_headers: Option<RateHeaders>,
}

impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Self {
        Self { problem: Box::new(problem), rate_headers: None }
    }
}

/// Who sent a request, for as long as it is in work.
#[derive(Clone, Debug)]
pub struct Caller {
    who: Who,
    rate: Rate,
    rate_headers: Arc<Mutex<Option<RateHeaders>>>,
}

impl Caller {
    fn new(who: Who, rate: Rate) -> Self {
        Self { who, rate, rate_headers: Arc::default() }
    }

    /// What it is to be told of its rate, where there is one.
    pub fn rate_headers(&self) -> Option<RateHeaders> {
        *self.rate_headers.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn tell(&self, left: Option<Left>) {
        let rate_headers = left.map(|left| RateHeaders { rate: self.rate, left });
        *self.rate_headers.lock().unwrap_or_else(PoisonError::into_inner) = rate_headers;
    }
}

/// All the limits of a service.
pub struct Limits {
    keys: Keys,
    pub(crate) rates: Rates,
    /// What is held for clients.
    pub held: Arc<Held>,
    by_address: Rate,
    trusted: Vec<IpNet>,
    in_flight: Semaphore,
    metrics: Arc<Metrics>,
}

impl Limits {
    /// The limits that the settings ask for.
    pub fn new(config: &Config, metrics: Arc<Metrics>) -> Self {
        let most = Most {
            connections_each: config.connections_per_address,
            bytes: config.held_bytes,
            bytes_each: config.held_bytes_per_address,
        };
        Self {
            keys: Keys::new(&config.keys),
            rates: Rates::default(),
            held: Held::new(most),
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

    /// Counts a request for its caller. One with a key that is not known counts for its address, so that keys cannot be
    /// tried without end.
    ///
    /// # Errors
    /// A problem where its key is not known or its rate is used up.
    pub fn admit(&self, headers: &HeaderMap, peer: Option<IpAddr>, now: Instant) -> Result<Caller, Refusal> {
        let by_address = || Caller::new(Who::of(address::client(headers, peer, &self.trusted)), self.by_address);
        let key = keys::presented(headers);
        let known = key.as_deref().map(|key| self.keys.find(key));
        let caller = match known {
            Some(Some(known)) => Caller::new(Who::Key(known.index), known.rate),
            Some(None) | None => by_address(),
        };
        let counted = self.charge(&caller, 1, now);
        let rate_headers = caller.rate_headers();
        counted.map_err(|problem| Refusal { problem: Box::new(problem), rate_headers })?;
        if matches!(known, Some(None)) {
            let detail = "This API key is not known here. Leave it out, or ask for one.";
            return Err(Refusal { problem: Box::new(Problem::new(Kind::UnknownKey, detail)), rate_headers });
        }
        Ok(caller)
    }

    /// Counts so many questions for the caller, who is told what is left where there is a limit. What is more than ever
    /// may come at once counts as that much.
    ///
    /// # Errors
    /// A problem where its rate is used up.
    pub fn charge(&self, caller: &Caller, questions: u32, now: Instant) -> Result<(), Problem> {
        let Caller { who, rate, .. } = caller;
        match self.rates.take(*who, *rate, questions, now) {
            Ok(left) => {
                caller.tell(left);
                Ok(())
            }
            Err(Refused { wait, left }) => {
                let seconds = wait.as_secs_f64().ceil() as u32;
                let (by, what) = match who {
                    Who::Address(_) => ("address", "for one address"),
                    Who::Key(_) => ("key", "for this key"),
                };
                let detail =
                    format!("At most {} questions a second {what}. Wait {} s.", rate.per_second, seconds.max(1));
                self.metrics.limited(by);
                caller.tell(Some(left));
                Err(Problem::new(Kind::TooMany, detail).retry_after(seconds))
            }
        }
    }

    /// The answer, counted as held for its caller until the last byte of it is handed on.
    ///
    /// # Errors
    /// A problem where too much waits for those who do not take it.
    pub fn hold(&self, caller: Option<&Caller>, answer: Bytes) -> Result<Bytes, Problem> {
        if answer.len() <= SMALL {
            return Ok(answer);
        }
        let mut share = self.held.share(caller.map(|caller| caller.who));
        if !share.grow(answer.len()) {
            self.metrics.shed("held bytes");
            let detail = "Too many answers wait for clients that do not take them.";
            return Err(Problem::new(Kind::Busy, detail).retry_after(2));
        }
        Ok(Bytes::from_owner(Counted { answer, _share: share }))
    }

    /// Whose connections and bytes are counted together; nobody's where a trusted proxy speaks for many.
    pub fn holder(&self, peer: IpAddr) -> Option<Who> {
        let peer = peer.to_canonical();
        (!self.trusted.iter().any(|net| net.contains(&peer))).then(|| Who::of(peer))
    }

    /// Forgets who has not asked for a while.
    pub fn tidy(&self, now: Instant) {
        self.rates.tidy(now);
    }
}

/// An answer that is counted for as long as any of it is kept.
struct Counted {
    answer: Bytes,
    _share: Share,
}

impl AsRef<[u8]> for Counted {
    fn as_ref(&self) -> &[u8] {
        &self.answer
    }
}
