//! A line taken apart: what `+`, commas or `with` part, and what stands in brackets.
use super::amount::digits;

/// A piece of a line between separators.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Part<'a> {
    /// All of it, as it stands in the line.
    pub(super) whole: &'a str,
    /// Where it begins and ends in the line.
    pub(super) span: (usize, usize),
    /// What stands outside brackets, without points behind it.
    pub(super) text: String,
    /// What stands in brackets.
    pub(super) groups: Vec<Group<'a>>,
    /// The points that stand behind it: `- 300 pts`.
    pub(super) claim: Option<u32>,
    /// Whether a colon parts it from what comes after.
    pub(super) colon: bool,
}

/// What stands in brackets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Group<'a> {
    /// A bare number: models, or points.
    Number(u32),
    /// `70 pts`, `[70]`.
    Points(u32),
    /// `8 models`.
    Models(u32),
    /// `x3`.
    Times(u32),
    /// Anything else: options.
    Text(&'a str),
}

/// The pieces of a line.
pub(super) fn split(line: &str) -> Vec<Part<'_>> {
    let (mut parts, mut start, mut depth, mut skip) = (Vec::new(), 0, 0_u32, 0);
    for (at, c) in line.char_indices() {
        match c {
            _ if at < skip => continue,
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        let (length, colon) = if depth == 0 { separator(line, at, &line[start..at]) } else { (0, false) };
        if length > 0 {
            parts.extend(part(line, start, at, colon));
            start = at + length;
            skip = start;
        }
    }
    parts.extend(part(line, start.min(line.len()), line.len(), false));
    parts
}

/// How long the separator at this place is, and whether it is a colon.
fn separator(line: &str, at: usize, before: &str) -> (usize, bool) {
    let rest = &line[at..];
    if rest.starts_with(['+', ',', ';']) {
        // `1,500` is a number.
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let number = rest.starts_with(',') && digit(before.chars().next_back()) && digit(rest.chars().nth(1));
        return (usize::from(!number), false);
    }
    if rest.starts_with(": ") {
        return (if before.contains(char::is_alphabetic) { 1 } else { 0 }, true);
    }
    let words = [" with ", " w/ ", " & "];
    let word = words.iter().find(|word| rest.get(..word.len()).is_some_and(|rest| rest.eq_ignore_ascii_case(word)));
    // The blank behind it may begin the next one.
    (word.map_or(0, |word| word.len() - 1), false)
}

fn part(line: &str, start: usize, end: usize, colon: bool) -> Option<Part<'_>> {
    let (mut text, mut groups, mut open) = (String::new(), Vec::new(), Vec::new());
    for (at, c) in line[start..end].char_indices() {
        let at = start + at;
        match c {
            '(' | '[' | '{' => open.push((at, c)),
            ')' | ']' | '}' => {
                if let Some((from, bracket)) = open.pop().filter(|_| open.is_empty()) {
                    groups.push(group(line[from + 1..at].trim(), bracket == '['));
                    text.push(' ');
                }
            }
            c if open.is_empty() => text.push(c),
            _ => {}
        }
    }
    // What is never closed goes on to the end.
    if let Some((from, bracket)) = open.first() {
        groups.push(group(line[from + 1..end].trim(), *bracket == '['));
    }
    groups.retain(|group| *group != Group::Text(""));
    let (rest, claim) = points_behind(text.trim());
    let text = rest.to_owned();
    let whole = line[start..end].trim();
    (!whole.is_empty()).then_some(Part { whole, span: (start, end), text, groups, claim, colon })
}

fn group(text: &str, square: bool) -> Group<'_> {
    // `(+30)`: what an option adds.
    if let Some(points) = text.strip_prefix('+').and_then(digits) {
        return Group::Points(points);
    }
    if let Some(number) = digits(text) {
        return if square { Group::Points(number) } else { Group::Number(number) };
    }
    if let Some(points) = points(text) {
        return Group::Points(points);
    }
    // `77 each` are points of one, `5 each` its models.
    let each = text.strip_suffix(" each").map(str::trim_end);
    if let Some(number) = each.and_then(digits).filter(|_| !square) {
        return Group::Number(number);
    }
    if let Some(number) = each.and_then(|each| digits(each).or_else(|| points(each))) {
        return Group::Points(number);
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    match words.as_slice() {
        [number, "models" | "model"] => digits(number).map_or(Group::Text(text), Group::Models),
        [times] => {
            let inner = times.strip_prefix(['x', 'X', '×']).or_else(|| times.strip_suffix(['x', 'X', '×']));
            inner.and_then(digits).map_or(Group::Text(text), Group::Times)
        }
        _ => Group::Text(text),
    }
}

