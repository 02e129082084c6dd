//! Which pack is played, another one that is asked for, and what can be asked at all.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::reading::{Reading, Told, arg};
use crate::commands::help::HELP;
use crate::commands::pack::PACK;
use crate::typing::Value;

/// Which rules are played.
pub fn pack(told: &Told<'_>) -> Option<Reading> {
    let phrase = told.message.spans(Class::Pack).any(|(_, len)| len > 2);
    let short = phrase || told.message.spans(Class::Pack).any(|(_, len)| len == 2) && told.message.tokens.len() <= 6;
    (short && told.fighters() == 0).then(|| {
        let name = switched_to(told.message).map(|name| arg("name", Value::Text(name)));
        Reading::args(
            &PACK,
            name.into_iter().collect(),
            2.4 + 0.6 * f64::from(u8::from(phrase)),
            vec![true; told.message.tokens.len()],
            &[],
        )
    })
}

/// `can we switch to sedge moot`, `put me on the marsh rules`: the pack's name, as it was written.
fn switched_to(message: &ParsedMessage<'_>) -> Option<String> {
    let all = || 0..message.tokens.len();
    let verb = all().find(|at| message.any(*at, &["switch", "swap", "change", "put", "move", "go", "do"]))?;
    let to = all().find(|at| *at > verb && message.any(*at, &["to", "on", "onto"]))?;
    let ends = |at: &usize| {
        message.is_end(*at) || message.any(*at, &["for", "please", "pls", "tonight", "now", "instead", "again", "and"])
    };
    let idle = |at: &usize| {
        message.any(*at, &["the", "a", "rule", "rules", "one", "ones", "pack", "book", "game", "over", "to", "house"])
    };
    let words: Vec<&str> = (to + 1..message.tokens.len())
        .take_while(|at| !ends(at))
        .filter(|at| !idle(at))
        .filter_map(|at| message.text.get(message.tokens[at].span.clone()))
        .collect();
    (!words.is_empty()).then(|| words.join(" "))
}

/// What can be asked.
pub fn help(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let phrase =
        message.spans(Class::Help).filter(|(at, len)| *len > 1 || *at == 0 && message.tokens.len() <= 2).count();
    (phrase > 0 && told.fighters() == 0).then(|| {
        let score = 1.9
            + 0.5 * f64::from(u8::from(phrase > 1))
            + 0.4 * f64::from(u8::from(message.spans(Class::Help).any(|(_, len)| len > 3)));
        let named = message
            .tokens
            .iter()
            .find_map(|token| crate::commands::named(&token.word))
            .filter(|one| one.name != "help");
        let args = named.map(|one| arg("command", Value::Choice(one.name))).into_iter().collect();
        Reading::args(&HELP, args, score, vec![true; message.tokens.len()], &[])
    })
}
