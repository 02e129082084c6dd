//! Permanent links: a question as the path and query of its short form.
use serde_json::{Map, Value as Json};
use std::fmt;

/// A question at its permanent place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// The path, such as `/v1/check`.
    pub path: String,
    /// The question.
    pub question: Json,
}

impl Link {
    /// The link of a question.
    pub fn new(path: &str, question: Json) -> Self {
        Self { path: path.to_owned(), question }
    }

    /// The link below an address.
    pub fn at(&self, base: &str) -> String {
        format!("{}{self}", base.trim_end_matches('/'))
    }
}

/// Each field with its value: the service reads dots as leading into a field, a text that looks like JSON needs its quotes.
fn fields_of(base: &str, question: &Map<String, Json>, fields: &mut Vec<(String, String)>) {
    for (name, value) in question {
        let name = if base.is_empty() { name.clone() } else { format!("{base}.{name}") };
        match value {
            Json::Null => {}
            Json::Object(inner) if !inner.is_empty() && inner.keys().all(|key| is_plain(key)) => {
                fields_of(&name, inner, fields)
            }
            // A list of objects reads better one field at a time; a list of plain values as it stands.
            Json::Array(items) if !items.is_empty() && items.iter().all(Json::is_object) => {
                for (at, item) in items.iter().enumerate() {
                    let before = fields.len();
                    if let Json::Object(inner) = item {
                        fields_of(&format!("{name}.{at}"), inner, fields);
                    }
                    if fields.len() == before {
                        fields.push((format!("{name}.{at}"), "{}".into()));
                    }
                }
            }
            Json::String(text) if serde_json::from_str::<Json>(text).is_err() => fields.push((name, text.clone())),
            other => fields.push((name, other.to_string())),
        }
    }
}

fn is_plain(key: &str) -> bool {
    !key.contains('.') && key.parse::<usize>().is_err()
}

impl fmt::Display for Link {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.path)?;
        let Json::Object(question) = &self.question else { return Ok(()) };
        let mut fields = Vec::new();
        fields_of("", question, &mut fields);
        if fields.is_empty() {
            return Ok(());
        }
        let mut query = form_urlencoded::Serializer::new(String::new());
        for (name, value) in fields {
            query.append_pair(&name, &value);
        }
        write!(out, "?{}", query.finish())
    }
}
