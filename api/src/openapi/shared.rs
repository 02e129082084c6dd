//! What all operations have: an id, headers, and the choice of calling with a key or without one.
use super::{operations, refused};
use crate::middleware::retired::RETIRED;
use serde_json::{Map, Value, json};

/// Puts them into the document.
pub(super) fn add(document: &mut Value) {
    document["components"]["securitySchemes"] = json!({
        "bearer": {"type": "http", "scheme": "bearer", "description": "A key with a rate of its own."},
        "key": {"type": "apiKey", "in": "header", "name": "X-Api-Key", "description": "The same key, as a header."}
    });
    // Nobody needs a key; one that is not known is refused.
    document["security"] = json!([{}, {"bearer": []}, {"key": []}]);
    document["components"]["headers"] = headers();
    for (path, method, operation) in operations(document) {
        // Looking packs up and sending one are two things at one place.
        let sent = (path, method) == ("/v1/packs", "post");
        operation["operationId"] = if sent { "send_pack".to_owned() } else { id(path, method) }.into();
        if RETIRED.iter().any(|going| going.path == path) {
            operation["deprecated"] = true.into();
        }
        let Some(responses) = operation["responses"].as_object_mut() else { continue };
        let kept = method == "get" && path.starts_with("/v1/") && !path.ends_with("/events");
        if kept {
            let unchanged = || json!({"description": "The answer has not changed."});
            responses.entry("304").or_insert_with(unchanged);
            responses.entry("412").or_insert_with(|| refused(412));
            // A link has no body that could be too slow, too large or of another kind.
            responses.retain(|status, _| !["408", "413", "415"].contains(&status.as_str()));
        }
        for (status, response) in responses.iter_mut() {
            let all = names(path, method, status).into_iter();
            let all = all.map(|name| (name.to_owned(), json!({"$ref": format!("#/components/headers/{name}")})));
            response["headers"] = all.collect::<Map<_, _>>().into();
        }
        // What the HTTP library refuses by itself, before there is a request, has no body and no headers of ours.
        responses
            .insert("431".into(), json!({"description": "The head of the request is too long. Nothing more is said."}));
        if method == "get" {
            responses.insert(
                "414".into(),
                json!({"description": "The link is too long. Nothing more is said; ask with `POST`."}),
            );
        }
    }
}

/// `POST /v1/list-points` is `list_points`, its short form `list_points_link`; of a lookup the parameters are left out.
fn id(path: &str, method: &str) -> String {
    let parts = path.trim_start_matches("/v1").split('/');
    let named = parts.map(|part| part.trim_matches(['{', '}'])).filter(|part| !part.is_empty());
    let name = named.collect::<Vec<_>>().join("_").replace('-', "_");
    let lookup = path.ends_with('}') || ["/v1/packs", "/livez", "/readyz", "/metrics"].contains(&path);
    let below = ["/units", "/rules", "/files"].iter().any(|end| path.ends_with(end));
    let is_link = method == "get" && !lookup && !below;
    if is_link { name + "_link" } else { name }
}

fn names(path: &str, method: &str, status: &str) -> Vec<&'static str> {
    let mut all = vec!["X-Request-Id"];
    let calls = path.starts_with("/v1/");
    match status {
        // Events begin before there is an answer, and nobody keeps them.
        "200" if path.ends_with("/events") => all.extend(["RateLimit", "Cache-Control"]),
        "200" | "304" if calls => {
            all.push("RateLimit");
            // What is sent to be kept is read, and nothing is looked up or computed.
            if status == "200" && (path, method) != ("/v1/packs", "post") {
                all.push("Server-Timing");
            }
            if method == "get" {
                all.extend(["ETag", "Cache-Control"]);
            }
        }
        "401" => all.push("WWW-Authenticate"),
        "429" => all.extend(["RateLimit", "Retry-After"]),
        "503" => all.push("Retry-After"),
        _ => {}
    }
    all
}

fn headers() -> Value {
    let header = |description: &str, required: bool, schema: Value| json!({"description": description, "required": required, "schema": schema});
    let text = || json!({"type": "string"});
    json!({
        "X-Request-Id": header("The id that the request was given or brought; what is logged of it bears it.", true, text()),
        "Server-Timing": header("Milliseconds spent in reading, in the caches and in computing.", true, text()),
        "ETag": header("Names the question and the engine: equal tags, equal bytes.", true, text()),
        "Cache-Control": header("How long the answer may be kept without asking again.", true, text()),
        "RateLimit": header(
            "What is left of the caller's rate, where there is one; a draft of the IETF, which may change.", false, text()
        ),
        "Retry-After": header("Seconds to wait.", true, json!({"type": "integer", "minimum": 1})),
        "WWW-Authenticate": header("How a key is sent.", true, text())
    })
}
