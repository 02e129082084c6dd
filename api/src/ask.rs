//! The one way of every calculation: read, resolve, price, look in the caches, compute, respond.
use crate::{
    cache::{Key, Tier},
    limits::Caller,
    pack_store::PackStore,
    problem::{Kind, Problem},
    state::App,
};
use axum::{
    body::Bytes,
    extract::{Request, State},
    http::{HeaderValue, header, request::Parts},
    response::Response,
};
use pipwright_shared::{
    odds::cancellation::{CancellationToken, Cancelled},
    rules::{PackCatalog, pack_catalog::Noted},
    wire::question::Question,
};
use serde::{Serialize, de::DeserializeOwned};
use std::{
    sync::{Arc, Mutex, PoisonError},
    time::{Duration, Instant},
};

pub mod body;
pub mod events;
pub mod pool;
mod prepare;
pub mod progress;
pub mod query;
pub mod read;
pub(crate) mod respond;
pub mod work;
mod written;

use pool::Lane;
use prepare::{Prepared, prepare};
use read::Raw;
use work::Failure;

/// Requests up to this size are read where they arrive; longer ones, and those that may take long for other reasons, on
/// another thread.
const SHORT: usize = 2 << 10;

/// The step of a trace in which answers are looked for, and what it says of where one was.
const LOOK_UP: &str = "cache look-up";
const TIER: &str = "pipwright.cache.tier";

/// A finished answer and how it came about.
pub struct Answered {
    /// Its key.
    pub key: Key,
    /// The JSON; nothing where the client has it already.
    pub body: Option<Bytes>,
    /// Where the time went.
    pub timing: Timing,
}

/// Where the time of a request went.
#[derive(Clone, Copy, Debug, Default)]
pub struct Timing {
    /// Reading, settling, pricing and naming the question.
    pub parse: Duration,
    /// Looking in the caches.
    pub cache: Duration,
    /// The tier that had the answer.
    pub tier: Option<&'static str>,
    /// Computing.
    pub engine: Duration,
}

/// Answers `POST`: the request is the JSON body.
///
/// # Errors
/// What is wrong with the request, or that the service has too much to do.
pub async fn post<Q: Question>(State(app): State<App>, request: Request) -> Result<Response, Problem> {
    let (parts, body) = request.into_parts();
    body::is_json(&parts.headers)?;
    let body = body::read(&app.config, &parts.headers, body).await?;
    let answered = ask::<Q>(&app, caller(&parts), Raw::Body(body), |_| false).await?;
    respond::posted(&app, caller(&parts), answered)
}

pub(crate) fn caller(parts: &Parts) -> Option<&Caller> {
    parts.extensions.get()
}

/// Answers `GET`: the request is the query string.
///
/// # Errors
/// As [`post`].
pub async fn get<Q: Question>(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    let query = parts.uri.query().unwrap_or_default().to_owned();
    get_as::<Q>(&app, &parts, query).await
}

/// Answers `GET` of a place that stands for a question: the request is this query string.
///
/// # Errors
/// As [`post`].
pub async fn get_as<Q: Question>(app: &App, parts: &Parts, query: String) -> Result<Response, Problem> {
    let known = |key: &Key| respond::is_known(&parts.headers, key);
    let answered = ask::<Q>(app, caller(parts), Raw::Query(query), known).await?;
    respond::got(app, parts, answered)
}

/// Answers a lookup: nothing is computed or kept, and the answer's own bytes are its key.
///
/// # Errors
/// What is wrong with the request, or that another answer was asked for.
pub async fn look_up<A: Serialize + 'static>(
    app: &App,
    parts: &Parts,
    find: impl Fn(&PackCatalog) -> Result<A, Problem> + Send + Sync + 'static,
) -> Result<Response, Problem> {
    let (pack_store, most, find) = (app.pack_store.load_full(), app.config.answer_bytes, Arc::new(find));
    let length = parts.uri.path().len() + parts.uri.query().unwrap_or_default().len();
    let look = |noted| {
        let (catalog, find) = (app.kept.beside(&pack_store.catalog, noted), Arc::clone(&find));
        let find = move |token: &CancellationToken| {
            let found = match find(&catalog) {
                Ok(found) => found,
                Err(problem) => return Ok(Err(problem)),
            };
            written::json(&found, most, token).map(|written| written.map_err(Problem::from))
        };
        reading(app, length <= SHORT, find)
    };
    let noted: Arc<Mutex<Noted>> = Arc::default();
    let mut body = look(Arc::clone(&noted)).await?;
    let missing = prepare::missing(&noted);
    if !missing.is_empty() && app.kept.fetch(app, &missing).await? {
        body = look(Arc::clone(&noted)).await?;
    }
    let used = std::mem::take(&mut noted.lock().unwrap_or_else(PoisonError::into_inner).used).into();
    app.kept.touch(app, &used);
    let body = body?;
    let key = Key::of_spelling(parts.uri.path(), 0, &body);
    let body = (!respond::is_known(&parts.headers, &key)).then_some(body);
    respond::got(app, parts, Answered { key, body, timing: Timing::default() })
}

