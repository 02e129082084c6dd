//! Lists as people paste them: `3x Heron Carriage + signal mast`.
use super::{Code, Line, Problem};
use crate::rules::model::Pack;
use crate::rules::names::NotFound;

/// What a pasted text says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pasted {
    /// The lines that were understood.
    pub lines: Vec<Line>,
    /// What was not.
    pub problems: Vec<Problem>,
    /// A points limit that stands on a line of its own.
    pub limit: Option<u32>,
}

/// The most lines of a list.
pub const MOST_LINES: usize = 500;

/// Reads a pasted list. Each line is a unit with its options behind `+`, commas or `with`; a line that begins with
/// `+` goes on with the options of the line before. Empty lines and those that begin with `#` say nothing.
pub fn read(pack: &Pack, text: &str) -> Pasted {
    let mut pasted = Pasted::default();
    for (index, raw) in text.lines().enumerate() {
        let number = index as u32 + 1;
        let line = strip(raw);
        if line.is_empty() || line.starts_with('#') || line.starts_with("//") {
            continue;
        }
        if pasted.lines.len() >= MOST_LINES {
            let mend = format!("leave out what comes after line {number}");
            pasted.problems.push(Problem::new(Code::TooLong, Some(number), "a list has at most 500 lines", mend));
            break;
        }
        if let Some(limit) = limit(line) {
            pasted.limit = Some(limit);
            continue;
        }
        if let Some(more) = raw.trim_start().strip_prefix('+') {
            more_options(pack, number, strip(more), &mut pasted);
            continue;
        }
        read_line(pack, number, line, &mut pasted);
    }
    pasted
}

/// A line without a bullet before it and without the points that somebody wrote behind it.
fn strip(line: &str) -> &str {
    let line = line.trim();
    let line = line.strip_prefix(['-', '*', '•', '·']).map_or(line, str::trim_start);
    strip_points(line)
}

/// The text without `(265 points)`, `[265]`, `- 265 pts` or `= 265` at its end.
fn strip_points(line: &str) -> &str {
    let inner = line.trim_end_matches([')', ']']).trim_end();
    let bracketed = inner.len() < line.len();
    let lower = inner.to_ascii_lowercase();
    let word = ["points", "point", "pts", "pt"].into_iter().find(|word| lower.ends_with(word));
    let number = inner[..inner.len() - word.map_or(0, str::len)].trim_end();
    let rest = number.trim_end_matches(|c: char| c.is_ascii_digit());
    if rest.len() == number.len() {
        return line;
    }
    let before = rest.trim_end();
    let marked = before.ends_with(['(', '[', '=', ':']) || before.ends_with(" -");
    let square = before.ends_with('[') || before.ends_with('=');
    // A bare number in round brackets may be models: `Dyke Hands (10)`.
    if word.is_some() || (square && (bracketed || before.ends_with('='))) {
        let cut = before.trim_end_matches(['(', '[', '=', ':', '-', ',']).trim_end();
        if marked || word.is_some() {
            return if cut.is_empty() { line } else { cut };
        }
    }
    line
}

/// `1500 points`, or `limit 1500`.
fn limit(line: &str) -> Option<u32> {
    let lower = line.to_ascii_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let number = words.iter().find_map(|word| word.parse::<u32>().ok())?;
    let plain = |word: &&str| ["points", "pts", "limit", "list", "of"].contains(word) || word.parse::<u32>().is_ok();
    (words.len() > 1 && words.len() <= 4 && words.iter().all(plain)).then_some(number.min(1_000_000))
}

fn read_line(pack: &Pack, number: u32, line: &str, pasted: &mut Pasted) {
    let parts = parts(line);
    let Some((head, options)) = parts.split_first() else { return };
    let counted = counted(head);
    let unit = match pack.find.units.find(&counted.name) {
        Ok(unit) => unit,
        Err(error) => {
            let text = format!("no unit is called “{}”", counted.name);
            pasted.problems.push(Problem::new(Code::UnknownUnit, Some(number), text, suggest(&error)));
            return;
        }
    };
    let (least, most) = pack.units[unit].models;
    // One number before a unit of several models means models, unless it is below what one unit has: then units.
    let (count, models) = match (counted.first, counted.second) {
        (Some(count), Some(models)) => (count, models),
        (Some(models), None) if most > 1 && models >= least => (1, models),
        (Some(count), None) => (count, least),
        (None, Some(models)) => (1, models),
        (None, None) => (1, least),
    };
    if !(1..=1_000).contains(&count) || !(1..=1_000).contains(&models) {
        let text = format!("{head}: a line has 1 to 1000 units of 1 to 1000 models");
        pasted.problems.push(Problem::new(Code::Unreadable, Some(number), text, "leave the line out, or say how many"));
        return;
    }
    pasted.lines.push(Line { number, unit, count, models, options: Vec::new() });
    options.iter().for_each(|option| add_option(pack, number, option, pasted));
}

