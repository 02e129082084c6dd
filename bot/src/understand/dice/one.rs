//! One roll or several, in plain numbers.
use super::super::lexicon::Class;
use super::super::reading::{Reading, Told, arg};
use crate::commands::check::CHECK;
use crate::typing::Value;
use crate::typing::token::TokenKind;

/// Words of dice.
fn is_roll_word(word: &str) -> bool {
    matches!(word, "die" | "dice" | "roll" | "rolls" | "rolling" | "rolled" | "test" | "tests" | "check")
}

const CHECKED: &[Class] = &[Class::Check, Class::Wh, Class::YesNo, Class::Needed, Class::Luck];

/// One roll or several, in plain numbers.
pub fn check(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    if told.fighters() > 0 {
        return None;
    }
    let mut used = told.battle.used.clone();
    let mut roll = super::roll(told, &mut used)?;
    let die = told.index().die();
    if roll.needs.is_empty() && roll.versus.is_none() {
        return None;
    }
    // `how likely to kill at least 4`: a number of models, and no face.
    let diced = message.tokens.iter().any(|token| {
        matches!(token.kind, TokenKind::Dice(_) | TokenKind::Needs(_) | TokenKind::Faces(_))
            || is_roll_word(&token.word)
    });
    if message.has(Class::Kill) && !diced && told.battle.amounts.iter().any(|amount| amount.killed) {
        return None;
    }
    if roll.count == Some(1) && roll.dice.is_none() {
        roll.dice = Some(format!("1d{die}"));
        (roll.count, roll.tries) = (None, None);
    }
    if let Some(count) = roll.count.take() {
        // `7 or more on two dice`: a total that one die can't show.
        // `10 dice, how many 5s`, `both dice 4+`: each is a roll of its own; so it is where their sum could not fall short.
        let each = (0..used.len()).any(|at| {
            message.any(at, &["both", "each", "apiece"])
                || matches!(message.tokens[at].kind, TokenKind::Faces(_))
                || message.any(at, &["many"]) && message.any(at.wrapping_sub(1), &["how"])
        });
        let least = roll.needs.iter().filter_map(|needs| needs.strip_suffix('+')?.parse::<u64>().ok()).max();
        let sure = least.is_some_and(|least| least <= count);
        let each = each || sure;
        if (roll.passes.is_some() || each && roll.dice.is_none()) && roll.tries.is_none() && roll.fits(die) {
            roll.tries = Some(count);
        } else if !roll.fits(die) || roll.dice.is_none() && roll.tries.is_none() && roll.passes.is_none() {
            roll.dice = Some(format!("{count}d{die}"));
            roll.tries = None;
        }
    }
    let dice = (0..used.len()).any(|at| message.any(at, &["dice", "die", "roll", "rolls", "rolling"]));
    // What was lucky is asked of luck.
    let score = 1.4 - 1.2 * told.has(Class::Luck)
        + 0.3 * f64::from(u8::from(dice))
        + told.has(Class::Check) * 0.8
        + 0.6 * f64::from(u8::from(roll.dice.is_some()))
        + 0.3 * f64::from(u8::from(told.asks()));
    if !roll.fits(die) {
        return Some(Reading::lacks(
            &CHECK,
            Some("dice"),
            "Which dice are rolled? Say them like 2d6.",
            score,
            used,
            CHECKED,
        ));
    }
    let mut reading = Reading::asks(&CHECK, roll.json(told.index()), score, used, CHECKED);
    if let Some(passes) = roll.passes {
        reading.beside.args.push(arg("want", Value::Number(passes)));
    }
    Some(reading)
}
