//! Threads for work that would hold up everybody else where it arrives: a lane for each sort of work, each with its own
//! threads and a queue that is not endless, under one deadline.
use super::work::Failure;
use crate::{config::Config, telemetry::metrics::Metrics};
use pipwright_shared::odds::cancellation::{CancellationToken, Cancelled};
use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    sync::Arc,
    thread::available_parallelism,
    time::Duration,
};
use tokio::{
    sync::Semaphore,
    task::spawn_blocking,
    time::{Instant, timeout, timeout_at},
};

/// So long work has to stop after it was told to, before it is said aloud that it does not.
const STOPPING: Duration = Duration::from_secs(2);

/// Sorts of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lane {
    /// Reading and settling requests that are long or name much.
    Reading,
    /// Computing and writing.
    Usual,
    /// Computing what is so dear that others would wait for it.
    Dear,
}

/// All the lanes.
pub struct Pool {
    reading: Places,
    usual: Places,
    dear: Places,
    deadline: Duration,
    inline_price: u64,
    dear_price: u64,
}

struct Places {
    turns: Arc<Semaphore>,
    /// For those at work and those that wait: a place is held until the work is over.
    all: Arc<Semaphore>,
}

impl Places {
    fn new(threads: usize, waiting: usize) -> Self {
        let all = threads.saturating_add(waiting).min(Semaphore::MAX_PERMITS);
        Self {
            turns: Arc::new(Semaphore::new(threads.min(Semaphore::MAX_PERMITS))),
            all: Arc::new(Semaphore::new(all)),
        }
    }
}

impl Pool {
    /// The lanes that the settings ask for. Each has threads beside those of the others, and the system shares the
    /// processors out among all: so a lane can be late, and never stands still because of another.
    pub fn new(config: &Config) -> Self {
        let threads = match config.workers {
            0 => available_parallelism().map_or(1, usize::from),
            some => some,
        };
        let half = (threads / 2).max(1);
        Self {
            reading: Places::new(half, config.waiting),
            usual: Places::new(threads, config.waiting),
            dear: Places::new(half, config.waiting.div_ceil(4)),
            deadline: Duration::from_millis(config.deadline_ms),
            inline_price: config.inline_price,
            dear_price: config.dear_price,
        }
    }

    /// When a request that begins now must be answered, where it may take so many times as long as others.
    pub fn deadline(&self, budget_factor: u64) -> Instant {
        Instant::now() + self.deadline.saturating_mul(u32::try_from(budget_factor).unwrap_or(u32::MAX))
    }

    /// Where a question of this price is computed; nowhere else than where it arrives, where it is cheap.
    pub fn lane(&self, price: u64) -> Option<Lane> {
        if price <= self.inline_price {
            return None;
        }
        Some(if price <= self.dear_price { Lane::Usual } else { Lane::Dear })
    }

    /// Does work on another thread, when it is its turn. At the deadline, and when the future is dropped, it is stopped;
    /// a failure at the deadline comes when it has stopped.
    ///
    /// # Errors
    /// [`Failure`] where too many wait, it is not done in time, or it panicked.
    pub async fn beside<T: Send + 'static>(
        &self,
        metrics: &Metrics,
        (lane, end): (Lane, Instant),
        token: Arc<CancellationToken>,
        work: impl FnOnce(&CancellationToken) -> Result<T, Cancelled> + Send + 'static,
    ) -> Result<T, Failure> {
        let places = match lane {
            Lane::Reading => &self.reading,
            Lane::Usual => &self.usual,
            Lane::Dear => &self.dear,
        };
        let place = Arc::clone(&places.all).try_acquire_owned().map_err(|_| Failure::Busy)?;
        let mut stop = StopOnDrop(Some(Arc::clone(&token)));
        let Ok(turn) = timeout_at(end, Arc::clone(&places.turns).acquire_owned()).await else {
            metrics.stopped();
            return Err(Failure::TooSlow);
        };
        let turn = turn.map_err(|_| Failure::Busy)?;
        let mut done = spawn_blocking(move || {
            // The turn is over when the thread is free, not when nobody waits any more.
            let _held = (place, turn);
            caught(work, &token)
        });
        if let Ok(done) = timeout_at(end, &mut done).await {
            // What was done may go on under the same token.
            stop.0 = None;
            return done.map_err(|_| Failure::Panicked)?;
        }
        metrics.stopped();
        drop(stop);
        if timeout(STOPPING, done).await.is_err() {
            tracing::error!(?lane, "work goes on after it was told to stop");
        }
        Err(Failure::TooSlow)
    }
}

/// Does the work here; a panic is caught and logged as ours.
pub(super) fn caught<T>(
    work: impl FnOnce(&CancellationToken) -> Result<T, Cancelled>,
    token: &CancellationToken,
) -> Result<T, Failure> {
    match catch_unwind(AssertUnwindSafe(|| work(token))) {
        Ok(Ok(done)) => Ok(done),
        Ok(Err(Cancelled)) => Err(Failure::TooSlow),
        Err(_) => {
            tracing::error!("a computation panicked");
            Err(Failure::Panicked)
        }
    }
}

/// Stops the work when nobody waits for it any more.
struct StopOnDrop(Option<Arc<CancellationToken>>);

impl Drop for StopOnDrop {
    fn drop(&mut self) {
        self.0.iter().for_each(|token| token.cancel());
    }
}
