//! What the points left could buy.
use super::{Line, List, option_cost, problems, total};
use crate::rules::model::Pack;

/// Something that a list could still take without breaking a limit that it keeps now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Buy {
    /// The line that it goes to; nothing for a new one.
    pub line: Option<u32>,
    /// What it is, in words.
    pub text: String,
    /// What it costs.
    pub points: u64,
}

/// The most that are listed.
const MOST: usize = 30;

/// Single things that the points left could buy, dearest first. Each leaves the list with no problem that it does not
/// have already.
pub fn buys(pack: &Pack, list: &List) -> Vec<Buy> {
    let now = problems(pack, list).len();
    let spent = total(pack, list);
    let Some(left) = u64::from(list.limit).checked_sub(spent).filter(|left| *left > 0) else { return Vec::new() };
    let mut found = Vec::new();
    let mut offer = |line: Option<u32>, text: String, changed: List| {
        let points = total(pack, &changed).saturating_sub(spent);
        if points <= left && problems(pack, &changed).len() <= now {
            found.push(Buy { line, text, points });
        }
    };
    for (index, line) in list.lines.iter().enumerate() {
        let unit = &pack.units[line.unit];
        let changed = |change: &dyn Fn(&mut Line)| {
            let mut list = list.clone();
            change(&mut list.lines[index]);
            list
        };
        if line.models < unit.models.1 && u64::from(unit.each_more) * u64::from(line.count) <= left {
            let text = format!("one more model for {}", unit.named.label);
            offer(Some(line.number), text, changed(&|line| line.models += 1));
        }
        for (at, option) in unit.options.iter().enumerate() {
            if option_cost(unit, at, 1, line.models) * u64::from(line.count) > left {
                continue;
            }
            let text = format!("{} for {}", option.named.label, unit.named.label);
            let add = |line: &mut Line| match line.options.iter_mut().find(|(taken, _)| *taken == at) {
                Some((_, times)) => *times += 1,
                None => line.options.push((at, 1)),
            };
            offer(Some(line.number), text, changed(&add));
        }
    }
    let number = list.lines.iter().map(|line| line.number).max().unwrap_or(0) + 1;
    for (at, unit) in pack.units.iter().enumerate().filter(|(_, unit)| unit.cost(unit.models.0) <= left) {
        let mut list = list.clone();
        list.lines.push(Line { number, unit: at, count: 1, models: unit.models.0, options: Vec::new() });
        let models = if unit.models.0 > 1 { format!(" ({} models)", unit.models.0) } else { String::new() };
        offer(None, format!("{}{models}", unit.named.label), list);
    }
    found.sort_by(|a, b| b.points.cmp(&a.points).then_with(|| a.text.cmp(&b.text)).then(a.line.cmp(&b.line)));
    found.truncate(MOST);
    found
}

/// In how many ways costs, each as often as one likes, add up to a total.
///
/// # Formula
/// The classical recurrence of the money-changing problem: cost by cost, `ways[s] += ways[s - cost]`.
///
/// # Cost
/// The number of costs times the total.
///
/// # Example
/// ```
/// // A dime is two nickels, one nickel and five pennies, ten pennies, or itself.
/// assert_eq!(pipwright_shared::points::ways(&[1, 5, 10], 10), 4);
/// ```
pub fn ways(costs: &[u32], total: u32) -> u64 {
    let mut ways = vec![0_u64; total as usize + 1];
    ways[0] = 1;
    for cost in costs.iter().filter(|cost| **cost > 0) {
        for sum in *cost as usize..ways.len() {
            ways[sum] = ways[sum].saturating_add(ways[sum - *cost as usize]);
        }
    }
    ways[total as usize]
}
