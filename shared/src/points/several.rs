//! Units of several sorts that together are worth so many points.
use super::words::{a_size, points};
use super::{Line, List};
use crate::report::saying::listed;
use crate::rules::model::Pack;

/// The most units that are named in one breath.
const MOST: usize = 6;

/// Some of these units that come to at least so many points, in words and as lines to add, the fewest first: each as large
/// as it may be, but the last one, which is as small as is enough. One sort comes up at most twice.
pub(super) fn worth(pack: &Pack, list: &List, units: &[usize], by: u64) -> Vec<(String, Vec<Line>)> {
    let next = list.lines.iter().map(|line| line.number).max().unwrap_or(0) + 1;
    let held =
        |at: usize| -> u64 { list.lines.iter().filter(|line| line.unit == at).map(|line| u64::from(line.count)).sum() };
    let mut all: Vec<(u64, Vec<Line>)> = Vec::new();
    for first in 0..units.len() {
        let (mut more, mut sum): (Vec<Line>, u64) = (Vec::new(), 0);
        for at in units[first..].iter().chain(&units[..first]) {
            let unit = &pack.units[*at];
            let most = unit.most.or(pack.limits.most_alike).map_or(2, |most| u64::from(most).saturating_sub(held(*at)));
            for _ in 0..most.min(2) {
                let lacks = by.saturating_sub(sum);
                if lacks == 0 || more.len() > MOST {
                    break;
                }
                let (least, largest) = unit.models;
                let models = (least..=largest).find(|models| unit.cost(*models) >= lacks).unwrap_or(largest);
                sum += unit.cost(models);
                let number = next + more.len() as u32;
                more.push(Line { number, unit: *at, count: 1, models, options: Vec::new() });
            }
        }
        if sum >= by && (2..=MOST).contains(&more.len()) {
            all.push((sum, more));
        }
    }
    all.sort_by_key(|(sum, more)| (more.len(), *sum));
    all.dedup();
    let told = |(sum, more): (u64, Vec<Line>)| {
        let each = more.iter().map(|line| {
            let unit = &pack.units[line.unit];
            format!("{} ({})", a_size(pack, unit, line.models), unit.cost(line.models))
        });
        (format!("add {}, {} in all", listed(&each.collect::<Vec<_>>()), points(sum)), more)
    };
    all.into_iter().take(8).map(told).collect()
}
