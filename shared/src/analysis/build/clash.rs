//! Why there is no legal list: the smallest set of limits that no list keeps to all at once.
use super::model::{Limit, Model};
use crate::odds::cancellation::{CancellationToken, Cancelled};

/// A limit that clashes with others.
pub type Clash = Limit;

/// Of all limits, one after another is left out that the rest is impossible without too.
pub(super) fn smallest(model: &Model<'_>, token: &CancellationToken) -> Result<Vec<Clash>, Cancelled> {
    let mut without: Vec<Limit> = Vec::new();
    let mut needed = Vec::new();
    for limit in model.all_limits().into_iter().rev() {
        let tried: Vec<Limit> = without.iter().copied().chain([limit]).collect();
        if model.is_possible(&tried, token)? {
            needed.push(limit);
        } else {
            without = tried;
        }
    }
    needed.reverse();
    Ok(needed)
}
