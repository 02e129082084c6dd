//! Several tokens that mean one thing become one token: `at least 7`, `2 of 5`, `12 times`, `best of 2`.
use super::fillers::{face_word, number_word, times_word};
use super::rerolls;
use super::token::{Token, TokenKind, whole};

/// Joins what belongs together, from left to right.
pub fn join(tokens: Vec<Token>) -> Vec<Token> {
    let tokens: Vec<Token> = tokens.into_iter().map(spelled_number).collect();
    let mut joined: Vec<Token> = Vec::with_capacity(tokens.len());
    let mut at = 0;
    while at < tokens.len() {
        let rest = &tokens[at..];
        let (length, kind) = phrase(rest, &mut joined).unwrap_or_else(|| (1, rest[0].kind.clone()));
        let span = rest[0].span.start..rest[length - 1].span.end;
        joined.push(Token { kind, span });
        at += length;
    }
    joined
}

fn spelled_number(mut token: Token) -> Token {
    if let TokenKind::Word(word) = &token.kind {
        if let Some(face) = face_word(word) {
            token.kind = TokenKind::Faces(face);
        } else if let Some(times) = times_word(word) {
            token.kind = TokenKind::Times(times);
        } else if let Some(number) = number_word(word) {
            token.kind = TokenKind::Number(f64::from(u32::try_from(number).unwrap_or_default()));
        }
    }
    token
}

/// The phrase that begins here: how many tokens it takes, and what it means.
fn phrase(rest: &[Token], before: &mut Vec<Token>) -> Option<(usize, TokenKind)> {
    let kind = |at: usize| rest.get(at).map(|token| &token.kind);
    match kind(0)? {
        TokenKind::Word(_) => words(rest, before),
        TokenKind::Share { part, whole, .. } => {
            Some((1, TokenKind::Share { part: *part, whole: *whole, at_least: false }))
        }
        TokenKind::Number(number) => counted(rest, whole(*number)?),
        TokenKind::Dice(dice) => constant(dice, rest),
        _ => None,
    }
}

fn word_at(rest: &[Token], at: usize) -> &str {
    rest.get(at).and_then(Token::word).unwrap_or_default()
}

fn number_at(rest: &[Token], at: usize) -> Option<u64> {
    match rest.get(at)?.kind {
        TokenKind::Number(number) => whole(number),
        _ => None,
    }
}

/// Behind `on 12` these say that 12 is no face: `on 12 models`.
const COUNTED: &[&str] = &[
    "turn", "turns", "table", "model", "models", "base", "bases", "figure", "figures", "people", "soldiers", "targets",
];

/// Phrases that begin with a word.
fn words(rest: &[Token], before: &mut Vec<Token>) -> Option<(usize, TokenKind)> {
    if let Some(found) = rerolls::phrase(rest, before) {
        return Some(found);
    }
    let word = |at| word_at(rest, at);
    match word(0) {
        "at" | "atleast" | "minimum" | "maximum" => bound(rest, before),
        "no" if word(1) == "more" && word(2) == "than" => Some((4, TokenKind::AtMost(number_at(rest, 3)?))),
        "best" | "highest" | "top" | "worst" | "lowest" => kept(rest, 0),
        "keep" | "keeping" => kept(rest, 1),
        "on" | "need" | "needs" | "needing" => {
            let article = usize::from(matches!(word(1), "a" | "an"));
            match number_at(rest, 1 + article)? {
                face @ 2..=100 if !COUNTED.contains(&word(2 + article)) => {
                    let bound = counted(&rest[1 + article..], face);
                    Some(
                        bound.map_or((2 + article, TokenKind::Faces(face)), |(length, kind)| {
                            (1 + article + length, kind)
                        }),
                    )
                }
                _ => None,
            }
        }
        "auto" | "automatic" | "automatically" => Some((1, TokenKind::Needs("auto".into()))),
        "never" => Some((1, TokenKind::Needs("never".into()))),
        "x" => Some((2, TokenKind::Times(number_at(rest, 1)?))),
        "or" => Some((1, TokenKind::Or)),
        "v" | "vs" | "versus" | "against" => Some((1, TokenKind::Versus)),
        _ => None,
    }
}

/// `2d6 + 9`, `2d6 +9`.
fn constant(dice: &str, rest: &[Token]) -> Option<(usize, TokenKind)> {
    if dice.contains(['+', '-']) {
        return None;
    }
    match (&rest.get(1)?.kind, rest.get(2).map(|token| &token.kind)) {
        (TokenKind::Signed(constant), _) => Some((2, TokenKind::Dice(format!("{dice}{constant:+}")))),
        (TokenKind::Plus, Some(TokenKind::Number(constant))) => {
            Some((3, TokenKind::Dice(format!("{dice}+{}", whole(*constant)?))))
        }
        _ => None,
    }
}