/// Reads here what is short, else on another thread, under the deadline.
pub(crate) async fn reading<T: Send + 'static>(
    app: &App,
    short: bool,
    read: impl FnOnce(&CancellationToken) -> Result<T, Cancelled> + Send + 'static,
) -> Result<T, Failure> {
    let token = Arc::new(CancellationToken::default());
    let read = if short {
        pool::caught(read, &token)
    } else {
        app.pool.beside(&app.metrics, (Lane::Reading, app.pool.deadline(1)), token, read).await
    };
    match read {
        Err(Failure::Busy) => app.metrics.shed("queue"),
        Err(Failure::Panicked) => app.metrics.panicked(),
        _ => {}
    }
    read
}

/// Answers `GET` with the answer written in another form than JSON, under a key of its own. Writing takes a turn among the
/// dear questions: some forms are painted.
///
/// # Errors
/// As [`post`].
pub async fn written<Q: Question, A: DeserializeOwned>(
    app: &App,
    parts: &Parts,
    kind: &'static str,
    write: impl FnOnce(A) -> Result<Vec<u8>, Problem> + Send + 'static,
) -> Result<Response, Problem> {
    let query = parts.uri.query().unwrap_or_default().to_owned();
    let end = app.pool.deadline(Q::BUDGET_FACTOR);
    let own = |key: &Key| Key::of_spelling(parts.uri.path(), 0, key.bytes());
    let known = |key: &Key| respond::is_known(&parts.headers, &own(key));
    let answered = ask::<Q>(app, caller(parts), Raw::Query(query), known).await?;
    let key = own(&answered.key);
    let body = match answered.body {
        None => None,
        Some(answer) => Some(match app.memory.recall(&key) {
            Some(text) => text,
            None => {
                let write = move |_: &CancellationToken| {
                    Ok(serde_json::from_slice(&answer).map_err(unreadable).and_then(write))
                };
                let text = app.pool.beside(&app.metrics, (Lane::Usual, end), Arc::default(), write).await??;
                // What is kept takes as much memory as it is long.
                let text = Bytes::from(text.into_boxed_slice());
                app.memory.put(key, text.clone());
                text
            }
        }),
    };
    let mut response = respond::got(app, parts, Answered { key, body, timing: answered.timing })?;
    response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    Ok(response)
}

fn unreadable(error: serde_json::Error) -> Problem {
    tracing::error!("an answer that can't be read: {error}");
    Problem::new(Kind::Internal, "The answer could not be written.")
}

/// Answers a request. Where the client says that it has the answer already, nothing is computed.
///
/// # Errors
/// As [`post`].
pub async fn ask<Q: Question>(
    app: &App,
    caller: Option<&Caller>,
    raw: Raw,
    known: impl Fn(&Key) -> bool,
) -> Result<Answered, Problem> {
    let (started, end) = (Instant::now(), app.pool.deadline(Q::BUDGET_FACTOR));
    let _in_work = app.limits.begin()?;
    let pack_store = app.pack_store.load_full();
    let spelling = spelling::<Q>(&pack_store, &raw);
    let mut timing = Timing::default();
    if let Some((key, packs)) = app.memory.spelt(&spelling) {
        let mut step = app.traces.step(LOOK_UP, Q::PATH);
        let (known, found) = (known(&key), app.memory.recall(&key));
        if known || found.is_some() {
            (timing.cache, timing.tier) = (started.elapsed(), Some(app.memory.name()));
            app.metrics.hit(app.memory.name());
            step.note(TIER, app.memory.name());
            app.kept.touch(app, &packs);
            tracing::debug!(question = Q::PATH, %key, tier = app.memory.name(), "found in a cache");
            return Ok(Answered { key, body: found.filter(|_| !known), timing });
        }
    }
    let Prepared { query, key, price, packs } = prepare::<Q>(app, caller, pack_store, raw).await?;
    app.memory.spell(spelling, key, packs);
    timing.parse = started.elapsed();
    if known(&key) {
        return Ok(Answered { key, body: None, timing });
    }
    let done = work::answer::<Q>(app, (key, price), query, end).await?;
    (timing.cache, timing.tier, timing.engine) = (done.cache, done.tier, done.engine);
    slow::<Q>(app, &key, price, started.elapsed(), &timing);
    Ok(Answered { key, body: Some(done.answer), timing })
}

fn spelling<Q: Question>(pack_store: &PackStore, raw: &Raw) -> Key {
    match raw {
        Raw::Body(body) => Key::of_spelling(Q::PATH, pack_store.generation, body),
        // A body never begins like this.
        Raw::Query(query) => Key::of_spelling(Q::PATH, pack_store.generation, format!("?{query}").as_bytes()),
    }
}

fn slow<Q: Question>(app: &App, key: &Key, price: u64, took: Duration, timing: &Timing) {
    if took > Duration::from_millis(app.config.slow_ms) {
        // The key finds the answer again; what was asked, and by whom, is nobody's business.
        tracing::warn!(question = Q::PATH, %key, price, ?took, ?timing, "slow question");
    }
}
