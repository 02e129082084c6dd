//! How many of one colour are among tokens drawn from a heap, and whether all that is wanted is among them.
use super::super::number::Number;
use super::{Draw, Stop};

/// Calls `each` with the number of tokens drawn, 0 to `most`, and the chances that 0, 1, 2 … of them are marked.
///
/// # Formula
/// The hypergeometric distribution, token by token: with `j` marked among `drawn`, the next is marked with chance
/// `(marked - j) / (total - drawn)`. Only sums and products of what is positive, so small chances keep their digits.
pub(super) fn each_share<N: Number>(marked: u32, total: u32, most: u32, mut each: impl FnMut(u32, &[N])) {
    let mut chances = vec![N::one()];
    for drawn in 0..=most {
        each(drawn, &chances);
        if drawn == most || drawn >= total {
            break;
        }
        let left = u64::from(total - drawn);
        let length = (marked.min(drawn + 1) + 1) as usize;
        let mut next = vec![N::zero(); length];
        for (j, chance) in chances.iter().enumerate() {
            let of_marked = u64::from(marked) - j as u64;
            if of_marked > 0 {
                next[j + 1].add_product(chance, &N::ratio(of_marked, left));
            }
            if left > of_marked {
                next[j].add_product(chance, &N::ratio(left - of_marked, left));
            }
        }
        chances = next;
    }
}

/// The chances that of each wanted colour at least, and exactly, so many are drawn as are wanted.
pub(super) fn all_wanted<N: Number>(draw: &Draw, stops: &[Stop<N>]) -> (N, N) {
    let (mut at_least, mut exactly) = (N::zero(), N::zero());
    let most = stops.iter().map(|stop| stop.heap).max().unwrap_or(0);
    let of_heap = (heap_wanted(draw, most, |count, wanted| count >= wanted), heap_wanted(draw, most, |c, w| c == w));
    let ending: Vec<_> = draw.contents().iter().filter(|colour| colour.ending().is_some()).collect();
    for stop in stops {
        let met = |enough: fn(u32, u32) -> bool| {
            let mut counts = ending.iter().zip(&stop.ending);
            counts.all(|(colour, count)| colour.wanted.is_none_or(|wanted| enough(*count, wanted)))
        };
        if met(|count, wanted| count >= wanted) {
            at_least.add_product(&stop.chance, &of_heap.0[stop.heap as usize]);
        }
        if met(|count, wanted| count == wanted) {
            exactly.add_product(&stop.chance, &of_heap.1[stop.heap as usize]);
        }
    }
    (at_least, exactly)
}

/// For each number of tokens drawn from the heap, the chance that of each of its wanted colours enough came.
///
/// # Formula
/// One colour after another is split off what is left of the heap; how many came of it says how many draws fell on
/// the rest.
fn heap_wanted<N: Number>(draw: &Draw, most: u32, enough: impl Fn(u32, u32) -> bool) -> Vec<N> {
    let heap = draw.contents().iter().filter(|colour| colour.ending().is_none());
    let mut rest: u32 = heap.clone().filter(|colour| colour.wanted.is_none()).map(|colour| colour.count).sum();
    // With the wanted colours all split off, the rest takes any number of draws that it has tokens for.
    let mut chances: Vec<N> = vec![N::one(); most as usize + 1];
    for (count, wanted) in heap.filter_map(|colour| Some((colour.count, colour.wanted?))) {
        let mut with = vec![N::zero(); most as usize + 1];
        each_share(count, rest + count, most, |drawn, shares: &[N]| {
            let mut sum = N::zero();
            for (of_it, share) in shares.iter().enumerate().filter(|(of_it, _)| enough(*of_it as u32, wanted)) {
                sum.add_product(share, &chances[drawn as usize - of_it]);
            }
            with[drawn as usize] = sum;
        });
        rest += count;
        chances = with;
    }
    chances
}
