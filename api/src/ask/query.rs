//! The short form of a request: a query string in place of a JSON body.
//!
//! Each `name=value` is one field. Dots lead into a field's own fields (`target.models=5`) and numbers into a list
//! (`steps.0.needs=4%2B`). A value that reads as JSON is that JSON (`tries=3`, `exact=true`,
//! `needs=["3%2B","4%2B"]`); everything else is text. A field of a question may say that numbers are names in it
//! (`faces.6=4`). Text that looks like JSON goes in quotes (`unit="12"`).
use pipwright_shared::wire::mistake::{Mistake, pointer};
use serde_json::{Map, Value};

/// Deeper than any request.
const DEEPEST: usize = 12;
/// Longer than any list of a request.
const LONGEST: usize = 1_000;
/// So many items may be left out of the lists of a link, for a mistake to say which are missing.
const HOLES: usize = 64;
/// More fields than any link has.
const MOST: usize = 5_000;
/// More mistakes than this help nobody.
const MOST_MISTAKES: usize = 20;

/// The request that the query string stands for; in these fields, numbers are names.
///
/// # Errors
/// Every name that is given twice or that contradicts another.
pub fn value(query: &str, numbered: &[&str]) -> Result<Value, Vec<Mistake>> {
    let fields = || form_urlencoded::parse(query.as_bytes());
    // Each item of a list is on the way to some field, so a list without holes has no more items than the names have
    // numbers: room for more is never made.
    let (mut count, mut room) = (0, HOLES);
    for (name, _) in fields() {
        count += 1;
        room += name.split('.').take(DEEPEST).filter(|part| part.parse::<usize>().is_ok()).count();
    }
    if count > MOST {
        return Err(vec![Mistake::value("", format!("A link has up to {MOST} fields: send the rest as a body."))]);
    }
    let mut root = Value::Object(Map::new());
    let mut mistakes = Vec::new();
    for (name, text) in fields() {
        let value = serde_json::from_str(&text).unwrap_or_else(|_| Value::String(text.into_owned()));
        if let Err(what) = put(&mut root, &name, value, numbered, &mut room) {
            let at = name.split('.').take(DEEPEST).fold(String::new(), |base, part| pointer(&base, part));
            mistakes.push(Mistake::value(at, what));
            if mistakes.len() == MOST_MISTAKES {
                break;
            }
        }
    }
    if mistakes.is_empty() { Ok(root) } else { Err(mistakes) }
}

fn put(root: &mut Value, name: &str, value: Value, numbered: &[&str], room: &mut usize) -> Result<(), &'static str> {
    if value.is_null() {
        return Err("A link has no null: leave the field out.");
    }
    if name.split('.').count() > DEEPEST {
        return Err("Too many dots in the name.");
    }
    let mut here = root;
    let named = name.split('.').next().is_some_and(|field| numbered.contains(&field));
    for part in name.split('.') {
        here = match part.parse::<usize>() {
            Ok(index) if !named => item(here, index, room)?,
            _ => member(here, part)?,
        };
    }
    if !here.is_null() {
        return Err("Given twice. Several values go into one list: name=[1,2].");
    }
    *here = value;
    Ok(())
}

fn member<'a>(here: &'a mut Value, name: &str) -> Result<&'a mut Value, &'static str> {
    if here.is_null() {
        *here = Value::Object(Map::new());
    }
    match here {
        Value::Object(members) => Ok(members.entry(name.to_owned()).or_insert(Value::Null)),
        _ => Err("Given with fields and without."),
    }
}

fn item<'a>(here: &'a mut Value, index: usize, room: &mut usize) -> Result<&'a mut Value, &'static str> {
    if index >= LONGEST {
        return Err("No list is that long.");
    }
    if here.is_null() {
        *here = Value::Array(Vec::new());
    }
    match here {
        Value::Array(items) => {
            if items.len() <= index {
                let more = index + 1 - items.len();
                *room =
                    room.checked_sub(more).ok_or("Items of this list are left out: number them 0, 1, 2 and so on.")?;
                items.resize(index + 1, Value::Null);
            }
            Ok(&mut items[index])
        }
        // A field may be called by a number, too.
        Value::Object(members) => Ok(members.entry(index.to_string()).or_insert(Value::Null)),
        _ => Err("Given as a list and otherwise."),
    }
}

/// The link that stands for a request: the path with the request as its query string, each text field so that [`value`]
/// reads the same again. A field without a value is left out.
pub fn link(path: &str, request: &Value) -> String {
    let mut fields = Vec::new();
    spell(String::new(), request, &mut fields);
    if fields.is_empty() {
        return path.to_owned();
    }
    let query = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
    format!("{path}?{query}")
}

fn spell(name: String, value: &Value, fields: &mut Vec<(String, String)>) {
    let below = |part: &str| if name.is_empty() { part.to_owned() } else { format!("{name}.{part}") };
    let deep = name.split('.').count() >= DEEPEST - 1;
    let is_plain = |name: &String| !name.is_empty() && !name.contains('.') && name.parse::<usize>().is_err();
    match value {
        Value::Null => {}
        Value::Object(members) if name.is_empty() || !deep && !members.is_empty() && members.keys().all(is_plain) => {
            members.iter().for_each(|(part, value)| spell(below(part), value, fields));
        }
        Value::Array(items) if !deep && !items.is_empty() && items.iter().all(has_fields) => {
            items.iter().enumerate().for_each(|(at, item)| spell(below(&at.to_string()), item, fields));
        }
        Value::String(text) if serde_json::from_str::<Value>(text).is_err() => fields.push((name, text.clone())),
        other => fields.push((name, other.to_string())),
    }
}

/// Whether it is written as fields of its own and none of them is left out.
fn has_fields(item: &Value) -> bool {
    item.as_object().is_some_and(|members| !members.is_empty() && !members.values().all(Value::is_null))
}
