//! What would mend a broken limit. Every change that is named was tried: the limit holds after it, and no other limit
//! is broken by it, or the sentence says which.
use super::limits::has;
use super::problems::broken;
use super::words::{gone, points, some_more, units_of};
use super::{Code, Line, List, Problem, line_cost, option_cost};
use crate::report::saying::count;
use crate::rules::model::Pack;

/// How many changes are tried for one list.
#[derive(Debug)]
pub(super) struct Tries(u32);

impl Default for Tries {
    fn default() -> Self {
        Self(200)
    }
}

/// Changes that might mend a list, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Change {
    /// `leave out the Signal mast`.
    text: String,
    /// Lines that change, by index; a line of no units goes.
    lines: Vec<(usize, Line)>,
    /// Lines that come.
    more: Vec<Line>,
}

impl Change {
    fn of(text: String, at: usize, line: Line) -> Self {
        Self { text, lines: vec![(at, line)], more: Vec::new() }
    }

    fn apply(&self, list: &List) -> List {
        let mut lines = list.lines.clone();
        for (at, line) in &self.lines {
            lines[*at] = line.clone();
        }
        lines.extend(self.more.clone());
        lines.retain(|line| line.count > 0);
        List { lines, ..*list }
    }
}

/// What to say of a problem, and the list as it is then.
pub(super) fn find(
    pack: &Pack,
    list: &List,
    found: &[Problem],
    problem: &Problem,
    tries: &mut Tries,
) -> (String, Option<List>) {
    let changes = Changes { pack, list, problem }.all();
    let mut harmful: Option<String> = None;
    let (mut good, mut fewest): (Vec<(&Change, List)>, usize) = (Vec::new(), usize::MAX);
    // Of what is added, that is best which mends most of the list's other limits too.
    let adds = matches!(problem.code, Code::RoleLeast | Code::RoleShareLeast | Code::UnitsLeast);
    // Of an option that lacks another there are two ways out, and both are said.
    let enough = if problem.code == Code::OptionRequires || problem.code == Code::OptionExcludes { 2 } else { 1 };
    for change in &changes {
        if tries.0 == 0 {
            return ("mend the others first, and ask again".to_owned(), None);
        }
        tries.0 -= 1;
        let then = change.apply(list);
        let after = broken(pack, &then);
        let shifted =
            Shifted { gone: change.lines.iter().filter(|(_, line)| line.count == 0).map(|(at, _)| *at).collect() };
        let still = after.iter().any(|other| shifted.is_same(problem, other));
        let new = after.iter().find(|other| shifted.is_worse(other, found));
        match new {
            _ if still => {}
            None if adds => {
                if after.len() < fewest {
                    (fewest, good) = (after.len(), vec![(change, then)]);
                }
            }
            None => good.push((change, then)),
            Some(new) if harmful.is_none() => {
                let known = found.iter().any(|before| shifted.is_same(before, new));
                let says = if known { "but another limit is still broken" } else { "but that breaks another limit" };
                harmful = Some(format!("{}; {says}: {}", change.text, new.text));
            }
            Some(_) => {}
        }
        if !adds && good.len() == enough {
            break;
        }
    }
    match good.as_slice() {
        [] => (harmful.unwrap_or_else(|| "no single change mends it".to_owned()), None),
        [(change, then)] => (change.text.clone(), Some(then.clone())),
        [(change, then), (other, _), ..] => (format!("{}, or {}", change.text, other.text), Some(then.clone())),
    }
}

/// Lines that went: those behind them are counted on.
struct Shifted {
    gone: Vec<usize>,
}

impl Shifted {
    fn of_line(code: Code) -> bool {
        use Code::{Models, OptionExcludes, OptionReplaces, OptionRequires, OptionTimes, UnitShare};
        matches!(code, Models | OptionTimes | OptionRequires | OptionExcludes | OptionReplaces | UnitShare)
    }

    /// Whether a problem of the list before is one of the list after.
    fn is_same(&self, before: &Problem, after: &Problem) -> bool {
        if !Self::of_line(before.code) {
            return before.is_same(after);
        }
        let at = before.at.0 - self.gone.iter().filter(|gone| **gone < before.at.0).count();
        !self.gone.contains(&before.at.0) && (before.code, (at, before.at.1)) == (after.code, after.at)
    }

    fn is_worse(&self, after: &Problem, found: &[Problem]) -> bool {
        found.iter().find(|before| self.is_same(before, after)).is_none_or(|before| after.by > before.by)
    }
}

