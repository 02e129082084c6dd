//! What the points left could buy.
use super::tally::Tally;
use super::{Line, List, Problem, limits, option_cost};
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

/// Single things that the points left could buy, dearest first. None of them breaks a limit that holds, and none makes
/// a broken one worse.
///
/// # Cost
/// The options of all lines and the units of the pack, each held against the limits that it touches.
pub fn buys(pack: &Pack, list: &List) -> Vec<Buy> {
    let tally = Tally::new(pack, list);
    let spent = tally.now().points();
    let Some(left) = u64::from(list.limit).checked_sub(spent).filter(|left| *left > 0) else { return Vec::new() };
    let mut found = Vec::new();
    for (at, line) in list.lines.iter().enumerate() {
        let unit = &pack.units[line.unit];
        let mut offer = |text: String, changed: &Line| {
            let points = tally.with(Some(line), changed).points().saturating_sub(spent);
            if points <= left && !breaks(&tally, Some((at, line)), changed) {
                found.push(Buy { line: Some(line.number), text, points });
            }
        };
        // What is too few is mended, not bought: the fewest are paid for anyway.
        let may_grow = (unit.models.0..unit.models.1).contains(&line.models);
        if may_grow && u64::from(unit.each_more) * u64::from(line.count) <= left {
            let more = if line.count == 1 { String::new() } else { " each".to_owned() };
            let text = format!("one more {} for {}{more}", pack.word("model"), unit.named.label);
            offer(text, &Line { models: line.models + 1, ..line.clone() });
        }
        for (option, plan) in unit.options.iter().enumerate() {
            if option_cost(unit, option, 1, line.models).saturating_mul(u64::from(line.count)) > left {
                continue;
            }
            let mut changed = line.clone();
            match changed.options.iter_mut().find(|(taken, _)| *taken == option) {
                Some((_, times)) => *times = times.saturating_add(1),
                None => changed.options.push((option, 1)),
            }
            offer(format!("{} for {}", plan.named.label, unit.named.label), &changed);
        }
    }
    let number = list.lines.iter().map(|line| line.number).max().unwrap_or(0) + 1;
    for (at, unit) in pack.units.iter().enumerate().filter(|(_, unit)| unit.cost(unit.models.0) <= left) {
        let line = Line { number, unit: at, count: 1, models: unit.models.0, options: Vec::new() };
        if !breaks(&tally, None, &line) {
            let text = unit.counting(pack).digits(unit.models.0);
            let text = text.strip_prefix("1 ").map_or(text.clone(), str::to_owned);
            found.push(Buy { line: None, text, points: unit.cost(unit.models.0) });
        }
    }
    found.sort_by(|a, b| b.points.cmp(&a.points).then_with(|| a.text.cmp(&b.text)).then(a.line.cmp(&b.line)));
    found.truncate(MOST);
    found
}

/// Whether a list with this line in place of another, or besides, breaks a limit that it keeps now, or one by more.
fn breaks(tally: &Tally<'_>, old: Option<(usize, &Line)>, new: &Line) -> bool {
    let (pack, now, then) = (tally.pack, tally.now(), tally.with(old.map(|(_, line)| line), new));
    let worse = |after: Vec<Problem>, before: &dyn Fn() -> Vec<Problem>| {
        !after.is_empty() && {
            let before = before();
            after.iter().any(|problem| problem.is_worse_than(&before))
        }
    };
    let at = old.map_or(usize::MAX, |(at, _)| at);
    let of_line = |line: &Line| limits::of_line(pack, tally.limit, at, line);
    let role = pack.units[new.unit].role;
    // Of the other units only those are touched that need this one or exclude it.
    let touched = |other: &usize| {
        let other = &pack.units[*other];
        other.needs_unit.contains(&new.unit) || other.bars_unit.contains(&new.unit)
    };
    let mut units = tally.present().filter(|other| *other != new.unit).filter(touched).chain([new.unit]);
    worse(of_line(new), &|| old.map_or_else(Vec::new, |(_, line)| of_line(line)))
        || worse(limits::of_list(&then), &|| limits::of_list(&now))
        || worse(limits::of_role(&then, role), &|| limits::of_role(&now, role))
        || units.any(|at| worse(limits::of_unit(&then, at), &|| limits::of_unit(&now, at)))
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
