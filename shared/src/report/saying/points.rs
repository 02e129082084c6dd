//! Points as people say them: whole ones, since nobody counts hundredths of a point.
use super::means_apart;

/// So many points on average: whole ones from ten on, tenths below. What is more than nothing is not said to be nothing.
pub fn points(number: f64) -> String {
    let places = if number >= 9.95 { 0 } else { 1 };
    // Halves go up, as they do in a mean.
    let said = format!("{:.places$}", number + if number > 0.0 { 1e-9 } else { 0.0 });
    match said.strip_suffix(".0").unwrap_or(&said) {
        "0" if number > 0.0 => "under 0.1".to_owned(),
        "0" | "-0" => "0".to_owned(),
        said => said.to_owned(),
    }
}

/// Points that are held against each other: where unlike ones would be said in the same words, as means are.
pub fn points_apart(numbers: &[f64]) -> Vec<String> {
    let said: Vec<String> = numbers.iter().map(|number| points(*number)).collect();
    let unlike = |a: f64, b: f64| (a - b).abs() > 1e-10 * a.abs().max(b.abs());
    let clash = |at: usize| (0..at).any(|other| said[other] == said[at] && unlike(numbers[other], numbers[at]));
    if (0..said.len()).any(clash) { means_apart(numbers) } else { said }
}

/// A number of points that is said already, with its noun: `1 point`, `1.5 points`.
pub fn of_points(said: &str) -> String {
    format!("{said} {}", if said == "1" { "point" } else { "points" })
}

#[cfg(test)]
mod tests {
    use super::{of_points, points, points_apart};

    #[test]
    fn points_are_whole_from_ten_on() {
        for (number, said) in [
            (0.0, "0"),
            (0.01, "under 0.1"),
            (0.05, "0.1"),
            (1.0, "1"),
            (6.78, "6.8"),
            (9.94, "9.9"),
            (9.96, "10"),
            (65.25, "65"),
            (2379.9, "2380"),
        ] {
            assert_eq!(points(number), said, "{number}");
        }
        assert_eq!([of_points("1"), of_points("1.5")], ["1 point", "1.5 points"]);
    }

    /// Unlike numbers are never said alike.
    #[test]
    fn points_that_differ_are_told_apart() {
        assert_eq!(points_apart(&[51.29, 25.32]), ["51", "25"]);
        assert_eq!(points_apart(&[51.29, 51.32]), ["51.29", "51.32"]);
        assert_eq!(points_apart(&[12.0, 12.0]), ["12", "12"]);
    }
}
