//! One cell: from what people write to a value of a unit book, and back.
use super::super::names::plain;
use super::columns::{Kind, Of};
use super::grid::Content;
use super::name::{Held, Names, StatColumn};
use toml::Value;

/// What the names of a row may mean.
pub(super) struct Context<'a> {
    pub(super) kinds: &'a Names,
    pub(super) roles: &'a Names,
    pub(super) rules: &'a Names,
    pub(super) weapons: &'a Names,
    pub(super) units: &'a Names,
    /// Those of the row's own unit.
    pub(super) options: &'a Names,
    pub(super) stats: &'a [StatColumn],
    /// Whether weapons are counted for the whole unit where nobody says, and not for each model.
    pub(super) per_unit: bool,
}

/// What is wrong with a cell, and what would mend it.
pub(super) type Wrong = (String, Option<String>);

/// A value, and the unit of measure that stood behind it.
pub(super) type Read = (Value, Option<&'static str>);

/// Units of measure as people write them; the last ones are words that say nothing a number does not.
const MEASURES: &[(&str, &[&str])] = &[
    ("inches", &["\"", "''", "”", "″", "in", "in.", "inch", "inches"]),
    ("centimetres", &["cm"]),
    ("millimetres", &["mm"]),
    ("", &["point", "points", "pt", "pts", "model", "models"]),
];

fn wrong<T>(message: impl Into<String>) -> Result<T, Wrong> {
    Err((message.into(), None))
}

fn mend<T>(message: impl Into<String>, suggestion: impl Into<String>) -> Result<T, Wrong> {
    Err((message.into(), Some(suggestion.into())))
}

impl Context<'_> {
    fn names(&self, of: Of) -> &Names {
        match of {
            Of::Kinds => self.kinds,
            Of::Roles => self.roles,
            Of::Rules => self.rules,
            Of::Weapons => self.weapons,
            Of::Units => self.units,
            Of::Options => self.options,
        }
    }

    /// The id of what is called so; what nobody knows stays as it is, and is told where the book is read.
    fn id(&self, of: Of, said: &str) -> Value {
        Value::from(self.names(of).find(said).unwrap_or(said.trim()))
    }

    fn label<'a>(&'a self, of: Of, id: &'a str) -> &'a str {
        self.names(of).label(id)
    }

    /// Reads a cell; nothing where it says nothing.
    pub(super) fn read(&self, kind: Kind, content: &Content) -> Result<Option<Read>, Wrong> {
        if let Content::Error(error) = content {
            return mend(format!("a formula failed here: {error}"), "type the value itself");
        }
        let said = content.said();
        let said = said.trim();
        let is_list = matches!(kind, Kind::Many(_) | Kind::WeaponCounts | Kind::Texts);
        let blank = matches!(kind, Kind::Stat(..) | Kind::Number) || is_list;
        if said.is_empty() || blank && ["-", "–", "—"].contains(&said) {
            return Ok(None);
        }
        if let Content::Date(date) = content {
            return mend(
                format!("a date stands here ({date}): spreadsheets make dates of what looks like one"),
                "format the cell as text and type it again",
            );
        }
        let plainly = |value: Value| Ok(Some((value, None)));
        match kind {
            Kind::Text => plainly(Value::from(said)),
            Kind::Number => number(content).map(Some),
            Kind::Yes => match plain(said).as_str() {
                "ye" | "yes" | "true" | "y" | "x" | "1" => plainly(Value::from(true)),
                "no" | "false" | "n" | "0" => plainly(Value::from(false)),
                _ => mend(format!("{said:?} is neither yes nor no"), "write yes or no"),
            },
            Kind::Word(words) => match words.iter().find(|word| plain(word) == plain(said)) {
                Some(word) => plainly(Value::from(*word)),
                None => mend(format!("{said:?} is not known here"), format!("write {}", listed(words))),
            },
            Kind::One(of) => plainly(self.id(of, said)),
            Kind::Many(of) => {
                let ids = parts(said, |whole| self.names(of).find(whole).is_some());
                plainly(Value::Array(ids.into_iter().map(|part| self.id(of, part)).collect()))
            }
            Kind::Texts => plainly(Value::Array(parts(said, |_| false).into_iter().map(Value::from).collect())),
            Kind::Range => range(content).map(|value| Some((value, None))),
            Kind::Most => most(content).map(|value| Some((value, None))),
            Kind::WeaponCounts => {
                let whole = |text: &str| self.weapons.find(text).is_some();
                let carried = parts(said, whole).into_iter().map(|part| self.carried(part));
                plainly(Value::Array(carried.collect::<Result<_, _>>()?))
            }
            Kind::Table => plainly(Value::Table(table(said)?)),
            Kind::More => plainly(Value::Table(table(said)?)),
            Kind::Stat(at, _) => stat(&self.stats[at], content).map(Some),
        }
    }

    /// `Turf sling`, `2 turf slings`, `turf sling x2 each`, `stake thrower x1 in the unit`.
    fn carried(&self, said: &str) -> Result<Value, Wrong> {
        if let Some(id) = self.weapons.find(said) {
            return Ok(Value::from(id));
        }
        let (mut name, mut each, mut whole) = (said.trim(), None, None);
        // Numbers stand behind the name, each with what it counts; a number alone counts what is usual here.
        while let Some((before, count, of_unit)) = split_count(name) {
            *(if of_unit.unwrap_or(self.per_unit) { &mut whole } else { &mut each }) = Some(count);
            name = before;
            if self.weapons.find(name).is_some() {
                break;
            }
        }
        if each.is_none() && whole.is_none() {
            // Or one stands before it.
            let first = name.split_once(char::is_whitespace);
            let count = first.and_then(|(count, rest)| {
                let count = count.trim_end_matches(['x', '×']).parse::<i64>().ok()?;
                Some((count, rest.trim_start_matches(['x', '×', ' '])))
            });
            if let Some((count, rest)) = count {
                *(if self.per_unit { &mut whole } else { &mut each }) = Some(count);
                name = rest;
            }
        }
        let id = self.weapons.find(name).unwrap_or(name.trim());
        if each.is_none() && whole.is_none() {
            return Ok(Value::from(id));
        }
        let counts = [("per_model", each), ("per_unit", whole)];
        let counts = counts.into_iter().filter_map(|(key, count)| Some((key.to_owned(), Value::from(count?))));
        Ok(Value::Table([("weapon".to_owned(), Value::from(id))].into_iter().chain(counts).collect()))
    }

    /// What is written into a cell for this value; nothing where the cell could not be read back as it.
    pub(super) fn write(&self, kind: Kind, value: &Value) -> Option<Content> {
        let written = self.written(kind, value)?;
        let back = self.read(kind, &written).ok().flatten();
        back.is_some_and(|(back, measure)| back == *value && measure.is_none()).then_some(written)
    }

    fn written(&self, kind: Kind, value: &Value) -> Option<Content> {
        let list = |of: &dyn Fn(&Value) -> Option<String>| {
            let parts: Option<Vec<String>> = value.as_array()?.iter().map(of).collect();
            Some(Content::Text(parts?.join("; ")))
        };
        match kind {
            Kind::One(of) => Some(Content::Text(self.label(of, value.as_str()?).to_owned())),
            Kind::Many(of) => list(&|one| Some(self.label(of, one.as_str()?).to_owned())),
            Kind::Texts => list(&|one| one.as_str().map(str::to_owned)),
            Kind::WeaponCounts => list(&|one| match one {
                Value::String(id) => Some(self.label(Of::Weapons, id).to_owned()),
                one => {
                    let id = one.get("weapon")?.as_str()?;
                    let count = |key: &str, of: &str| Some(format!(" x{} {of}", one.get(key)?.as_integer()?));
                    let counts = [count("per_model", "each"), count("per_unit", "in the unit")];
                    let counts: String = counts.into_iter().flatten().collect();
                    Some(format!("{}{counts}", self.label(Of::Weapons, id)))
                }
            }),
            Kind::Yes => Some(Content::Text(if value.as_bool()? { "yes" } else { "no" }.to_owned())),
            Kind::Range => match value.as_integer() {
                Some(models) => Some(Content::Number(models as f64)),
                None => {
                    let (least, most) = (value.get("least")?.as_integer()?, value.get("most")?.as_integer()?);
                    Some(Content::Text(format!("{least} to {most}")))
                }
            },
            Kind::Most => match value.as_integer() {
                Some(times) => Some(Content::Number(times as f64)),
                None => Some(Content::Text(format!("1 per {} models", value.get("per_models")?.as_integer()?))),
            },
            Kind::Table | Kind::More => {
                let pairs =
                    value.as_table()?.iter().map(|(key, value)| format!("{} = {value}", super::import::key(key)));
                Some(Content::Text(pairs.collect::<Vec<_>>().join(", ")))
            }
            _ => match value {
                Value::Integer(number) => Some(Content::Number(*number as f64)),
                Value::String(text) => Some(Content::Text(text.clone())),
                _ => None,
            },
        }
    }
}

