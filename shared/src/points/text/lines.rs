//! What a whole line is: a bullet before it, a heading, a total, a points limit.
use super::amount::{self, digits};
use crate::rules::model::Pack;
use crate::rules::names::plain;

/// What a line is, its bullet aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Sort<'a> {
    /// Empty, or a comment.
    Nothing,
    /// A heading.
    Heading,
    /// `Total: 440`, `total 440 of 500`.
    Total(u32, Option<u32>),
    /// `1500 points`.
    Limit(u32),
    /// `+ option`: more options of the unit before.
    More(&'a str),
    /// A number below 0 at its beginning.
    Negative,
    /// The name of a role that is a name of a unit too.
    Both,
    /// A unit with its options.
    Entry(&'a str),
}

/// What a line of a list is; `next` is the number that a numbered list goes on with.
pub(super) fn sort<'a>(pack: &Pack, raw: &'a str, next: &mut u32) -> Sort<'a> {
    let line = raw.trim();
    // `#1 Ram Barge` is the first of a list, `# mine` a comment.
    let numbered = line.strip_prefix('#').filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    let line = match numbered.and_then(|rest| rest.split_once(' ')) {
        Some((number, rest)) if digits(number.trim_end_matches(['.', ')', ':'])).is_some() => rest.trim_start(),
        _ => line,
    };
    if line.is_empty() || line.starts_with('#') || line.starts_with("//") {
        return Sort::Nothing;
    }
    if let Some(more) = line.strip_prefix('+') {
        return Sort::More(more.trim());
    }
    if line.get(..5).is_some_and(|word| word.eq_ignore_ascii_case("with ")) {
        return Sort::More(line[5..].trim());
    }
    if line.starts_with(['-', '−', '–']) && line.chars().nth(1).is_some_and(|c| c.is_ascii_digit()) {
        return Sort::Negative;
    }
    if let Some(limit) = limit(line) {
        return Sort::Limit(limit);
    }
    if let Some(total) = total(line) {
        return total;
    }
    let inner = undressed(line);
    let dressed = inner.len() < line.len();
    if dressed && is_role(pack, inner) {
        return Sort::Heading;
    }
    let unit = || amount::exact(&pack.find.units, inner).is_some();
    let drawn = ["==", "__", "~~", "##"].iter().any(|mark| line.starts_with(mark)) || inner.is_empty();
    // `-- signal mast` is a bullet, `-- Infantry --` a heading; `| Ram Barge | 2 |` is a row of a table.
    let ruled = line.starts_with("--") && !line.contains(char::is_alphabetic);
    let row = line.starts_with('|') && inner.contains('|');
    if row && inner.contains(char::is_alphabetic) {
        return Sort::Entry(inner);
    }
    if drawn || ruled || (inner.len() < line.len() && !unit()) {
        return Sort::Heading;
    }
    if inner.len() == line.len() && is_role(pack, line) && !is_priced_unit(pack, line) && !is_one_of(pack, line) {
        return if line.ends_with(':') || !unit() { Sort::Heading } else { Sort::Both };
    }
    let line = if inner.len() < line.len() { inner } else { unbulleted(line, next) };
    if line.ends_with(':') && amount::exact(&pack.find.units, line).is_none() {
        return Sort::Heading;
    }
    Sort::Entry(line)
}

/// The line without a bullet or the number of a numbered list.
pub(super) fn unbulleted<'a>(line: &'a str, next: &mut u32) -> &'a str {
    if let Some((number, rest)) = line.split_once(['.', ')'])
        && digits(number) == Some(*next)
        && rest.starts_with(' ')
    {
        *next += 1;
        return rest.trim_start();
    }
    // `IV. Ram Barge`
    if let Some((numeral, rest)) = line.split_once(". ")
        && !numeral.is_empty()
        && numeral.len() <= 5
        && numeral.chars().all(|c| matches!(c, 'I' | 'V' | 'X'))
    {
        return rest.trim_start();
    }
    // `02 Ram Barge`
    if let Some((number, rest)) = line.split_once(' ')
        && number.len() == 2
        && number.starts_with('0')
        && digits(number) == Some(*next)
    {
        *next += 1;
        return rest.trim_start();
    }
    // `(2) Ram Barge`, `b) Ram Barge`.
    if let Some((number, rest)) = line.strip_prefix('(').and_then(|line| line.split_once(')'))
        && digits(number) == Some(*next)
        && rest.starts_with(' ')
    {
        *next += 1;
        return rest.trim_start();
    }
    if let Some((letter, rest)) = line.split_once(") ")
        && letter.len() == 1
        && letter.chars().all(char::is_alphabetic)
    {
        return rest.trim_start();
    }
    if let Some(rest) = line.strip_prefix("--") {
        return rest.trim_start();
    }
    line.strip_prefix(['-', '*', '•', '·', '–', '—', '‣', '▪', '>']).map_or(line, str::trim_start)
}

