//! How the parts of a roll are said in reasons.
use crate::odds::roll::{Aim, Keep, Needs, Reroll, Roll};
use crate::report::saying::needed;

/// What a roll needs, as people say it.
pub(super) fn told(needs: Needs) -> String {
    match needs {
        Needs::Never => "no roll".to_owned(),
        Needs::Auto => "no roll needed".to_owned(),
        needs => format!("needs {}", needed(&needs.to_string())),
    }
}

pub(super) fn aim_words(roll: &Roll) -> String {
    match &roll.aim {
        Aim::Needs(needs) => format!("needs {}", needed(&needs.to_string())),
        Aim::Versus(_) => "opposed".to_owned(),
    }
}

/// What is rolled again; `low` says that the roll wants little.
pub(super) fn reroll_words(reroll: Reroll, low: bool) -> &'static str {
    match reroll {
        Reroll::None => "none",
        Reroll::Worst if low => "the highest face",
        Reroll::Worst => "1s",
        Reroll::NaturalFailures => "natural failures",
        Reroll::Failures => "failures",
        Reroll::NotCritical => "all but criticals",
        Reroll::Successes => "successes",
    }
}

pub(super) fn keep_words(keep: Keep) -> String {
    match keep {
        Keep::All => "all".to_owned(),
        Keep::Highest(1) => "the highest".to_owned(),
        Keep::Lowest(1) => "the lowest".to_owned(),
        Keep::Highest(n) => format!("the highest {n}"),
        Keep::Lowest(n) => format!("the lowest {n}"),
    }
}
