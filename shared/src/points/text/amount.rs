//! A name and the numbers around it: `3x Name`, `2x 10 Name`, `Name x3`, `Name 10`.
use crate::rules::names::{Names, NotFound};

/// A number beside a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Amount {
    /// How many.
    pub(crate) number: u32,
    /// What it is said to count.
    pub(crate) of: Of,
}

/// What a number is said to count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Of {
    /// A bare number: `10`.
    Bare,
    /// A factor: `10x`, `x10`.
    Times,
    /// `10 models`.
    Models,
    /// `10 units of`.
    Units,
}

/// A name that was found, and the numbers around it that are no part of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Named {
    /// The index that the name stands for.
    pub(crate) index: usize,
    /// The numbers before it, two at most.
    pub(crate) before: Vec<Amount>,
    /// The number behind it.
    pub(crate) behind: Option<Amount>,
}

/// The longest text that is looked up: labels and further words are shorter.
const LONGEST: usize = 100;

/// Finds a name with numbers around it. A name in full wins over the numbers in it: `Type 34` is no 34 of a type, and
/// `2x 88 Gun` is two of the 88 Gun.
///
/// # Errors
/// [`NotFound`] where no name fits, or several do.
pub(crate) fn find(names: &Names, text: &str) -> Result<Named, NotFound> {
    if text.chars().nth(LONGEST).is_some() {
        return Err(NotFound { ambiguous: false, closest: Vec::new() });
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    let readings = readings(&words);
    if let Some(named) = exact_of(names, &readings) {
        return Ok(named);
    }
    let mut last = NotFound { ambiguous: false, closest: Vec::new() };
    for reading in &readings {
        let name = reading.name();
        // One or two letters begin too much.
        if name.chars().filter(|c| c.is_alphanumeric()).count() < 3 {
            continue;
        }
        match names.find(&name) {
            // `Type` alone may be short for `Type 34`, but a 35 beside it is no number of those.
            Ok(index) if (reading.stripped() || has_digit(&name)) && !names.same_numbers(index, &name) => {
                let shown = names.shown(index).map(str::to_owned);
                last = NotFound { ambiguous: false, closest: shown.into_iter().collect() };
            }
            Ok(index) => return Ok(reading.named(index)),
            Err(error) => last = error,
        }
    }
    Err(last)
}

/// The same where a name is written in full.
pub(crate) fn exact(names: &Names, text: &str) -> Option<Named> {
    if text.chars().nth(LONGEST).is_some() {
        return None;
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    exact_of(names, &readings(&words))
}

fn exact_of(names: &Names, readings: &[Reading<'_>]) -> Option<Named> {
    readings.iter().find_map(|reading| Some(reading.named(names.exact(&reading.name())?)))
}

/// The name alone, as far as the words around it are numbers: for what is said of a name that nobody bears.
pub(crate) fn bare(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    readings(&words).pop().map_or_else(|| text.to_owned(), |reading| reading.name())
}

fn has_digit(text: &str) -> bool {
    text.bytes().any(|byte| byte.is_ascii_digit())
}

/// One way to part the words into a name and numbers.
struct Reading<'a> {
    words: &'a [&'a str],
    before: Vec<Amount>,
    behind: Option<Amount>,
}

impl Reading<'_> {
    fn name(&self) -> String {
        self.words.join(" ")
    }

    fn stripped(&self) -> bool {
        !self.before.is_empty() || self.behind.is_some()
    }

    fn named(&self, index: usize) -> Named {
        Named { index, before: self.before.clone(), behind: self.behind }
    }
}

