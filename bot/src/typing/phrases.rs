//! Several pieces that mean one thing become one piece: `at least 7`, `2 of 5`, `12 times`, `best of 2`.
use super::fillers::{face_word, number_word, times_word};
use super::piece::{Piece, What, whole};
use super::rerolls;

/// Joins what belongs together, from left to right.
pub fn join(pieces: Vec<Piece>) -> Vec<Piece> {
    let pieces: Vec<Piece> = pieces.into_iter().map(spelled_number).collect();
    let mut joined: Vec<Piece> = Vec::with_capacity(pieces.len());
    let mut at = 0;
    while at < pieces.len() {
        let rest = &pieces[at..];
        let (length, what) = phrase(rest, &mut joined).unwrap_or_else(|| (1, rest[0].what.clone()));
        let span = rest[0].span.start..rest[length - 1].span.end;
        joined.push(Piece { what, span });
        at += length;
    }
    joined
}

fn spelled_number(mut piece: Piece) -> Piece {
    if let What::Word(word) = &piece.what {
        if let Some(face) = face_word(word) {
            piece.what = What::Faces(face);
        } else if let Some(times) = times_word(word) {
            piece.what = What::Times(times);
        } else if let Some(number) = number_word(word) {
            piece.what = What::Number(f64::from(u32::try_from(number).unwrap_or_default()));
        }
    }
    piece
}

/// The phrase that begins here: how many pieces it takes, and what it means.
fn phrase(rest: &[Piece], before: &mut Vec<Piece>) -> Option<(usize, What)> {
    let what = |at: usize| rest.get(at).map(|piece| &piece.what);
    match what(0)? {
        What::Word(_) => words(rest, before),
        What::Share { part, whole, .. } => Some((1, What::Share { part: *part, whole: *whole, at_least: false })),
        What::Number(number) => counted(rest, whole(*number)?),
        What::Dice(dice) => constant(dice, rest),
        _ => None,
    }
}

fn word_at(rest: &[Piece], at: usize) -> &str {
    rest.get(at).and_then(Piece::word).unwrap_or_default()
}

fn number_at(rest: &[Piece], at: usize) -> Option<u64> {
    match rest.get(at)?.what {
        What::Number(number) => whole(number),
        _ => None,
    }
}

/// Behind `on 12` these say that 12 is no face: `on 12 models`.
const COUNTED: &[&str] = &[
    "turn", "turns", "table", "model", "models", "base", "bases", "figure", "figures", "people", "soldiers", "targets",
];

/// Phrases that begin with a word.
fn words(rest: &[Piece], before: &mut Vec<Piece>) -> Option<(usize, What)> {
    if let Some(found) = rerolls::phrase(rest, before) {
        return Some(found);
    }
    let word = |at| word_at(rest, at);
    match word(0) {
        "at" | "atleast" | "minimum" | "maximum" => bound(rest, before),
        "no" if word(1) == "more" && word(2) == "than" => Some((4, What::AtMost(number_at(rest, 3)?))),
        "best" | "highest" | "top" | "worst" | "lowest" => kept(rest, 0),
        "keep" | "keeping" => kept(rest, 1),
        "on" | "need" | "needs" | "needing" => {
            let article = usize::from(matches!(word(1), "a" | "an"));
            match number_at(rest, 1 + article)? {
                face @ 2..=100 if !COUNTED.contains(&word(2 + article)) => {
                    let bound = counted(&rest[1 + article..], face);
                    Some(bound.map_or((2 + article, What::Faces(face)), |(length, what)| (1 + article + length, what)))
                }
                _ => None,
            }
        }
        "auto" | "automatic" | "automatically" => Some((1, What::Needs("auto".into()))),
        "never" => Some((1, What::Needs("never".into()))),
        "x" => Some((2, What::Times(number_at(rest, 1)?))),
        "or" => Some((1, What::Or)),
        "v" | "vs" | "versus" | "against" => Some((1, What::Versus)),
        _ => None,
    }
}

/// `2d6 + 9`, `2d6 +9`.
fn constant(dice: &str, rest: &[Piece]) -> Option<(usize, What)> {
    if dice.contains(['+', '-']) {
        return None;
    }
    match (&rest.get(1)?.what, rest.get(2).map(|piece| &piece.what)) {
        (What::Signed(constant), _) => Some((2, What::Dice(format!("{dice}{constant:+}")))),
        (What::Plus, Some(What::Number(constant))) => Some((3, What::Dice(format!("{dice}+{}", whole(*constant)?)))),
        _ => None,
    }
}

