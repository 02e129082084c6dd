//! What may be added to a list: every unit at up to four sizes, with no option, each single one, and each pair.
use super::{Order, cost};
use crate::points::{Line, is_refused};
use crate::rules::model::Pack;
use crate::rules::model::unit::Unit;

/// One of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// The line, with one unit.
    pub line: Line,
    /// What it costs.
    pub points: u64,
}

/// The fewest models, the most, and two sizes between, each once.
fn sizes(unit: &Unit) -> Vec<u32> {
    let (least, most) = unit.models;
    let step = |third: u32| least + ((most - least) * third + 1) / 3;
    let mut sizes: Vec<u32> = (0..=3).map(step).collect();
    sizes.dedup();
    sizes
}

/// No option, each single one, each pair; what may be taken several times once and as often as it may be.
fn options(unit: &Unit, models: u32) -> Vec<Vec<(usize, u32)>> {
    let times = |option: usize| {
        let most = unit.options[option].most.of(models);
        let mut times = vec![1, most];
        times.retain(|times| (1..=most).contains(times));
        times.dedup();
        times
    };
    let single = |option: usize| times(option).into_iter().map(move |times| (option, times));
    let mut all = vec![Vec::new()];
    for first in 0..unit.options.len() {
        all.extend(single(first).map(|one| vec![one]));
        for second in first + 1..unit.options.len() {
            all.extend(single(first).flat_map(|one| single(second).map(move |other| vec![one, other])));
        }
    }
    all
}

/// All that may be added under a limit; what list-points refuses by itself is none.
pub fn candidates(pack: &Pack, order: &Order) -> Vec<Candidate> {
    let mut all = Vec::new();
    for (at, unit) in pack.units.iter().enumerate().filter(|(at, _)| !order.exclude.contains(at)) {
        for models in sizes(unit) {
            for options in options(unit, models) {
                let line = Line { number: 1, unit: at, count: 1, models, options };
                let points = cost(pack, &line);
                if points <= u64::from(order.limit) && !is_refused(pack, order.limit, &line) {
                    all.push(Candidate { line, points });
                }
            }
        }
    }
    all
}
