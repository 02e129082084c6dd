//! Numbers as people say them. Every phrase that states a chance, a mean or a count is made here and nowhere else, so
//! that all answers round alike: `about 1 time in 28 (3.5%)`, `3 tries`, `five Dyke Hands`.

mod chance;
mod points;
mod units;
mod whole;
pub use chance::{apart, games, often, percent, proven, roughly, share, unproven};
pub use points::{of_points, points, points_apart};
pub use units::{another_unit, at_range, is_several, the_unit};
pub use whole::{about, mostly};

/// What each reason begins with that says a rule works, but for somebody else.
pub const ELSEWHERE: &str = "only counts ";

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

/// A mean: two places, without noughts at the end. What is more than nothing is not said to be nothing.
pub fn mean(number: f64) -> String {
    if number > 0.0 && number < 0.005 {
        return "under 0.01".to_owned();
    }
    // A number just below a half of the last place is a half that binary fractions can't show.
    let text = format!("{:.2}", number + if number > 0.0 { 1e-9 } else { 0.0 });
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A mean of something of which there are so many: what is less than all of it is not said to be all of it, but more than
/// a hundredth less. `sure` says that all of it is certain, whatever a double rounds to.
pub fn mean_of(number: f64, all: u64, sure: bool) -> String {
    let said = mean(number);
    if !sure && all > 0 && said == all.to_string() { format!("over {}", mean(all as f64 - 0.01)) } else { said }
}

/// Points for each point that is spent: what rounds to one is not yet one.
pub fn per_point(earned: f64) -> String {
    if earned < 1.0 && mean(earned) == "1" { "just under 1".to_owned() } else { mean(earned) }
}

/// What a roll needs, as people say it: `7+`, `7 or less`.
pub fn needed(needs: &str) -> String {
    match needs.strip_suffix('-') {
        Some(total) if !total.is_empty() => format!("{total} or less"),
        _ => needs.to_owned(),
    }
}

/// Where somebody stands, with a preposition: `in reeds`, `on thin ice`; a name that has its own keeps it.
pub fn place(name: &str) -> String {
    // What one stands on, not in.
    const SURFACES: [&str; 4] = ["ice", "ground", "road", "roof"];
    const PREPOSITIONS: [&str; 8] = ["in", "on", "at", "behind", "under", "among", "beside", "inside"];
    let first = name.split(' ').next().unwrap_or_default().to_lowercase();
    let last = name.rsplit(' ').next().unwrap_or_default().to_lowercase();
    match SURFACES.contains(&last.as_str()) {
        _ if PREPOSITIONS.contains(&first.as_str()) => name.to_owned(),
        true => format!("on {name}"),
        // One thing hides whoever is behind it.
        false if ["a", "an"].contains(&first.as_str()) => format!("behind {name}"),
        false => format!("in {name}"),
    }
}

/// Means that are held against each other: as many places as tell unlike ones apart.
pub fn means_apart(numbers: &[f64]) -> Vec<String> {
    let at = |number: f64, places: usize| {
        let text = format!("{number:.places$}");
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
    };
    chance::told_apart(numbers, mean, at)
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

/// A fraction that people can picture: of at most 36 parts, and not what its per cent says already.
pub fn short(fraction: Option<&str>) -> Option<&str> {
    let pictured = |fraction: &&str| match fraction.split_once('/') {
        Some((_, whole)) => whole != "10" && whole.parse::<u32>().is_ok_and(|whole| whole <= 36),
        None => false,
    };
    fraction.filter(pictured)
}

/// An exact value behind its per cent: ` = 5/9`. Nothing where the per cent says it already, or where nobody pictures it.
pub fn equal_to(fraction: Option<&str>) -> String {
    short(fraction).map_or_else(String::new, |fraction| format!(" = {fraction}"))
}

/// The difference of two fractions in lowest terms; nothing where they are too long for it.
pub fn difference(from: &str, less: &str) -> Option<String> {
    let parts = |fraction: &str| -> Option<(u128, u128)> {
        match fraction.split_once('/') {
            Some((part, whole)) => Some((part.parse().ok()?, whole.parse().ok()?)),
            None => Some((fraction.parse().ok()?, 1)),
        }
    };
    let ((a, b), (c, d)) = (parts(from)?, parts(less)?);
    let part = a.checked_mul(d)?.checked_sub(c.checked_mul(b)?)?;
    let whole = b.checked_mul(d)?;
    let (mut gcd, mut rest) = (whole, part);
    while rest > 0 {
        (gcd, rest) = (rest, gcd % rest);
    }
    let (part, whole) = (part / gcd, whole / gcd);
    Some(if whole == 1 { part.to_string() } else { format!("{part}/{whole}") })
}

/// `1 try`, `3 tries`.
pub fn count(number: u64, one: &str, many: &str) -> String {
    format!("{} {}", number, if number == 1 { one } else { many })
}

/// A number in words to ten, else in digits.
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

/// A verb of the third person for one or for several: `wrecks`, `wreck`.
pub fn verb(base: &str, many: bool) -> String {
    match base {
        _ if many => base.to_owned(),
        "have" => "has".to_owned(),
        "are" => "is".to_owned(),
        "do" | "go" => format!("{base}es"),
        _ if ["s", "sh", "ch", "x"].iter().any(|end| base.ends_with(end)) => format!("{base}es"),
        _ => format!("{base}s"),
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

/// `a`, `a or b`, `a, b or c`.
pub fn either(words: &[String]) -> String {
    match words {
        [first @ .., last] if !first.is_empty() => format!("{} or {last}", first.join(", ")),
        words => words.concat(),
    }
}

/// A name of house rules with its article: `the Canal Guild`; but `Our Club` and `Ann's Rules` are names without one.
pub fn the(name: &str) -> String {
    let first = name.split(' ').next().unwrap_or_default();
    let owned = ["Our", "My", "Your", "The"].contains(&first) || first.ends_with("'s") || first.ends_with("s'");
    if owned { name.to_owned() } else { format!("the {name}") }
}

/// `a hazard test`, `an ice test`.
pub fn one(name: &str) -> String {
    let vowel = name.chars().next().is_some_and(|c| "aeiou".contains(c.to_ascii_lowercase()));
    format!("{} {name}", if vowel { "an" } else { "a" })
}

/// `Reed skirts apply only when …`, `Lantern screen applies only when …`: a name before what is said of it as of one thing.
pub fn agreeing(name: &str, said: &str) -> String {
    const VERBS: [(&str, &str); 5] = [
        ("applies ", "apply "),
        ("changes ", "change "),
        ("mends ", "mend "),
        ("has ", "have "),
        ("isn't ", "aren't "),
    ];
    let several = name.ends_with('s') && plural(name) == name;
    let pair = VERBS.iter().find(|(one, _)| several && said.starts_with(one));
    match pair {
        Some((one, many)) => format!("{name} {many}{}", &said[one.len()..]),
        None => format!("{name} {said}"),
    }
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