/// `… x2 each`, `… x2 in the unit` or `… x2`: what stands before, the number, and whether the unit has them, where it says.
fn split_count(text: &str) -> Option<(&str, i64, Option<bool>)> {
    const ENDS: [(&str, bool); 5] =
        [(" each", false), (" per model", false), (" in the unit", true), (" in unit", true), (" per unit", true)];
    let text = text.trim_end();
    let end = ENDS.iter().find_map(|(end, of_unit)| Some((text.strip_suffix(end)?, Some(*of_unit))));
    let (rest, of_unit) = end.unwrap_or((text, None));
    let (before, count) = rest.rsplit_once(char::is_whitespace)?;
    Some((before, count.strip_prefix(['x', '×'])?.parse().ok()?, of_unit))
}

/// The parts of a list: parted by semicolons or lines, else by commas; one that is whole stays so.
fn parts(said: &str, is_whole: impl Fn(&str) -> bool) -> Vec<&str> {
    let marks: &[char] = if said.contains([';', '\n']) { &[';', '\n'] } else { &[','] };
    if marks == [','] && is_whole(said) {
        return vec![said];
    }
    said.split(marks).map(str::trim).filter(|part| !part.is_empty()).collect()
}

/// A whole number with or without a unit of measure.
fn number(content: &Content) -> Result<Read, Wrong> {
    match content {
        Content::Number(number) => Ok((Value::from(whole(*number)?), None)),
        Content::Text(text) => {
            let text = text.trim();
            let end =
                text.find(|c: char| !(c.is_ascii_digit() || ['-', '+', '.', ','].contains(&c))).unwrap_or(text.len());
            let (digits, measure) = (text[..end].trim_end_matches(','), text[end..].trim());
            let known = MEASURES.iter().find(|(_, all)| all.iter().any(|one| measure.eq_ignore_ascii_case(one)));
            let number = digits.replace(',', ".").parse::<f64>().ok();
            match (number, known) {
                (Some(number), _) if measure.is_empty() => Ok((Value::from(whole(number)?), None)),
                (Some(number), Some((name, _))) => {
                    Ok((Value::from(whole(number)?), Some(*name).filter(|n| !n.is_empty())))
                }
                (Some(number), None) => {
                    mend(format!("{measure:?} behind the number is not known"), format!("write {number} alone"))
                }
                (None, _) => mend(format!("{text:?} is no number"), "write a whole number, such as 12"),
            }
        }
        _ => mend("this should be a number", "write a whole number, such as 12"),
    }
}

