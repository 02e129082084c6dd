//! The HTTP interface of the stand-in.
use super::parts::parts;
use super::{APPLICATION, Sent, State, bot};
use axum::body::Bytes;
use axum::extract::State as Extract;
use axum::http::{HeaderMap, Method, StatusCode, Uri};
use axum::response::{IntoResponse, Json, Response};
use serde_json::{Value, json};
use std::sync::Arc;
use std::time::Instant;

pub async fn answer(
    Extract(state): Extract<Arc<State>>,
    method: Method,
    uri: Uri,
    headers: HeaderMap,
    bytes: Bytes,
) -> Response {
    let path = uri.path().trim_start_matches("/api/v10").to_owned();
    if let Some(status) = refusal(&state, &path) {
        let status = StatusCode::from_u16(status).expect("a status");
        let wait = json!({"message": "You are being rate limited.", "retry_after": 0.2, "global": false, "code": 0});
        return (status, [("retry-after", "1")], Json(wait)).into_response();
    }
    if headers.get("authorization").is_none_or(|token| token != "Bot token") && !path.starts_with("/interactions") {
        return problem(StatusCode::UNAUTHORIZED, 0, "401: Unauthorized");
    }
    let kind = headers.get("content-type").and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    let (body, files) = parts(kind, &bytes);
    let sent = Sent { method: method.to_string(), path: path.clone(), body: body.clone(), files, at: Instant::now() };
    let response = respond(&state, method.as_str(), &path, body);
    state.keep(sent);
    response
}

fn refusal(state: &State, path: &str) -> Option<u16> {
    let mut shared = state.shared();
    let (_, status, times) =
        shared.refusals.iter_mut().find(|(part, _, times)| path.contains(part.as_str()) && *times > 0)?;
    *times -= 1;
    Some(*status)
}

fn respond(state: &State, method: &str, path: &str, body: Value) -> Response {
    let parts: Vec<&str> = path.trim_matches('/').split('/').collect();
    let application = APPLICATION.to_string();
    match (method, parts.as_slice()) {
        ("GET", ["oauth2", "applications", "@me"]) => Json(json!({
            "id": application, "name": "pipwright", "icon": null, "description": "", "bot_public": true,
            "bot_require_code_grant": false, "verify_key": "", "team": null, "bot": bot(),
        }))
        .into_response(),
        ("GET", ["gateway"]) => Json(json!({"url": state.base.replace("http", "ws") + "/ws"})).into_response(),
        ("GET", ["gateway", "bot"]) => Json(json!({
            "url": state.base.replace("http", "ws") + "/ws", "shards": state.shared().shards,
            "session_start_limit": {"total": 1000, "remaining": 999, "reset_after": 1000, "max_concurrency": 1},
        }))
        .into_response(),
        ("GET", ["applications", _, .., "commands"]) => {
            Json(state.shared().commands.get(path).cloned().unwrap_or_else(|| json!([]))).into_response()
        }
        ("PUT", ["applications", _, .., "commands"]) => {
            let written = written(body, &parts);
            state.shared().commands.insert(path.to_owned(), written.clone());
            Json(written).into_response()
        }
        ("POST", ["interactions", _, token, "callback"]) => {
            if state.shared().answered.insert((*token).to_owned()) {
                StatusCode::NO_CONTENT.into_response()
            } else {
                problem(StatusCode::BAD_REQUEST, 40060, "Interaction has already been acknowledged.")
            }
        }
        ("PATCH", ["webhooks", _, token, "messages", "@original"]) => {
            if state.shared().answered.contains(*token) {
                Json(message(&body)).into_response()
            } else {
                problem(StatusCode::NOT_FOUND, 10015, "Unknown Webhook")
            }
        }
        ("POST", ["channels", _, "messages"]) => Json(message(&body)).into_response(),
        _ => problem(StatusCode::NOT_FOUND, 0, "404: Not Found"),
    }
}

fn problem(status: StatusCode, code: u32, message: &str) -> Response {
    (status, Json(json!({"code": code, "message": message}))).into_response()
}

/// A registration as the platform writes it out: with numbers of its own, and what was left open filled in.
fn written(mut body: Value, path: &[&str]) -> Value {
    for (at, command) in body.as_array_mut().into_iter().flatten().enumerate() {
        command["id"] = json!((910_000_000_000_000_000_u64 + at as u64).to_string());
        command["application_id"] = json!(path[1]);
        command["version"] = json!("910000000000000009");
        command["default_member_permissions"] = Value::Null;
        command["nsfw"] = json!(false);
        for field in ["name_localizations", "description_localizations"] {
            if command.get(field).is_none() {
                command[field] = Value::Null;
            }
        }
        for option in command["options"].as_array_mut().into_iter().flatten() {
            // Of a field, only what is not so anyway is written out.
            if option["required"] == json!(false) {
                option.as_object_mut().expect("an object").remove("required");
            }
        }
        if path.contains(&"guilds") {
            command["guild_id"] = json!(path[3]);
            command["contexts"] = Value::Null;
            command["integration_types"] = json!([0]);
        }
    }
    body
}

/// The whole message that the platform gives back.
fn message(body: &Value) -> Value {
    json!({
        "id": "920000000000000001", "channel_id": "930000000000000001", "author": bot(), "content": body["content"],
        "timestamp": "2026-11-25T12:00:00.000000+00:00", "edited_timestamp": null, "tts": false,
        "mention_everyone": false, "mentions": [], "mention_roles": [], "attachments": [], "embeds": [],
        "pinned": false, "type": 0, "components": [],
    })
}