/// What stands between the same signs at both ends, or in brackets: `== Infantry ==`, `[Infantry]`.
fn undressed(line: &str) -> &str {
    let Some(first) = line.chars().next() else { return line };
    let last = match first {
        '=' | '*' | '_' | '~' | '-' | '|' | '–' | '—' => first,
        '[' => ']',
        '<' => '>',
        _ => return line,
    };
    let inner = line.trim_start_matches(first);
    if inner.ends_with(last) || inner.is_empty() { inner.trim_end_matches(last).trim() } else { line }
}

/// `master` where the role is called Masters: one unit, found by a part of its name.
fn is_one_of(pack: &Pack, line: &str) -> bool {
    let name = line.to_lowercase();
    let singular = plain(line) == name;
    let several = pack.roles.iter().any(|role| {
        let label = role.named.label.to_lowercase();
        plain(&label) == name && label != name
    });
    singular && several && amount::find(&pack.find.units, line).is_ok()
}

/// `Master (60)`: a part of a unit's name with what it costs.
fn is_priced_unit(pack: &Pack, line: &str) -> bool {
    let Some((name, points)) = line.split_once(['(', '[']) else { return false };
    let points = digits(points.trim_end_matches([')', ']', ' ']));
    let unit = amount::find(&pack.find.units, name.trim()).ok().map(|named| &pack.units[named.index]);
    let singular = name.trim().to_lowercase() == plain(name);
    unit.zip(points).is_some_and(|(unit, points)| singular && unit.cost(unit.models.0) == u64::from(points))
}

/// Whether the line is the name of a role, perhaps with what it may hold.
pub(super) fn is_role(pack: &Pack, line: &str) -> bool {
    let name = line.split(['(', '[', ':', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9']).next().unwrap_or_default();
    let (name, rest) = (plain(name), &line[name.len()..]);
    let counts = rest.chars().all(|c| !c.is_alphabetic());
    counts && !name.is_empty() && pack.roles.iter().any(|role| plain(&role.named.label) == name)
}

/// The name of a role with what it may hold before the first unit: `HANDS 3/5 .... Deck Hands (10)`.
pub(super) fn role_before<'a>(pack: &Pack, line: &'a str) -> Option<(&'a str, &'a str)> {
    let name = line.split(|c: char| !c.is_alphabetic() && c != ' ').next().unwrap_or_default().trim();
    let rest = line[name.len()..].trim_start_matches(|c: char| !c.is_alphabetic());
    let between = &line[name.len()..line.len() - rest.len()];
    let parts = between.contains(['.', ':', '/', '|', '-', '–', '>', '=']);
    (parts && !rest.is_empty() && is_role(pack, name)).then_some((name, rest))
}

/// `Total: 440`, `440 points in all`; with `of 500` or `/500` behind it. `Subtotal` is a heading.
fn total(line: &str) -> Option<Sort<'static>> {
    let words = words(line);
    let known = |word: &str| {
        [
            "total",
            "sum",
            "points",
            "pts",
            "of",
            "in",
            "all",
            "altogether",
            "everything",
            "together",
            "grand",
            "army",
            "list",
            "used",
            "comes",
            "to",
            "the",
            "above",
            "is",
            "that's",
            "spent",
            "limit",
            "was",
            "max",
            "adds",
            "up",
            "we",
            "play",
            "out",
            "i",
            "get",
            "make",
            "it",
            "thats",
            "that",
            "s",
            "p",
            "pt",
            "told",
            "am",
            "at",
            "so",
            "now",
            "currently",
        ]
        .contains(&word)
    };
    let all = ["total", "sum", "altogether", "everything", "together", "used", "spent"];
    let two = |a: &str, b: &str| words.windows(2).any(|two| two[0] == a && two[1] == b);
    let of_all = words.iter().any(|word| all.contains(&word.as_str()))
        || two("comes", "to")
        || two("all", "in")
        || two("in", "all")
        || two("all", "told")
        || two("adds", "up")
        || two("i", "get")
        || two("make", "it")
        || two("that", "s")
        || words.first().is_some_and(|word| word == "thats");
    // `Points: 526 / 600`
    let two_numbers = words.iter().filter(|word| digits(word).is_some()).count() == 2;
    let of_all = of_all || two_numbers && words.iter().any(|word| ["points", "pts"].contains(&word.as_str()));
    let part = words.iter().any(|word| ["subtotal", "sub"].contains(&word.as_str()));
    let rest: Vec<&String> = words.iter().filter(|word| !known(word)).collect();
    if part && rest.iter().all(|word| ["subtotal", "sub"].contains(&word.as_str()) || digits(word).is_some()) {
        return Some(Sort::Heading);
    }
    let mut rest = rest;
    // `Limit 450, spent 425`
    if let [first, second] = rest.as_slice()
        && words.first().is_some_and(|word| ["limit", "max"].contains(&word.as_str()))
        && digits(first) > digits(second)
    {
        rest = vec![second, first];
    }
    let number = digits(rest.first()?)?;
    let limit = rest.get(1).and_then(|word| digits(word)).filter(|limit| *limit >= number);
    if two_numbers && limit.is_none() {
        return None;
    }
    (of_all && rest.len() <= 2 && rest.iter().all(|word| digits(word).is_some())).then_some(Sort::Total(number, limit))
}

