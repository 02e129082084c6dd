//! What the bot sends against the platform's own published description of its HTTP interface.
//!
//! Source: discord/discord-api-spec (MIT), its outbound part as JSON Schema 2020-12, beside this repository and not part
//! of it. Where it is not there the checks against it are skipped, and said to be.
use super::platform::Sent;
use jsonschema::Validator;
use serde_json::{Value, json};
use std::collections::HashMap;
use std::io::Write as _;
use std::path::Path;
use std::sync::LazyLock;

/// Where it is, unless `PIPWRIGHT_STANDARDS` names another folder.
const FOLDER: &str = "../../shared/standards";
const NAME: &str = "chat-platform-outbound.schema.json";

/// The parts of the description that answers are checked against.
const PARTS: [&str; 7] = [
    "CommandsPut",
    "CreateMessageInteractionCallbackRequest",
    "ApplicationCommandAutocompleteCallbackRequest",
    "ModalInteractionCallbackRequest",
    "PongInteractionCallbackRequest",
    "IncomingWebhookUpdateRequestPartial",
    "IncomingWebhookInteractionRequest",
];

static SCHEMAS: LazyLock<Option<HashMap<&'static str, Validator>>> = LazyLock::new(|| {
    let folder = std::env::var("PIPWRIGHT_STANDARDS").unwrap_or_else(|_| FOLDER.into());
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder).join(NAME);
    let Ok(text) = std::fs::read_to_string(&path) else {
        loudly(&format!(
            "NOT CHECKED: {NAME} is not there: nothing was held against the platform's published description"
        ));
        return None;
    };
    let schema: Value = serde_json::from_str(&text).expect("a schema");
    let validator = |part: &'static str| {
        let whole = json!({"$ref": format!("#/$defs/{part}"), "$defs": schema["$defs"]});
        (part, jsonschema::draft202012::new(&whole).unwrap_or_else(|error| panic!("{part}: {error}")))
    };
    Some(PARTS.into_iter().map(validator).collect())
});

/// Says so even where the output of tests that pass is held back.
fn loudly(words: &str) {
    let _ = writeln!(std::io::stderr(), "\n{words}");
}

/// What the description says against something sent.
pub fn faults(sent: &Sent) -> Vec<String> {
    let part = match (sent.method.as_str(), sent.path.trim_matches('/').split('/').next()) {
        ("PUT", Some("applications")) => "CommandsPut",
        ("PATCH", Some("webhooks")) => "IncomingWebhookUpdateRequestPartial",
        ("POST", Some("interactions")) => match sent.body["type"].as_u64() {
            Some(1) => "PongInteractionCallbackRequest",
            Some(4 | 5) => "CreateMessageInteractionCallbackRequest",
            Some(8) => "ApplicationCommandAutocompleteCallbackRequest",
            Some(9) => "ModalInteractionCallbackRequest",
            other => return vec![format!("an answer of the type {other:?} is none that the bot gives")],
        },
        _ => return Vec::new(),
    };
    against(part, &sent.body)
}

/// What a part of the description says against a value.
pub fn against(part: &str, value: &Value) -> Vec<String> {
    let Some(schemas) = SCHEMAS.as_ref() else { return Vec::new() };
    let schema = schemas.get(part).unwrap_or_else(|| panic!("no part {part}"));
    let mut value = value.clone();
    normalise(&mut value);
    schema.iter_errors(&value).map(|error| format!("{part}: at {}: {error}", error.instance_path())).collect()
}

/// Whether there is a description to check against.
pub fn is_there() -> bool {
    SCHEMAS.is_some()
}

/// The description refuses an attachment's number 0, which the platform's documents use themselves.
fn normalise(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            for attachment in fields.get_mut("attachments").and_then(Value::as_array_mut).into_iter().flatten() {
                attachment["id"] = json!("1");
            }
            fields.values_mut().for_each(normalise);
        }
        Value::Array(list) => list.iter_mut().for_each(normalise),
        _ => {}
    }
}

#[test]
fn the_description_refuses_what_it_should() {
    if !is_there() {
        return;
    }
    let long = "x".repeat(2001);
    assert!(
        !against("CreateMessageInteractionCallbackRequest", &json!({"type": 4, "data": {"content": long}})).is_empty()
    );
    assert!(!against("CommandsPut", &json!([{"name": "x".repeat(33), "description": "d"}])).is_empty());
    assert!(!against("ModalInteractionCallbackRequest", &json!({"type": 9, "data": {"title": "t"}})).is_empty());
}