/// `at least 7`, `minimum 7`, `at least 3 of 5`, `at least one 6 in 4 rolls`.
fn bound(rest: &[Piece], before: &mut Vec<Piece>) -> Option<(usize, What)> {
    let (length, least) = match (word_at(rest, 0), word_at(rest, 1)) {
        ("at", "least") => (2, true),
        ("at", "most") => (2, false),
        ("atleast" | "minimum", _) => (1, true),
        ("maximum", _) => (1, false),
        _ => return None,
    };
    if let Some(&What::Share { part, whole, .. }) = rest.get(length).map(|piece| &piece.what) {
        return Some((length + 1, What::Share { part, whole, at_least: least }));
    }
    let number = number_at(rest, length)?;
    let face = rest.get(length + 1).and_then(|piece| match piece.what {
        What::Faces(face) => Some(face),
        _ => piece.whole(),
    });
    if let (Some(face), "in" | "on" | "from" | "with", Some(whole)) =
        (face.filter(|face| *face > 1), word_at(rest, length + 2), number_at(rest, length + 3))
    {
        before.push(Piece { what: What::Needs(format!("{face}+")), span: rest[length + 1].span.clone() });
        return Some((length + 4, What::Share { part: number, whole, at_least: least }));
    }
    if let Some((longer, What::Share { part, whole, .. })) = counted(&rest[length..], number) {
        return Some((length + longer, What::Share { part, whole, at_least: least }));
    }
    if let Some(Piece { what: What::Times(_), .. }) = rest.get(length) {
        return None;
    }
    Some((length + 1, if least { What::AtLeast(number) } else { What::AtMost(number) }))
}

/// Phrases that begin with a number.
fn counted(rest: &[Piece], number: u64) -> Option<(usize, What)> {
    match (word_at(rest, 1), word_at(rest, 2)) {
        ("or" | "and", "more" | "better" | "higher" | "above" | "up" | "over" | "plus") => {
            Some((3, What::AtLeast(number)))
        }
        ("or" | "and", "less" | "lower" | "under" | "fewer" | "below" | "worse") => Some((3, What::AtMost(number))),
        ("plus", _) => Some((2, What::Needs(format!("{number}+")))),
        ("times" | "x", _) => Some((2, What::Times(number))),
        ("percent" | "pct", _) => Some((2, What::Percent(rest[0].what.number()?))),
        ("per", "cent") => Some((3, What::Percent(rest[0].what.number()?))),
        ("inch" | "inches", _) => Some((2, What::Inches(number))),
        ("mm", _) => Some((2, What::Millimetres(rest[0].what.number()?))),
        ("cm", _) => Some((2, What::Millimetres(rest[0].what.number()? * 10.0))),
        ("dice" | "die", _) => Some((2, What::Pool(number))),
        ("point" | "points" | "structure", "missing" | "gone" | "lost") if word_at(rest, 3) == "of" => {
            share(rest, number, 4)
        }
        ("missing" | "gone" | "lost", "of") => share(rest, number, 3),
        ("of", _) => share(rest, number, 2),
        ("out", "of") => share(rest, number, 3),
        _ => match rest.get(1)?.what {
            What::Dice(ref dice) if dice.starts_with('d') => Some((2, What::Dice(format!("{number}{dice}")))),
            _ => None,
        },
    }
}

fn share(rest: &[Piece], part: u64, at: usize) -> Option<(usize, What)> {
    let skip = usize::from(matches!(word_at(rest, at), "the" | "my" | "its" | "a"));
    let whole = number_at(rest, at + skip)?;
    Some((at + skip + 1, What::Share { part, whole, at_least: false }))
}

/// `best of 2`, `best 2 of 3`, `keep highest`, `keep 2`; the word that says which end stands at `at`.
fn kept(rest: &[Piece], at: usize) -> Option<(usize, What)> {
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
    if let Some(&What::Share { part, whole, .. }) = rest.get(length).map(|piece| &piece.what) {
        return Some((length + 1, What::Keep { highest, kept: part, of: Some(whole) }));
    }
    if matches!(word_at(rest, length), "of" | "from") {
        of = number_at(rest, length + 1);
        length += 1 + usize::from(of.is_some());
        length += usize::from(of.is_some() && matches!(word_at(rest, length), "dice" | "die"));
    }
    Some((length, What::Keep { highest, kept: kept.unwrap_or(1), of }))
}

impl What {
    fn number(&self) -> Option<f64> {
        if let What::Number(number) = *self { Some(number) } else { None }
    }
}
