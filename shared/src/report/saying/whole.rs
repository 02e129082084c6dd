//! Numbers of which nobody needs the decimals: points of a whole game, and the larger part of something.
use super::{mean, percent};

/// A mean of so many that its decimals say nothing: `about 2049`; what is below a hundred keeps them.
///
/// # Example
/// ```
/// use pipwright_shared::report::saying::about;
///
/// assert_eq!(about(2048.88), "about 2049");
/// assert_eq!(about(2048.0), "2048");
/// assert_eq!(about(99.5), "99.5");
/// ```
pub fn about(number: f64) -> String {
    if number < 100.0 || mean(number) == format!("{number:.0}") { mean(number) } else { format!("about {number:.0}") }
}

/// A share of a whole in whole per cent, where that does not make it nothing or all: `43%`, but `99.7%`.
///
/// # Example
/// ```
/// use pipwright_shared::report::saying::mostly;
///
/// assert_eq!(mostly(0.432), "43%");
/// assert_eq!(mostly(0.997), "99.7%");
/// ```
pub fn mostly(share: f64) -> String {
    if (0.01..=0.99).contains(&share) { format!("{:.0}%", share * 100.0) } else { percent(share) }
}
