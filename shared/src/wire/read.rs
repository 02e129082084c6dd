//! Bytes to a request type. The fast way first; only what it refuses is read a second time, slowly, to find
//! every mistake.
use super::mistake::{Mistake, MistakeKind, pointer};
use super::named::Named;
use serde::de::DeserializeOwned;
use serde_json::Value;
use serde_path_to_error::Segment;

/// More mistakes than this help nobody.
const MOST_MISTAKES: usize = 20;

/// Understands a JSON body.
///
/// # Errors
/// All the mistakes: no JSON, fields that are wrong, unknown or missing.
pub fn body<T: DeserializeOwned>(body: &[u8]) -> Result<T, Vec<Mistake>> {
    match quickly(body) {
        Ok(request) => Ok(request),
        Err(refused) => slowly(parse(body)?, Some(refused)),
    }
}

/// Understands a request that is JSON already.
///
/// # Errors
/// All the mistakes: fields that are wrong, unknown or missing.
pub fn value<T: DeserializeOwned>(value: Value) -> Result<T, Vec<Mistake>> {
    slowly(value, None)
}

fn quickly<T: DeserializeOwned>(body: &[u8]) -> serde_json::Result<T> {
    let mut reader = serde_json::Deserializer::from_slice(body);
    let request = T::deserialize(Named(&mut reader))?;
    reader.end().map(|()| request)
}

fn no_object() -> Vec<Mistake> {
    vec![Mistake::value("", "A request is a JSON object: {…}.")]
}

fn broken(what: String) -> Vec<Mistake> {
    vec![Mistake { kind: MistakeKind::BrokenJson, ..Mistake::value("", what) }]
}

fn parse(body: &[u8]) -> Result<Value, Vec<Mistake>> {
    serde_json::from_slice(body).map_err(|error| {
        broken(if body.is_empty() { "The body is empty".to_owned() } else { sentence(&error.to_string()) })
    })
}

/// Reads the value; where that fails, takes out what is wrong and reads on, to find the next mistake.
fn slowly<T: DeserializeOwned>(mut value: Value, refused: Option<serde_json::Error>) -> Result<T, Vec<Mistake>> {
    if !value.is_object() {
        return Err(no_object());
    }
    as_whole(&mut value);
    let whole = has_nulls(&value).then(|| value.clone());
    without_nulls(&mut value);
    let mut mistakes: Vec<Mistake> = whole.map(unknown::<T>).unwrap_or_default();
    let mut taken = Taken::default();
    while mistakes.len() < MOST_MISTAKES {
        match serde_path_to_error::deserialize::<_, T>(Named(&value)) {
            Ok(request) => return if mistakes.is_empty() { again_or(request, refused) } else { Err(mistakes) },
            Err(error) => {
                let found = Found::of(&error);
                if !taken.has(&found.at) {
                    mistakes.push(found.mistake(&taken, &error));
                }
                if !taken.take(&mut value, found) {
                    break;
                }
            }
        }
    }
    Err(mistakes)
}

/// What the slow way can read and the fast one could not had a `null`, which counts as absent, or the same
/// field twice, which nobody can mean.
fn again_or<T>(request: T, refused: Option<serde_json::Error>) -> Result<T, Vec<Mistake>> {
    match refused {
        Some(error) if error.to_string().starts_with("duplicate field") => Err(broken(sentence(&error.to_string()))),
        _ => Ok(request),
    }
}

/// Names that there are not are mistakes with a `null`, too. A body of nulls is not looked through without end.
fn unknown<T: DeserializeOwned>(mut value: Value) -> Vec<Mistake> {
    let (mut mistakes, mut taken) = (Vec::new(), Taken::default());
    for _ in 0..MOST_MISTAKES {
        let Err(error) = serde_path_to_error::deserialize::<_, T>(Named(&value)) else { break };
        let found = Found::of(&error);
        if !found.is_null_in(&value) {
            break;
        }
        if found.kind == MistakeKind::UnknownField {
            mistakes.push(found.mistake(&taken, &error));
        }
        if !taken.take(&mut value, found) {
            break;
        }
    }
    mistakes
}

/// `3.0` is a whole number in JSON, however it is written; so is `-0`.
fn as_whole(value: &mut Value) {
    match value {
        Value::Object(members) => members.values_mut().for_each(as_whole),
        Value::Array(items) => items.iter_mut().for_each(as_whole),
        Value::Number(number) if number.is_f64() => {
            let whole = number.as_f64().filter(|n| n.fract() == 0.0 && n.abs() < 9_007_199_254_740_992.0);
            if let Some(whole) = whole {
                *value = (whole as i64).into();
            }
        }
        _ => {}
    }
}

fn has_nulls(value: &Value) -> bool {
    match value {
        Value::Object(members) => members.values().any(|member| member.is_null() || has_nulls(member)),
        Value::Array(items) => items.iter().any(has_nulls),
        _ => false,
    }
}

fn without_nulls(value: &mut Value) {
    match value {
        Value::Object(members) => {
            members.retain(|_, member| !member.is_null());
            members.values_mut().for_each(without_nulls);
        }
        Value::Array(items) => items.iter_mut().for_each(without_nulls),
        _ => {}
    }
}

/// One step of a path into a value.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Step {
    Name(String),
    Index(usize),
}