fn whole(number: f64) -> Result<i64, Wrong> {
    if number.fract() == 0.0 && number.abs() <= 1e9 {
        return Ok(number as i64);
    }
    mend(format!("{number} is no whole number"), format!("write {}", number.round()))
}

/// `5`, `5-10`, `5 to 10`.
fn range(content: &Content) -> Result<Value, Wrong> {
    let said = content.said();
    let ends = said.split_once(" to ").or_else(|| said.split_once(['-', '–', '—']));
    let one = |text: &str| number(&Content::Text(text.to_owned())).ok().and_then(|(value, _)| value.as_integer());
    match ends.map(|(least, most)| (one(least), one(most))) {
        None => number(content).map(|(value, _)| value),
        Some((Some(least), Some(most))) => {
            let ends = [("least".to_owned(), Value::from(least)), ("most".to_owned(), Value::from(most))];
            Ok(Value::Table(ends.into_iter().collect()))
        }
        Some(_) => mend(format!("{said:?} is no number of models"), "write 5, or 5 to 10"),
    }
}

/// `2`, `1 per 5 models`.
fn most(content: &Content) -> Result<Value, Wrong> {
    let said = content.said();
    let Some((times, share)) = said.split_once("per ") else { return number(content).map(|(value, _)| value) };
    let share = number(&Content::Text(share.to_owned())).ok().and_then(|(share, _)| share.as_integer());
    match (["", "1", "one"].contains(&times.trim()), share) {
        (true, Some(share)) => Ok(Value::Table([("per_models".to_owned(), Value::from(share))].into_iter().collect())),
        _ => mend(format!("{said:?} does not say how often"), "write 2, or 1 per 5 models"),
    }
}

/// `key = value, …`, as in a unit book.
fn table(said: &str) -> Result<toml::Table, Wrong> {
    let parsed = format!("table = {{ {said} }}").parse::<toml::Table>();
    match parsed.ok().and_then(|mut parsed| parsed.remove("table")) {
        Some(Value::Table(table)) => Ok(table),
        _ => mend("this column is written as in a unit book", "write key = value, with commas between several"),
    }
}

fn stat(stat: &StatColumn, content: &Content) -> Result<Read, Wrong> {
    let said = content.said();
    let close: String = said.chars().filter(|c| !c.is_whitespace()).collect();
    let plainly = |value: Value| Ok((value, None));
    match &stat.holds {
        Held::Number => number(content),
        Held::Needs => {
            let small = close.to_lowercase();
            let needs = ["auto", "never"].contains(&small.as_str()) || small.ends_with(['+', '-']);
            if !needs && small.chars().all(|c| c.is_ascii_digit()) {
                return mend(format!("{close} alone does not say which way"), format!("write {close}+ or {close}-"));
            }
            if needs { plainly(Value::from(small)) } else { mend(format!("{said:?} is no need"), "write it like 3+") }
        }
        Held::Dice => match content {
            Content::Number(number) => plainly(Value::from(whole(*number)?)),
            _ => match close.parse::<i64>() {
                Ok(number) => plainly(Value::from(number)),
                Err(_) => plainly(Value::from(close.to_lowercase())),
            },
        },
        Held::Word(words) => match words.iter().find(|word| **word == said.trim() || plain(word) == plain(&said)) {
            Some(word) => plainly(Value::from(word.as_str())),
            None if words.is_empty() => wrong(format!("{} has no words to choose from", stat.label)),
            None => mend(format!("{} has no word {said:?}", stat.label), format!("write {}", listed(words))),
        },
    }
}

fn listed<S: AsRef<str>>(words: &[S]) -> String {
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
