//! How many tables of counts there are, and how long their numbers get.
use super::Log;

/// More tables than this are not summed one by one.
pub(crate) const MOST_TABLES: u64 = 250_000;
/// Fractions with more bits below the line than this are not worked out.
const LONGEST: u64 = 2_048;
/// So many words of whole numbers are added up: a fraction of more throws nobody reads, and doubles are as good.
const MOST_WORDS: u64 = 200_000;

/// The sizes of a log.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sizes {
    /// How many tables there are; nothing where there are too many.
    pub(crate) tables: Option<u64>,
    /// The bits of the number of all ways.
    pub(crate) bits: u64,
}

impl Sizes {
    /// Of this log: of faces that weigh the same the order does not matter.
    pub(crate) fn of(log: &Log) -> Self {
        let (throws, sides) = (u64::from(log.throws()), log.seen().len());
        let tables = if log.is_even() { partitions(throws, sides) } else { tables(throws, sides) };
        let bits = throws * u64::from(u64::BITS - log.whole().leading_zeros());
        Self { tables: tables.filter(|tables| *tables <= MOST_TABLES), bits }
    }

    /// Whether the exact fraction is worked out.
    pub(crate) fn in_fractions(self) -> bool {
        let words = self.bits / 64 + 2;
        self.bits <= LONGEST && self.tables.is_some_and(|tables| tables * words <= MOST_WORDS)
    }
}

/// The ways to part so many throws into so many counts without regard to their order.
///
/// # Formula
/// `p(n, s) = p(n, s - 1) + p(n - s, s)`: either one count is nothing, or one is taken off each of them.
fn partitions(throws: u64, sides: usize) -> Option<u64> {
    if sides == 2 {
        return Some(throws / 2 + 1);
    }
    // Of three counts there are more than `n^2 / 12`.
    if throws * throws / 12 > MOST_TABLES {
        return None;
    }
    let throws = usize::try_from(throws).ok()?;
    let mut ways = vec![1u64; throws + 1];
    for side in 2..=sides {
        for of in side..=throws {
            ways[of] = ways[of].saturating_add(ways[of - side]);
        }
        if ways[throws] > MOST_TABLES {
            return None;
        }
    }
    Some(ways[throws])
}

/// The ways to part so many throws into so many counts, each face by itself: `(n + s - 1)` over `(s - 1)`.
fn tables(throws: u64, sides: usize) -> Option<u64> {
    let mut ways = 1u128;
    for side in 1..sides as u128 {
        ways = ways * (u128::from(throws) + side) / side;
        if ways > u128::from(MOST_TABLES) {
            return None;
        }
    }
    u64::try_from(ways).ok()
}
