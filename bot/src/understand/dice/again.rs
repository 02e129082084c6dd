//! Dice that are rolled again, and of which only some count.
use super::super::lexicon::Class;
use super::super::message::ParsedMessage;
use super::super::reading::mark;
use super::Roll;
use super::words::FAILED;
use crate::typing::token::TokenKind;

/// What is rolled again.
pub(in crate::understand) fn rerolls(message: &ParsedMessage<'_>, used: &mut [bool], roll: &mut Roll) {
    for at in 0..message.tokens.len() {
        let word = message.word(at);
        // `I get to roll again if I fail`, `roll the ones again`
        let later = message.any(at, &["roll", "rolling", "rolled"])
            && (at + 1..at + 5).any(|at| message.any(at, &["again"]))
            || message.any(at, &["second", "another"])
                && message.any(at + 1, &["go", "try", "chance", "roll", "throw"]);
        if later {
            let end = (at + 1..at + 5).find(|at| message.any(*at, &["again"])).unwrap_or(at + 1);
            let ones = (at + 1..end + 4).find(|at| {
                matches!(message.tokens.get(*at).map(|token| &token.kind), Some(TokenKind::Faces(1)))
                    || message.number(*at) == Some(1) && message.any(at.wrapping_sub(1), &["a", "of"])
            });
            roll.reroll = Some(if ones.is_some() { "worst" } else { "failures" });
            let failed = (end + 1..end + 6).filter(|at| {
                message.any(*at, FAILED) || message.any(*at, &["flunk", "flunked", "wrong", "bad", "doesnt", "dont"])
            });
            let last = failed.max().unwrap_or(end).max(ones.unwrap_or(0));
            mark(used, at, end + 1);
            mark(used, last, last + 1);
            continue;
        }
        let again = word.starts_with("reroll")
            || word.starts_with("re-roll")
            || word == "rr"
            || word.starts_with("repeat")
            || message.any(at, &["roll", "rolling"]) && message.any(at.wrapping_sub(1), &["re"]);
        if !again {
            continue;
        }
        let ones = (at + 1..at + 4).find(|at| {
            matches!(message.tokens.get(*at).map(|token| &token.kind), Some(TokenKind::Faces(1)))
                || message.number(*at) == Some(1)
        });
        // `reroll one`, `reroll one miss`: one die, and not each that shows a one.
        let single = ones.filter(|at| {
            message.number(*at) == Some(1)
                && message.word(*at) == "one"
                && (message.is_end(at + 1)
                    || message.any(at + 1, FAILED)
                    || message.any(at + 1, &["die", "dice", "of", "failure", "roll", "them", "more"]))
                && !message.any(at.wrapping_sub(1), &["a", "any", "every", "each", "natural"])
        });
        if let Some(single) = single {
            roll.rerolls = Some(1);
            mark(used, at, single + 1);
            let behind = single + 1;
            if !message.is_end(behind) {
                mark(used, behind, behind + 1);
            }
            continue;
        }
        if let Some(budget) = at.checked_sub(1).and_then(|at| message.number(at)).filter(|_| ones.is_none()) {
            roll.rerolls = Some(budget);
            mark(used, at - 1, at + 1);
            continue;
        }
        roll.reroll = Some(if ones.is_some() { "worst" } else { "failures" });
        mark(used, at, ones.map_or(at + 1, |ones| ones + 1));
        if message.number(at.wrapping_sub(1)) == Some(1) {
            mark(used, at - 1, at);
        }
    }
}

/// `best of 2`, `keep the highest`.
pub(super) fn keeps(message: &ParsedMessage<'_>, die: u32, used: &mut [bool], roll: &mut Roll) {
    for at in 0..message.tokens.len() {
        let highest = message.any(at, &["best", "highest", "higher"]);
        if !(highest || message.any(at, &["worst", "lowest"])) {
            continue;
        }
        let of = (at + 1..at + 4)
            .find(|at| message.any(*at, &["of"]))
            .and_then(|of| Some((of + 1, message.number(of + 1)?)));
        if let Some((place, count)) = of {
            if roll.keep.is_some() && (0..at).any(|at| message.is(at, Class::Vs)) {
                roll.versus_keep = Some((highest, 1));
                roll.versus = Some(format!("{count}d{die}"));
                mark(used, at, place + 1);
                continue;
            }
            roll.keep = Some((highest, 1));
            roll.dice = Some(format!("{count}d{die}"));
            (roll.tries, roll.passes, roll.count) = (None, None, None);
            mark(used, at, place + 1);
        }
    }
}
