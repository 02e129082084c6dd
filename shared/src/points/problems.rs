//! Every limit that a list breaks.
use super::{Line, List, RoleUse, line_cost, roles, total, units};
use crate::rules::model::Pack;
use crate::rules::model::unit::{Per, Unit};

/// What sort of problem it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Code {
    /// A line that says nothing that can be read.
    Unreadable,
    /// More lines than a list may have.
    TooLong,
    /// A unit that the pack does not have.
    UnknownUnit,
    /// An option that the unit does not have.
    UnknownOption,
    /// Too few or too many models.
    Models,
    /// An option taken too often.
    OptionTimes,
    /// An option without another that it needs.
    OptionRequires,
    /// Two options that exclude each other.
    OptionExcludes,
    /// An option that replaces a weapon which is not there.
    OptionReplaces,
    /// More of a unit than a list may hold.
    UnitMost,
    /// A unit without another that it needs.
    UnitRequires,
    /// Two units that exclude each other.
    UnitExcludes,
    /// A unit that costs too large a share.
    UnitShare,
    /// Too few of a role.
    RoleLeast,
    /// Too many of a role.
    RoleMost,
    /// Too large a share of a role.
    RoleShareMost,
    /// Too small a share of a role.
    RoleShareLeast,
    /// Too few units.
    UnitsLeast,
    /// Too many units.
    UnitsMost,
    /// More points than the limit.
    OverPoints,
}

impl Code {
    /// The word for it in answers.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unreadable => "unreadable",
            Self::TooLong => "too-long",
            Self::UnknownUnit => "unknown-unit",
            Self::UnknownOption => "unknown-option",
            Self::Models => "models",
            Self::OptionTimes => "option-times",
            Self::OptionRequires => "option-requires",
            Self::OptionExcludes => "option-excludes",
            Self::OptionReplaces => "option-replaces",
            Self::UnitMost => "unit-most",
            Self::UnitRequires => "unit-requires",
            Self::UnitExcludes => "unit-excludes",
            Self::UnitShare => "unit-share",
            Self::RoleLeast => "role-least",
            Self::RoleMost => "role-most",
            Self::RoleShareMost => "role-share-most",
            Self::RoleShareLeast => "role-share-least",
            Self::UnitsLeast => "units-least",
            Self::UnitsMost => "units-most",
            Self::OverPoints => "over-points",
        }
    }
}

/// A limit that is broken, or a line that can't be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What sort of problem.
    pub code: Code,
    /// The line at fault; nothing where the whole list is.
    pub line: Option<u32>,
    /// What is wrong.
    pub text: String,
    /// What would mend it.
    pub mend: String,
}

impl Problem {
    pub(crate) fn new(code: Code, line: Option<u32>, text: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { code, line, text: text.into(), mend: mend.into() }
    }
}

/// All limits that the list breaks: those of its lines first, then those of the list.
pub fn problems(pack: &Pack, list: &List) -> Vec<Problem> {
    let mut found = Vec::new();
    for line in &list.lines {
        of_line(pack, list, line, &mut found);
    }
    of_units(pack, list, &mut found);
    of_roles(pack, list, &mut found);
    of_list(pack, list, &mut found);
    found
}

fn of_line(pack: &Pack, list: &List, line: &Line, found: &mut Vec<Problem>) {
    let unit = &pack.units[line.unit];
    let label = &unit.named.label;
    let mut add = |code, text: String, mend: String| found.push(Problem::new(code, Some(line.number), text, mend));
    let (least, most) = unit.models;
    if line.models < least {
        add(Code::Models, format!("{label} has at least {least} models, not {}", line.models), format!("take {least}"));
    }
    if line.models > most {
        add(Code::Models, format!("{label} has at most {most} models, not {}", line.models), format!("take {most}"));
    }
    for (at, times) in &line.options {
        let option = &unit.options[*at];
        let name = &option.named.label;
        let most = option.most.of(line.models);
        if *times > most {
            let text = format!("{label} may take {name} {most} times, not {times}");
            add(Code::OptionTimes, text, format!("take {} fewer", times - most));
        }
        for needed in option.inside.iter().chain(&option.requires).filter(|other| !has(line, **other)) {
            let needed = &unit.options[*needed].named.label;
            add(Code::OptionRequires, format!("{name} needs {needed}"), format!("add {needed}, or drop {name}"));
        }
        for other in option.excludes.iter().filter(|other| has(line, **other)) {
            let other = &unit.options[*other].named.label;
            add(Code::OptionExcludes, format!("{name} excludes {other}"), format!("drop {name} or {other}"));
        }
        replaced(pack, unit, line, *at, *times, &mut add);
    }
    let one = line_cost(pack, line).total / u64::from(line.count.max(1));
    if let Some(share) = pack.limits.most_share_of_unit.filter(|share| over_share(one, *share, list.limit)) {
        let most = u64::from(list.limit) * u64::from(share) / 100;
        let text = format!("{label}: {one} points, more than {share}% of {} ({most})", list.limit);
        add(Code::UnitShare, text, format!("take {} points off it", one - most));
    }
}

