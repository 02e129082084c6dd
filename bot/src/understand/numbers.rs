//! Numbers in words: `twenty-four`, `a dozen`, `half a dozen`, `forty five`.
use super::message::ParsedToken;
use crate::typing::fillers::{face_word, number_word, times_word};
use crate::typing::token::{TokenKind, whole};

/// The number that a word is.
fn number(word: &str) -> Option<u64> {
    number_word(word).filter(|_| !matches!(word, "couple" | "pair" | "dozen" | "hundred")).or(match word {
        "thirteen" => Some(13),
        "fourteen" => Some(14),
        "sixteen" => Some(16),
        "seventeen" => Some(17),
        "eighteen" => Some(18),
        "nineteen" => Some(19),
        "forty" => Some(40),
        "sixty" => Some(60),
        "seventy" => Some(70),
        "eighty" => Some(80),
        "ninety" => Some(90),
        _ => None,
    })
}

/// Puts numbers in place of the words that say them.
pub(super) fn join(tokens: &mut Vec<ParsedToken>) {
    let old = std::mem::take(tokens);
    let mut at = 0;
    while at < old.len() {
        if let Some(ordinal) = ordinal(&old[at..]) {
            let mut token = old[at].clone();
            token.span = old[at].span.start..old[at + 1].span.end;
            token.kind = TokenKind::Word(ordinal.to_owned());
            token.word = ordinal.to_owned();
            tokens.push(token);
            at += 2;
            continue;
        }
        let (taken, kind) = read(&old[at..]).unwrap_or((1, old[at].kind.clone()));
        let mut token = old[at].clone();
        token.span = old[at].span.start..old[at + taken - 1].span.end;
        if token.kind != kind {
            token.unknown = false;
            // What reads as a number may still be a word: `one of them`.
            if !(taken == 1 && token.word == "one") {
                token.word = String::new();
            }
        }
        token.kind = kind;
        tokens.push(token);
        at += taken;
    }
}

/// `2nd` is no number of anything.
fn ordinal(rest: &[ParsedToken]) -> Option<&'static str> {
    let [first, second, ..] = rest else { return None };
    let TokenKind::Number(number) = first.kind else { return None };
    let joined = first.span.end == second.span.start;
    (joined && matches!(second.word.as_str(), "st" | "nd" | "rd" | "th")).then_some(())?;
    const WORDS: [&str; 10] =
        ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];
    let place = whole(number)?.checked_sub(1)?;
    WORDS.get(usize::try_from(place).ok()?).copied()
}

fn read(rest: &[ParsedToken]) -> Option<(usize, TokenKind)> {
    let word = |at: usize| rest.get(at).map_or("", |token| token.word.as_str());
    let plain = |at: usize| match rest.get(at)?.kind {
        TokenKind::Number(number) => whole(number),
        _ => number(word(at)),
    };
    let float = |number: u64| u32::try_from(number).map_or(f64::MAX, f64::from);
    let is = |taken: usize, number: u64| Some((taken, TokenKind::Number(float(number))));
    match (word(0), word(1), word(2)) {
        ("half", "a", "dozen") => return is(3, 6),
        ("half", "dozen", _) => return is(2, 6),
        ("a", "dozen", _) => return is(2, 12),
        ("a", "score", "of") => return is(2, 20),
        ("a", "hundred", _) => return is(2, 100),
        ("a", "thousand", _) => return is(2, 1000),
        ("a", "couple", "of") => return is(3, 2),
        ("a", "pair", "of") => return is(3, 2),
        ("a", "couple", _) | ("a", "pair", _) => return is(2, 2),
        ("couple" | "pair", "of", _) => return is(2, 2),
        ("dozen", ..) => return is(1, 12),
        ("hundred", ..) => return is(1, 100),
        ("fifty", "fifty", _) => return Some((2, TokenKind::Percent(50.0))),
        _ => {}
    }
    if let Some(face) = face_word(word(0)) {
        return Some((1, TokenKind::Faces(face)));
    }
    if word(0) == "thrice" || word(0) == "twice" {
        return Some((1, TokenKind::Times(times_word(word(0))?)));
    }
    if word(0) == "d" && word(1).is_empty() {
        return None;
    }
    let first = plain(0)?;
    if matches!(word(1), "dozen") {
        return is(2, first * 12);
    }
    if word(1) == "hundred" {
        // `one hundred and ten`
        let and = usize::from(word(2) == "and");
        let more = plain(2 + and).filter(|more| *more < 100 && !word(2 + and).is_empty());
        return match more.zip(read(&rest[2 + and..])) {
            Some((_, (taken, TokenKind::Number(more)))) if more < 100.0 => {
                Some((2 + and + taken, TokenKind::Number(float(first * 100) + more)))
            }
            _ => is(2, first * 100),
        };
    }
    if word(1) == "thousand" {
        return is(2, first * 1000);
    }
    let spelled = !word(0).is_empty();
    let tens = first >= 20 && first % 10 == 0 && spelled;
    if let Some(ones) = plain(1).filter(|ones| tens && (1..10).contains(ones) && !word(1).is_empty()) {
        return is(2, first + ones);
    }
    if !spelled
        && first == 50
        && matches!(rest.get(1).map(|token| &token.kind), Some(TokenKind::Number(other)) if (other - 50.0).abs() < 0.1)
    {
        return Some((2, TokenKind::Percent(50.0)));
    }
    spelled.then(|| is(1, first)).flatten()
}
