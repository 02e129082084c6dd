//! A number behind its unit.
use super::super::lexicon::Class;
use super::super::message::ParsedMessage;
use super::super::names::{Fit, Sort};
use crate::typing::token::TokenKind;

/// `barges x3`, `barges (3)`, `wardens, 5 of them`.
pub(super) fn count_behind(message: &ParsedMessage<'_>, used: &mut [bool], at: usize, most: u64) -> Option<u64> {
    // `barges x3`, but not `a skiff 2 times in 3`
    if let Some(TokenKind::Times(times)) = message.tokens.get(at).map(|token| &token.kind)
        && !used[at]
        && !message.any(at + 1, &["in", "out", "outta", "of"])
    {
        used[at] = true;
        return Some(*times);
    }
    // `a Tar Gang of three`
    if message.any(at, &["of"])
        && let Some(number) =
            message.number(at + 1).filter(|_| !used[at + 1] && message.named_at(Sort::Unit, at + 2).is_none())
    {
        used[at..at + 2].fill(true);
        return Some(number);
    }
    let next_unit = message
        .named(Sort::Unit)
        .filter(|one| one.fit != Fit::Part)
        .map(|one| one.at)
        .find(|start| *start >= at)
        .unwrap_or(usize::MAX);
    for place in at..(at + 6).min(message.tokens.len()) {
        if place >= next_unit {
            break;
        }
        let of = message.any(place + 1, &["of"]) && message.any(place + 2, &["them", "em", "these", "those"]);
        let with = message.any(place + 3, &["with", "w", "carrying", "have", "got"]);
        if let Some(number) = message.number(place).filter(|number| of && !with && !used[place] && *number <= most) {
            used[place..place + 3].fill(true);
            return Some(number);
        }
    }
    // `my barges, two. stern shot`
    if message.is_end(at) && message.is_end(at + 2) && at + 1 < next_unit {
        let few = message.number(at + 1).filter(|number| (2..=most.min(40)).contains(number) && !used[at + 1]);
        if few.is_some() {
            used[at + 1] = true;
            return few;
        }
    }
    // `his rifles, he has 5`, `the rifles, there are 5`
    let told = (at..at + 3).find(|at| {
        message.any(*at, &["has", "have", "had", "are", "got"])
            && message.any(at.wrapping_sub(1), &["he", "i", "we", "they", "she", "there", "theyve", "hes", "ive"])
    });
    if let Some(place) =
        told.map(|told| told + 1).filter(|place| *place < next_unit && !used.get(*place).unwrap_or(&true))
        && let Some(number) = message.number(place).filter(|number| *number <= most)
        && (message.is_end(place + 1)
            || message.any(place + 1, &["of"]) && message.any(place + 2, &["them", "em", "those"]))
    {
        let of = if message.is_end(place + 1) { 1 } else { 3 };
        used[place - 1..place + of].fill(true);
        return Some(number);
    }
    // `dyke hands, 5 men`
    let strong = [at, at + 1].into_iter().find(|place| {
        message.any(
            place + 1,
            &["strong", "men", "models", "man", "persons", "people", "guys", "blokes", "lads", "bodies"],
        ) && (*place == at || message.is_end(at))
            // `crew, one man left` is no size.
            && !message.is(place + 2, Class::Left)
    });
    if let Some(place) = strong.filter(|place| !used.get(*place).copied().unwrap_or(true))
        && let Some(number) = message.number(place)
    {
        used[place] = true;
        return Some(number);
    }
    // `increase the barges to four`
    let raised = message.any(at, &["to"])
        && (0..at).any(|at| {
            message.any(
                at,
                &[
                    "increase", "raise", "raising", "reduce", "cut", "lower", "bump", "change", "bring", "make", "up",
                    "drop",
                ],
            )
        });
    if let Some(number) =
        message.number(at + 1).filter(|number| raised && !used[at + 1] && message.is_end(at + 2) && *number <= most)
    {
        used[at..at + 2].fill(true);
        return Some(number);
    }
    // `attack the skate runners, runners are five`
    if message.any(at, &["are", "number"]) && message.is_end(at + 2) && at + 1 < next_unit {
        let few = message.number(at + 1).filter(|number| (2..=most.min(60)).contains(number) && !used[at + 1]);
        if few.is_some() {
            used[at..at + 2].fill(true);
            return few;
        }
    }
    // A number in brackets, or one on its own before the other side.
    let bracket =
        message.tokens.get(at).is_some_and(|token| message.text[..token.span.start].trim_end().ends_with('('));
    let alone = message.is(at + 1, Class::Vs)
        || matches!(message.tokens.get(at + 1).map(|token| &token.kind), Some(TokenKind::Versus));
    if let Some(number) = message.number(at).filter(|_| (bracket || alone) && !used[at]) {
        used[at] = true;
        return Some(number);
    }
    None
}
