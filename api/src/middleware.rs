//! What holds for every request, whatever its route: ids, limits, CORS, panics, metrics, the log.
//!
//! One layer of our own in place of a tower of six: each of those costs a request about as much as its calculation.
use crate::{
    limits::{Caller, Refusal},
    problem::{Kind, Problem},
    serve::Peer,
    state::App,
    telemetry::traces::Asked,
};
use axum::{
    extract::{MatchedPath, Request, State},
    http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, Version, header},
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

const NO_PATH: &str = "There is nothing at this path; /openapi.json lists what there is.";
const REQUEST_ID: HeaderName = HeaderName::from_static("x-request-id");
const NO_SNIFFING: HeaderName = HeaderName::from_static("x-content-type-options");
/// These answer however much there is to do, and whoever asks.
const ALWAYS_OPEN: [&str; 3] = ["/livez", "/readyz", "/metrics"];
static NO_ROUTE: LazyLock<Arc<str>> = LazyLock::new(|| "none".into());

/// The layer.
pub async fn every_request(State(app): State<App>, mut request: Request, next: Next) -> Response {
    let started = Instant::now();
    let _in_flight = app.metrics.in_flight();
    let route = route(&request);
    let method = request.method().clone();
    let origin = request.headers().get(header::ORIGIN).cloned();
    let caller = request.headers().get(trace::TRACEPARENT).and_then(Trace::parse);
    let traced = traced(&app, caller, &method, &route);
    let (id, trace) = ids(request.headers(), caller.or_else(|| traced.trace()));
    let span = tracing::info_span!("request", id = %text(&id), trace_id = %trace, method = %method, route = %route);

    // Either gzip or as it is: who takes neither gets it as it is, rather than nothing.
    let coding = takes_gzip(request.headers()).then(|| HeaderValue::from_static("gzip"));
    match coding {
        Some(gzip) => drop(request.headers_mut().insert(header::ACCEPT_ENCODING, gzip)),
        None => drop(request.headers_mut().remove(header::ACCEPT_ENCODING)),
    }
    let (rate_headers, mut response) = match admit(&app, &route, &request, started) {
        Err(Refusal { problem, rate_headers }) => (rate_headers, problem.into_response()),
        Ok(caller) => {
            caller.iter().for_each(|caller| drop(request.extensions_mut().insert(caller.clone())));
            let response = traced.during(run(&app, request, next)).instrument(span.clone()).await;
            (caller.and_then(|caller| caller.rate_headers()), response)
        }
    };
    let status = response.status();
    let headers = response.headers_mut();
    retag(headers);
    rate_headers.iter().for_each(|rate_headers| rate_headers.write(headers));
    retired::announce(retired::RETIRED, &route, headers);
    if app.is_draining() {
        // The client's next request should find another copy, and not a connection that is just being closed.
        headers.insert(header::CONNECTION, HeaderValue::from_static("close"));
    }
    cors::allow(&app.config.origins, origin.as_ref(), headers);
    headers.insert(REQUEST_ID, id);
    headers.insert(NO_SNIFFING, HeaderValue::from_static("nosniff"));
    let took = started.elapsed();
    app.metrics.responded(&route, name(&method), status.as_u16(), took);
    tracing::debug!(parent: &span, status = status.as_u16(), ?took, "responded");
    traced.answered(status);
    response
}

/// The rest of the way, with a panic turned into a problem: it ends this request and nothing else.
async fn run(app: &App, request: Request, next: Next) -> Response {
    match AssertUnwindSafe(next.run(request)).catch_unwind().await {
        Ok(response) => as_problem(response),
        Err(_) => {
            app.metrics.panicked();
            tracing::error!("a request panicked");
            Problem::new(Kind::Internal, "The service failed at this request. It has been logged.").into_response()
        }
    }
}

fn admit(app: &App, route: &str, request: &Request, now: Instant) -> Result<Option<Caller>, Refusal> {
    // RFC 9112, 3.2.
    if request.version() == Version::HTTP_11 && request.headers().get_all(header::HOST).iter().count() != 1 {
        return Err(Problem::new(Kind::BrokenRequest, "A request of HTTP/1.1 has one Host header.").into());
    }
    if ALWAYS_OPEN.contains(&route) || request.method() == Method::OPTIONS {
        return Ok(None);
    }
    let peer = request.extensions().get::<Peer>().map(|peer| peer.0.ip());
    app.limits.admit(request.headers(), peer, now).map(Some)
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
    if let Some(tag) = headers.get(header::ETAG).map(encoded) {
        headers.insert(header::ETAG, tag);
    }
}

/// The tag of the same answer compressed.
pub(crate) fn encoded(tag: &HeaderValue) -> HeaderValue {
    let plain = tag.to_str().ok().and_then(|tag| tag.strip_suffix('"'));
    plain.and_then(|plain| HeaderValue::try_from(format!("{plain}{ENCODED}\"")).ok()).unwrap_or_else(|| tag.clone())
}

/// Whether the client takes an answer compressed by gzip (RFC 9110, 12.5.3).
fn takes_gzip(headers: &HeaderMap) -> bool {
    let lists = headers.get_all(header::ACCEPT_ENCODING).iter().filter_map(|list| list.to_str().ok());
    let codings = lists.flat_map(|list| list.split(',')).map(|coding| {
        let (name, weight) = coding.split_once(';').unwrap_or((coding, ""));
        let weight = weight.trim().strip_prefix("q=").map_or(Ok(1.0), str::parse::<f32>);
        (name.trim().to_ascii_lowercase(), weight.unwrap_or(0.0) > 0.0)
    });
    let codings: Vec<(String, bool)> = codings.collect();
    let of = |name: &str| codings.iter().find(|(coding, _)| coding == name).map(|(_, taken)| *taken);
    of("gzip").or(of("x-gzip")).or(of("*")).unwrap_or(false)
}

/// Errors that the router makes by itself come as plain text or empty: here they become problems.
fn as_problem(response: Response) -> Response {
    let of_ours = [&b"application/problem+json"[..], b"application/json"];
    let kind = response.headers().get(header::CONTENT_TYPE).map(HeaderValue::as_bytes);
    if !response.status().is_client_error() || kind.is_some_and(|kind| of_ours.contains(&kind)) {
        return response;
    }
    match response.status() {
        StatusCode::NOT_FOUND => Problem::new(Kind::UnknownPath, NO_PATH).into_response(),
        _ => Problem::new(Kind::BrokenRequest, "A part of the link can't be read: it is no UTF-8.").into_response(),
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
    Problem::new(Kind::UnknownPath, NO_PATH)
}

/// Another method is needed, or is asked for with `OPTIONS`. The router adds `Allow`.
pub async fn no_method(method: Method) -> Response {
    if method == Method::OPTIONS {
        return cors::options();
    }
    Problem::new(Kind::WrongMethod, "The path takes the methods that the Allow header lists.").into_response()
}
