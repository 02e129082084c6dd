//! Getting an answer: from a cache, or computed once, whoever asks meanwhile.
use super::{LOOK_UP, TIER};
use crate::{
    cache::Key,
    problem::{Kind, Problem},
    state::App,
    telemetry::{metrics::Metrics, traces::carried},
};
use axum::body::Bytes;
use pipwright_shared::{
    odds::cancellation::{CancellationToken, Cancelled},
    wire::question::{Question, Ready},
};
use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    sync::Arc,
    time::{Duration, Instant},
};
use tokio::{sync::Semaphore, task::spawn_blocking, time::timeout};

/// An answer on its way to everybody who asked for it.
#[derive(Clone, Debug)]
pub struct Done {
    /// The JSON.
    pub answer: Bytes,
    /// Time spent in the caches.
    pub cache: Duration,
    /// The tier that had it.
    pub tier: Option<&'static str>,
    /// Time spent computing.
    pub engine: Duration,
}

/// Why there is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Failure {
    /// Too many wait already.
    Busy,
    /// Not done in time.
    TooSlow,
    /// A fault in the computation.
    Panicked,
}

impl From<Failure> for Problem {
    fn from(failure: Failure) -> Self {
        match failure {
            Failure::Busy => Self::new(Kind::Busy, "Too many long questions wait already.").retry_after(1),
            Failure::TooSlow => Self::new(Kind::TooSlow, "The answer was not done in time.").retry_after(2),
            Failure::Panicked => Self::new(Kind::Internal, "The computation failed. It has been logged."),
        }
    }
}

/// The threads for dear questions: a few, and a queue that is not endless.
pub struct Pool {
    turns: Arc<Semaphore>,
    /// For those that compute and those that wait: a place is held until the computation is over.
    places: Arc<Semaphore>,
    deadline: Duration,
    inline_price: u64,
}

impl Pool {
    /// So many threads and so long a queue.
    pub fn new(threads: usize, most_waiting: usize, deadline: Duration, inline_price: u64) -> Self {
        Self {
            turns: Arc::new(Semaphore::new(threads)),
            places: Arc::new(Semaphore::new(threads.saturating_add(most_waiting).min(Semaphore::MAX_PERMITS))),
            deadline,
            inline_price,
        }
    }
}

/// The answer to a settled question.
///
/// # Errors
/// [`Failure`] where it could not be computed.
pub async fn answer<Q: Question>(app: &App, key: Key, price: u64, ready: Arc<Q::Ready>) -> Result<Done, Failure> {
    let (done, begun) = app.flights.join(key, || carried(fetch_or_compute::<Q>(app.clone(), key, price, ready))).await;
    match done {
        Ok(Done { tier: Some(tier), .. }) => app.metrics.hit(tier),
        Err(Failure::Busy) => app.metrics.shed("queue"),
        Err(Failure::Panicked) if begun => app.metrics.panicked(),
        _ if begun => app.metrics.missed(),
        _ => {}
    }
    done
}

async fn fetch_or_compute<Q: Question>(app: App, key: Key, price: u64, ready: Arc<Q::Ready>) -> Result<Done, Failure> {
    let asked = Instant::now();
    let mut step = app.traces.step(LOOK_UP, Q::PATH);
    let found = app.tiers.get(&key, price).await;
    step.note(TIER, found.as_ref().map_or("none", |(_, tier)| tier));
    drop(step);
    let cache = asked.elapsed();
    if let Some((answer, tier)) = found {
        tracing::debug!(question = Q::PATH, %key, tier, took = ?cache, "found in a cache");
        return Ok(Done { answer, cache, tier: Some(tier), engine: Duration::ZERO });
    }
    tracing::debug!(question = Q::PATH, %key, took = ?cache, "not found in a cache");
    let asked = Instant::now();
    let token = Arc::new(CancellationToken::default());
    let _watched = app.progress.watch(key, &token);
    let mut step = app.traces.step("computation", Q::PATH);
    step.note("pipwright.price", i64::try_from(price).unwrap_or(i64::MAX));
    let work = Work { price, patience: Q::PATIENCE, token };
    let answer = app.pool.run(&app.metrics, work, move |token| json(&*ready, token)).await?;
    drop(step);
    let engine = asked.elapsed();
    app.metrics.computed(Q::PATH, price, engine);
    tracing::debug!(question = Q::PATH, %key, price, took = ?engine, "computed");
    app.tiers.put(key, price, &answer);
    Ok(Done { answer, cache, tier: None, engine })
}

fn json<R: Ready>(ready: &R, token: &CancellationToken) -> Result<Vec<u8>, Cancelled> {
    let answer = ready.answer(token)?;
    // Fails only for maps with keys that are no text, which no answer has; a panic is caught and logged as ours.
    #[expect(clippy::expect_used, reason = "see above")]
    Ok(serde_json::to_vec(&answer).expect("an answer is JSON"))
}

/// How much work it is, how long it may take, and how it is stopped.
struct Work {
    price: u64,
    patience: u64,
    token: Arc<CancellationToken>,
}

impl Pool {
    /// Computes here where it is cheap, else on another thread, under the deadline. Dropping the future stops it.
    async fn run<F>(&self, metrics: &Metrics, work: Work, compute: F) -> Result<Bytes, Failure>
    where
        F: FnOnce(&CancellationToken) -> Result<Vec<u8>, Cancelled> + Send + 'static,
    {
        if work.price <= self.inline_price {
            return caught(compute, &work.token);
        }
        let token = StopOnDrop(work.token);
        let patience = u32::try_from(work.patience).unwrap_or(u32::MAX);
        match timeout(self.deadline.saturating_mul(patience), self.elsewhere(compute, &token)).await {
            Ok(done) => done,
            Err(_) => {
                metrics.stopped();
                Err(Failure::TooSlow)
            }
        }
    }

    async fn elsewhere<F>(&self, compute: F, token: &StopOnDrop) -> Result<Bytes, Failure>
    where
        F: FnOnce(&CancellationToken) -> Result<Vec<u8>, Cancelled> + Send + 'static,
    {
        let token = Arc::clone(&token.0);
        self.beside(move || caught(compute, &token)).await?
    }

    /// Does work on another thread, when it is its turn.
    ///
    /// # Errors
    /// [`Failure`] where too many wait, or it panicked.
    pub async fn beside<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Result<T, Failure> {
        let place = Arc::clone(&self.places).try_acquire_owned().map_err(|_| Failure::Busy)?;
        let turn = Arc::clone(&self.turns).acquire_owned().await.map_err(|_| Failure::Busy)?;
        let done = spawn_blocking(move || {
            // The turn is over when the thread is free, not when nobody waits any more.
            let _held = (place, turn);
            work()
        });
        done.await.map_err(|_| Failure::Panicked)
    }
}

fn caught(
    compute: impl FnOnce(&CancellationToken) -> Result<Vec<u8>, Cancelled>,
    token: &CancellationToken,
) -> Result<Bytes, Failure> {
    match catch_unwind(AssertUnwindSafe(|| compute(token))) {
        Ok(Ok(answer)) => Ok(answer.into()),
        Ok(Err(Cancelled)) => Err(Failure::TooSlow),
        Err(_) => {
            tracing::error!("a computation panicked");
            Err(Failure::Panicked)
        }
    }
}

/// Stops the computation when nobody waits for it any more.
struct StopOnDrop(Arc<CancellationToken>);

impl Drop for StopOnDrop {
    fn drop(&mut self) {
        self.0.cancel();
    }
}
