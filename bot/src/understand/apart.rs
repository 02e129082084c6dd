//! A message of several sentences: the one that asks, or several that do.
use super::battle::Battle;
use super::choose::{Outcome, Ranked, choose, readings};
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::reading::Told;
use crate::client::index::PackIndex;

/// Two sentences that are each a clear question of their own: which of them is answered first is asked.
pub fn two_questions(message: &ParsedMessage<'_>) -> Option<Outcome> {
    if message.text.matches('?').count() < 2 {
        return None;
    }
    let mut clear: Vec<Ranked> = Vec::new();
    for part in message.text.split_inclusive('?').map(str::trim).filter(|part| part.ends_with('?')) {
        let alone = ParsedMessage::of(part, message.index);
        let outcome = choose(&alone, &readings(&alone, None).0);
        if let Outcome::Answer(best) = outcome
            && best.value > 1.8
        {
            clear.push(*best);
        }
    }
    let [first, second, ..] = clear.as_slice() else { return None };
    let question = "Those are several questions. Which one first?".to_owned();
    let offers = vec![first.reading.clone(), second.reading.clone()];
    Some(Outcome::Ask { question, command: first.reading.command, option: None, offers, choices: Vec::new() })
}

/// The sentence that alone is the question, where all else in the message is an aside.
pub fn sole_question<'a>(
    message: &ParsedMessage<'a>,
    index: &'a PackIndex,
) -> Option<(ParsedMessage<'a>, Vec<Ranked>)> {
    let sentences = message.tokens.last().map_or(0, |token| token.sentence) + 1;
    if sentences < 2 {
        return None;
    }
    let text = |sentence: usize| {
        let mut tokens = message.tokens.iter().filter(|token| token.sentence == sentence);
        let first = tokens.next()?;
        let last = tokens.next_back().unwrap_or(first);
        let end = if message.text[last.span.end..].starts_with('?') { last.span.end + 1 } else { last.span.end };
        message.text.get(first.span.start..end)
    };
    let parts: Vec<&'a str> = (0..sentences).filter_map(text).collect();
    let mut found: Vec<(usize, ParsedMessage<'a>, Vec<Ranked>)> = Vec::new();
    let mut asides = true;
    // Where one of the sentences asks, the others only tell.
    let asked = |part: &str, alone: &ParsedMessage<'_>| {
        part.ends_with('?') || !message.asks() && Told { message: alone, battle: &Battle::of(alone) }.begins(Class::Wh)
    };
    let messages: Vec<ParsedMessage<'a>> = parts.iter().map(|part| ParsedMessage::of(part, index)).collect();
    let some = parts.iter().zip(&messages).any(|(part, alone)| asked(part, alone));
    for ((at, part), alone) in parts.iter().enumerate().zip(messages) {
        let (ranked, battle) = readings(&alone, None);
        let questioned = !some || asked(part, &alone);
        let clear = questioned && ranked.first().is_some_and(|best| best.is_clear() && best.value > 2.2);
        if clear {
            found.push((at, alone, ranked));
        } else {
            let slots =
                !battle.table.is_empty() || battle.sides.iter().any(|side| side.count.is_some_and(|count| count > 1));
            let numbers = alone.tokens.iter().any(|token| {
                !matches!(
                    token.kind,
                    crate::typing::token::TokenKind::Word(_)
                        | crate::typing::token::TokenKind::Break
                        | crate::typing::token::TokenKind::Line
                        | crate::typing::token::TokenKind::Colon
                )
            });
            // What begins so goes on with the question, and what names something of a unit belongs to it.
            let goes_on = alone.tokens.first().is_some_and(|token| {
                matches!(token.word.as_str(), "and" | "but" | "only" | "count" | "with" | "without" | "from")
            });
            let told = alone.mentions.iter().any(|one| {
                !matches!(
                    one.sort,
                    super::names::Sort::Unit
                        | super::names::Sort::Stat
                        | super::names::Sort::Check
                        | super::names::Sort::Role
                )
            });
            asides &= !slots
                && !numbers
                && !goes_on
                && !alone.has(Class::Without)
                && !(told && !part.ends_with('?'))
                && !alone.has(Class::Only)
                && !(0..alone.tokens.len()).any(|at| alone.any(at, &["first", "second", "starts", "begins"]));
        }
    }
    if found.len() != 1 || !asides {
        return None;
    }
    // `The barge crosses a lock. Does it pass?`: the question speaks of who was named before it.
    let refers = |alone: &ParsedMessage<'_>| {
        let nobody = alone.named(super::names::Sort::Unit).next().is_none();
        nobody && (0..alone.tokens.len()).any(|at| alone.any(at, &["it", "its", "they", "their", "them", "he", "him"]))
    };
    let named = message.named(super::names::Sort::Unit).next().is_some();
    // `gunners punted about. great gun still shoots, right?`: a weapon, and whose it is in the sentence before.
    let armed = |alone: &ParsedMessage<'_>| {
        alone.named(super::names::Sort::Unit).next().is_none()
            && alone.named(super::names::Sort::Weapon).next().is_some()
    };
    if named && found.first().is_some_and(|(_, alone, _)| refers(alone) || armed(alone)) {
        return None;
    }
    found.pop().map(|(_, alone, ranked)| (alone, ranked))
}
