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

/// Whether the process lives
///
/// Checks nothing: a process that answers is alive.
#[utoipa::path(get, path = "/livez", tag = "service", responses((status = 200, description = "It does", body = String, content_type = "text/plain")))]
pub async fn livez() -> &'static str {
    "alive\n"
}

/// Whether to send it requests
///
/// Not while it is stopping. Redis has no say: without it the service computes.
#[utoipa::path(get, path = "/readyz", tag = "service", responses(
    (status = 200, description = "Yes", body = String, content_type = "text/plain"),
    (status = 503, description = "Not any more", body = Shown, content_type = "application/problem+json")
))]
pub async fn readyz(State(app): State<App>) -> Result<&'static str, Problem> {
    if app.is_draining() {
        return Err(Problem::new(Kind::NotReady, "The service is stopping.").retry_after(1));
    }
    Ok("ready\n")
}

/// Metrics in Prometheus's text format
#[utoipa::path(get, path = "/metrics", tag = "service", responses((status = 200, description = "All of them", body = String, content_type = "text/plain")))]
pub async fn metrics(State(app): State<App>) -> Response {
    let text = app.metrics.text(app.memory.bytes());
    ([(header::CONTENT_TYPE, "text/plain; version=0.0.4; charset=utf-8")], text).into_response()
}
