//! Chances in words: never more certain than they are, and never two unlike ones in the same words.
use super::grouped;

/// Below this many per cent, and that near to 100, a chance is given as a bound.
const BOUND: f64 = 0.01;

/// A chance in per cent. 0% and 100% are said of nothing else; below 1% stand two places, as they do where
/// one would say 99.0% or 100.0%; and a bound where two do not tell it from them.
pub fn percent(chance: f64) -> String {
    let percent = chance * 100.0;
    let rest = percent.min(100.0 - percent);
    if chance <= 0.0 {
        "0%".into()
    } else if chance >= 1.0 {
        "100%".into()
    } else if rest < BOUND * (1.0 - 1e-9) {
        if percent < 50.0 { "under 0.01%".into() } else { "over 99.99%".into() }
    } else if is_whole(percent) {
        format!("{percent:.0}%")
    } else if is_whole(percent * 10.0) {
        format!("{percent:.1}%")
    } else {
        // One place would say 99.0% of 98.99% and of 99.01% alike, and 100.0% of what is less.
        let two = percent < 0.995 || (99.0..99.05).contains(&percent) || rest < 0.05 + 1e-9;
        places(percent, if two { 2 } else { 1 })
    }
}

fn is_whole(number: f64) -> bool {
    (number - number.round()).abs() < 1e-9
}

/// Halves go up, as people round: a binary fraction cannot show them all, so they are met from just below. What is not
/// 0 or 100 is not rounded to them.
fn places(percent: f64, places: usize) -> String {
    let scale = 10_f64.powi(i32::try_from(places).unwrap_or(2));
    let most = 100.0 * scale - 1.0;
    let rounded = (percent * scale + 1e-9).round().clamp(1.0, most) / scale;
    format!("{rounded:.places$}%")
}

/// Chances that are held against each other: unlike ones get as many places as tell them apart.
pub fn apart(chances: &[f64]) -> Vec<String> {
    let at = |chance: f64, count: usize| {
        if chance <= 0.0 || chance >= 1.0 { percent(chance) } else { places(chance * 100.0, count) }
    };
    told_apart(chances, percent, at)
}

/// Each number as it is said alone, and with more places as long as an unlike one is said in the same words. Numbers that
/// agree to ten digits are alike.
pub(super) fn told_apart(
    numbers: &[f64],
    alone: impl Fn(f64) -> String,
    places: impl Fn(f64, usize) -> String,
) -> Vec<String> {
    const MOST: usize = 10;
    let mut said: Vec<String> = numbers.iter().map(|number| alone(*number)).collect();
    let unlike = |a: f64, b: f64| (a - b).abs() > 1e-10 * a.abs().max(b.abs());
    for count in 2..=MOST {
        let clash = |at: usize| {
            numbers.iter().enumerate().any(|(other, number)| unlike(*number, numbers[at]) && said[other] == said[at])
        };
        let clashing: Vec<usize> = (0..numbers.len()).filter(|at| clash(*at)).collect();
        if clashing.is_empty() {
            break;
        }
        clashing.into_iter().for_each(|at| said[at] = places(numbers[at], count));
    }
    said
}

/// A share of something, which may be more than the whole of it.
pub fn share(of: f64) -> String {
    if of > 1.0 { format!("{:.0}%", of * 100.0) } else { percent(of) }
}

/// A chance that is not proved to be 1: a double may round up to it.
pub fn unproven(chance: f64) -> f64 {
    chance.min(1.0 - f64::EPSILON / 2.0)
}

/// A chance of one roll with its fraction: certain only where the fraction is.
pub fn proven(chance: f64, fraction: Option<&str>) -> f64 {
    if fraction == Some("1") { 1.0 } else { unproven(chance) }
}

