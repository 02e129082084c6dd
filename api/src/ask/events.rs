//! An answer as server-sent events: how far it has come, then the answer itself.
use super::{Prepared, Raw, caller, prepare, work};
use crate::{cache::Key, limits::Caller, problem::Problem, state::App, telemetry::traces::carried};
use axum::{
    body::Bytes,
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
use std::{convert::Infallible, time::Duration};
use tokio::time::{Interval, MissedTickBehavior, interval};

const EVERY: Duration = Duration::from_millis(200);

type Answer = BoxFuture<'static, Result<work::Done, work::Failure>>;

/// Answers `GET` with events: `progress` with `{done, of}`, then `answer` with the answer or `problem` with what hindered
/// it. Whoever hangs up stops the work, unless somebody else waits for it too.
///
/// # Errors
/// What is wrong with the request.
pub async fn events<Q: Question>(app: App, parts: &Parts) -> Result<Response, Problem> {
    let end = app.pool.deadline(Q::BUDGET_FACTOR);
    let raw = Raw::Query(parts.uri.query().unwrap_or_default().to_owned());
    let Prepared { query, key, price, .. } = prepare::<Q>(&app, caller(parts), app.pack_store.load_full(), raw).await?;
    let mut ticks = interval(EVERY);
    ticks.set_missed_tick_behavior(MissedTickBehavior::Delay);
    let own = app.clone();
    // The response has begun when the work goes on: it is still this request's.
    let answer: Answer = carried(async move { work::answer::<Q>(&own, (key, price), query, end).await }).boxed();
    let caller = caller(parts).cloned();
    let begun = State::Going(answer, ticks);
    let stream = stream::unfold(begun, move |state| next(app.clone(), caller.clone(), key, state));
    let mut response = Sse::new(stream).keep_alive(KeepAlive::default()).into_response();
    response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    Ok(response)
}

enum State {
    Going(Answer, Interval),
    /// The answer is on its way, and counted until it has gone.
    Said(#[expect(dead_code, reason = "held, not read")] Bytes),
}

async fn next(app: App, caller: Option<Caller>, key: Key, state: State) -> Option<(Result<Event, Infallible>, State)> {
    let State::Going(mut answer, mut ticks) = state else { return None };
    loop {
        tokio::select! {
            biased;
            done = &mut answer => {
                let held = done.map_err(Problem::from).and_then(|done| app.limits.hold(caller.as_ref(), done.answer));
                return Some(match held {
                    Ok(answer) => {
                        let event = Event::default().event("answer").data(String::from_utf8_lossy(&answer));
                        (Ok(event), State::Said(answer))
                    }
                    Err(problem) => {
                        let problem = serde_json::to_string(&problem.shown()).unwrap_or_default();
                        (Ok(Event::default().event("problem").data(problem)), State::Said(Bytes::new()))
                    }
                });
            }
            _ = ticks.tick() => {
                let Some((done, of)) = app.progress.of(&key) else { continue };
                let event = Event::default().event("progress").data(json!({ "done": done, "of": of }).to_string());
                return Some((Ok(event), State::Going(answer, ticks)));
            }
        }
    }
}
