//! Numbers as people say them: `41.2% of the time, about 2 in 5`.

/// A chance in per cent, with as many places as tell it from never and always.
pub fn percent(chance: f64) -> String {
    let percent = chance * 100.0;
    let rest = percent.min(100.0 - percent);
    if chance <= 0.0 {
        "0%".into()
    } else if chance >= 1.0 {
        "100%".into()
    } else if rest >= 0.495 {
        // Halves go up, as people round: a binary fraction cannot show them all, so they are met from just below.
        format!("{:.1}%", (percent * 10.0 + 1e-9).round() / 10.0)
    } else if rest >= 0.05 {
        format!("{percent:.2}%")
    } else if rest >= 0.000_5 {
        format!("{percent:.3}%")
    } else if percent < 1.0 {
        "under 0.001%".into()
    } else {
        "over 99.999%".into()
    }
}

/// A share of something, which may be more than the whole of it.
pub fn share(of: f64) -> String {
    if of > 1.0 { format!("{:.0}%", of * 100.0) } else { percent(of) }
}

/// How often, in a form that fits behind a verb: `41.2% of the time, about 2 in 5`.
pub fn often(chance: f64) -> String {
    match roughly(chance) {
        Some(roughly) => format!("{} of the time, {roughly}", percent(chance)),
        None if chance <= 0.0 => "never".into(),
        None => "always".into(),
    }
}

/// A chance as a small fraction in words; none for what is impossible or certain.
pub fn roughly(chance: f64) -> Option<String> {
    if chance <= 0.0 || chance >= 1.0 {
        return None;
    }
    if chance < 0.08 {
        return Some(format!("about 1 in {}", grouped(rounded(1.0 / chance))));
    }
    if chance > 0.92 {
        return Some(format!("all but about 1 in {}", grouped(rounded(1.0 / (1.0 - chance)))));
    }
    let mut best: Option<(f64, u32, u32)> = None;
    for whole in [2_u32, 3, 4, 5, 6, 8, 9, 10, 12, 20] {
        for part in 1..whole {
            let error = (f64::from(part) / f64::from(whole) - chance).abs();
            // A larger denominator has to be clearly nearer, or the simpler fraction is the better answer.
            if best.is_none_or(|(least, ..)| least > 0.02 && error < least * 0.6) {
                best = Some((error, part, whole));
            }
        }
    }
    best.map(
        |(error, part, whole)| {
            if error < 1e-9 { format!("{part} in {whole}") } else { format!("about {part} in {whole}") }
        },
    )
}

/// Two leading digits, the rest noughts.
fn rounded(number: f64) -> f64 {
    let scale = 10_f64.powf((number.log10().floor() - 1.0).max(0.0));
    (number / scale).round() * scale
}

/// A number with its thousands parted.
pub fn grouped(number: f64) -> String {
    if number >= 1e15 {
        return "1,000,000,000,000,000 or more".into();
    }
    let digits = format!("{number:.0}");
    let mut grouped = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) && digit.is_ascii_digit() {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped
}

/// A mean: two places, without noughts at the end.
pub fn mean(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// `once`, `1.5 times`.
pub fn times(number: f64) -> String {
    let number = mean(number);
    if number == "1" { "once".to_owned() } else { format!("{number} times") }
}

/// A length in millimetres: in inches where it is a round number of them.
pub fn length(mm: f64) -> String {
    let inches = mm / 25.4;
    if mm > 0.0 && (inches - inches.round()).abs() < 1e-9 {
        format!("{inches:.0}\"")
    } else {
        format!("{} mm", mean(mm))
    }
}

/// An exact value short enough to be read on a phone.
pub fn exact(fraction: Option<&str>) -> Option<&str> {
    fraction.filter(|fraction| fraction.len() <= 21)
}

/// `1 try`, `3 tries`.
pub fn count(number: u64, one: &str, many: &str) -> String {
    format!("{} {}", number, if number == 1 { one } else { many })
}

/// `1 in 6` for small counts, in words to ten.
pub fn small(number: u64) -> String {
    const WORDS: [&str; 11] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    usize::try_from(number)
        .ok()
        .and_then(|number| WORDS.get(number))
        .map_or_else(|| number.to_string(), ToString::to_string)
}

/// What is rolled again, in words; what it needs tells the worst face.
pub fn reroll(what: &str, needs: Option<&str>) -> &'static str {
    match what {
        "worst" if needs.is_some_and(|needs| needs.ends_with('-')) => "re-rolling the highest face",
        "worst" => "re-rolling 1s",
        "failures" => "re-rolling failures",
        "natural_failures" => "re-rolling natural failures",
        "successes" => "re-rolling successes",
        "not_critical" => "re-rolling what is not critical",
        _ => "no re-rolls",
    }
}

/// A sentence with its first letter large.
pub fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// A sentence that ends like one.
pub fn full_stop(text: &str) -> String {
    let text = sentence(text.trim());
    if text.is_empty() || text.ends_with(['.', '!', '?']) { text } else { format!("{text}.") }
}

/// `a`, `a and b`, `a, b and c`.
pub fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `a hazard test`, `an ice test`.
pub fn one(name: &str) -> String {
    let vowel = name.chars().next().is_some_and(|c| "aeiou".contains(c.to_ascii_lowercase()));
    format!("{} {name}", if vowel { "an" } else { "a" })
}

/// Several of a thing.
pub fn plural(name: &str) -> String {
    // Quay Rifles are several already.
    if name.ends_with('s') && !["ss", "us", "is"].iter().any(|end| name.ends_with(end)) {
        return name.to_owned();
    }
    // As are men and oxen.
    if ["men", "oxen", "geese", "sheep"].iter().any(|end| name.to_lowercase().ends_with(end)) {
        return name.to_owned();
    }
    let consonant = |c: Option<char>| c.is_some_and(|c| !"aeiou".contains(c.to_ascii_lowercase()));
    if let Some(stem) = name.strip_suffix('y').filter(|stem| consonant(stem.chars().last())) {
        return format!("{stem}ies");
    }
    let hisses = ["s", "x", "z", "ch", "sh"].iter().any(|end| name.ends_with(end));
    format!("{name}{}", if hisses { "es" } else { "s" })
}