fn has(line: &Line, option: usize) -> bool {
    line.options.iter().any(|(taken, _)| *taken == option)
}

fn over_share(points: u64, share: u32, limit: u32) -> bool {
    points * 100 > u64::from(share) * u64::from(limit)
}

/// An option that replaces a weapon needs enough of it.
fn replaced(pack: &Pack, unit: &Unit, line: &Line, at: usize, times: u32, add: &mut impl FnMut(Code, String, String)) {
    let option = &unit.options[at];
    let count = |weapon: usize| -> u32 {
        let carried = unit.weapons.iter().filter(|carried| carried.weapon == weapon);
        let own: u32 = carried.map(|carried| carried.per_model * line.models + carried.per_unit).sum();
        let brought = line.options.iter().filter(|(other, _)| *other != at).flat_map(|(other, times)| {
            let weapons = unit.options[*other].weapons.iter().filter(move |carried| carried.weapon == weapon);
            weapons.map(|carried| (carried.per_model * line.models + carried.per_unit) * *times)
        });
        let gone: u32 = (line.options.iter())
            .take_while(|(other, _)| *other != at)
            .filter(|(other, _)| unit.options[*other].replaces.contains(&weapon))
            .map(|(other, times)| if unit.options[*other].per == Per::Weapon { *times } else { u32::MAX })
            .fold(0, u32::saturating_add);
        (own + brought.sum::<u32>()).saturating_sub(gone)
    };
    let wanted = if option.per == Per::Weapon { times } else { 1 };
    for weapon in option.replaces.iter().filter(|weapon| count(**weapon) < wanted) {
        let weapon = &pack.weapons[*weapon].named.label;
        let name = &option.named.label;
        let text = format!("{name} takes the place of {weapon}, and too few of those are left");
        add(Code::OptionReplaces, text, format!("drop {name}, or what replaced the {weapon} before"));
    }
}

fn of_units(pack: &Pack, list: &List, found: &mut Vec<Problem>) {
    for at in units(list) {
        let unit = &pack.units[at];
        let lines: Vec<&Line> = list.lines.iter().filter(|line| line.unit == at).collect();
        let Some(first) = lines.first() else { continue };
        let count: u32 = lines.iter().map(|line| line.count).sum();
        let label = &unit.named.label;
        if let Some(most) = unit.most.or(pack.limits.most_alike).filter(|most| count > *most) {
            let mut sum = 0;
            let beyond = lines.iter().find(|line| {
                sum += line.count;
                sum > most
            });
            let text = match unit.most {
                Some(1) => format!("{label} is unique: a list holds one, not {count}"),
                _ => format!("a list holds at most {most} of {label}, not {count}"),
            };
            let mend = format!("take {} fewer", count - most);
            found.push(Problem::new(Code::UnitMost, beyond.map(|line| line.number), text, mend));
        }
        let stands = |other: &usize| list.lines.iter().any(|line| line.unit == *other);
        if !unit.needs_unit.is_empty() && !unit.needs_unit.iter().any(stands) {
            let names: Vec<&str> =
                unit.needs_unit.iter().map(|other| pack.units[*other].named.label.as_str()).collect();
            let names = names.join(" or ");
            let text = format!("{label} comes only with {names}");
            let mend = format!("add {names}, or drop {label}");
            found.push(Problem::new(Code::UnitRequires, Some(first.number), text, mend));
        }
        for other in unit.bars_unit.iter().filter(|other| stands(other)) {
            let other = &pack.units[*other].named.label;
            let text = format!("{label} and {other} don't go into one list");
            found.push(Problem::new(Code::UnitExcludes, Some(first.number), text, format!("drop {label} or {other}")));
        }
    }
}

