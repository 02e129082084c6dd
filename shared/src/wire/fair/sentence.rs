//! What a log says about its die, in sentences that can be read out at the table.
use crate::odds::fair::{FairAnswer, Log};
use crate::report::saying::{count, grouped, mean, often, unproven};

/// The sentence, and one on the face that is the most surprising.
pub(super) fn sentence(log: &Log, of: &FairAnswer) -> String {
    let sides = log.seen().len();
    if log.throws() == 0 {
        return "There are no throws yet: nothing speaks for or against this die.".to_owned();
    }
    let die = if log.is_even() { format!("a fair d{sides}") } else { "a die of these weights".to_owned() };
    let verdict = match of.chance {
        0.05.. => "Nothing unusual",
        0.01.. => "Suspicious",
        0.001.. => "Very suspicious",
        _ => "Hardly fair",
    };
    // Where nothing is likelier, nothing can be said to come seldom.
    let comes = match of.chance >= 1.0 {
        true => format!("nothing is likelier from {die} than these counts"),
        false => {
            format!("{die} gives counts as unlikely as these {}", often(unproven(of.chance.max(f64::MIN_POSITIVE))))
        }
    };
    let face = &of.face;
    let times = match face.seen {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        seen => count(seen.into(), "time", "times"),
    };
    let surprise = format!(
        "The most surprising of its {sides} faces is {}: it came up {times}, where {} was to be expected.",
        face.face + 1,
        mean(face.expected)
    );
    let needed = match of.throws_needed {
        Some(throws) if of.chance >= 0.05 && throws > u64::from(log.throws()) => {
            format!(" If the die is as these counts look, it takes about {} rolls to show it.", grouped(throws as f64))
        }
        _ => String::new(),
    };
    format!("{verdict}: {comes}. {surprise}{needed}")
}
