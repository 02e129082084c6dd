//! Where a `null` can stand: in a request it counts as absent; no answer has one, so no answer's schema says so.
use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// Takes `null` out of every schema that no request uses.
pub(super) fn leave_out_of_answers(document: &mut Value) {
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
    for (name, schema) in document["components"]["schemas"].as_object_mut().into_iter().flatten() {
        if !asked.contains(name) {
            everywhere(schema);
        }
    }
}

fn names(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(members) => {
            let name = members.get("$ref").and_then(Value::as_str).and_then(|at| at.rsplit('/').next());
            into.extend(name.map(str::to_owned));
            members.values().for_each(|value| names(value, into));
        }
        Value::Array(items) => items.iter().for_each(|value| names(value, into)),
        _ => {}
    }
}

fn everywhere(schema: &mut Value) {
    *schema = without(schema);
    match schema {
        Value::Object(members) => members.values_mut().for_each(everywhere),
        Value::Array(items) => items.iter_mut().for_each(everywhere),
        _ => {}
    }
}

/// The schema without `null` as one of its choices.
pub(super) fn without(schema: &Value) -> Value {
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
            let only: Map<String, Value> = only.clone();
            members.remove("oneOf");
            members.extend(only);
        }
    }
    schema
}