fn of_roles(pack: &Pack, list: &List, found: &mut Vec<Problem>) {
    for ((at, role), used) in pack.roles.iter().enumerate().zip(roles(pack, list)) {
        let label = &role.named.label;
        let of_role = || list.lines.iter().filter(|line| pack.units[line.unit].role == at);
        let last = of_role().next_back().map(|line| line.number);
        if used.slots < role.least {
            let text = format!("{label}: at least {}, there are {}", slots(role.least), used.slots);
            let mend = format!("add {} of {label}{}", slots(role.least - used.slots), cheapest(pack, at));
            found.push(Problem::new(Code::RoleLeast, None, text, mend));
        }
        if let Some(most) = role.most.filter(|most| used.slots > *most) {
            let text = format!("{label}: at most {}, there are {}", slots(most), used.slots);
            let mend = format!("drop {} of {label}", slots(used.slots - most));
            found.push(Problem::new(Code::RoleMost, beyond(pack, list, at, most).or(last), text, mend));
        }
        let share = |share: u32| u64::from(list.limit) * u64::from(share) / 100;
        if let Some(most) = role.most_share.filter(|most| over_share(used.points, *most, list.limit)) {
            let allowed = share(most);
            let text = format!("{label}: {} points are more than {most}% of {} ({allowed})", used.points, list.limit);
            let mend = format!("take {} points off {label}", used.points - allowed);
            found.push(Problem::new(Code::RoleShareMost, last, text, mend));
        }
        let least = role.least_share.filter(|least| used.points * 100 < u64::from(*least) * u64::from(list.limit));
        if let Some(least) = least {
            let needed = (u64::from(list.limit) * u64::from(least)).div_ceil(100);
            let text = format!("{label}: {} points are less than {least}% of {} ({needed})", used.points, list.limit);
            let mend = format!("add {} points of {label}", needed - used.points);
            found.push(Problem::new(Code::RoleShareLeast, None, text, mend));
        }
    }
}

/// The first line with which a role takes more slots than it may.
fn beyond(pack: &Pack, list: &List, role: usize, most: u32) -> Option<u32> {
    let fits = |count: &usize| {
        let part = List { limit: list.limit, lines: list.lines[..*count].to_vec() };
        let used: RoleUse = roles(pack, &part).swap_remove(role);
        used.slots > most
    };
    let count = (1..=list.lines.len()).find(fits)?;
    Some(list.lines[count - 1].number)
}

fn cheapest(pack: &Pack, role: usize) -> String {
    let of_role = pack.units.iter().filter(|unit| unit.role == role);
    let cheapest = of_role.min_by_key(|unit| (unit.cost(unit.models.0), unit.named.id.as_str()));
    cheapest.map_or_else(String::new, |unit| {
        format!("; the cheapest is {} at {}", unit.named.label, unit.cost(unit.models.0))
    })
}

fn of_list(pack: &Pack, list: &List, found: &mut Vec<Problem>) {
    let units: u32 = list.lines.iter().map(|line| line.count).sum();
    let limits = &pack.limits;
    if units < limits.least_units {
        let text = format!("a list holds at least {} units, there are {units}", limits.least_units);
        found.push(Problem::new(Code::UnitsLeast, None, text, format!("add {}", limits.least_units - units)));
    }
    if let Some(most) = limits.most_units.filter(|most| units > *most) {
        let text = format!("a list holds at most {most} units, there are {units}");
        found.push(Problem::new(Code::UnitsMost, None, text, format!("drop {}", units - most)));
    }
    let total = total(pack, list);
    if total > u64::from(list.limit) {
        let over = total - u64::from(list.limit);
        let enough = (list.lines.iter())
            .map(|line| (line_cost(pack, line).total / u64::from(line.count.max(1)), line))
            .filter(|(cost, _)| *cost >= over)
            .min_by_key(|(cost, line)| (*cost, line.number));
        let hint = enough.map_or_else(String::new, |(cost, line)| {
            let label = &pack.units[line.unit].named.label;
            format!("; the cheapest unit that is enough is {label} on line {} at {cost}", line.number)
        });
        let text = format!("{total} points are {over} over the limit of {}", list.limit);
        found.push(Problem::new(Code::OverPoints, None, text, format!("take off {over} points{hint}")));
    }
}

fn slots(count: u32) -> String {
    if count == 1 { "1 slot".to_owned() } else { format!("{count} slots") }
}
