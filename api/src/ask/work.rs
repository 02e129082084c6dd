//! Getting an answer: from a cache, or computed once, whoever asks meanwhile.
use super::{
    LOOK_UP, TIER,
    pool::{Pool, caught},
    written,
};
use crate::{
    cache::Key,
    problem::{Kind, Problem},
    state::App,
    telemetry::{metrics::Metrics, traces::carried},
};
use axum::body::Bytes;
use pipwright_shared::{
    odds::cancellation::{CancellationToken, Cancelled},
    wire::{
        mistake::{Mistake, MistakeKind},
        question::{PreparedQuery, Question},
    },
};
use std::{
    sync::Arc,
    time::{Duration, Instant},
};
use tokio::time::Instant as End;

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
    /// Longer than an answer may be.
    TooLarge,
    /// A fault in the computation.
    Panicked,
}

impl From<Failure> for Problem {
    fn from(failure: Failure) -> Self {
        match failure {
            Failure::Busy => Self::new(Kind::Busy, "Too many long questions wait already.").retry_after(1),
            Failure::TooSlow => Self::new(Kind::TooSlow, "The answer was not done in time.").retry_after(2),
            Failure::TooLarge => {
                let detail = "The answer would be longer than an answer may be. Ask for less at once.";
                Mistake { kind: MistakeKind::TooMuchWork, ..Mistake::value("", detail) }.into()
            }
            Failure::Panicked => Self::new(Kind::Internal, "The computation failed. It has been logged."),
        }
    }
}

/// The answer to a resolved question, which must be there at the end. Who joins others that asked before waits no longer
/// than they do.
///
/// # Errors
/// [`Failure`] where it could not be computed.
pub async fn answer<Q: Question>(
    app: &App,
    (key, price): (Key, u64),
    query: Arc<Q::Prepared>,
    end: End,
) -> Result<Done, Failure> {
    let begin = || carried(fetch_or_compute::<Q>(app.clone(), (key, price), query, end));
    let (done, begun) = app.flights.join(key, begin).await;
    match done {
        Ok(Done { tier: Some(tier), .. }) => app.metrics.hit(tier),
        Err(Failure::Busy) => app.metrics.shed("queue"),
        Err(Failure::Panicked) if begun => app.metrics.panicked(),
        _ if begun => app.metrics.missed(),
        _ => {}
    }
    done
}

async fn fetch_or_compute<Q: Question>(
    app: App,
    (key, price): (Key, u64),
    query: Arc<Q::Prepared>,
    end: End,
) -> Result<Done, Failure> {
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
    let most = app.config.answer_bytes;
    let compute = move |token: &CancellationToken| written::json(&query.answer(token)?, most, token);
    let answer = run(&app.pool, &app.metrics, (price, end), token, compute).await?;
    drop(step);
    let engine = asked.elapsed();
    app.metrics.computed(Q::PATH, price, engine);
    tracing::debug!(question = Q::PATH, %key, price, took = ?engine, "computed");
    app.tiers.put(key, price, &answer);
    Ok(Done { answer, cache, tier: None, engine })
}

/// Computes here where it is cheap, else on another thread.
async fn run<F>(
    pool: &Pool,
    metrics: &Metrics,
    (price, end): (u64, End),
    token: Arc<CancellationToken>,
    compute: F,
) -> Result<Bytes, Failure>
where
    F: FnOnce(&CancellationToken) -> Result<Result<Bytes, Failure>, Cancelled> + Send + 'static,
{
    match pool.lane(price) {
        None => caught(compute, &token)?,
        Some(lane) => pool.beside(metrics, (lane, end), token, compute).await?,
    }
}
