//! A result in one sentence that a table of players can read out.
use super::result::{Counted, Happened};
use crate::odds::distribution::Distribution;
use crate::odds::luck::Luck;
use crate::odds::number::Number;

/// The sentence.
pub(super) fn sentence<N: Number>(happened: &Happened, luck: &Luck<N>, of: &Distribution<N>) -> String {
    let what = counted(happened.of, happened.value);
    let (lowest, highest) = (of.lowest(), of.highest());
    if luck.exactly.is_zero() {
        let range = if lowest == highest {
            format!("it is always {lowest}")
        } else {
            format!("{lowest} to {highest} is what can")
        };
        let range =
            if (lowest..=highest).contains(&happened.value) { "the values around it can".to_owned() } else { range };
        return format!("{what} cannot happen here: {range}.");
    }
    if lowest == highest {
        return format!("{what}: it could not have come out otherwise.");
    }
    let expected = format!("{:.1} was to be expected", of.expected());
    let (more, less) = (luck.at_least.to_f64(), luck.at_most.to_f64());
    let tail = more.min(less);
    if tail >= 0.25 {
        return format!("Nothing unusual: {what} comes up {}; {expected}.", often(luck.exactly.to_f64()));
    }
    let verdict = match tail {
        0.1.. => "Not every day",
        0.02.. => "Unusual",
        0.001.. => "Rare",
        _ => "Hardly ever seen",
    };
    let side = match (more < less, happened.value == if more < less { highest } else { lowest }) {
        (_, true) => "",
        (true, false) => " or more",
        (false, false) => " or less",
    };
    format!("{verdict}: {what}{side} comes up {}; {expected}.", often(tail))
}

fn counted(of: Counted, value: i64) -> String {
    let (one, several) = of.words();
    format!("{value} {}", if value == 1 { one } else { several })
}

/// A chance in percent and as one in so many, each where it says something.
fn often(chance: f64) -> String {
    let percent = if chance >= 0.1 { format!("{:.0}%", chance * 100.0) } else { format!("{:.2}%", chance * 100.0) };
    let one_in = 1.0 / chance;
    match chance {
        0.4.. => format!("{percent} of the time"),
        0.000_1.. => format!("{percent} of the time, about once in {one_in:.0}"),
        1e-15.. => format!("about once in {}", grouped(one_in)),
        _ => "less than once in a million billion times".to_owned(),
    }
}

/// A large number to two digits, in groups of three.
fn grouped(number: f64) -> String {
    let scale = 10f64.powf(number.log10().floor() - 1.0);
    let digits = format!("{:.0}", (number / scale).round() * scale);
    let mut text = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}
