//! What holds for every request, whatever its route: ids, limits, CORS, panics, metrics, the log.
//!
//! One layer of our own in place of a tower of six: each of those costs a request about as much as its calculation.
use crate::{
    limits::{Refusal, told::Told},
    problem::{Kind, Problem},
    serve::Peer,
    state::App,
    telemetry::traces::Asked,
};
use axum::{
    extract::{MatchedPath, Request, State},
    http::{HeaderMap, HeaderName, HeaderValue, Method, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use futures::FutureExt;
use std::{
    panic::AssertUnwindSafe,
    sync::{Arc, LazyLock},
    time::Instant,
};
use tracing::Instrument;

pub mod cors;
pub mod retired;
pub mod trace;

use trace::Trace;

/// What the tag of a compressed answer has at its end, since a strong tag names bytes (RFC 9110, 8.8.3).
pub const ENCODED: &str = "-gzip";

const REQUEST_ID: HeaderName = HeaderName::from_static("x-request-id");
const NO_SNIFFING: HeaderName = HeaderName::from_static("x-content-type-options");
/// These answer however much there is to do, and whoever asks.
const ALWAYS_OPEN: [&str; 3] = ["/livez", "/readyz", "/metrics"];
pub(crate) static NO_ROUTE: LazyLock<Arc<str>> = LazyLock::new(|| "none".into());

/// The layer.
pub async fn conduct(State(app): State<App>, request: Request, next: Next) -> Response {
    let started = Instant::now();
    let _in_flight = app.metrics.in_flight();
    let route = route(&request);
    let method = request.method().clone();
    let origin = request.headers().get(header::ORIGIN).cloned();
    let caller = request.headers().get(trace::TRACEPARENT).and_then(Trace::parse);
    let traced = traced(&app, caller, &method, &route);
    let (id, trace) = ids(request.headers(), caller.or_else(|| traced.trace()));
    let span = tracing::info_span!("request", id = %text(&id), trace_id = %trace, method = %method, route = %route);

    let (told, mut response) = match admit(&app, &route, &request, started) {
        Err(Refusal { problem, told }) => (told, problem.into_response()),
        Ok(told) => (told, traced.during(run(&app, request, next)).instrument(span.clone()).await),
    };
    let status = response.status();
    let headers = response.headers_mut();
    retag(headers);
    told.iter().for_each(|told| told.write(headers));
    retired::announce(retired::RETIRED, &route, headers);
    if app.is_draining() {
        // The client's next request should find another copy, and not a connection that is just being closed.
        headers.insert(header::CONNECTION, HeaderValue::from_static("close"));
    }
    mark(&app, id, origin.as_ref(), headers);
    let took = started.elapsed();
    app.metrics.responded(&route, name(&method), status.as_u16(), took);
    tracing::debug!(parent: &span, status = status.as_u16(), ?took, "responded");
    traced.answered(status);
    response
}

/// What every response bears.
pub(crate) fn mark(app: &App, id: HeaderValue, origin: Option<&HeaderValue>, headers: &mut HeaderMap) {
    cors::allow(&app.config.origins, origin, headers);
    headers.insert(REQUEST_ID, id);
    headers.insert(NO_SNIFFING, HeaderValue::from_static("nosniff"));
}

/// The rest of the way, with a panic turned into a problem: it ends this request and nothing else.
async fn run(app: &App, request: Request, next: Next) -> Response {
    match AssertUnwindSafe(next.run(request)).catch_unwind().await {
        Ok(response) => response,
        Err(_) => {
            app.metrics.panicked();
            tracing::error!("a request panicked");
            Problem::new(Kind::Internal, "The service failed at this request. It has been logged.").into_response()
        }
    }
}

fn admit(app: &App, route: &str, request: &Request, now: Instant) -> Result<Option<Told>, Refusal> {
    if ALWAYS_OPEN.contains(&route) || request.method() == Method::OPTIONS {
        return Ok(None);
    }
    let peer = request.extensions().get::<Peer>().map(|peer| peer.0.ip());
    app.limits.admit(request.headers(), peer, now)
}

/// The request's span; of those who only ask how we are there would be more than of all others.
fn traced(app: &App, caller: Option<Trace>, method: &Method, route: &Arc<str>) -> Asked {
    if ALWAYS_OPEN.contains(&&**route) {
        return Asked::default();
    }
    let known = (!Arc::ptr_eq(route, &NO_ROUTE)).then_some(route);
    app.traces.request(caller, name(method), known)
}

/// The path as the contract writes it, so that a metric has as many series as there are routes.
fn route(request: &Request) -> Arc<str> {
    match request.extensions().get::<MatchedPath>() {
        Some(path) => path.as_str().into(),
        None => Arc::clone(&NO_ROUTE),
    }
}

/// The ids that the client gave, or new ones.
fn ids(headers: &HeaderMap, trace: Option<Trace>) -> (HeaderValue, Trace) {
    let trace = trace.unwrap_or_else(Trace::random);
    let given = headers.get(REQUEST_ID).filter(|id| is_plain(id));
    let id = given.cloned().or_else(|| HeaderValue::try_from(trace.to_string()).ok());
    (id.unwrap_or_else(|| HeaderValue::from_static("none")), trace)
}

/// Nothing that could break a line of the log.
fn is_plain(id: &HeaderValue) -> bool {
    let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"-_.".contains(byte);
    (1..=64).contains(&id.len()) && id.as_bytes().iter().all(plain)
}

fn text(id: &HeaderValue) -> &str {
    id.to_str().unwrap_or_default()
}

/// Gives a compressed answer a tag of its own.
fn retag(headers: &mut HeaderMap) {
    if !headers.contains_key(header::CONTENT_ENCODING) {
        return;
    }
    let tag = headers.get(header::ETAG).and_then(|tag| tag.to_str().ok()?.strip_suffix('"').map(str::to_owned));
    if let Some(tag) = tag.and_then(|tag| HeaderValue::try_from(format!("{tag}{ENCODED}\"")).ok()) {
        headers.insert(header::ETAG, tag);
    }
}

fn name(method: &Method) -> &'static str {
    match *method {
        Method::GET => "GET",
        Method::POST => "POST",
        Method::HEAD => "HEAD",
        Method::OPTIONS => "OPTIONS",
        _ => "other",
    }
}

/// Nothing at this path.
pub async fn no_path() -> Problem {
    Problem::new(Kind::UnknownPath, "There is nothing at this path; /openapi.json lists what there is.")
}

/// Another method is needed, or is asked for with `OPTIONS`. The router adds `Allow`.
pub async fn no_method(method: Method) -> Response {
    if method == Method::OPTIONS {
        return cors::options();
    }
    Problem::new(Kind::WrongMethod, "The path takes the methods that the Allow header lists.").into_response()
}
