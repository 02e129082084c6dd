//! The far tier: Redis, shared by all copies of the service. Whatever is wrong with it costs a request at most the
//! wait that it is given, and soon nothing: a breaker stops asking.
use super::{Key, Tier, breaker::Breaker, sealed::Seal};
use crate::{config::Secret, telemetry::metrics::Metrics};
use axum::body::Bytes;
use futures::future::{BoxFuture, FutureExt};
use redis::{Cmd, ErrorKind, FromRedisValue, RedisError};
use std::{
    sync::{Arc, Weak},
    time::Duration,
};
use tokio::{
    sync::Semaphore,
    time::{sleep, timeout},
};

mod link;
use link::Link;

/// Writes under way at a time; what comes beyond that is not kept.
const WRITES: usize = 256;
/// How often one call tries for all while the breaker is open.
const PAUSE: Duration = Duration::from_millis(250);

/// Answers in Redis.
#[derive(Clone)]
pub struct Redis(Arc<Inside>);

struct Inside {
    link: Link,
    breaker: Breaker,
    writes: Arc<Semaphore>,
    metrics: Arc<Metrics>,
    wait: Duration,
    keep: Duration,
    price: u64,
    seal: Seal,
}

/// What the tier is told.
pub struct Settings {
    /// `redis://…`, `rediss://…`, `redis+sentinel://…` or `redis+cluster://…`
    pub address: Secret,
    /// Whose certificates are believed, in PEM; those that browsers believe where it is left out.
    pub authority: Option<Vec<u8>>,
    /// The longest wait.
    pub wait: Duration,
    /// How long an answer is kept.
    pub keep: Duration,
    /// The lowest price worth the way.
    pub price: u64,
    /// What answers are sealed with.
    pub seal: Seal,
}

impl Redis {
    /// Gets ready to connect; that there is a server is not needed, now or later.
    ///
    /// # Errors
    /// An address that is none.
    pub fn new(settings: &Settings, metrics: Arc<Metrics>) -> Result<Self, RedisError> {
        let link = Link::new(&settings.address, settings.authority.clone(), settings.wait)?;
        let inside = Arc::new(Inside {
            link,
            breaker: Breaker::default(),
            writes: Arc::new(Semaphore::new(WRITES)),
            metrics,
            wait: settings.wait,
            keep: settings.keep,
            price: settings.price,
            seal: settings.seal.clone(),
        });
        if inside.link.is_found_anew() {
            // Until they are found, nobody asks.
            inside.give_up();
        }
        Ok(Self(inside))
    }
}

impl Redis {
    /// Asks for something beside answers. `None`: nothing came, for whatever reason.
    pub(crate) async fn ask<T: FromRedisValue>(&self, what: &'static str, command: &Cmd) -> Option<T> {
        self.0.ask(what, command).await
    }
}

impl Inside {
    /// Asks, unless the breaker is open. `None`: no answer, for whatever reason.
    async fn ask<T: FromRedisValue>(self: &Arc<Self>, what: &'static str, command: &Cmd) -> Option<T> {
        if self.breaker.is_open() {
            return None;
        }
        match self.call(command).await {
            Ok(value) => {
                self.breaker.succeeded();
                return Some(value);
            }
            // It answers, out of memory or read-only, say. What it has can still be read.
            Err(fault @ Fault::Refused(_)) => {
                self.breaker.succeeded();
                tracing::debug!(what, %fault, "Redis refused");
            }
            Err(fault) => {
                tracing::debug!(what, %fault, "Redis did not answer");
                // A server that may not be written to any more is not the one to ask: another has taken its place.
                if self.breaker.failed() || matches!(fault, Fault::Replaced) {
                    tracing::warn!(%fault, "Redis does not answer; going on without it");
                    self.give_up();
                }
            }
        }
        self.metrics.redis_failed(what);
        None
    }

    /// Nobody asks until it answers again.
    fn give_up(self: &Arc<Self>) {
        if self.breaker.open() {
            self.metrics.breaker(true);
            tokio::spawn(try_until_it_answers(Arc::downgrade(self)));
        }
    }

    async fn call<T: FromRedisValue>(&self, command: &Cmd) -> Result<T, Fault> {
        // A limit of our own: the client's does not cover waiting for a connection that another call is making.
        let answer = timeout(self.wait, self.link.query(command)).await;
        match answer.map(|answer| {
            answer.and_then(|value| value.extract_error()).and_then(|value| Ok(T::from_redis_value(value)?))
        }) {
            Ok(Ok(value)) => Ok(value),
            Ok(Err(error)) if self.link.is_found_anew() && error.code() == Some("READONLY") => Err(Fault::Replaced),
            Ok(Err(error)) if is_a_refusal(&error) => Err(Fault::Refused(error.code().unwrap_or_default().to_owned())),
            Ok(Err(error)) => Err(Fault::Failed(error.category().to_owned())),
            Err(_) => Err(Fault::Silent),
        }
    }
}

/// Why a call brought nothing.
#[derive(Debug, thiserror::Error)]
enum Fault {
    #[error("it refused: {0}")]
    Refused(String),
    #[error("no talking to it: {0}")]
    Failed(String),
    #[error("it has been replaced")]
    Replaced,
    #[error("silent")]
    Silent,
}

/// While nobody else asks, asks for all. The first call after an outage still fails: it is what makes the client
/// connect again; so requests should not be the ones to try.
async fn try_until_it_answers(redis: Weak<Inside>) {
    let mut pause = Duration::ZERO;
    loop {
        sleep(pause).await;
        pause = PAUSE;
        let Some(redis) = redis.upgrade() else { return };
        redis.link.renew().await;
        if redis.call::<Option<Vec<u8>>>(&Cmd::get("pipwright:probe")).await.is_ok() {
            redis.breaker.close();
            redis.metrics.breaker(false);
            tracing::info!("Redis answers again");
            return;
        }
    }
}

fn is_a_refusal(error: &RedisError) -> bool {
    matches!(error.kind(), ErrorKind::Server(_) | ErrorKind::Extension)
}

fn name(key: &Key) -> String {
    format!("pipwright:answer:{key}")
}

impl Tier for Redis {
    fn name(&self) -> &'static str {
        "redis"
    }

    fn takes(&self, price: u64) -> bool {
        price >= self.0.price
    }

    fn get<'a>(&'a self, key: &'a Key) -> BoxFuture<'a, Option<Bytes>> {
        async move {
            let found: Option<Option<Vec<u8>>> = self.0.ask("get", &Cmd::get(name(key))).await;
            let sealed = found.flatten()?;
            let answer = self.0.seal.open(key, sealed);
            if answer.is_none() {
                self.0.metrics.redis_failed("open");
            }
            answer
        }
        .boxed()
    }

    fn put(&self, key: Key, answer: Bytes) {
        let Ok(permit) = Arc::clone(&self.0.writes).try_acquire_owned() else { return };
        let inside = Arc::clone(&self.0);
        // Nobody waits for a write.
        tokio::spawn(async move {
            let _permit = permit;
            let command = Cmd::set_ex(name(&key), inside.seal.seal(&key, &answer), inside.keep.as_secs().max(1));
            let _kept: Option<()> = inside.ask("set", &command).await;
        });
    }
}
