//! One call of a tool: the request that it stands for, asked of the endpoint, and the answer made short.
use super::{Door, said, small::shortened, tools::Tool};
use crate::{
    ask::query,
    limits::Caller,
    problem::{Kind, Problem},
    telemetry::traces::Carrier,
};
use axum::{
    body::{Body, Bytes, to_bytes},
    extract::Request,
    http::{Method, StatusCode, header, request::Parts},
    response::{IntoResponse, Response},
};
use futures::FutureExt;
use pipwright_shared::wire::mistake::{Mistake, MistakeKind, pointer};
use rmcp::model::{CallToolResult, ContentBlock};
use serde_json::{Map, Value};
use std::panic::AssertUnwindSafe;
use tokio::task::spawn_blocking;
use tower_service::Service as _;

/// A longer link is not given: few programs take one.
const LONGEST_LINK: usize = 8_000;
/// A longer answer is read on another thread.
const LONG: usize = 256 << 10;

/// Calls the tool with these arguments, for whoever sent the HTTP request that brought them.
pub(super) async fn call(
    door: &Door,
    tool: &Tool,
    arguments: Map<String, Value>,
    parts: Option<&Parts>,
) -> CallToolResult {
    let (link, mut request) = match asked(tool, arguments) {
        Ok(asked) => asked,
        Err(problem) => return refused(answer_of(problem.into_response()).await.1),
    };
    let passed = parts.map(|parts| &parts.extensions);
    if let Some(caller) = passed.and_then(|passed| passed.get::<Caller>()) {
        request.extensions_mut().insert(caller.clone());
    }
    let asking = AssertUnwindSafe(door.0.endpoints.clone().call(request)).catch_unwind();
    let asked = match passed.and_then(|passed| passed.get::<Carrier>()) {
        Some(carrier) => carrier.during(asking).await,
        None => asking.await,
    };
    let response = match asked {
        Ok(Ok(response)) => response,
        Ok(Err(never)) => match never {},
        Err(_) => {
            door.0.app.metrics.panicked();
            tracing::error!("a call of a tool panicked");
            Problem::new(Kind::Internal, "The service failed at this call. It has been logged.").into_response()
        }
    };
    let (status, body) = answer_of(response).await;
    if !status.is_success() {
        return refused(body);
    }
    let base = door.0.app.config.public_address.as_deref().unwrap_or_default().trim_end_matches('/');
    let link = (link.len() <= LONGEST_LINK).then(|| format!("{base}{link}"));
    let name = tool.name().to_owned();
    if body.len() <= LONG {
        return answered(&name, &body, link);
    }
    let read = spawn_blocking(move || answered(&name, &body, link)).await;
    read.unwrap_or_else(|_| CallToolResult::error(vec![ContentBlock::text("The answer could not be read.")]))
}

/// The request that the call stands for, with the link that asks the same.
fn asked(tool: &Tool, mut arguments: Map<String, Value>) -> Result<(String, Request), Problem> {
    if tool.method == Method::POST {
        let question = Value::Object(arguments);
        let link = query::link(tool.path, &question);
        let request = Request::post(tool.path).header(header::CONTENT_TYPE, "application/json");
        let request = request.body(Body::from(question.to_string()));
        return request.map(|request| (link, request)).map_err(unlikely);
    }
    let mut path = String::new();
    for part in tool.path.split('/').skip(1) {
        path.push('/');
        match part.strip_prefix('{').and_then(|part| part.strip_suffix('}')) {
            None => path.push_str(part),
            Some(name) => match arguments.remove(name) {
                Some(Value::String(text)) if !text.is_empty() => path.extend(encoded(&text)),
                Some(Value::Number(number)) => path.push_str(&number.to_string()),
                None => return Err(wrong(MistakeKind::MissingField, name, "is missing")),
                Some(_) => return Err(wrong(MistakeKind::BadValue, name, "is a name: a text")),
            },
        }
    }
    let link = query::link(&path, &Value::Object(arguments));
    let request = Request::get(&link).body(Body::empty());
    request.map(|request| (link, request)).map_err(unlikely)
}

fn wrong(kind: MistakeKind, field: &str, what: &str) -> Problem {
    Mistake { kind, ..Mistake::value(pointer("", field), format!("`{field}` {what}.")) }.into()
}

fn unlikely(_: axum::http::Error) -> Problem {
    Problem::new(Kind::BadValue, "These arguments can't be written as a request.")
}

/// A part of a path as it stands in a link (RFC 3986, 2.3).
fn encoded(part: &str) -> impl Iterator<Item = char> {
    let each = part.bytes().map(|byte| match byte {
        b'-' | b'.' | b'_' | b'~' => (byte as char).to_string(),
        _ if byte.is_ascii_alphanumeric() => (byte as char).to_string(),
        _ => format!("%{byte:02X}"),
    });
    each.collect::<String>().chars().collect::<Vec<_>>().into_iter()
}

async fn answer_of(response: Response) -> (StatusCode, Bytes) {
    let status = response.status();
    // An answer is never longer than the settings allow, and it is held for its caller until it is gone.
    let body = to_bytes(response.into_body(), usize::MAX).await;
    body.map_or((StatusCode::INTERNAL_SERVER_ERROR, Bytes::new()), |body| (status, body))
}

fn answered(tool: &str, body: &[u8], link: Option<String>) -> CallToolResult {
    let Ok(Value::Object(answer)) = serde_json::from_slice(body) else { return refused(Bytes::new()) };
    let mut text = said::answer(tool, &answer);
    match &link {
        Some(link) => text.push_str(&format!(" The whole answer: {link}")),
        None => text.push_str(" The question is too long for a link."),
    }
    let (mut answer, left_out) = shortened(answer);
    if !left_out.is_empty() {
        answer.insert("left_out".into(), left_out.into());
    }
    if let Some(link) = link {
        answer.insert("link".into(), link.into());
    }
    let mut result = CallToolResult::success(vec![ContentBlock::text(text)]);
    result.structured_content = Some(answer.into());
    result
}

fn refused(problem: Bytes) -> CallToolResult {
    let problem: Value = serde_json::from_slice(&problem).unwrap_or_default();
    let mut result = CallToolResult::error(vec![ContentBlock::text(said::problem(&problem))]);
    result.structured_content = problem.is_object().then_some(problem);
    result
}
