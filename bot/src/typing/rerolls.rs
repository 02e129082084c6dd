//! What is rolled again: `rerolling 1s`, `re-roll failures`, `2 rerolls`, `no re-rolls`.
use super::token::{Token, TokenKind};

const SKIPPED: &[&str] =
    &["the", "all", "my", "any", "of", "a", "an", "on", "natural", "dice", "every", "its", "rolls", "roll"];

/// The phrase about re-rolls that begins here; a budget's number and a `no` stand before it.
pub fn phrase(rest: &[Token], before: &mut Vec<Token>) -> Option<(usize, TokenKind)> {
    let word = |at: usize| rest.get(at).and_then(Token::word).unwrap_or_default();
    if matches!(word(0), "no" | "without") && is_reroll(word(1)) {
        return Some((2, TokenKind::Reroll("none")));
    }
    let mut length = match word(0) {
        "re" if word(1).starts_with("roll") => 2,
        first if is_reroll(first) => 1,
        _ => return None,
    };
    if let Some((object, kind)) = object(&rest[length..]) {
        return Some((length + object, kind));
    }
    length += usize::from(matches!(word(length), "of"));
    if word(0) != "rerolling" && before.last().is_some_and(|token| token.whole().is_some()) {
        let budget = before.pop().and_then(|token| token.whole())?;
        return Some((length, TokenKind::Rerolls(budget)));
    }
    if word(0) == "rerolled" && before.last().is_some_and(|token| token.kind == TokenKind::Faces(1)) {
        before.pop();
        return Some((length, TokenKind::Reroll("worst")));
    }
    Some((length, TokenKind::Reroll("failures")))
}

fn is_reroll(word: &str) -> bool {
    matches!(word, "reroll" | "rerolls" | "rerolling" | "rerolled" | "rr")
}

/// What is rolled again, behind the word that says so.
fn object(rest: &[Token]) -> Option<(usize, TokenKind)> {
    let mut at = 0;
    while rest.get(at).and_then(Token::word).is_some_and(|word| SKIPPED.contains(&word)) {
        at += 1;
    }
    let kind = match &rest.get(at)?.kind {
        TokenKind::Faces(1) => TokenKind::Reroll("worst"),
        TokenKind::Number(one) if *one == 1.0 => TokenKind::Reroll("worst"),
        TokenKind::Word(word) => match word.as_str() {
            "fail" | "fails" | "failed" | "failure" | "failures" | "failing" | "miss" | "misses" | "missed" => {
                TokenKind::Reroll("failures")
            }
            "success" | "successes" | "pass" | "passes" | "successful" => TokenKind::Reroll("successes"),
            "non" | "not"
                if rest.get(at + 1).and_then(Token::word).is_some_and(|next| next.starts_with("critical")) =>
            {
                return Some((at + 2, TokenKind::Reroll("not_critical")));
            }
            _ => return None,
        },
        _ => return None,
    };
    Some((at + 1, kind))
}
