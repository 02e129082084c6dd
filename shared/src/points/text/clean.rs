//! What chats, pages and lists of tasks put around a line, taken off before it is read.

/// Tags of pages.
const TAGS: &[&str] = &[
    "li", "ul", "ol", "p", "br", "div", "span", "td", "tr", "th", "table", "tbody", "thead", "b", "i", "u", "s",
    "strong", "em", "h1", "h2", "h3", "h4", "code", "pre",
];
/// Tags of boards.
const BOARD: &[&str] =
    &["b", "i", "u", "s", "*", "list", "quote", "code", "size", "color", "center", "h", "ul", "li", "url", "spoiler"];

/// The lines of a text as they are read; as many as it has.
pub(super) fn lines(text: &str) -> Vec<String> {
    let strokes = text.lines().filter(|line| line.contains("//")).count() * 2 > text.lines().count();
    text.lines().map(|raw| line(raw, strokes)).collect()
}

/// One line; `strokes` where `//` parts the columns of a table.
fn line(raw: &str, strokes: bool) -> String {
    let mut line = untagged(&untagged(raw, ('<', '>'), TAGS), ('[', ']'), BOARD);
    if strokes {
        line = line.replace("//", "|");
    }
    for face in ["<3", ":)", ":-)", ":D", ";)", ":(", "xD", "^^"] {
        if line.ends_with(face) || line.contains(&format!(" {face} ")) {
            line = line.replace(face, "");
        }
    }
    // `oil thrower instead of the whisk gun`
    while let Some(at) = line.to_ascii_lowercase().find(" instead of ") {
        let end = line[at..].find([',', ';', ')', '(', '+', '-']).map_or(line.len(), |end| at + end);
        line.replace_range(at..end, "");
    }
    // `Convoy Master, 60, leaves 740`
    if let Some(at) = line.to_ascii_lowercase().rfind(", leaves ")
        && line[at + 9..].trim_end().chars().all(|c| c.is_ascii_digit())
    {
        line.truncate(at);
    }
    // `2x10 Dyke Hands`
    let x = |window: &[char]| {
        window[0].is_ascii_digit() && matches!(window[1], 'x' | 'X' | '×') && window[2].is_ascii_digit()
    };
    let chars: Vec<char> = line.chars().collect();
    if let Some(at) = chars.windows(3).position(x) {
        line = chars[..at + 2].iter().chain(&[' ']).chain(&chars[at + 2..]).collect();
    }
    // `├ night bell`, `└ log beak`: set in below the unit.
    let tree = |c: char| ('\u{2500}'..='\u{257f}').contains(&c);
    let inner = line.trim_start_matches(|c: char| tree(c) || c == ' ');
    if line.trim_start().starts_with(tree) && inner.starts_with(char::is_alphanumeric) {
        line = format!("    - {inner}");
    }
    let indent = line.len() - line.trim_start().len();
    let (blank, rest) = line.split_at(indent);
    let rest = unboxed(unstamped(rest));
    // `• Reeve • Healer`: several on one line.
    let (first, inner) = rest.split_at(rest.chars().next().map_or(0, char::len_utf8));
    let inner = if inner.contains(" • ") { inner.replace(" • ", "; ") } else { inner.to_owned() };
    format!("{blank}{first}{inner}")
}

/// The text without tags of these names.
fn untagged(text: &str, (open, close): (char, char), names: &[&str]) -> String {
    let (mut out, mut rest) = (String::with_capacity(text.len()), text);
    while let Some(at) = rest.find(open) {
        out.push_str(&rest[..at]);
        let behind = &rest[at + 1..];
        let name = |inner: &str| {
            let inner = inner.trim_start_matches('/').trim_end_matches('/');
            let end = inner.find([' ', '=']).unwrap_or(inner.len());
            inner[..end].to_lowercase()
        };
        let near = behind.char_indices().take(60).find(|(_, c)| *c == close).map(|(at, _)| at);
        match near.filter(|end| *end <= 60 && names.contains(&name(&behind[..*end]).as_str())) {
            Some(end) => {
                // Cells stay apart.
                if name(&behind[..end]) == "td" && behind.starts_with('/') {
                    out.push('\t');
                }
                rest = &behind[end + 1..];
            }
            None => {
                out.push(open);
                rest = behind;
            }
        }
    }
    out.push_str(rest);
    out
}

/// A line without who wrote it when: `[12/03, 21:44] Anke: 1 tower`.
fn unstamped(line: &str) -> &str {
    let is_time = |text: &str| {
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        text.match_indices(':')
            .any(|(at, _)| digit(text[..at].chars().next_back()) && digit(text[at + 1..].chars().next()))
    };
    let stamped = line.strip_prefix('[').and_then(|line| line.split_once(']')).filter(|(stamp, _)| is_time(stamp));
    let rest = match stamped {
        Some((_, rest)) => rest.trim_start(),
        None => match line.split_once(' ') {
            Some((time, rest)) if is_time(time) && time.chars().all(|c| c.is_ascii_digit() || c == ':') => {
                rest.trim_start_matches([' ', '-', '–'])
            }
            _ => return line,
        },
    };
    let who = rest
        .split_once(": ")
        .filter(|(who, _)| !who.contains(|c: char| c.is_ascii_digit()) && who.split(' ').count() <= 3);
    who.map_or(rest, |(_, said)| said.trim_start())
}

/// A line without the box of a list of tasks and without pictures before it: `- [x] Moot Reeve`, `☑ Sluice Tower`.
fn unboxed(line: &str) -> String {
    let (bullet, rest) = match line.strip_prefix(['-', '*']) {
        Some(rest) if rest.starts_with(' ') => (&line[..1], rest.trim_start()),
        _ => ("", line),
    };
    let boxes = ["[x]", "[X]", "[ ]", "[]"];
    if let Some(rest) = boxes.iter().find_map(|sign| rest.strip_prefix(sign)) {
        return format!("- {}", rest.trim_start());
    }
    let picture = |c: char| !c.is_ascii() && !c.is_alphanumeric() && !"–—−•·‣▪“”‘’…«»„×".contains(c);
    let without = rest.trim_start_matches(|c: char| picture(c) || c == ' ');
    if without.len() < rest.len() && rest.starts_with(picture) {
        return if bullet.is_empty() { without.to_owned() } else { format!("{bullet} {without}") };
    }
    line.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_around_a_line_goes() {
        for (raw, wanted) in [
            ("[*]5 Mud Sappers: tarred coats (85)", "5 Mud Sappers: tarred coats (85)"),
            ("<li>1 Herb Wife (30 pts)</li>", "1 Herb Wife (30 pts)"),
            ("[12/03, 21:44] Anke: 1 tower", "1 tower"),
            ("21:44 Anke: 1 tower", "1 tower"),
            ("    - [x] Drummer", "    - Drummer"),
            ("☑ Sluice Tower", "Sluice Tower"),
            ("• Reeve • Healer", "• Reeve; Healer"),
            ("Heron [mast, skirts]", "Heron [mast, skirts]"),
            ("[40] Ice Pilot", "[40] Ice Pilot"),
            ("5 < 6", "5 < 6"),
        ] {
            assert_eq!(line(raw, false), wanted, "{raw}");
        }
        assert_eq!(line("53 // Moot Reeve // Eelskin coat", true), "53 | Moot Reeve | Eelskin coat");
    }
}
