//! Permanent links, read back: a question from the path and query of its short form.
pub use pipwright_shared::cards::Link;
use reqwest::Url;
use serde_json::{Map, Value as Json};

/// Reads a link, whatever host it names.
pub fn parse(text: &str) -> Option<Link> {
    let url = Url::parse(text).or_else(|_| Url::parse("http://here.invalid").and_then(|base| base.join(text))).ok()?;
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
    Some(Link { path, question })
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