/// How often, in a form that fits behind a verb: `about 2 times in 5 (41.2%)`, `62.2% of the time`.
pub fn often(chance: f64) -> String {
    if chance <= 0.0 {
        return "never".into();
    }
    if chance >= 1.0 {
        return "always".into();
    }
    match roughly(chance) {
        // A bound says less than the fraction before it.
        Some(roughly) if !(1e-4..=1.0 - 1e-4).contains(&chance) => roughly,
        Some(roughly) => format!("{roughly} ({})", percent(chance)),
        None => format!("{} of the time", percent(chance)),
    }
}

/// In how many of the games: `in 19 games out of 20 (95%)`, `in 73.8% of games`.
pub fn games(chance: f64) -> String {
    if chance >= 1.0 {
        return "in every game".to_owned();
    }
    let said = often(chance).replace(" times in ", " games out of ").replace(" time in ", " game out of ");
    match said.strip_suffix(" of the time") {
        Some(share) => format!("in {share} of games"),
        None => format!("in {}", said.replace("half the time", "half of all games")),
    }
}

/// A chance as a simple fraction in words, at most 3% off; none where there is none so simple.
pub fn roughly(chance: f64) -> Option<String> {
    if chance <= 0.0 || chance >= 1.0 {
        return None;
    }
    if chance < 0.06 {
        return Some(once_in(chance, |number| format!("1 time in {}", grouped(number))));
    }
    if chance > 0.94 {
        // Nobody pictures `about 40 times in 41`; what it is exactly may be said.
        let whole = 1.0 / (1.0 - chance);
        let exact = (whole - whole.round()).abs() < 1e-9 && whole <= 20.0 + 1e-9;
        return exact.then(|| format!("{:.0} times in {:.0}", whole - 1.0, whole));
    }
    let near = |part: f64, whole: f64, most: f64| {
        let error = |of: f64, is: f64| ((of - is) / is).abs();
        error(part / whole, chance) < most && error(1.0 - part / whole, 1.0 - chance) < most
    };
    let fits = |most: f64| move |(part, whole): &(u32, u32)| near(f64::from(*part), f64::from(*whole), most);
    let parts = |whole: u32| (1..whole).map(move |part| (part, whole));
    // What it is comes before what it is nearly.
    if let Some((part, whole)) = (2..=12).chain([20]).flat_map(parts).find(fits(1e-9)) {
        return Some(times_in(part, whole, ""));
    }
    let mut simple = [2, 3, 4, 5, 6, 8, 10, 12, 20]
        .into_iter()
        .flat_map(parts)
        .chain((7..=16).flat_map(|whole| [(1, whole), (whole - 1, whole)]));
    if let Some((part, whole)) = simple.clone().find(fits(1e-9)) {
        return Some(times_in(part, whole, ""));
    }
    simple.find(fits(0.03)).map(|(part, whole)| times_in(part, whole, "about "))
}

/// `about 1 time in 28`, `about 1 time in 160`: to two digits where that is less than 3% off, else to three.
fn once_in(chance: f64, said: impl Fn(f64) -> String) -> String {
    let number = 1.0 / chance;
    // Nobody says longer numbers aloud.
    if number > 1e9 {
        return "less than 1 time in a billion".to_owned();
    }
    let to = |digits: f64| {
        let scale = 10_f64.powf((number.log10().floor() + 1.0 - digits).max(0.0));
        (number / scale).round() * scale
    };
    // What it is comes before what it is nearly.
    let is = |near: f64| ((near - number) / number).abs() < 1e-9;
    let near = if is(to(3.0)) || ((to(2.0) - number) / to(2.0)).abs() >= 0.029 { to(3.0) } else { to(2.0) };
    let about = if ((near - number) / number).abs() < 1e-9 { "" } else { "about " };
    format!("{about}{}", said(near))
}

fn times_in(part: u32, whole: u32, about: &str) -> String {
    match (part, whole) {
        (1, 2) => format!("{about}half the time"),
        (1, whole) => format!("{about}1 time in {whole}"),
        (part, whole) => format!("{about}{part} times in {whole}"),
    }
}
