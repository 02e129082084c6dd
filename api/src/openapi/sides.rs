//! Where a request may say more than an answer does: a `null` counts as absent, and a label or a reason is not read.
//! One Rust type serves both, so the finished schemas are told apart here, by who uses them.
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// What a request may write in any way, since it is not read.
const NOT_READ: [&str; 2] = ["Label", "Notes"];

/// Says of every schema what the service takes or gives there.
pub(super) fn tell_apart(document: &mut Value) {
    let asked = asked(document);
    let Some(schemas) = document["components"]["schemas"].as_object_mut() else { return };
    let written: Map<String, Value> =
        NOT_READ.iter().filter_map(|name| Some(((*name).to_owned(), schemas.get(*name)?.clone()))).collect();
    for (name, schema) in schemas.iter_mut() {
        without_formats(schema);
        if asked.contains(name) { taken(schema) } else { given(schema, &written) }
    }
    for (name, schema) in written {
        schemas.insert(name, json!({"description": schema["description"]}));
    }
    for (_, _, operation) in super::operations(document) {
        let parameters = operation.get_mut("parameters").into_iter();
        for parameter in parameters.filter_map(Value::as_array_mut).flatten() {
            without_formats(parameter);
            // Inside what is written as JSON, whatever has a name counts as absent where it is `null`, as in a body.
            parameter.pointer_mut("/content/application~1json/schema").into_iter().for_each(taken);
        }
    }
}

/// The schemas that a request can lead to.
fn asked(document: &Value) -> BTreeSet<String> {
    let mut asked = BTreeSet::new();
    for (_, _, operation) in super::operations(&mut document.clone()) {
        names(&operation["requestBody"], &mut asked);
        names(&operation["parameters"], &mut asked);
    }
    let mut new: Vec<String> = asked.iter().cloned().collect();
    while let Some(name) = new.pop() {
        let mut below = BTreeSet::new();
        names(&document["components"]["schemas"][&name], &mut below);
        new.extend(below.into_iter().filter(|name| asked.insert(name.clone())));
    }
    asked
}

fn names(value: &Value, into: &mut BTreeSet<String>) {
    if let Some(name) = value["$ref"].as_str().and_then(|at| at.rsplit('/').next()) {
        into.insert(name.to_owned());
    }
    below(value).for_each(|value| names(value, into));
}

fn below(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_object().into_iter().flat_map(Map::values).chain(value.as_array().into_iter().flatten())
}

fn each_below(value: &mut Value, act: &mut dyn FnMut(&mut Value)) {
    match value {
        Value::Object(members) => members.values_mut().for_each(act),
        Value::Array(items) => items.iter_mut().for_each(act),
        _ => {}
    }
}

/// Our bounds say more than `int32`, which is not even so: a count has no sign.
fn without_formats(schema: &mut Value) {
    if let Some(members) = schema.as_object_mut()
        && members.get("format").is_some_and(|format| format == "int32" || format == "int64")
    {
        members.remove("format");
    }
    each_below(schema, &mut without_formats);
}

/// What may be left out may be `null`.
fn taken(schema: &mut Value) {
    let required = schema.get("required").cloned().unwrap_or_default();
    let is_required = |name: &str| required.as_array().is_some_and(|all| all.iter().any(|one| one == name));
    if let Some(properties) = schema.get_mut("properties").and_then(Value::as_object_mut) {
        for (_, schema) in properties.iter_mut().filter(|(name, _)| !is_required(name)) {
            // What is not read may be anything, so `null` is no choice beside it: exactly one of them must fit.
            if is_not_read(schema) { *schema = without_null(schema) } else { or_null(schema) }
        }
    }
    if let Some(other @ Value::Object(_)) = schema.get_mut("additionalProperties") {
        or_null(other);
    }
    each_below(schema, &mut taken);
}

fn or_null(schema: &mut Value) {
    let Some(members) = schema.as_object_mut() else { return };
    if let Some(Value::String(kind)) = members.get("type").cloned() {
        members.insert("type".into(), json!([kind, "null"]));
    } else if members.contains_key("$ref") {
        *schema = json!({"oneOf": [schema.take(), {"type": "null"}]});
    }
}

fn is_not_read(schema: &Value) -> bool {
    let mut all = BTreeSet::new();
    names(schema, &mut all);
    all.iter().any(|name| NOT_READ.contains(&name.as_str()))
}

/// No answer has a `null`, except where its description speaks of it.
fn given(schema: &mut Value, written: &Map<String, Value>) {
    if !schema.get("description").and_then(Value::as_str).is_some_and(|text| text.contains("`null`")) {
        *schema = without_null(schema);
    }
    let name = schema.get("$ref").and_then(Value::as_str).and_then(|at| at.rsplit('/').next());
    if let Some(own) = name.and_then(|name| written.get(name)) {
        *schema = own.clone();
    }
    each_below(schema, &mut |schema| given(schema, written));
}

/// The schema without `null` as one of its choices.
pub(crate) fn without_null(schema: &Value) -> Value {
    let mut schema = schema.clone();
    let Some(members) = schema.as_object_mut() else { return schema };
    if let Some(Value::Array(kinds)) = members.get_mut("type") {
        kinds.retain(|kind| kind != "null");
        if let [only] = &kinds[..] {
            let only = only.clone();
            members.insert("type".into(), only);
        }
    }
    if let Some(Value::Array(choices)) = members.get_mut("oneOf") {
        choices.retain(|choice| choice["type"] != "null");
        if let [Value::Object(only)] = &choices[..] {
            let only = only.clone();
            members.remove("oneOf");
            members.extend(only);
        }
    }
    schema
}