/// All ways, those first that leave most to the name.
fn readings<'a>(words: &'a [&'a str]) -> Vec<Reading<'a>> {
    let mut all = Vec::new();
    let (mut before, mut rest) = (Vec::new(), words);
    loop {
        all.push(Reading { words: rest, before: before.clone(), behind: None });
        if let Some((amount, shorter)) = behind(rest) {
            all.push(Reading { words: shorter, before: before.clone(), behind: Some(amount) });
        }
        match front(rest).filter(|_| before.len() < 2) {
            Some((amount, shorter)) => {
                before.push(amount);
                rest = shorter;
            }
            None => return all,
        }
    }
}

/// The number that the words begin with, and the words after it; something is left of them.
fn front<'a>(words: &'a [&'a str]) -> Option<(Amount, &'a [&'a str])> {
    let (first, rest) = words.split_first()?;
    let mut amount = amount(first)?;
    let mut rest = rest;
    // `x 10 Name`, `10 x Name`.
    if is_times(first) {
        let (number, after) = rest.split_first()?;
        amount.number = digits(number)?;
        rest = after;
    } else if let Some((_, after)) = rest.split_first().filter(|(word, _)| is_times(word)) {
        (amount.of, rest) = (Of::Times, after);
    }
    if let Some((of, after)) = rest.split_first().and_then(|(word, after)| Some((kind(word)?, after))) {
        (amount.of, rest) = (of, after);
        rest = rest.split_first().filter(|(word, _)| **word == "of").map_or(rest, |(_, after)| after);
    }
    (!rest.is_empty()).then_some((amount, rest))
}

/// The number that the words end with, and the words before it.
fn behind<'a>(words: &'a [&'a str]) -> Option<(Amount, &'a [&'a str])> {
    let (mut last, mut rest) = words.split_last()?;
    let of = kind(last);
    if of.is_some() {
        (last, rest) = rest.split_last()?;
    }
    let mut amount = amount(last).filter(|_| !is_times(last))?;
    // `Name x 10`.
    if let Some((_, before)) = rest.split_last().filter(|(word, _)| is_times(word)) {
        (amount.of, rest) = (Of::Times, before);
    }
    amount.of = of.unwrap_or(amount.of);
    (!rest.is_empty()).then_some((amount, rest))
}

fn kind(word: &str) -> Option<Of> {
    match word {
        "model" | "models" => Some(Of::Models),
        "unit" | "units" => Some(Of::Units),
        _ => None,
    }
}

fn is_times(word: &str) -> bool {
    matches!(word, "x" | "X" | "×")
}

/// `10`, `10x`, `x10`; a lone `x` waits for its number.
fn amount(word: &str) -> Option<Amount> {
    if is_times(word) {
        return Some(Amount { number: 0, of: Of::Times });
    }
    let word = word.strip_suffix(':').unwrap_or(word);
    let inner = word.strip_prefix(['x', 'X', '×']).or_else(|| word.strip_suffix(['x', 'X', '×']));
    let of = if inner.is_some() { Of::Times } else { Of::Bare };
    Some(Amount { number: digits(inner.unwrap_or(word))?, of })
}

/// A whole number; the largest there is stands for all beyond.
pub(super) fn digits(text: &str) -> Option<u32> {
    let good = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    good.then(|| text.parse().unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names() -> Names {
        let mut names = Names::default();
        for (index, name) in ["Crawler Mk 2", "Type 34", "88 Gun", "Dyke Hands", "Gun"].iter().enumerate() {
            names.add(index, name, [*name]);
        }
        names
    }

    fn read(text: &str) -> (usize, Vec<u32>, Option<u32>) {
        let named = find(&names(), text).unwrap_or_else(|error| panic!("{text}: {error:?}"));
        let before = named.before.iter().map(|amount| amount.number).collect();
        (named.index, before, named.behind.map(|amount| amount.number))
    }

    #[test]
    fn a_name_in_full_wins_over_a_number_in_it() {
        for (text, wanted) in [
            ("Crawler Mk 2", (0, vec![], None)),
            ("crawlers mk 2", (0, vec![], None)),
            ("3x Crawler Mk 2", (0, vec![3], None)),
            ("Crawler Mk 2 x3", (0, vec![], Some(3))),
            ("Crawler Mk 2 3", (0, vec![], Some(3))),
            ("Type 34", (1, vec![], None)),
            ("2 Type 34", (1, vec![2], None)),
            ("88 Gun", (2, vec![], None)),
            ("2x 88 Gun", (2, vec![2], None)),
            ("88 88 Gun", (2, vec![88], None)),
            ("2x Gun", (4, vec![2], None)),
            ("2x 10 Dyke Hands", (3, vec![2, 10], None)),
            ("10 x dyke hand", (3, vec![10], None)),
            ("x 10 dyke hand", (3, vec![10], None)),
            ("3 units of 5 dyke hands", (3, vec![3, 5], None)),
            ("dyke hands 10 models", (3, vec![], Some(10))),
            ("3 dyk hands x10", (3, vec![3], Some(10))),
            ("Typ 34", (1, vec![], None)),
        ] {
            assert_eq!(read(text), wanted, "{text}");
        }
    }

    #[test]
    fn a_number_that_no_name_has_is_no_number_of_models() {
        for text in ["Type 35", "Crawler Mk 3", "35 Type", "Crawler 3 x2"] {
            assert!(find(&names(), text).is_err(), "{text}: {:?}", find(&names(), text));
        }
        let error = find(&names(), "Type 35").expect_err("no such type");
        assert_eq!(error.closest, ["Type 34"]);
    }

    #[test]
    fn what_is_longer_than_any_name_is_not_looked_up() {
        let long = "crawler ".repeat(200_000);
        assert_eq!(find(&names(), &long).expect_err("too long").closest, Vec::<String>::new());
    }
}