/// `at least 7`, `minimum 7`, `at least 3 of 5`, `at least one 6 in 4 rolls`.
fn bound(rest: &[Token], before: &mut Vec<Token>) -> Option<(usize, TokenKind)> {
    let (length, least) = match (word_at(rest, 0), word_at(rest, 1)) {
        ("at", "least") => (2, true),
        ("at", "most") => (2, false),
        ("atleast" | "minimum", _) => (1, true),
        ("maximum", _) => (1, false),
        _ => return None,
    };
    if let Some(&TokenKind::Share { part, whole, .. }) = rest.get(length).map(|token| &token.kind) {
        return Some((length + 1, TokenKind::Share { part, whole, at_least: least }));
    }
    let number = number_at(rest, length)?;
    let face = rest.get(length + 1).and_then(|token| match token.kind {
        TokenKind::Faces(face) => Some(face),
        _ => token.whole(),
    });
    if let (Some(face), "in" | "on" | "from" | "with", Some(whole)) =
        (face.filter(|face| *face > 1), word_at(rest, length + 2), number_at(rest, length + 3))
    {
        before.push(Token { kind: TokenKind::Needs(format!("{face}+")), span: rest[length + 1].span.clone() });
        return Some((length + 4, TokenKind::Share { part: number, whole, at_least: least }));
    }
    if let Some((longer, TokenKind::Share { part, whole, .. })) = counted(&rest[length..], number) {
        return Some((length + longer, TokenKind::Share { part, whole, at_least: least }));
    }
    if let Some(Token { kind: TokenKind::Times(_), .. }) = rest.get(length) {
        return None;
    }
    Some((length + 1, if least { TokenKind::AtLeast(number) } else { TokenKind::AtMost(number) }))
}

/// Phrases that begin with a number.
fn counted(rest: &[Token], number: u64) -> Option<(usize, TokenKind)> {
    match (word_at(rest, 1), word_at(rest, 2)) {
        ("or" | "and", "more" | "better" | "higher" | "above" | "up" | "over" | "plus") => {
            Some((3, TokenKind::AtLeast(number)))
        }
        ("or" | "and", "less" | "lower" | "under" | "fewer" | "below" | "worse") => {
            Some((3, TokenKind::AtMost(number)))
        }
        ("plus", _) => Some((2, TokenKind::Needs(format!("{number}+")))),
        ("times" | "x", _) => Some((2, TokenKind::Times(number))),
        ("percent" | "pct", _) => Some((2, TokenKind::Percent(rest[0].kind.number()?))),
        ("per", "cent") => Some((3, TokenKind::Percent(rest[0].kind.number()?))),
        ("inch" | "inches", _) => Some((2, TokenKind::Inches(number))),
        ("mm", _) => Some((2, TokenKind::Millimetres(rest[0].kind.number()?))),
        ("cm", _) => Some((2, TokenKind::Millimetres(rest[0].kind.number()? * 10.0))),
        ("dice" | "die", _) => Some((2, TokenKind::Pool(number))),
        ("point" | "points" | "structure", "missing" | "gone" | "lost") if word_at(rest, 3) == "of" => {
            share(rest, number, 4)
        }
        ("missing" | "gone" | "lost", "of") => share(rest, number, 3),
        ("of", _) => share(rest, number, 2),
        ("out", "of") => share(rest, number, 3),
        _ => match rest.get(1)?.kind {
            TokenKind::Dice(ref dice) if dice.starts_with('d') => Some((2, TokenKind::Dice(format!("{number}{dice}")))),
            _ => None,
        },
    }
}

fn share(rest: &[Token], part: u64, at: usize) -> Option<(usize, TokenKind)> {
    let skip = usize::from(matches!(word_at(rest, at), "the" | "my" | "its" | "a"));
    let whole = number_at(rest, at + skip)?;
    Some((at + skip + 1, TokenKind::Share { part, whole, at_least: false }))
}

/// `best of 2`, `best 2 of 3`, `keep highest`, `keep 2`; the word that says which end stands at `at`.
fn kept(rest: &[Token], at: usize) -> Option<(usize, TokenKind)> {
    let article = usize::from(matches!(word_at(rest, at), "the"));
    let at = at + article;
    let (mut length, highest) = match word_at(rest, at) {
        "best" | "highest" | "top" => (at + 1, true),
        "worst" | "lowest" => (at + 1, false),
        _ if at > 0 && number_at(rest, at).is_some() => (at, true),
        _ => return None,
    };
    let kept = number_at(rest, length);
    length += usize::from(kept.is_some());
    let mut of = None;
    if let Some(&TokenKind::Share { part, whole, .. }) = rest.get(length).map(|token| &token.kind) {
        return Some((length + 1, TokenKind::Keep { highest, kept: part, of: Some(whole) }));
    }
    if matches!(word_at(rest, length), "of" | "from") {
        of = number_at(rest, length + 1);
        length += 1 + usize::from(of.is_some());
        length += usize::from(of.is_some() && matches!(word_at(rest, length), "dice" | "die"));
    }
    Some((length, TokenKind::Keep { highest, kept: kept.unwrap_or(1), of }))
}

impl TokenKind {
    fn number(&self) -> Option<f64> {
        if let TokenKind::Number(number) = *self { Some(number) } else { None }
    }
}
