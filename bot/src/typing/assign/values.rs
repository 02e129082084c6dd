//! The value that one token is to an option.
use super::super::token::{TokenKind, whole};
use super::super::value::Value;
use crate::commands::Kind;

/// Inches in millimetres; multiplied first, so that no decimal is lost.
fn inches(inches: f64) -> f64 {
    inches * 254.0 / 10.0
}

/// The value that a token is to an option, if it is one; `loosely` where a word beside it says so, or nothing else fits.
pub fn value_of(kind: Kind, token_kind: &TokenKind, loosely: bool) -> Option<Value> {
    Some(match (kind, token_kind) {
        (Kind::Times, TokenKind::Times(number)) => Value::Number(*number),
        (Kind::Number, TokenKind::Number(number)) => Value::Number(whole(*number)?),
        (Kind::Times, TokenKind::Number(number)) if loosely => Value::Number(whole(*number)?),
        (Kind::Number, TokenKind::Times(number)) if loosely => Value::Number(*number),
        (
            Kind::Number | Kind::Times,
            TokenKind::Pool(number) | TokenKind::AtLeast(number) | TokenKind::Inches(number),
        ) if loosely => Value::Number(*number),
        (Kind::Amount, TokenKind::Number(number)) => Value::Dice(whole(*number)?.to_string()),
        (Kind::Amount, TokenKind::Times(number)) => Value::Dice(number.to_string()),
        (Kind::Amount, TokenKind::Pool(number)) if loosely => Value::Dice(number.to_string()),
        (Kind::Amount | Kind::Dice, TokenKind::Dice(dice)) => Value::Dice(dice.clone()),
        (Kind::Dice, TokenKind::Pool(number)) if loosely => Value::Dice(format!("{number}d")),
        (Kind::Modifier, TokenKind::Signed(modifier)) => Value::Modifier(*modifier),
        (Kind::Modifier, TokenKind::Number(number)) if loosely => Value::Modifier(i64::try_from(whole(*number)?).ok()?),
        (Kind::Chance, TokenKind::Percent(percent)) => Value::Chance(percent / 100.0),
        (Kind::Chance, TokenKind::Number(number)) if *number > 0.0 && *number < 1.0 => Value::Chance(*number),
        (Kind::Chance, TokenKind::Number(number)) if loosely && (1.0..=100.0).contains(number) => {
            Value::Chance(number / 100.0)
        }
        (Kind::Chance, TokenKind::AtLeast(number)) if loosely && *number <= 100 => {
            Value::Chance(f64::from(u32::try_from(*number).ok()?) / 100.0)
        }
        (Kind::Distance, TokenKind::Inches(number)) => Value::Number(*number),
        (Kind::Distance, TokenKind::Number(number)) if loosely => Value::Number(whole(*number)?),
        (Kind::Angle, TokenKind::Number(number)) if loosely && *number <= 360.0 => Value::Angle(*number),
        (Kind::Angle, TokenKind::Signed(number)) => Value::Angle(f64::from(i32::try_from(*number).ok()?)),
        (Kind::Length, TokenKind::Inches(number)) => Value::Length(inches(f64::from(u32::try_from(*number).ok()?))),
        (Kind::Length, TokenKind::Millimetres(mm)) => Value::Length(*mm),
        // Nobody has a base of 2 mm or a template of 60 inches.
        (Kind::Length, TokenKind::Number(number)) if loosely && *number > 0.0 => {
            Value::Length(if *number <= 12.0 { inches(*number) } else { *number })
        }
        (Kind::Needs, TokenKind::Needs(needs)) => Value::Needs(needs.clone()),
        (Kind::Needs, TokenKind::Faces(least) | TokenKind::AtLeast(least)) => Value::Needs(format!("{least}+")),
        (Kind::Needs, TokenKind::AtMost(most)) => Value::Needs(format!("{most}-")),
        (Kind::Needs, TokenKind::Number(number)) if loosely => {
            Value::Needs(format!("{}+", whole(*number).filter(|n| *n > 0)?))
        }
        (Kind::Reroll, TokenKind::Reroll(reroll)) => Value::Reroll(reroll),
        (Kind::Budget, TokenKind::Rerolls(budget)) => Value::Number(*budget),
        (Kind::Keep, TokenKind::Keep { highest, kept, of }) => Value::Keep { highest: *highest, kept: *kept, of: *of },
        _ => return None,
    })
}
