//! A line cut into words, numbers and the signs that part them.
use super::amount::digits;

/// Words behind a number of models.
const MODELS: &[&str] = &[
    "models", "model", "men", "man", "mann", "strong", "figures", "figs", "minis", "bodies", "people", "folk", "guys",
    "lads",
];
/// Words behind points.
const POINTS: &[&str] = &["points", "point", "pts", "pt", "p"];
/// Words behind a number of units.
const UNITS: &[&str] = &["units", "unit", "crews", "teams", "squads", "times", "lots", "groups", "batches", "stands"];
/// The longest line that is read so, in words.
const MOST_WORDS: usize = 200;
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
    let worded =
        |text: &str| text.split(|c: char| !c.is_alphabetic()).any(|word| word.len() > 1 && !POINTS.contains(&word));
    let text = ["//", "<-", "->"].iter().fold(text, |text, mark| match text.split_once(mark) {
        Some((head, _)) if worded(head) => head,
        _ => text,
    });
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
    let signs = |piece: &str| piece.contains([',', ';', '/', '|', '\t', '+', '&']);
    let text = summed(&text);
    let mut blanks = 0;
    for piece in text.split_inclusive(|c: char| !inside(c)) {
        let word = piece.trim_end_matches(|c: char| !inside(c)).trim_matches(['\'', '’', '-']);
        if tokens.len() >= MOST_WORDS {
            return None;
        }
        if !word.is_empty() {
            push(&mut tokens, &word.to_lowercase());
        }
        let wide = word.is_empty() && piece.trim().is_empty();
        blanks = if wide { blanks + 1 } else { 0 };
        if (signs(piece) || blanks == 3) && !matches!(tokens.last(), Some(Token::Mark) | None) {
            tokens.push(Token::Mark);
        }
    }
    Some(tokens)
}

/// `60+15+10`, what a unit and its options cost, as one number of points.
fn summed(text: &str) -> String {
    let sum = |word: &str| {
        let numbers = word.split('+').map(digits).collect::<Option<Vec<u32>>>().filter(|numbers| numbers.len() > 1)?;
        Some(format!("{}pts", numbers.iter().fold(0, |sum: u32, number| sum.saturating_add(*number))))
    };
    if !text.contains('+') {
        return text.to_owned();
    }
    let words = text.split_inclusive(char::is_whitespace).map(|word| {
        let bare = word.trim_end();
        sum(bare).map_or_else(|| word.to_owned(), |sum| format!("{sum}{}", &word[bare.len()..]))
    });
    words.collect()
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
    // `a pair of walrus rifles`
    if word == "of"
        && let Some(Token::Word(last)) = tokens.last()
        && matches!(last.as_str(), "pair" | "couple" | "brace")
    {
        tokens.pop();
        return tokens.push(bare(2, false));
    }
    // `10-strong`
    if let Some((number, rest)) = word.split_once('-')
        && let (Some(_), true) = (digits(number), MODELS.contains(&rest))
    {
        push(tokens, number);
        return push(tokens, rest);
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

pub(super) fn number_word(word: &str) -> Option<u32> {
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
    match word {
        "single" => return Some(1),
        "dozen" => return Some(12),
        _ => {}
    }
    WORDS.iter().position(|known| *known == word).and_then(|at| u32::try_from(at + 2).ok())
}