/// `70 points`, `70pts`, `= 70`, `70` with nothing else and a sign before it.
pub(super) fn points(text: &str) -> Option<u32> {
    let text = text.trim().trim_start_matches(['=', '@', '-', '–', '—', ':']).trim_start();
    let lower = text.to_ascii_lowercase();
    let word = ["points", "point", "pts.", "pts", "pt"].into_iter().find(|word| lower.ends_with(word))?;
    digits(text[..text.len() - word.len()].trim_end())
}

/// The text without the points behind it, and those: `- 300 pts`, `= 265`, `.... 265`, `70 points`.
fn points_behind(text: &str) -> (&str, Option<u32>) {
    let lower = text.to_ascii_lowercase();
    let word = ["points", "point", "pts.", "pts", "pt"].into_iter().find(|word| {
        let before = lower.strip_suffix(word).map(str::trim_end);
        before.is_some_and(|before| before.ends_with(|c: char| c.is_ascii_digit()))
    });
    let number_end = text[..text.len() - word.map_or(0, str::len)].trim_end();
    let rest = number_end.trim_end_matches(|c: char| c.is_ascii_digit());
    let Some(number) = digits(&number_end[rest.len()..]) else { return (text, None) };
    let glued = rest.ends_with(|c: char| !c.is_whitespace() && !matches!(c, '=' | '@' | ':'));
    let before = rest.trim_end();
    let bare = before.trim_end_matches(['=', '@', '-', '–', '—', '.', '·', '_', ':']).trim_end();
    // A sign that stands by itself parts the name from its points.
    // `Cutt. 10` is a word cut short.
    let short = before.ends_with('.') && bare.len() + 1 == before.len() && bare.ends_with(char::is_alphabetic);
    let signed = bare.len() < before.len() && !short;
    match word {
        Some(_) if !glued || signed => (bare, Some(number)),
        None if signed && !glued => (bare, Some(number)),
        // All of it is a number: what a colon left behind.
        None if rest.is_empty() => ("", Some(number)),
        _ => (text, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Vec<(String, Vec<Group<'_>>, Option<u32>)> {
        split(line).into_iter().map(|part| (part.text, part.groups, part.claim)).collect()
    }

    fn plain(text: &str) -> (String, Vec<Group<'static>>, Option<u32>) {
        (text.to_owned(), Vec::new(), None)
    }

    #[test]
    fn separators_part_a_line() {
        let three = [plain("Heron"), plain("mast"), plain("skirts")];
        for line in
            ["Heron + mast + skirts", "Heron with mast & skirts", "Heron: mast, skirts", "Heron w/ mast; skirts"]
        {
            assert_eq!(read(line), three, "{line}");
        }
    }

    #[test]
    fn brackets_are_kept_apart() {
        let read = |line| read(line).remove(0);
        assert_eq!(read("Quay Rifles (8)"), ("Quay Rifles".into(), vec![Group::Number(8)], None));
        assert_eq!(read("Captain [70]"), ("Captain".into(), vec![Group::Points(70)], None));
        assert_eq!(read("Captain (70 pts)"), ("Captain".into(), vec![Group::Points(70)], None));
        assert_eq!(read("Captain (70 each)"), ("Captain".into(), vec![Group::Number(70)], None));
        assert_eq!(read("Captain (70 pts each)"), ("Captain".into(), vec![Group::Points(70)], None));
        assert_eq!(read("Mast (+20)"), ("Mast".into(), vec![Group::Points(20)], None));
        assert_eq!(read("Hands (x3)"), ("Hands".into(), vec![Group::Times(3)], None));
        assert_eq!(read("Hands (8 models)"), ("Hands".into(), vec![Group::Models(8)], None));
        let both = vec![Group::Number(8), Group::Text("mast, oars (2)")];
        assert_eq!(read("Heron (8) [mast, oars (2)]"), ("Heron".into(), both, None));
        assert_eq!(read("Heron (mast"), ("Heron".into(), vec![Group::Text("mast")], None));
    }

    #[test]
    fn points_behind_a_name_are_no_number_of_it() {
        for line in
            ["Heron - 300 pts", "Heron = 300", "Heron: 300 points", "Heron ..... 300", "Heron 300pts", "Heron – 300"]
        {
            let claimed: Vec<u32> = read(line).into_iter().filter_map(|(_, _, claim)| claim).collect();
            assert_eq!((read(line)[0].0.as_str(), claimed), ("Heron", vec![300]), "{line}");
        }
        for line in ["Heron 300", "Type-34", "Mk2", "Heron 2 pt guns"] {
            assert_eq!(read(line), [plain(line)], "{line}");
        }
    }
}
