//! The far tier: Redis, shared by all copies of the service. Whatever is wrong with it costs a request at most the
//! wait that it is given, and soon nothing: a breaker stops asking.
use super::{Key, Tier, breaker::Breaker, sealed};
use crate::{config::Secret, telemetry::metrics::Metrics};
use axum::body::Bytes;
use futures::future::{BoxFuture, FutureExt};
use redis::{
    Client, Cmd, ErrorKind, FromRedisValue, RedisError,
    aio::{ConnectionManager, ConnectionManagerConfig},
};
use std::{
    sync::{Arc, Weak},
    time::Duration,
};
use tokio::{
    sync::Semaphore,
    time::{sleep, timeout},
};

/// Writes under way at a time; what comes beyond that is not kept.
const WRITES: usize = 256;
/// How often one call tries for all while the breaker is open.
const PAUSE: Duration = Duration::from_millis(250);

/// Answers in Redis.
#[derive(Clone)]
pub struct Redis(Arc<Inside>);

struct Inside {
    connection: ConnectionManager,
    breaker: Breaker,
    writes: Arc<Semaphore>,
    metrics: Arc<Metrics>,
    wait: Duration,
    keep: Duration,
    price: u64,
}

/// What the tier is told.
pub struct Settings {
    /// `redis://…`
    pub address: Secret,
    /// The longest wait.
    pub wait: Duration,
    /// How long an answer is kept.
    pub keep: Duration,
    /// The lowest price worth the way.
    pub price: u64,
}

impl Redis {
    /// Gets ready to connect; that there is a server is not needed, now or later.
    ///
    /// # Errors
    /// An address that is none.
    pub fn new(settings: &Settings, metrics: Arc<Metrics>) -> Result<Self, RedisError> {
        // No retries: by itself the manager waits for seconds before a command fails on a dead server.
        let config = ConnectionManagerConfig::new()
            .set_number_of_retries(0)
            .set_connection_timeout(Some(settings.wait))
            .set_response_timeout(Some(settings.wait));
        let client = Client::open(settings.address.plain())?;
        Ok(Self(Arc::new(Inside {
            connection: ConnectionManager::new_lazy_with_config(client, config)?,
            breaker: Breaker::default(),
            writes: Arc::new(Semaphore::new(WRITES)),
            metrics,
            wait: settings.wait,
            keep: settings.keep,
            price: settings.price,
        })))
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
                if self.breaker.failed() {
                    tracing::warn!(%fault, "Redis does not answer; going on without it");
                    self.metrics.breaker(true);
                    tokio::spawn(try_until_it_answers(Arc::downgrade(self)));
                }
            }
        }
        self.metrics.redis_failed(what);
        None
    }

    async fn call<T: FromRedisValue>(&self, command: &Cmd) -> Result<T, Fault> {
        let mut connection = self.connection.clone();
        // A limit of our own: the client's does not cover waiting for a connection that another call is making.
        match timeout(self.wait, command.query_async(&mut connection)).await {
            Ok(Ok(value)) => Ok(value),
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
    #[error("silent")]
    Silent,
}

/// While nobody else asks, asks for all. The first call after an outage still fails: it is what makes the client
/// connect again; so requests should not be the ones to try.
async fn try_until_it_answers(redis: Weak<Inside>) {
    loop {
        sleep(PAUSE).await;
        let Some(redis) = redis.upgrade() else { return };
        if redis.call::<String>(&redis::cmd("PING")).await.is_ok() {
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
            let answer = sealed::open(key, sealed);
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
            let command = Cmd::set_ex(name(&key), sealed::seal(&key, &answer), inside.keep.as_secs().max(1));
            let _kept: Option<()> = inside.ask("set", &command).await;
        });
    }
}