/// Words of a line that says a limit and nothing else.
const LIMIT: &[&str] = &[
    "points", "pts", "limit", "list", "of", "at", "a", "my", "game", "max", "up", "to", "the", "for", "army", "is",
    "pt",
];

/// `10 models`, `10 of them`, on a line of its own: how many the unit before has.
pub(super) fn size(text: &str) -> Option<u32> {
    if text.contains(['-', '−']) {
        return None;
    }
    let words = words(text);
    let (number, rest) = words.split_first()?;
    let of_models: Vec<&str> = rest.iter().map(String::as_str).collect();
    let says = matches!(
        of_models.as_slice(),
        ["model" | "models" | "strong" | "figures" | "minis" | "men"] | ["of", "them" | "these" | "those"]
    );
    digits(number).filter(|number| says && (1..=1_000).contains(number))
}

/// `1500 points`, `limit 1,500`.
fn limit(line: &str) -> Option<u32> {
    let words = words(line);
    // Two numbers are what it comes to and what it may.
    let [number] = words.iter().filter_map(|word| digits(word)).collect::<Vec<_>>()[..] else { return None };
    let plain = |word: &String| LIMIT.contains(&word.as_str()) || digits(word).is_some();
    (words.len() > 1 && words.len() <= 4 && words.iter().all(plain)).then_some(number.min(1_000_000))
}

/// The limit at the end of a title: `my list for friday, 1,200 points`.
pub(super) fn title_limit(line: &str) -> Option<u32> {
    let signs = line.char_indices().filter(|(_, c)| matches!(c, ',' | '-' | '–' | '—' | ':' | '('));
    signs.filter_map(|(at, c)| limit(line[at + c.len_utf8()..].trim().trim_end_matches(')'))).next()
}

/// How far a line is set in.
pub(super) fn indent(line: &str) -> usize {
    line.len() - line.trim_start().len()
}

/// A number that stands alone: `482`, `= 544`.
pub(super) fn alone(text: &str) -> Option<u32> {
    digits(text.trim_matches(['=', '>', '-', ' ', '(', ')', '[', ']', 'Σ', '*']).trim().replace(',', "").as_str())
}

/// Whether a line is all capitals.
pub(super) fn is_loud(line: &str) -> bool {
    line.chars().any(char::is_alphabetic) && !line.chars().any(char::is_lowercase)
}

/// Whether a line is nothing but a stroke below a title.
pub(super) fn is_stroke(line: &str) -> bool {
    let line = line.trim();
    line.len() >= 3 && line.chars().all(|c| c == '=')
}

/// The words in small letters, a number parted from letters glued to it, thousands put together; none of a long line.
fn words(line: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut last = ' ';
    if line.len() > 60 {
        return words;
    }
    let chars: Vec<char> = line.to_lowercase().chars().collect();
    for (at, &c) in chars.iter().enumerate() {
        let thousands = |from: usize| (from..from + 3).all(|at| chars.get(at).is_some_and(char::is_ascii_digit));
        let grouped = matches!(c, ',' | '.' | '\'' | '’') && last.is_ascii_digit() && thousands(at + 1);
        if grouped {
            continue;
        }
        if c.is_alphanumeric() {
            let joins = last.is_alphanumeric() && last.is_ascii_digit() == c.is_ascii_digit();
            match words.last_mut().filter(|_| joins) {
                Some(word) => word.push(c),
                None => words.push(c.to_string()),
            }
        }
        last = c;
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_and_totals() {
        for (line, wanted) in [
            ("1500 points", Some(1500)),
            ("1,500 pts", Some(1500)),
            ("1500pts", Some(1500)),
            ("Limit: 900", Some(900)),
            ("1500", None),
            ("1500 hands", None),
        ] {
            assert_eq!(limit(line), wanted, "{line}");
        }
        for line in ["Total: 1,440", "total 1440 pts", "1440 points in total", "Sum = 1440", "comes to 1440"] {
            assert_eq!(total(line), Some(Sort::Total(1440, None)), "{line}");
        }
        assert_eq!(total("Total: 1440/1500"), Some(Sort::Total(1440, Some(1500))));
        assert_eq!(total("Subtotal: 200"), Some(Sort::Heading));
        assert_eq!(total("Total wreck"), None);
    }

    #[test]
    fn signs_around_a_heading() {
        for line in ["== Infantry ==", "**Infantry**", "--- Infantry ---", "[Infantry]", "<Infantry>", "*Infantry*"] {
            assert_eq!(undressed(line), "Infantry", "{line}");
        }
        for line in ["- Infantry", "Infantry", "* Infantry", "[8] Infantry"] {
            assert_eq!(undressed(line), line, "{line}");
        }
    }
}
