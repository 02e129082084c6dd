//! A result in one sentence that a table of players can read out.
use super::result::{Counted, Happened};
use crate::odds::distribution::Distribution;
use crate::odds::luck::Luck;
use crate::odds::number::Number;
use crate::report::saying::{mean, often, sentence as capital, unproven};

/// How a result is spoken of.
#[derive(Clone, Debug)]
pub(super) struct Told {
    /// Whose dice they were, where a name tells it: `the Withy Bows`.
    pub(super) who: Option<String>,
    /// The other side's dice were lucky or not.
    pub(super) theirs: bool,
    /// It is the sum of several results.
    pub(super) in_all: bool,
}

/// The sentence.
pub(super) fn sentence<N: Number>(happened: &Happened, luck: &Luck<N>, of: &Distribution<N>, told: Told) -> String {
    let (lowest, highest) = (of.lowest(), of.highest());
    let (one, several) = happened.of.words();
    let in_all = |words: &str| if told.in_all { format!("{words} in all") } else { words.to_owned() };
    let (one, several) = (in_all(one), in_all(several));
    let what = match happened.of {
        Counted::Total => format!("a total of {}", happened.value),
        _ => format!("{} {}", happened.value, if happened.value == 1 { &one } else { &several }),
    };
    if luck.exactly.is_zero() {
        let range = match (lowest..=highest).contains(&happened.value) {
            _ if lowest == highest => format!("it is {lowest} whatever is rolled"),
            true => "the dice can't add up to it".to_owned(),
            false => format!("the result is from {lowest} to {highest}"),
        };
        return capital(&format!("{what} can't happen here: {range}."));
    }
    if lowest == highest {
        return capital(&format!("{what}: nothing else could happen."));
    }
    let average = format!("The average is {}.", mean(of.expected()));
    let (more, less) = (luck.at_least.to_f64(), luck.at_most.to_f64());
    let tail = more.min(less);
    if tail >= 0.25 {
        return format!("Nothing unusual: {what}, which happens {}. {average}", often(unproven(luck.exactly.to_f64())));
    }
    let high = more < less;
    let side = match (high, happened.value == if high { highest } else { lowest }) {
        (_, true) => "",
        (true, false) => " or more",
        // What is counted comes in numbers; a total does not.
        (false, false) => {
            if matches!(happened.of, Counted::Total) {
                " or less"
            } else {
                " or fewer"
            }
        }
    };
    let what = match happened.of {
        Counted::Total => format!("{what}{side}"),
        // `one model lost, or none`, `1 or more models lost`
        _ if happened.value == 1 && side == " or fewer" => format!("one {one}, or none"),
        _ if happened.value == 1 && side.is_empty() => what,
        _ => format!("{}{side} {several}", happened.value),
    };
    let whose = match &told.who {
        Some(who) => format!(" for {who}"),
        None if told.theirs => " for them".to_owned(),
        None => String::new(),
    };
    format!("{}{whose}: {what}, which happens {}. {average}", verdict(happened.of, high, tail), often(tail))
}

/// How unusual it is, and for whoever rolled good or bad; of some counts it depends on what is wanted.
fn verdict(of: Counted, high: bool, tail: f64) -> String {
    let word = match of {
        Counted::Backfires | Counted::Missing if high => "unlucky",
        Counted::Backfires | Counted::Missing => "lucky",
        Counted::Total | Counted::ALeft | Counted::BLeft => "unusual",
        _ if high => "lucky",
        _ => "unlucky",
    };
    let how = match tail {
        0.1.. => "A little",
        0.02.. => return capital(word),
        0.001.. => "Very",
        _ => "Incredibly",
    };
    format!("{how} {word}")
}