fn more_options(pack: &Pack, number: u32, line: &str, pasted: &mut Pasted) {
    if pasted.lines.is_empty() {
        let text = "these options have no unit before them";
        pasted.problems.push(Problem::new(Code::Unreadable, Some(number), text, "write the unit on the line before"));
        return;
    }
    parts(line).iter().for_each(|option| add_option(pack, number, option, pasted));
}

fn add_option(pack: &Pack, number: u32, text: &str, pasted: &mut Pasted) {
    let Some(line) = pasted.lines.last_mut() else { return };
    let unit = &pack.units[line.unit];
    let counted = counted(text);
    match unit.find.find(&counted.name) {
        Ok(_) if counted.first.is_some_and(|times| !(1..=1_000).contains(&times)) => {
            let text = format!("{text}: an option is taken 1 to 1000 times");
            pasted.problems.push(Problem::new(Code::Unreadable, Some(number), text, "leave it out, or say how often"));
        }
        Ok(option) => {
            let times = counted.first.unwrap_or(1);
            match line.options.iter_mut().find(|(known, _)| *known == option) {
                Some((_, sum)) => *sum += times,
                None => line.options.push((option, times)),
            }
        }
        Err(error) => {
            let text = format!("{} has no option “{}”", unit.named.label, counted.name);
            let mend = if error.closest.is_empty() { all_options(unit) } else { suggest(&error) };
            pasted.problems.push(Problem::new(Code::UnknownOption, Some(number), text, mend));
        }
    }
}

fn all_options(unit: &crate::rules::model::unit::Unit) -> String {
    if unit.options.is_empty() {
        return "it has no options".to_owned();
    }
    let labels: Vec<&str> = unit.options.iter().map(|option| option.named.label.as_str()).collect();
    format!("its options are {}", labels.join(", "))
}

fn suggest(error: &NotFound) -> String {
    match error.closest.as_slice() {
        [] => "check the name, or the pack that the list is for".to_owned(),
        closest if error.ambiguous => format!("say which: {}", closest.join(" or ")),
        closest => format!("did you mean {}?", closest.join(" or ")),
    }
}

/// The unit and its options.
fn parts(line: &str) -> Vec<String> {
    let line = line.replace(" with ", " + ").replace(" & ", " + ");
    let split = line.split(['+', ',', ';']).map(str::trim).filter(|part| !part.is_empty());
    split.map(str::to_owned).collect()
}

/// A name and the numbers around it.
pub(crate) struct Counted {
    pub(crate) name: String,
    /// The number before it, or behind an `x`.
    pub(crate) first: Option<u32>,
    /// A second number, or one in brackets or behind it.
    pub(crate) second: Option<u32>,
}

/// `3x Name`, `3 Name`, `Name x3`, `2x 10 Name`, `Name (10)`, `Name 10`.
pub(crate) fn counted(text: &str) -> Counted {
    let mut words: Vec<&str> = text.split_whitespace().collect();
    let number = |word: &str| word.trim_matches(['x', 'X', '×', '(', ')', ':']).parse::<u32>().ok();
    let (mut first, mut second) = (None, None);
    while let Some(found) = words.first().and_then(|word| number(word)) {
        if words.len() == 1 || second.is_some() {
            break;
        }
        if first.is_none() {
            first = Some(found)
        } else {
            second = Some(found)
        }
        words.remove(0);
        if words.first().is_some_and(|word| ["x", "X", "×", "models"].contains(word)) {
            words.remove(0);
        }
    }
    if words.last() == Some(&"models") && words.len() > 2 {
        words.pop();
    }
    if let Some((word, found)) = words.last().and_then(|word| Some((*word, number(word)?))).filter(|_| words.len() > 1)
    {
        words.pop();
        if words.len() > 1 && words.last().is_some_and(|word| ["x", "X", "×"].contains(word)) {
            words.pop();
            first = first.or(Some(found));
        } else if word.contains(['x', 'X', '×']) {
            first = first.or(Some(found));
        } else {
            second = second.or(Some(found));
        }
    }
    Counted { name: words.join(" "), first, second }
}
