//! Units in the middle of a sentence: `the Heron Carriage`, `5 Heath Riders`, `another Ram Barge`; and ranges with their
//! preposition.
use super::one;

/// Whether people count several: `5 Heath Riders`, but not `1 Crew (3 models)`.
pub fn is_several(counted: &str) -> bool {
    counted.starts_with(|c: char| c.is_ascii_digit()) && !counted.starts_with("1 ")
}

/// `Crew of 3 models`: the only one of what is counted in whole units.
fn only_one(counted: &str) -> Option<String> {
    let name = counted.strip_prefix("1 ")?;
    let with = name.strip_suffix(')').and_then(|name| name.split_once(" ("));
    Some(with.map_or_else(|| name.to_owned(), |(name, models)| format!("{name} of {models}")))
}

/// What is no name by itself: `boat of Lamp Lighters`.
fn is_common(name: &str) -> bool {
    name.starts_with(char::is_lowercase)
}

/// A unit as people count it with its article: `5 Heath Riders`, `the Heron Carriage`, `a Crew of 3 models`.
pub fn the_unit(counted: &str) -> String {
    match only_one(counted) {
        Some(single) => one(&single),
        None if is_several(counted) => counted.to_owned(),
        None if is_common(counted) => one(counted),
        None => format!("the {counted}"),
    }
}

/// A unit beside one of the same sort: `5 other Heath Riders`, `another Heron Carriage`.
pub fn another_unit(counted: &str) -> String {
    match (only_one(counted), counted.split_once(' ')) {
        (Some(single), _) => format!("another {single}"),
        (None, Some((number, name))) if is_several(counted) => format!("{number} other {name}"),
        _ => format!("another {counted}"),
    }
}

/// How a sentence says that something happens at a range whose pack has no words for that: `at near range`.
pub fn at_range(name: &str) -> String {
    const MEASURES: [&str; 8] = ["near", "close", "short", "mid", "middle", "medium", "far", "long"];
    match name.to_lowercase().as_str() {
        "contact" => format!("in {name}"),
        measure if MEASURES.contains(&measure) => format!("at {name} range"),
        _ => format!("at {name}"),
    }
}

#[cfg(test)]
mod tests {
    use super::{another_unit, at_range, is_several, the_unit};

    #[test]
    fn units_have_the_article_that_fits_them() {
        for (counted, several, the, another) in [
            ("Heron Carriage", false, "the Heron Carriage", "another Heron Carriage"),
            ("5 Heath Riders", true, "5 Heath Riders", "5 other Heath Riders"),
            ("1 Tar Gang (3 bodies)", false, "a Tar Gang of 3 bodies", "another Tar Gang of 3 bodies"),
            ("2 Tar Gangs (9 bodies)", true, "2 Tar Gangs (9 bodies)", "2 other Tar Gangs (9 bodies)"),
            ("1 Eel Spear", false, "an Eel Spear", "another Eel Spear"),
            ("10 Dyke Hands", true, "10 Dyke Hands", "10 other Dyke Hands"),
            ("boat of Punt Gunners", false, "a boat of Punt Gunners", "another boat of Punt Gunners"),
        ] {
            assert_eq!(is_several(counted), several, "{counted}");
            assert_eq!((the_unit(counted).as_str(), another_unit(counted).as_str()), (the, another));
        }
    }

    #[test]
    fn ranges_have_a_preposition() {
        assert_eq!(["contact", "near", "grips"].map(at_range), ["in contact", "at near range", "at grips"]);
    }
}
