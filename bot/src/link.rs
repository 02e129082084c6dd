//! Permanent links: a question as the path and query of its short form, and back.
use reqwest::Url;
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

    /// Reads a link, whatever host it names.
    pub fn parse(text: &str) -> Option<Self> {
        let url =
            Url::parse(text).or_else(|_| Url::parse("http://here.invalid").and_then(|base| base.join(text))).ok()?;
        let path = url.path().find("/v1/").map(|at| url.path()[at..].to_owned())?;
        let mut question = Json::Object(Map::new());
        for (name, value) in url.query_pairs() {
            let value = serde_json::from_str(&value).unwrap_or_else(|_| Json::String(value.clone().into_owned()));
            let mut here = &mut question;
            for part in name.split('.') {
                here = match part.parse::<usize>() {
                    Ok(index) => item(here, index)?,
                    Err(_) => member(here, part)?,
                };
            }
            *here = value;
        }
        Some(Self { path, question })
    }

    /// The link below an address.
    pub fn at(&self, base: &str) -> String {
        format!("{}{self}", base.trim_end_matches('/'))
    }
}

fn member<'a>(here: &'a mut Json, name: &str) -> Option<&'a mut Json> {
    if here.is_null() {
        *here = Json::Object(Map::new());
    }
    Some(here.as_object_mut()?.entry(name.to_owned()).or_insert(Json::Null))
}

/// Longer than any list of a question.
const LONGEST: usize = 1_000;

fn item(here: &mut Json, index: usize) -> Option<&mut Json> {
    if here.is_null() {
        *here = Json::Array(Vec::new());
    }
    let items = here.as_array_mut().filter(|_| index < LONGEST)?;
    if items.len() <= index {
        items.resize(index + 1, Json::Null);
    }
    items.get_mut(index)
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
        let Ok(mut url) = Url::parse("http://here.invalid") else { return Err(fmt::Error) };
        let mut fields = Vec::new();
        fields_of("", question, &mut fields);
        for (name, value) in fields {
            url.query_pairs_mut().append_pair(&name, &value);
        }
        url.query().map_or(Ok(()), |query| write!(out, "?{query}"))
    }
}
