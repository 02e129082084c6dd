//! The door over HTTP: one message of the protocol in each `POST`, answered as JSON, and nothing kept afterwards.
use super::Door;
use crate::{
    ask::body,
    config::Config,
    problem::{Kind, Problem},
    telemetry::traces::Carrier,
};
use axum::{
    body::{Body, Bytes, to_bytes},
    extract::Request,
    http::{HeaderMap, HeaderValue, StatusCode, Uri, header},
    response::{IntoResponse, Response},
};
use http_body_util::Full;
use rmcp::transport::streamable_http_server::{
    StreamableHttpServerConfig, StreamableHttpService, session::never::NeverSessionManager,
};
use serde_json::{Value, json};
use std::{net::IpAddr, sync::Arc};

/// JSON-RPC 2.0, 5.1: what is no JSON, and what is no request.
const NO_JSON: i32 = -32700;
const NO_REQUEST: i32 = -32600;
/// What a client must be ready to take; we always answer with the first.
const TAKEN: HeaderValue = HeaderValue::from_static("application/json, text/event-stream");
const JSON: HeaderValue = HeaderValue::from_static("application/json");

/// Answers one message.
///
/// # Errors
/// A web page that may not call, or a body that can't be had.
pub(super) async fn answer(door: Door, request: Request) -> Result<Response, Problem> {
    let (mut parts, body) = request.into_parts();
    let config = &door.0.app.config;
    if let Some(origin) = parts.headers.get(header::ORIGIN).filter(|origin| !may_call(config, origin)) {
        let detail = format!(
            "Pages from {} may not call /mcp. Whoever runs the service can name them in its setting origins, where * does not count here.",
            origin.to_str().unwrap_or("there")
        );
        return Err(Problem::new(Kind::WrongOrigin, detail));
    }
    body::is_json(&parts.headers)?;
    let body = body::read(config, &parts.headers, body).await?;
    match serde_json::from_slice(&body) {
        Ok(Value::Object(_)) => {}
        Ok(Value::Array(_)) => return Ok(broken(NO_REQUEST, "Send one message at a time: there are no batches.")),
        Ok(_) => return Ok(broken(NO_REQUEST, "A message is an object with jsonrpc, method, params and id.")),
        Err(error) => return Ok(broken(NO_JSON, &format!("The body is not JSON: {error}."))),
    }
    settle(&mut parts.headers);
    parts.extensions.insert(Carrier::now());
    let most = config.body_bytes;
    let served = StreamableHttpServerConfig::default()
        .with_legacy_session_mode(false)
        .with_json_response(true)
        .with_max_request_body_bytes(most)
        // Whose pages may call is looked at above, and whichever name the service is reached by is right.
        .disable_allowed_hosts()
        .disable_allowed_origins();
    let service =
        StreamableHttpService::new(move || Ok(door.clone()), Arc::new(NeverSessionManager::default()), served);
    let response = service.handle(Request::from_parts(parts, Full::new(body))).await;
    Ok(as_json(response.map(Body::new)).await)
}

/// Whether a page from there may call: one that the settings name, of the service's own public address, or of this very
/// machine. A page of a stranger whose name leads here all of a sudden (DNS rebinding) has another origin.
fn may_call(config: &Config, origin: &HeaderValue) -> bool {
    // Everybody, `*`, names nobody.
    let named = config.origins.iter().filter(|named| *named != "*").chain(&config.public_address);
    if named.map(|named| named.trim_end_matches('/')).any(|named| named.as_bytes() == origin.as_bytes()) {
        return true;
    }
    let uri = origin.to_str().ok().and_then(|origin| origin.parse::<Uri>().ok());
    let is_web = |uri: &Uri| uri.scheme_str().is_some_and(|scheme| ["http", "https"].contains(&scheme));
    let host = uri.as_ref().filter(|uri| is_web(uri)).and_then(Uri::host).unwrap_or_default();
    let address = host.trim_start_matches('[').trim_end_matches(']').parse::<IpAddr>();
    host == "localhost" || address.is_ok_and(|address| address.is_loopback())
}

/// What has been looked at already, or does not matter here, is not looked at a second time in another way.
fn settle(headers: &mut HeaderMap) {
    headers.insert(header::ACCEPT, TAKEN);
    headers.insert(header::CONTENT_TYPE, JSON);
    headers.entry(header::HOST).or_insert(HeaderValue::from_static("localhost"));
}

/// What the library refuses in plain text, as an error of the protocol.
async fn as_json(response: Response) -> Response {
    let is_json = response.headers().get(header::CONTENT_TYPE) == Some(&JSON);
    if is_json || !response.status().is_client_error() {
        return response;
    }
    let status = match response.status() {
        StatusCode::UNSUPPORTED_MEDIA_TYPE => StatusCode::BAD_REQUEST,
        status => status,
    };
    let said = to_bytes(response.into_body(), 4 << 10).await.unwrap_or_default();
    let mut response = broken(NO_REQUEST, &String::from_utf8_lossy(&said));
    *response.status_mut() = status;
    response
}

/// An error of the protocol about a message whose id is not known.
fn broken(code: i32, what: &str) -> Response {
    let error = json!({"jsonrpc": "2.0", "id": null, "error": {"code": code, "message": what}});
    let headers = [(header::CONTENT_TYPE, JSON)];
    (StatusCode::BAD_REQUEST, headers, Bytes::from(error.to_string())).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_that_are_named_or_of_this_machine_may_call() {
        let config = Config {
            origins: vec!["*".into(), "https://club.example".into()],
            public_address: Some("https://odds.example/".into()),
            ..Config::default()
        };
        for (origin, may) in [
            ("https://club.example", true),
            ("https://odds.example", true),
            ("http://localhost:6274", true),
            ("http://127.0.0.1", true),
            ("http://[::1]:8640", true),
            ("https://club.example.evil.example", false),
            ("http://club.example", false),
            ("http://localhost.evil.example", false),
            ("http://127.0.0.1.evil.example", false),
            ("file://localhost", false),
            ("null", false),
            ("*", false),
            ("", false),
        ] {
            assert_eq!(may_call(&config, &HeaderValue::from_static(origin)), may, "{origin}");
        }
    }
}
