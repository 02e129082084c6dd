//! The messages that are not understood yet, by name, with how they fare. A change that loses another fails; one that finds some
//! says so, and they are taken from the list.

/// `id verdict`, a line each.
pub const MISSES: &str = "\
";
