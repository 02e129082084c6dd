//! The tools as the contract describes them: which endpoints are tools is all that stands here.
use super::schema::{Schemas, Shape};
use axum::http::Method;
use rmcp::model::{Tool as Shown, ToolAnnotations};
use serde_json::{Map, Value};
use std::sync::Arc;

/// The endpoints that are tools, in the order in which they are listed.
const TOOLS: [(&str, &str); 13] = [
    ("post", "/v1/matchup"),
    ("post", "/v1/odds"),
    ("post", "/v1/check"),
    ("post", "/v1/repair"),
    ("post", "/v1/needed"),
    ("post", "/v1/duel"),
    ("post", "/v1/luck"),
    ("post", "/v1/list-points"),
    ("post", "/v1/build"),
    ("post", "/v1/assign"),
    ("post", "/v1/rule"),
    ("get", "/v1/packs/{pack}/units"),
    ("get", "/v1/packs"),
];

/// A tool and the endpoint that answers it.
pub(super) struct Tool {
    shown: Shown,
    /// The endpoint's method.
    pub(super) method: Method,
    /// The endpoint's path, with the names of its parts in braces.
    pub(super) path: &'static str,
}

impl Tool {
    /// What it is called by.
    pub(super) fn name(&self) -> &str {
        &self.shown.name
    }

    /// As it is listed.
    pub(super) fn shown(&self) -> Shown {
        self.shown.clone()
    }
}

/// The tools that the contract has.
pub(super) fn of(contract: &Value) -> Vec<Tool> {
    let operations = TOOLS.iter().filter_map(|(method, path)| {
        let operation = contract["paths"].get(*path)?.get(*method)?;
        Some((*path, Method::from_bytes(method.to_uppercase().as_bytes()).ok()?, operation))
    });
    let operations: Vec<(&'static str, Method, &Value)> = operations.collect();
    let questions = operations.iter().filter_map(|(path, _, operation)| Some((name(path), request(operation)?)));
    let mut schemas = Schemas::new(contract, questions.collect());
    let made = operations.into_iter().map(|(path, method, operation)| {
        let name = name(path);
        let shape = match request(operation) {
            Some(root) => schemas.of_request(&name, root),
            None => Shape { schema: schemas.of_parameters(&operation["parameters"]), described_elsewhere: false },
        };
        let title = operation["summary"].as_str().unwrap_or_default();
        let text = described(title, operation["description"].as_str(), shape.described_elsewhere);
        let hints = ToolAnnotations::new().read_only(true).destructive(false).idempotent(true).open_world(false);
        let shown = Shown::new(name, text, Arc::new(shape.schema)).with_title(title.trim_end_matches('.'));
        Tool { shown: shown.with_annotations(hints), method, path }
    });
    made.collect()
}

/// `/v1/list-points` is `list_points`, and what is looked up below a pack has its own name.
fn name(path: &str) -> String {
    path.rsplit('/').next().unwrap_or_default().replace('-', "_")
}

/// The name of the schema of its request's body.
fn request(operation: &Value) -> Option<&str> {
    operation.pointer("/requestBody/content/application~1json/schema/$ref")?.as_str()?.rsplit('/').next()
}

fn described(title: &str, more: Option<&str>, elsewhere: bool) -> String {
    let end = if title.ends_with(['.', '?']) { "" } else { "." };
    let mut text = format!("{title}{end}");
    for more in
        more.into_iter().chain(elsewhere.then_some("Parts without a description are described in the tools above."))
    {
        text.push(' ');
        text.push_str(&more.replace('\n', " "));
    }
    text
}

/// An object with these fields.
pub(super) fn object(properties: Map<String, Value>, required: Vec<Value>) -> Map<String, Value> {
    let mut schema = Map::new();
    schema.insert("type".into(), "object".into());
    schema.insert("properties".into(), properties.into());
    schema.insert("required".into(), required.into());
    schema.insert("additionalProperties".into(), false.into());
    schema
}