/// Where a mistake is, and what must go so that reading can go on.
struct Found {
    kind: MistakeKind,
    at: Vec<Step>,
    remove: Vec<Step>,
}

impl Found {
    fn of(error: &serde_path_to_error::Error<serde_json::Error>) -> Self {
        let mut path: Vec<Step> = error.path().iter().filter_map(step).collect();
        let text = error.inner().to_string();
        let named = || text.split('`').nth(1).map(|name| Step::Name(name.to_owned()));
        if text.starts_with("missing field") {
            let remove = path.clone();
            path.extend(named());
            return Self { kind: MistakeKind::MissingField, at: path, remove };
        }
        let unknown = text.starts_with("unknown field");
        if unknown && path.last() != named().as_ref() {
            path.extend(named());
        }
        let kind = if unknown { MistakeKind::UnknownField } else { MistakeKind::BadValue };
        Self { kind, remove: path.clone(), at: path }
    }

    fn mistake(&self, taken: &Taken, error: &serde_path_to_error::Error<serde_json::Error>) -> Mistake {
        Mistake {
            kind: self.kind,
            pointer: taken.original(&self.at),
            detail: sentence(&error.inner().to_string()),
            did_you_mean: Vec::new(),
        }
        .shortened()
    }

    /// Whether what must go is a `null`.
    fn is_null_in(&self, value: &Value) -> bool {
        let inside = self.remove.iter().try_fold(value, |value, step| match step {
            Step::Name(name) => value.get(name),
            Step::Index(index) => value.get(index),
        });
        inside.is_some_and(Value::is_null)
    }
}

fn step(segment: &Segment) -> Option<Step> {
    match segment {
        Segment::Seq { index } => Some(Step::Index(*index)),
        Segment::Map { key } => Some(Step::Name(key.clone())),
        Segment::Enum { .. } | Segment::Unknown => None,
    }
}

/// What has been taken out so far, as paths into the value as it came.
#[derive(Default)]
struct Taken(Vec<Vec<Step>>);

impl Taken {
    /// Takes out what was found; `false` where that is everything.
    fn take(&mut self, value: &mut Value, found: Found) -> bool {
        let original = self.translate(&found.remove);
        let missing = self.translate(&found.at);
        let Some((last, parents)) = found.remove.split_last() else { return false };
        let inside = parents.iter().try_fold(value, |value, step| match step {
            Step::Name(name) => value.get_mut(name),
            Step::Index(index) => value.get_mut(index),
        });
        let removed = match (inside, last) {
            (Some(Value::Object(members)), Step::Name(name)) => members.remove(name).is_some(),
            (Some(Value::Array(items)), Step::Index(index)) if *index < items.len() => {
                items.remove(*index);
                true
            }
            _ => false,
        };
        self.0.extend([original, missing]);
        removed
    }

    /// Whether this very field was taken out before, so that it only now seems to be missing.
    fn has(&self, at: &[Step]) -> bool {
        self.0.contains(&self.translate(at))
    }

    fn original(&self, at: &[Step]) -> String {
        self.translate(at).iter().fold(String::new(), |base, step| match step {
            Step::Name(name) => pointer(&base, name),
            Step::Index(index) => pointer(&base, index),
        })
    }

    /// The path as it was before items were taken out of the arrays on its way.
    fn translate(&self, at: &[Step]) -> Vec<Step> {
        let mut path: Vec<Step> = Vec::with_capacity(at.len());
        for step in at {
            let step = match step {
                Step::Name(_) => step.clone(),
                Step::Index(index) => Step::Index(self.index(&path, *index)),
            };
            path.push(step);
        }
        path
    }

    fn index(&self, array: &[Step], index: usize) -> usize {
        let mut gone: Vec<usize> = self
            .0
            .iter()
            .filter_map(|path| match path.split_last() {
                Some((Step::Index(gone), before)) if before == array => Some(*gone),
                _ => None,
            })
            .collect();
        gone.sort_unstable();
        gone.dedup();
        gone.into_iter().fold(index, |index, gone| if gone <= index { index + 1 } else { index })
    }
}

/// The reader's own words, as a sentence for people who do not write programs.
fn sentence(text: &str) -> String {
    let mut plain = text.to_owned();
    for (word, said) in [
        ("expected struct ", "expected an object §"),
        ("expected u8", "expected a whole number from 0 up"),
        ("expected u16", "expected a whole number from 0 up"),
        ("expected u32", "expected a whole number from 0 up"),
        ("expected u64", "expected a whole number from 0 up"),
        ("expected usize", "expected a whole number from 0 up"),
        ("expected i32", "expected a whole number"),
        ("expected i64", "expected a whole number"),
        ("expected f64", "expected a number"),
        ("expected a sequence", "expected a list"),
        ("expected a map", "expected an object"),
        ("invalid type: sequence", "invalid type: list"),
        ("invalid type: map", "invalid type: object"),
        ("invalid type: floating point", "invalid type: number"),
        ("unknown variant", "unknown word"),
    ] {
        plain = plain.replacen(word, said, 1);
    }
    // What is called a struct in here has a name that says nothing out there.
    if let Some((before, rest)) = plain.split_once(" §") {
        let after = rest.trim_start_matches(|c: char| c.is_alphanumeric() || c == '_');
        plain = format!("{before}{after}");
    }
    let mut letters = plain.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    first + letters.as_str()
}
