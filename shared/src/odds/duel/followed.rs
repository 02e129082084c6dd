//! Which counters of a side have to be followed.
use super::Side;

/// The counters of a side that its own volleys read, and those of the other side.
pub(crate) fn read(side: &Side, other: &Side) -> Vec<usize> {
    let counters = side.target.counters();
    let volleys = |side: &'_ Side, own: bool| counters.read_by(side.attack.iter().map(|timed| &timed.volley), own);
    let mut read = volleys(side, true);
    read.extend(volleys(other, false));
    read.sort_unstable();
    read.dedup();
    read
}

/// The other counters of a side.
pub(crate) fn unread(side: &Side, read: &[usize]) -> Vec<usize> {
    (0..side.target.counters().all.len()).filter(|counter| !read.contains(counter)).collect()
}
