//! Text as the platform takes it: never too long, never markup that somebody else wrote, no mention, no hidden sign.
use crate::places::plain;
use serde::Serialize;

/// A text of at most `MAX` signs; what is longer is cut, and says so.
///
/// Signs are counted as the platform's own clients do, in UTF-16, which is never fewer than characters.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Text<const MAX: usize>(String);

impl<const MAX: usize> Text<MAX> {
    /// Text that is shown as it is: names of buttons, choices, descriptions of pictures.
    pub fn plain(text: &str) -> Self {
        Self::cut(plain::text(text).chars().map(String::from))
    }

    /// Text where the platform would read markup: what looks like it is shown as it was written.
    pub fn marked(text: &str) -> Self {
        Self::cut(harmless(&plain::text(text)).into_iter())
    }

    /// Text of our own making, whose parts are harmless already.
    pub fn of(parts: impl IntoIterator<Item = Vec<String>>) -> Self {
        Self::cut(parts.into_iter().flatten())
    }

    /// Another text where this one is empty: some places take no empty ones.
    #[must_use]
    pub fn or(self, other: &'static str) -> Self {
        if self.0.is_empty() { Self::plain(other) } else { self }
    }

    /// Whether nothing is in it.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    fn cut(atoms: impl Iterator<Item = String>) -> Self {
        let mut text = String::new();
        let mut signs = 0;
        // The end of what fits together with the sign that something was cut.
        let mut short = 0;
        for atom in atoms {
            signs += length(&atom);
            if signs > MAX {
                text.truncate(short);
                text.push('\u{2026}');
                break;
            }
            text.push_str(&atom);
            if signs < MAX {
                short = text.len();
            }
        }
        Self(text)
    }
}

/// The length of a text as the platform counts it.
pub fn length(text: &str) -> usize {
    text.encode_utf16().count()
}

/// The text in pieces that must not be cut apart, with what the platform would read as markup escaped.
///
/// What stands between two single backticks is kept: nothing is read inside, neither markup nor mentions.
pub fn harmless(text: &str) -> Vec<String> {
    let mut atoms = Vec::new();
    let mut rest = text;
    let mut before = ' ';
    while let Some(c) = rest.chars().next() {
        let opens = std::mem::replace(&mut before, c) != '`';
        if let Some(code) = code(rest).filter(|_| opens) {
            atoms.push(code.to_owned());
            rest = &rest[code.len()..];
            continue;
        }
        rest = &rest[c.len_utf8()..];
        atoms.push(match c {
            '\\' | '*' | '_' | '~' | '|' | '`' | '#' | '[' | ']' | '<' | '>' => format!("\\{c}"),
            // Whoever is named this way is neither called nor shown as if they were.
            '@' => "@\u{200b}".into(),
            // A name with an address in it is no link.
            ':' if rest.starts_with("//") => ":\u{200b}".into(),
            c => c.into(),
        });
    }
    atoms
}

/// A span of code that begins here.
fn code(text: &str) -> Option<&str> {
    let inside = text.strip_prefix('`')?;
    let end = inside.find(['`', '\n']).filter(|end| *end > 0 && *end <= 200)?;
    let behind = &inside[end..];
    let whole = behind.starts_with('`') && !behind.starts_with("``");
    whole.then(|| &text[..end + 2])
}
