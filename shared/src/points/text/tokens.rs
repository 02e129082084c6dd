//! A line cut into words, numbers and the signs that part them.
use super::amount::digits;

/// Words behind a number of models.
const MODELS: &[&str] = &["models", "model", "men", "man", "strong", "figures", "figs", "minis"];
/// Words behind points.
const POINTS: &[&str] = &["points", "point", "pts", "pt", "p"];
/// Words behind a number of units.
const UNITS: &[&str] = &["units", "unit", "crews", "teams", "squads", "times"];
/// The longest line that is read so, in words.
const MOST_WORDS: usize = 60;
/// What a number is said to count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Bare,
    Times,
    Models,
    Points,
    Units,
}

/// A word, a number or a sign.
#[derive(Clone, Debug)]
pub(super) enum Token {
    Word(String),
    Number {
        value: u32,
        kind: Kind,
        padded: bool,
    },
    /// A sign that parts what is before it from what is behind.
    Mark,
}

/// The words and numbers of a line; nothing of a long one.
pub(super) fn tokens(text: &str) -> Option<Vec<Token>> {
    // What stands behind a stroke is a remark.
    let text = ["//", "<-", "->"].iter().fold(text, |text, mark| text.split(mark).next().unwrap_or(text));
    let mut tokens: Vec<Token> = Vec::new();
    let inside = |c: char| c.is_alphanumeric() || matches!(c, '\'' | '’' | '-');
    let text = text.replace(",000", "000");
    // Numbers below 0 are no numbers of units.
    let below =
        |sign: char| text.contains(&format!(" {sign}0")) || (1..=9).any(|n| text.contains(&format!(" {sign}{n}")));
    // Nor are parts of one.
    let digit = |c: &char| c.is_ascii_digit();
    let part = |three: [char; 3]| digit(&three[0]) && three[1] == '.' && digit(&three[2]);
    let all: Vec<char> = text.chars().collect();
    if all.windows(3).any(|three| part([three[0], three[1], three[2]])) {
        return None;
    }
    if below('-') || below('−') {
        return None;
    }
    let signs = |piece: &str| piece.contains([',', ';', '/', '|', '\t']);
    for piece in text.split_inclusive(|c: char| !inside(c)) {
        let word = piece.trim_end_matches(|c: char| !inside(c)).trim_matches(['\'', '’', '-']);
        if tokens.len() >= MOST_WORDS {
            return None;
        }
        if !word.is_empty() {
            push(&mut tokens, &word.to_lowercase());
        }
        if signs(piece) && !matches!(tokens.last(), Some(Token::Mark) | None) {
            tokens.push(Token::Mark);
        }
    }
    Some(tokens)
}

fn push(tokens: &mut Vec<Token>, word: &str) {
    let bare = |value, padded| Token::Number { value, kind: Kind::Bare, padded };
    let times = word.strip_prefix(['x', '×']).or_else(|| word.strip_suffix(['x', '×']));
    if let Some(value) = digits(word).or_else(|| number_word(word)) {
        // `x 10`
        if let Some(Token::Word(last)) = tokens.last()
            && matches!(last.as_str(), "x" | "×")
        {
            tokens.pop();
            return tokens.push(Token::Number { value, kind: Kind::Times, padded: false });
        }
        return tokens.push(bare(value, word.starts_with('0')));
    }
    if let Some(value) = times.and_then(digits) {
        return tokens.push(Token::Number { value, kind: Kind::Times, padded: false });
    }
    // `70pts`, `10 models`, `2 units`: what the number before counts.
    let end = word.find(|c: char| !c.is_ascii_digit()).unwrap_or(0);
    if let (Some(value), true) = (digits(&word[..end]), POINTS.contains(&&word[end..])) {
        return tokens.push(Token::Number { value, kind: Kind::Points, padded: false });
    }
    let kind = [(MODELS, Kind::Models), (POINTS, Kind::Points), (UNITS, Kind::Units)];
    let kind = kind.into_iter().find(|(words, _)| words.contains(&word)).map(|(_, kind)| kind);
    match (kind, tokens.last_mut()) {
        (Some(said), Some(Token::Number { kind, .. })) if *kind == Kind::Bare => *kind = said,
        _ if word == "2nd" => tokens.push(Token::Word("second".into())),
        _ => tokens.push(Token::Word(word.to_owned())),
    }
}

fn number_word(word: &str) -> Option<u32> {
    const WORDS: &[&str] = &[
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
    ];
    WORDS.iter().position(|known| *known == word).and_then(|at| u32::try_from(at + 2).ok())
}
