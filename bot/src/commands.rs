//! The commands, listed once. A command is one file: its words, its request, its card.
//!
//! To add one: write its file, add it to [`ALL`], add its conversation under `tests/bot/conversations`.
use std::sync::LazyLock;

pub mod appraise;
pub mod arc;
pub mod asked;
pub mod assign;
pub mod blast;
pub mod build;
pub mod check;
pub mod compare;
pub mod definition;
pub mod draw;
pub mod duel;
pub mod fair;
pub mod help;
pub mod luck;
pub mod matchup;
pub mod named;
pub mod needed;
pub mod odds;
pub mod pack;
pub mod points;
pub mod repair;
pub mod rule;
mod told;
pub mod unit;
pub mod versus;

pub use asked::{Asked, Halt};
pub use definition::{Answering, Command, Kind, Opt, Share};

/// All commands, in the order in which help lists them.
pub const ALL: &[&Command] = &[
    &matchup::MATCHUP,
    &check::CHECK,
    &odds::ODDS,
    &repair::REPAIR,
    &blast::BLAST,
    &duel::DUEL,
    &needed::NEEDED,
    &compare::COMPARE,
    &assign::ASSIGN,
    &luck::LUCK,
    &fair::FAIR,
    &draw::DRAW,
    &points::POINTS,
    &build::BUILD,
    &versus::VERSUS,
    &unit::UNIT,
    &appraise::APPRAISE,
    &rule::RULE,
    &arc::ARC,
    &pack::PACK,
    &help::HELP,
];

/// The command of this name.
pub fn named(name: &str) -> Option<&'static Command> {
    ALL.iter().copied().find(|command| command.name == name)
}

/// The command whose question has this path.
pub fn at(path: &str) -> Option<&'static Command> {
    ALL.iter().copied().find(|command| command.path == Some(path))
}

static WORDS: LazyLock<Vec<&'static str>> = LazyLock::new(|| {
    let mut words: Vec<&'static str> = Vec::new();
    for command in ALL {
        words.push(command.name);
        words.extend(command.words);
        words.extend(command.shares.iter().flat_map(|share| share.cues));
        for option in command.options {
            words.push(option.name);
            words.extend(option.cues);
            words.extend(option.phrases().into_iter().map(|(_, phrase)| phrase));
        }
    }
    words.sort_unstable();
    words.dedup();
    words
});

/// Every word and phrase that means something to a command.
pub fn words() -> &'static [&'static str] {
    &WORDS
}