/// The changes that might mend one problem of a list.
#[derive(Clone, Copy)]
struct Changes<'a> {
    pack: &'a Pack,
    list: &'a List,
    problem: &'a Problem,
}

impl Changes<'_> {
    fn all(&self) -> Vec<Change> {
        let (at, other) = self.problem.at;
        match self.problem.code {
            Code::Models => self.models(at),
            Code::OptionTimes => self.fewer_times(at, other),
            Code::OptionRequires => self.needed(at, other),
            Code::OptionExcludes => vec![self.without(at, other / 1_000), self.without(at, other % 1_000)],
            Code::OptionReplaces => vec![self.without(at, other)],
            Code::UnitShare => self.cheaper(&[at], self.problem.by, true),
            Code::UnitMost => self.fewer_units(|line| line.unit == at, |count, _| count.min(self.problem.by)),
            Code::UnitRequires => {
                let needed = self.pack.units[at].needs_unit.iter().map(|other| self.one_more(*other, 1));
                let mut all: Vec<Change> = needed.collect();
                all.extend(self.no_more(at));
                all
            }
            Code::UnitExcludes => self.no_more(at).into_iter().chain(self.no_more(other)).collect(),
            Code::RoleLeast => self.of_role(at, |per_slot| self.problem.by.saturating_mul(per_slot)),
            Code::RoleMost => {
                let of_role = |line: &Line| self.pack.units[line.unit].role == at;
                self.fewer_units(of_role, |count, per_slot| count.min(self.problem.by.saturating_mul(per_slot)))
            }
            Code::RoleShareMost => {
                let of_role = |at_line: &usize| self.pack.units[self.list.lines[*at_line].unit].role == at;
                let lines: Vec<usize> = (0..self.list.lines.len()).filter(of_role).collect();
                self.cheaper(&lines, self.problem.by, false)
            }
            Code::RoleShareLeast => self.dearer(at),
            Code::UnitsLeast => {
                let units = self.by_cost(|_| true).into_iter().take(8);
                units.map(|unit| self.one_more(unit, self.problem.by)).collect()
            }
            Code::UnitsMost => self.fewer_units(|_| true, |count, _| count.min(self.problem.by)),
            Code::OverPoints => {
                let lines: Vec<usize> = (0..self.list.lines.len()).collect();
                self.cheaper(&lines, self.problem.by, false)
            }
            Code::Unreadable | Code::PointsDiffer | Code::TooLong | Code::UnknownUnit | Code::UnknownOption => {
                Vec::new()
            }
        }
    }

    fn line(&self, at: usize) -> &Line {
        &self.list.lines[at]
    }

    fn label(&self, at: usize) -> &str {
        &self.pack.units[self.line(at).unit].named.label
    }

    /// ` on line 4`, where there are several lines.
    fn place(&self, at: usize) -> String {
        if self.list.lines.len() > 1 { format!(" on line {}", self.line(at).number) } else { String::new() }
    }

    fn models(&self, at: usize) -> Vec<Change> {
        let line = self.line(at);
        let unit = &self.pack.units[line.unit];
        let (least, most) = unit.models;
        let mut all = Vec::new();
        if most == 1 && line.count == 1 {
            let text = format!("write {} for several of them", units_of(unit, u64::from(line.models)));
            all.push(Change::of(text, at, Line { count: line.models, models: 1, ..line.clone() }));
        }
        let models = line.models.clamp(least, most);
        let number = count(u64::from(models), self.pack.word("model"), self.pack.word("models"));
        let text =
            if line.models > models { format!("cut it to {number}") } else { format!("bring it up to {number}") };
        all.push(Change::of(text, at, Line { models, ..line.clone() }));
        all
    }

    /// A line that takes an option so often.
    fn times(&self, at: usize, option: usize, times: u32) -> Line {
        let mut line = self.line(at).clone();
        match line.options.iter_mut().find(|(known, _)| *known == option) {
            Some((_, known)) => *known = times,
            None => line.options.push((option, times)),
        }
        line.options.retain(|(_, times)| *times > 0);
        line
    }

    fn option(&self, at: usize, option: usize) -> &str {
        &self.pack.units[self.line(at).unit].options[option].named.label
    }

    fn without(&self, at: usize, option: usize) -> Change {
        Change::of(format!("leave out {}", self.option(at, option)), at, self.times(at, option, 0))
    }

    fn fewer_times(&self, at: usize, option: usize) -> Vec<Change> {
        let line = self.line(at);
        let most = self.pack.units[line.unit].options[option].most.of(line.models);
        if most == 0 {
            return vec![self.without(at, option)];
        }
        let text = format!("take {} {}", self.option(at, option), super::words::times(most));
        vec![Change::of(text, at, self.times(at, option, most))]
    }

    /// An option's own needs, all at once; or without it.
    fn needed(&self, at: usize, option: usize) -> Vec<Change> {
        let plan = &self.pack.units[self.line(at).unit].options[option];
        let mut line = self.line(at).clone();
        let missing: Vec<usize> =
            plan.inside.iter().chain(&plan.requires).copied().filter(|other| !has(&line, *other)).collect();
        line.options.extend(missing.iter().map(|other| (*other, 1)));
        let names: Vec<&str> = missing.iter().map(|other| self.option(at, *other)).collect();
        vec![Change::of(format!("add {}", names.join(" and ")), at, line), self.without(at, option)]
    }

    /// Units of the pack, the cheapest first.
    fn by_cost(&self, of: impl Fn(usize) -> bool) -> Vec<usize> {
        let mut units: Vec<usize> = (0..self.pack.units.len()).filter(|at| of(*at)).collect();
        let cost = |at: &usize| self.pack.units[*at].cost(self.pack.units[*at].models.0);
        units.sort_by_key(|at| (cost(at), *at));
        units
    }

    /// So many more of a unit, each with its fewest models.
    fn one_more(&self, at: usize, number: u64) -> Change {
        let unit = &self.pack.units[at];
        let count = u32::try_from(number).unwrap_or(u32::MAX).clamp(1, 1_000);
        let models = unit.models.0;
        let next = self.list.lines.iter().map(|line| line.number).max().unwrap_or(0) + 1;
        let text = format!("add {}", some_more(self.pack, unit, count));
        Change {
            text,
            lines: Vec::new(),
            more: vec![Line { number: next, unit: at, count, models, options: Vec::new() }],
        }
    }

    /// The list without a unit.
    fn no_more(&self, unit: usize) -> Option<Change> {
        let lines = self.list.lines.iter().enumerate().filter(|(_, line)| line.unit == unit);
        let lines: Vec<(usize, Line)> = lines.map(|(at, line)| (at, Line { count: 0, ..line.clone() })).collect();
        let text = format!("drop {}", self.pack.units[unit].named.label);
        (!lines.is_empty()).then_some(Change { text, lines, more: Vec::new() })
    }

    /// More units of a role, of one sort, so many as `number` says for those that share a slot.
    fn of_role(&self, role: usize, number: impl Fn(u64) -> u64) -> Vec<Change> {
        let units = self.by_cost(|at| self.pack.units[at].role == role);
        let more = |at: &usize| {
            // The slots that are wanted are filled by one of each sharing them.
            let per_slot = u64::from(self.pack.units[*at].per_slot);
            let all = number(per_slot);
            self.one_more(*at, if per_slot > 1 { all - per_slot + 1 } else { all })
        };
        units.iter().take(8).map(more).collect()
    }

    /// Fewer of one unit: from its last lines so many as `number` says of those that there are.
    fn fewer_units(&self, of: impl Fn(&Line) -> bool, number: impl Fn(u64, u64) -> u64) -> Vec<Change> {
        let mut seen: Vec<usize> = Vec::new();
        let mut all = Vec::new();
        for line in self.list.lines.iter().rev().filter(|line| of(line)) {
            if seen.contains(&line.unit) || seen.len() > 16 {
                continue;
            }
            seen.push(line.unit);
            let unit = &self.pack.units[line.unit];
            let lines = || self.list.lines.iter().enumerate().rev().filter(|(_, other)| other.unit == line.unit);
            let held: u64 = lines().map(|(_, line)| u64::from(line.count)).sum();
            let mut drop = number(held, u64::from(unit.per_slot));
            let text = format!("drop {}", gone(unit, drop, held));
            let mut changed = Vec::new();
            for (at, line) in lines() {
                let gone = u32::try_from(drop).unwrap_or(u32::MAX).min(line.count);
                drop -= u64::from(gone);
                if gone > 0 {
                    changed.push((at, Line { count: line.count - gone, ..line.clone() }));
                }
            }
            all.push(Change { text, lines: changed, more: Vec::new() });
        }
        all
    }

    /// Points that some lines can do without, the least first: options, models, then whole units. Of a unit that costs
    /// too much itself (`each`) only what makes every one of the line cheaper helps, or a list without it.
    fn cheaper(&self, lines: &[usize], by: u64, each: bool) -> Vec<Change> {
        let mut all: Vec<(u64, Change)> = Vec::new();
        for at in lines {
            let line = self.line(*at);
            let unit = &self.pack.units[line.unit];
            let units = if each { 1 } else { u64::from(line.count) };
            let mut add = |text: String, new: Line| {
                let saved = line_cost(self.pack, line).total - line_cost(self.pack, &new).total;
                all.push((saved, Change::of(format!("{text}{} ({})", self.place(*at), points(saved)), *at, new)));
            };
            for (option, times) in &line.options {
                let one = option_cost(unit, *option, 1, line.models).saturating_mul(units);
                let fewer = by.div_ceil(one.max(1));
                if one == 0 || fewer > u64::from(*times) {
                    continue;
                }
                let name = &unit.options[*option].named.label;
                let left = times - u32::try_from(fewer).unwrap_or(*times);
                let text = match left {
                    0 => format!("leave {name} off {}", self.label(*at)),
                    left => format!("take {name} {} for {}", super::words::times(left), self.label(*at)),
                };
                add(text, self.times(*at, *option, left));
            }
            let fewer = |models: u32| Line { models, ..line.clone() };
            let spare = line.models.saturating_sub(unit.models.0);
            let cost = line_cost(self.pack, line).total;
            let saves = |models: u32| {
                (cost - line_cost(self.pack, &fewer(models)).total)
                    / if each { u64::from(line.count.max(1)) } else { 1 }
            };
            let enough = (1..=spare).find(|less| saves(line.models - less) >= by);
            if let Some(less) = enough {
                let models = count(u64::from(line.models - less), self.pack.word("model"), self.pack.word("models"));
                add(format!("bring {} down to {models}", self.label(*at)), fewer(line.models - less));
            }
            if each {
                let all = gone(unit, line.count.into(), line.count.into());
                add(format!("drop {all}"), Line { count: 0, ..line.clone() });
            } else {
                let one = cost / u64::from(line.count.max(1));
                let fewer = by.div_ceil(one.max(1));
                if one > 0 && fewer <= u64::from(line.count) {
                    let left = line.count - u32::try_from(fewer).unwrap_or(line.count);
                    let text = format!("drop {}", gone(unit, fewer, u64::from(line.count)));
                    add(text, Line { count: left, ..line.clone() });
                }
            }
        }
        all.sort_by_key(|(saved, change)| (*saved, change.lines.first().map(|(at, _)| *at)));
        all.into_iter().map(|(_, change)| change).take(24).collect()
    }

    /// Points that a role lacks: more models, or one more unit.
    fn dearer(&self, role: usize) -> Vec<Change> {
        let by = self.problem.by;
        let mut all: Vec<(u64, Change)> = Vec::new();
        for (at, line) in self.list.lines.iter().enumerate() {
            let unit = &self.pack.units[line.unit];
            if unit.role != role || line.models >= unit.models.1 {
                continue;
            }
            let cost = |models: u32| line_cost(self.pack, &Line { models, ..line.clone() }).total;
            let now = cost(line.models);
            if let Some(models) = (line.models + 1..=unit.models.1).find(|models| cost(*models) - now >= by) {
                let word = count(u64::from(models), self.pack.word("model"), self.pack.word("models"));
                let more = cost(models) - now;
                let text = format!("bring {}{} up to {word} ({} more)", self.label(at), self.place(at), points(more));
                all.push((more, Change::of(text, at, Line { models, ..line.clone() })));
            }
        }
        let units = self.by_cost(|at| self.pack.units[at].role == role);
        for at in &units {
            let unit = &self.pack.units[*at];
            let number = by.div_ceil(unit.cost(unit.models.0).max(1));
            all.push((number.saturating_mul(unit.cost(unit.models.0)), self.one_more(*at, number)));
        }
        all.sort_by_key(|(more, _)| *more);
        let mut all: Vec<Change> = all.into_iter().map(|(_, change)| change).take(24).collect();
        let several = super::several::worth(self.pack, self.list, &units, by);
        all.extend(several.into_iter().map(|(text, more)| Change { text, lines: Vec::new(), more }));
        all
    }
}
