//! Calls from web pages: open to all by default, since this is a public calculator and knows no cookies.
use axum::{
    http::{HeaderMap, HeaderValue, StatusCode, header},
    response::{IntoResponse, Response},
};

const READABLE: HeaderValue = HeaderValue::from_static(
    "ETag, Server-Timing, X-Request-Id, Retry-After, RateLimit, RateLimit-Policy, Link, Deprecation, Sunset, Allow, \
     Content-Disposition, WWW-Authenticate",
);
const SENDABLE: HeaderValue = HeaderValue::from_static(
    "Content-Type, Authorization, X-Api-Key, If-Match, If-None-Match, X-Request-Id, traceparent, tracestate, \
     Mcp-Protocol-Version, Mcp-Method, Mcp-Name",
);

/// What may be sent. The router's `Allow` says which methods this very path takes.
pub(super) fn options() -> Response {
    let headers = [
        (header::ACCESS_CONTROL_ALLOW_METHODS, HeaderValue::from_static("GET, HEAD, POST, OPTIONS")),
        (header::ACCESS_CONTROL_ALLOW_HEADERS, SENDABLE),
        (header::ACCESS_CONTROL_MAX_AGE, HeaderValue::from_static("86400")),
    ];
    (StatusCode::NO_CONTENT, headers).into_response()
}

/// Lets the page read the response, where its origin may.
pub(super) fn allow(origins: &[String], origin: Option<&HeaderValue>, headers: &mut HeaderMap) {
    let all = origins.iter().any(|allowed| allowed == "*");
    let listed = || origin.filter(|origin| origins.iter().any(|allowed| allowed.as_bytes() == origin.as_bytes()));
    let granted = if all { Some(HeaderValue::from_static("*")) } else { listed().cloned() };
    if !all {
        headers.append(header::VARY, HeaderValue::from_static("origin"));
    }
    if let Some(granted) = granted {
        headers.insert(header::ACCESS_CONTROL_ALLOW_ORIGIN, granted);
        headers.insert(header::ACCESS_CONTROL_EXPOSE_HEADERS, READABLE);
    }
}
