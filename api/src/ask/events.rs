//! An answer as server-sent events: how far it has come, then the answer itself.
use super::{Raw, read, within, work};
use crate::{cache::Key, problem::Problem, state::App, telemetry::traces::carried};
use axum::{
    http::{HeaderValue, header, request::Parts},
    response::{
        IntoResponse, Response,
        sse::{Event, KeepAlive, Sse},
    },
};
use futures::{
    future::{BoxFuture, FutureExt},
    stream,
};
use pipwright_shared::wire::question::Question;
use serde_json::json;
use std::{convert::Infallible, sync::Arc, time::Duration};
use tokio::time::{Interval, MissedTickBehavior, interval};

const EVERY: Duration = Duration::from_millis(200);

type Answer = BoxFuture<'static, Result<work::Done, work::Failure>>;

/// Answers `GET` with events: `progress` with `{done, of}`, then `answer` with the answer or `problem` with what hindered
/// it. Whoever hangs up stops the work, unless somebody else waits for it too.
///
/// # Errors
/// What is wrong with the request.
pub async fn events<Q: Question>(app: App, parts: &Parts) -> Result<Response, Problem> {
    let raw = Raw::Query(parts.uri.query().unwrap_or_default().to_owned());
    let shelf = app.shelf.load_full();
    let question: Q = read::read(&raw)?;
    let ready = question.settle(&shelf.books)?;
    let price = within(app.config.budget.saturating_mul(Q::PATIENCE), &ready, &raw)?;
    let key = Key::of::<Q>(&ready);
    let mut ticks = interval(EVERY);
    ticks.set_missed_tick_behavior(MissedTickBehavior::Delay);
    let own = app.clone();
    // The response has begun when the work goes on: it is still this request's.
    let answer: Answer = carried(async move { work::answer::<Q>(&own, key, price, Arc::new(ready)).await }).boxed();
    let stream = stream::unfold(Some((answer, ticks)), move |state| next(app.clone(), key, state));
    let mut response = Sse::new(stream).keep_alive(KeepAlive::default()).into_response();
    response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    Ok(response)
}

type State = Option<(Answer, Interval)>;

async fn next(app: App, key: Key, state: State) -> Option<(Result<Event, Infallible>, State)> {
    let (mut answer, mut ticks) = state?;
    loop {
        tokio::select! {
            biased;
            done = &mut answer => return Some((Ok(last(done)), None)),
            _ = ticks.tick() => {
                let Some((done, of)) = app.progress.of(&key) else { continue };
                let event = Event::default().event("progress").data(json!({ "done": done, "of": of }).to_string());
                return Some((Ok(event), Some((answer, ticks))));
            }
        }
    }
}

fn last(done: Result<work::Done, work::Failure>) -> Event {
    match done {
        Ok(done) => Event::default().event("answer").data(String::from_utf8_lossy(&done.answer)),
        Err(failure) => Event::default()
            .event("problem")
            .data(serde_json::to_string(&Problem::from(failure).shown()).unwrap_or_default()),
    }
}
