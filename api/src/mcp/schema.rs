//! What a tool takes, as JSON Schema that refers to nothing outside: the contract's own schemas, without what only
//! readers of the contract need.
use super::tools::object;
use crate::openapi::without_null;
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet, btree_map::Entry};

/// A schema longer than this does not repeat what tools before it have described.
const LONG: usize = 16 << 10;
/// A part that has at least so many fields, all of them fields of another tool, is that tool's question.
const QUESTION: usize = 8;

/// What one tool takes.
pub(super) struct Shape {
    /// The schema.
    pub(super) schema: Map<String, Value>,
    /// Whether some of its parts are described by tools before it.
    pub(super) described_elsewhere: bool,
}

/// The schemas of the contract, on their way into tools.
pub(super) struct Schemas<'a> {
    all: &'a Value,
    /// Each tool with the schema of its question.
    questions: Vec<(String, &'a str)>,
    described: BTreeSet<String>,
}

impl<'a> Schemas<'a> {
    /// Those of the contract, for tools that ask these questions.
    pub(super) fn new(contract: &'a Value, questions: Vec<(String, &'a str)>) -> Self {
        Self { all: &contract["components"]["schemas"], questions, described: BTreeSet::new() }
    }

    /// What a tool takes whose request has this schema.
    pub(super) fn of_request(&mut self, tool: &str, root: &str) -> Shape {
        let full = self.made(tool, root, &BTreeSet::new());
        let is_long = serde_json::to_string(&full).map_or(0, |text| text.len()) > LONG;
        let names: BTreeSet<String> =
            full.get("$defs").and_then(Value::as_object).into_iter().flat_map(Map::keys).cloned().collect();
        let elsewhere: BTreeSet<String> = names.intersection(&self.described).cloned().collect();
        self.described.extend(names);
        match is_long && !elsewhere.is_empty() {
            true => Shape { schema: self.made(tool, root, &elsewhere), described_elsewhere: true },
            false => Shape { schema: full, described_elsewhere: false },
        }
    }

    /// What a tool takes whose endpoint has these parameters.
    pub(super) fn of_parameters(&self, parameters: &Value) -> Map<String, Value> {
        let (mut properties, mut required) = (Map::new(), Vec::new());
        for parameter in parameters.as_array().into_iter().flatten() {
            let Some(name) = parameter["name"].as_str() else { continue };
            let mut schema = parameter["schema"].clone();
            schema["description"] = parameter["description"].clone();
            if let Some(example) = parameter.get("example") {
                schema["examples"] = json!([example]);
            }
            properties.insert(name.to_owned(), schema);
            if parameter["required"] == true {
                required.push(name.into());
            }
        }
        object(properties, required)
    }

    fn made(&self, tool: &str, root: &str, silent: &BTreeSet<String>) -> Map<String, Value> {
        let mut new = BTreeSet::new();
        let mut schema = match self.tidied(&self.all[root], (tool, true), &mut new) {
            Value::Object(schema) => schema,
            _ => Map::new(),
        };
        if let Some(example) = self.all[root].get("example") {
            schema.insert("examples".into(), json!([example]));
        }
        let mut parts: BTreeMap<String, Value> = BTreeMap::new();
        while let Some(name) = new.pop_first() {
            if let Entry::Vacant(place) = parts.entry(name) {
                let name = place.key();
                let part = self.tidied(&self.all[name.as_str()], (tool, !silent.contains(name)), &mut new);
                place.insert(part);
            }
        }
        if !parts.is_empty() {
            schema.insert("$defs".into(), parts.into_iter().collect::<Map<_, _>>().into());
        }
        schema
    }

    /// The schema without `null`, since a field may be left out, and without examples; what it refers to goes into `new`.
    fn tidied(&self, schema: &Value, way: (&str, bool), new: &mut BTreeSet<String>) -> Value {
        let Value::Object(members) = without_null(schema) else { return schema.clone() };
        if let Some(name) = members.get("$ref").and_then(Value::as_str).and_then(|at| at.rsplit('/').next()) {
            let said = members.get("description").and_then(Value::as_str).unwrap_or_default();
            if let Some(tool) = self.question(way.0, name) {
                let said = format!("{said} Its fields are those of the tool `{tool}`.");
                return json!({"type": "object", "description": said.trim_start()});
            }
            new.insert(name.to_owned());
            let mut own = Map::from_iter([("$ref".to_owned(), format!("#/$defs/{name}").into())]);
            if way.1 && !said.is_empty() {
                own.insert("description".into(), said.into());
            }
            return own.into();
        }
        let mut tidied = Map::new();
        for (key, value) in members {
            let value = match key.as_str() {
                "example" => continue,
                "description" if !way.1 => continue,
                // Here the keys are names.
                "properties" => {
                    let fields = value.as_object().into_iter().flatten();
                    fields
                        .map(|(name, schema)| (name.clone(), self.tidied(schema, way, new)))
                        .collect::<Map<_, _>>()
                        .into()
                }
                "items" | "additionalProperties" | "propertyNames" | "not" => self.tidied(&value, way, new),
                "oneOf" | "anyOf" | "allOf" | "prefixItems" => {
                    let choices = value.as_array().into_iter().flatten();
                    choices.map(|schema| self.tidied(schema, way, new)).collect::<Vec<_>>().into()
                }
                _ => value,
            };
            tidied.insert(key, value);
        }
        tidied.into()
    }

    /// The other tool whose question this schema is, with all its fields or most of them.
    fn question(&self, own: &str, name: &str) -> Option<&str> {
        let fields = |name: &str| self.all[name]["properties"].as_object();
        let same = |root: &str| match (fields(name), fields(root)) {
            _ if name == root => true,
            (Some(part), Some(whole)) => part.len() >= QUESTION && part.keys().all(|field| whole.contains_key(field)),
            _ => false,
        };
        self.questions.iter().find(|(tool, root)| tool != own && same(root)).map(|(tool, _)| tool.as_str())
    }
}
