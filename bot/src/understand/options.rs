//! Questions in plain numbers, read by the options of their commands: where these explain every word, they are surest.
use super::lexicon::Class;
use super::reading::{Act, Reading, Told};
use crate::commands::arc::ARC;
use crate::commands::blast::BLAST;
use crate::commands::check::CHECK;
use crate::commands::odds::ODDS;
use crate::commands::repair::REPAIR;
use crate::commands::{Command, Kind};
use crate::typing::{self, TokenKind, Value, assign::assign};

/// The readings by options.
pub fn readings(told: &Told<'_>) -> Vec<Reading> {
    if told.fighters() > 0 {
        return Vec::new();
    }
    let has = |class: Class| told.message.has(class);
    let dice = |score: f64| if has(Class::Check) { score + 0.8 } else { score };
    let known: [(&'static Command, &[&str], bool, f64); 5] = [
        (&CHECK, &["needs"], !has(Class::Luck), dice(2.1)),
        (&ODDS, &["attacks", "hit"], has(Class::Odds), 3.4),
        (&REPAIR, &["needs"], has(Class::Repair), 3.2),
        (&BLAST, &["template", "models"], has(Class::Blast), 3.1),
        (&ARC, &["clock"], true, 2.9),
    ];
    if told
        .message
        .tokens
        .iter()
        .all(|token| matches!(token.kind, TokenKind::Word(_) | TokenKind::Break | TokenKind::Line | TokenKind::Colon))
    {
        return Vec::new();
    }
    let said = typing::tokens(told.message.text, Some(told.index()));
    let reading = |(command, needed, allowed, score): (&'static Command, &[&str], bool, f64)| {
        // Without names: a reading with one of them is none of these.
        let read = assign(told.message.text, &said, command, None);
        let whole = read.unread.is_empty() && read.corrected.is_empty() && read.guessed == 0;
        let named = read.args.iter().any(|arg| {
            matches!(arg.value, Value::Name(_) | Value::Side(_) | Value::Text(_))
                || command.option(arg.option).is_some_and(|option| matches!(option.kind, Kind::Name(_)))
        });
        let pointless = command.name == "repair" && !["missing", "left", "want"].iter().any(|option| read.has(option));
        if pointless || !allowed || !whole || named || !needed.iter().all(|option| read.has(option)) {
            return None;
        }
        let mut reading = Reading::args(command, Vec::new(), score, vec![true; told.message.tokens.len()], &[]);
        reading.act = Act::Args(read);
        Some(reading)
    };
    known.into_iter().filter_map(reading).collect()
}
