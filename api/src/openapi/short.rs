//! The short form of every calculation: the same request as the query string of a `GET`.
use super::{followed, refused};
use serde_json::{Map, Value, json};

/// What only a request with a body can be told.
const OF_BODIES: [&str; 3] = ["408", "413", "415"];
/// What a query string says as it is; everything else is written as JSON.
const PLAIN: [&str; 3] = ["integer", "number", "boolean"];

/// Adds them, and lifts the example of a request's schema to its operation.
pub(super) fn add(document: &mut Value) {
    let whole = document.clone();
    for item in document["paths"].as_object_mut().into_iter().flat_map(Map::values_mut) {
        let body = &mut item["post"]["requestBody"]["content"]["application/json"];
        if !body.is_object() {
            // Asking for what is not there has put a null in its place.
            item.as_object_mut().map(|methods| methods.remove("post"));
            continue;
        }
        let schema = body["schema"].clone();
        let request = followed(&whole, &schema).clone();
        if body.get("example").is_none() && !request["example"].is_null() {
            body["example"] = request["example"].clone();
        }
        let example = body["example"].clone();
        if item.get("get").is_some() {
            // What is looked up there is another thing.
            continue;
        }
        if let Some(get) = short_form(&whole, &item["post"], &request, &example) {
            item["get"] = get;
        }
    }
}

/// None where the request is no object.
fn short_form(document: &Value, post: &Value, request: &Value, example: &Value) -> Option<Value> {
    let fields = request["properties"].as_object()?;
    let required = |name: &str| request["required"].as_array().is_some_and(|all| all.iter().any(|one| one == name));
    let parameters = fields.iter().map(|(name, schema)| parameter(document, name, schema, required(name), example));
    let mut responses = post["responses"].as_object()?.clone();
    responses.retain(|status, _| !OF_BODIES.contains(&status.as_str()));
    responses.insert("304".into(), json!({"description": "The answer has not changed."}));
    responses.insert("412".into(), refused(412));
    Some(json!({
        "tags": post["tags"],
        "summary": format!("{} (short form)", post["summary"].as_str()?.trim_end_matches('.')),
        "description": "The same as the `POST`, as a link.",
        "parameters": parameters.collect::<Vec<_>>(),
        "responses": responses,
    }))
}

fn parameter(document: &Value, name: &str, schema: &Value, required: bool, example: &Value) -> Value {
    let mut schema = schema.clone();
    let description = schema.as_object_mut().and_then(|schema| schema.remove("description"));
    // A field left out is left out of the link, so there is no null.
    let schema = super::sides::without_null(&schema);
    let description = description.or_else(|| followed(document, &schema).get("description").cloned());
    let mut parameter = json!({"name": name, "in": "query", "required": required});
    if let Some(text) = description {
        parameter["description"] = text;
    }
    if followed(document, &schema)["type"].as_str().is_some_and(|kind| PLAIN.contains(&kind)) {
        parameter["schema"] = schema;
        if let Some(value) = example.get(name) {
            parameter["example"] = value.clone();
        }
    } else {
        parameter["content"] = json!({"application/json": {"schema": schema}});
        if let Some(value) = example.get(name) {
            parameter["content"]["application/json"]["example"] = value.clone();
        }
    }
    parameter
}
