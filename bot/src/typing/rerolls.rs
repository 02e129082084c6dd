//! What is rolled again: `rerolling 1s`, `re-roll failures`, `2 rerolls`, `no re-rolls`.
use super::piece::{Piece, What};

const SKIPPED: &[&str] =
    &["the", "all", "my", "any", "of", "a", "an", "on", "natural", "dice", "every", "its", "rolls", "roll"];

/// The phrase about re-rolls that begins here; a budget's number and a `no` stand before it.
pub fn phrase(rest: &[Piece], before: &mut Vec<Piece>) -> Option<(usize, What)> {
    let word = |at: usize| rest.get(at).and_then(Piece::word).unwrap_or_default();
    if matches!(word(0), "no" | "without") && is_reroll(word(1)) {
        return Some((2, What::Reroll("none")));
    }
    let mut length = match word(0) {
        "re" if word(1).starts_with("roll") => 2,
        first if is_reroll(first) => 1,
        _ => return None,
    };
    if let Some((object, what)) = object(&rest[length..]) {
        return Some((length + object, what));
    }
    length += usize::from(matches!(word(length), "of"));
    if word(0) != "rerolling" && before.last().is_some_and(|piece| piece.whole().is_some()) {
        let budget = before.pop().and_then(|piece| piece.whole())?;
        return Some((length, What::Rerolls(budget)));
    }
    if word(0) == "rerolled" && before.last().is_some_and(|piece| piece.what == What::Faces(1)) {
        before.pop();
        return Some((length, What::Reroll("worst")));
    }
    Some((length, What::Reroll("failures")))
}

fn is_reroll(word: &str) -> bool {
    matches!(word, "reroll" | "rerolls" | "rerolling" | "rerolled" | "rr")
}

/// What is rolled again, behind the word that says so.
fn object(rest: &[Piece]) -> Option<(usize, What)> {
    let mut at = 0;
    while rest.get(at).and_then(Piece::word).is_some_and(|word| SKIPPED.contains(&word)) {
        at += 1;
    }
    let what = match &rest.get(at)?.what {
        What::Faces(1) => What::Reroll("worst"),
        What::Number(one) if *one == 1.0 => What::Reroll("worst"),
        What::Word(word) => match word.as_str() {
            "fail" | "fails" | "failed" | "failure" | "failures" | "failing" | "miss" | "misses" | "missed" => {
                What::Reroll("failures")
            }
            "success" | "successes" | "pass" | "passes" | "successful" => What::Reroll("successes"),
            "non" | "not"
                if rest.get(at + 1).and_then(Piece::word).is_some_and(|next| next.starts_with("critical")) =>
            {
                return Some((at + 2, What::Reroll("not_critical")));
            }
            _ => return None,
        },
        _ => return None,
    };
    Some((at + 1, what))
}
