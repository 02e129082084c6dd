//! For orchestrators and Prometheus.
use crate::{
    problem::{Kind, Problem, Shown},
    state::App,
};
use axum::{
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};

/// The most faults of pack files that are told.
const MOST_LINES: usize = 20;

/// Whether the process lives
///
/// Checks nothing: a process that answers is alive.
#[utoipa::path(get, path = "/livez", tag = "service", responses((status = 200, description = "It does", body = String, content_type = "text/plain")))]
pub async fn livez() -> &'static str {
    "alive\n"
}

/// Whether to send it requests
///
/// Not while it is stopping. Redis has no say: without it the service computes. Nor have bad pack files: the packs
/// stay as they were, and the lines behind the first say what is wrong, and where.
#[utoipa::path(get, path = "/readyz", tag = "service", responses(
    (status = 200, description = "Yes", body = String, content_type = "text/plain"),
    (status = 503, description = "Not any more", body = Shown, content_type = "application/problem+json")
))]
pub async fn readyz(State(app): State<App>) -> Result<String, Problem> {
    if app.is_draining() {
        return Err(Problem::new(Kind::NotReady, "The service is stopping.").retry_after(1));
    }
    let pack_store = app.pack_store.load();
    let lines = pack_store.faults.iter().take(MOST_LINES).map(|fault| format!("pack file: {fault}\n"));
    let more = pack_store.faults.len().saturating_sub(MOST_LINES);
    let more = (more > 0).then(|| format!("and {more} more\n"));
    Ok(std::iter::once("ready\n".to_owned()).chain(lines).chain(more).collect())
}

/// Metrics in Prometheus's text format
///
/// Where the service gives them on a listener of their own (`metrics_listen`), they are not here.
#[utoipa::path(get, path = "/metrics", tag = "service", responses(
    (status = 200, description = "All of them", body = String, content_type = "text/plain"),
    (status = 404, description = "They are given elsewhere", body = Shown, content_type = "application/problem+json")
))]
pub async fn metrics(state: State<App>) -> Result<Response, Problem> {
    if state.config.metrics_listen.is_some() {
        return Err(Problem::new(Kind::UnknownPath, "The metrics are given on a listener of their own."));
    }
    Ok(numbers(state).await)
}

/// The same on a listener of their own.
pub(super) async fn numbers(State(app): State<App>) -> Response {
    let text = app.metrics.text(app.memory.bytes(), app.limits.held.bytes());
    ([(header::CONTENT_TYPE, "text/plain; version=0.0.4; charset=utf-8")], text).into_response()
}
