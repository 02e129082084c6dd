//! The limits themselves: which of them a line, a unit, a role or a whole list breaks, and by how much.
use super::tally::View;
use super::words::{a_unit, points, slots, times, units_of};
use super::{Code, Line, Problem, line_cost};
use crate::report::saying::count;
use crate::rules::model::Pack;
use crate::rules::model::unit::{Most, Per, Unit};

/// What a line breaks by itself; `at` is its place in the list.
pub(super) fn of_line(pack: &Pack, limit: u32, at: usize, line: &Line) -> Vec<Problem> {
    let unit = &pack.units[line.unit];
    let label = &unit.named.label;
    let mut found = Vec::new();
    let mut add = |code, other: usize, by: u64, text: String| {
        found.push(Problem { at: (at, other), by, ..Problem::new(code, Some(line.number), text, "") });
    };
    let (least, most) = unit.models;
    let models = |number: u32| count(u64::from(number), pack.word("model"), pack.word("models"));
    if line.models < least || line.models > most {
        let (bound, by) =
            if line.models < least { ("at least", least - line.models) } else { ("at most", line.models - most) };
        let bound = if least == most { String::new() } else { format!("{bound} ") };
        let right = models(if line.models < least { least } else { most });
        let text = format!("{} has {bound}{right}, and this one has {}", a_unit(unit), line.models);
        add(Code::Models, 0, u64::from(by), text);
    }
    for (at, taken) in &line.options {
        let option = &unit.options[*at];
        let name = &option.named.label;
        let most = option.most.of(line.models);
        if *taken > most {
            let text = match option.most {
                Most::PerModels(share) if most == 0 => {
                    format!("{name} is taken once for each {}, and {label} has {}", models(share), line.models)
                }
                _ => format!("{label} may take {name} {} at most, not {}", times(most), times(*taken)),
            };
            add(Code::OptionTimes, *at, u64::from(taken - most), text);
        }
        let needed = option.inside.iter().chain(&option.requires).filter(|other| !has(line, **other));
        let missing: Vec<&str> = needed.map(|other| unit.options[*other].named.label.as_str()).collect();
        if !missing.is_empty() {
            add(Code::OptionRequires, *at, missing.len() as u64, format!("{name} needs {}", missing.join(" and ")));
        }
        for other in option.excludes.iter().filter(|other| has(line, **other)) {
            let text = format!("{name} can't be taken with {}", unit.options[*other].named.label);
            add(Code::OptionExcludes, *at * 1_000 + *other, 1, text);
        }
        for (weapon, lacks) in lacking(unit, line, *at, *taken) {
            let weapon = &pack.weapons[weapon].named.label;
            let text = format!("{name} replaces the {weapon}, and too few of those are left");
            add(Code::OptionReplaces, *at, u64::from(lacks), text);
        }
    }
    let one = line_cost(pack, line).total / u64::from(line.count.max(1));
    if let Some(share) = pack.limits.most_share_of_unit.filter(|share| over_share(one, *share, limit)) {
        let most = allowed(limit, share);
        let text = format!("{label} costs {}, more than {share}% of {limit} ({most})", points(one));
        add(Code::UnitShare, 0, one - most, text);
    }
    found
}

pub(super) fn has(line: &Line, option: usize) -> bool {
    line.options.iter().any(|(taken, _)| *taken == option)
}

fn over_share(points: u64, share: u32, limit: u32) -> bool {
    points.saturating_mul(100) > u64::from(share) * u64::from(limit)
}

pub(super) fn allowed(limit: u32, share: u32) -> u64 {
    u64::from(limit) * u64::from(share) / 100
}

/// The weapons that an option replaces and of which there are too few, and how many are lacking.
fn lacking(unit: &Unit, line: &Line, at: usize, times: u32) -> Vec<(usize, u32)> {
    let option = &unit.options[at];
    let of = |per_model: u32, per_unit: u32| per_model.saturating_mul(line.models).saturating_add(per_unit);
    let count = |weapon: usize| -> u32 {
        let own = unit.weapons.iter().filter(|carried| carried.weapon == weapon);
        let own = own.map(|carried| of(carried.per_model, carried.per_unit));
        let brought = line.options.iter().filter(|(other, _)| *other != at).flat_map(|(other, times)| {
            let weapons = unit.options[*other].weapons.iter().filter(move |carried| carried.weapon == weapon);
            weapons.map(|carried| of(carried.per_model, carried.per_unit).saturating_mul(*times))
        });
        let gone: u32 = (line.options.iter())
            .take_while(|(other, _)| *other != at)
            .filter(|(other, _)| unit.options[*other].replaces.contains(&weapon))
            .map(|(other, times)| if unit.options[*other].per == Per::Weapon { *times } else { u32::MAX })
            .fold(0, u32::saturating_add);
        own.chain(brought).fold(0, u32::saturating_add).saturating_sub(gone)
    };
    let wanted = if option.per == Per::Weapon { times } else { 1 };
    let lacks = option.replaces.iter().map(|weapon| (*weapon, wanted.saturating_sub(count(*weapon))));
    lacks.filter(|(_, lacks)| *lacks > 0).collect()
}

/// What a unit breaks that stands in the list.
pub(super) fn of_unit(view: &View<'_>, at: usize) -> Vec<Problem> {
    let pack = view.tally.pack;
    let unit = &pack.units[at];
    let (label, held) = (&unit.named.label, view.count(at));
    let mut found = Vec::new();
    if held == 0 {
        return found;
    }
    let mut add = |code, other: usize, by: u64, text: String| {
        found.push(Problem { at: (at, other), by, ..Problem::new(code, None, text, "") });
    };
    if let Some(most) = unit.most.or(pack.limits.most_alike).filter(|most| held > u64::from(*most)) {
        let text = match unit.most {
            Some(1) => format!("{label} is unique: a list may hold one, and this one holds {held}"),
            _ => format!("a list may hold at most {}, and this one holds {held}", units_of(unit, u64::from(most))),
        };
        add(Code::UnitMost, 0, held - u64::from(most), text);
    }
    let label = |other: &usize| pack.units[*other].named.label.as_str();
    let stands = |other: &usize| view.count(*other) > 0;
    if !unit.needs_unit.is_empty() && !unit.needs_unit.iter().any(stands) {
        let names: Vec<&str> = unit.needs_unit.iter().map(label).collect();
        add(Code::UnitRequires, 0, 1, format!("{} can only be taken with {}", label(&at), names.join(" or ")));
    }
    for other in unit.bars_unit.iter().filter(|other| stands(other)) {
        add(Code::UnitExcludes, *other, 1, format!("{} and {} can't be in one list", label(&at), label(other)));
    }
    found
}

/// What a role breaks.
pub(super) fn of_role(view: &View<'_>, at: usize) -> Vec<Problem> {
    let role = &view.tally.pack.roles[at];
    let (label, used, limit) = (&role.named.label, view.role(at), view.tally.limit);
    let mut found = Vec::new();
    let mut add = |code, by: u64, text: String| {
        found.push(Problem { at: (at, 0), by, ..Problem::new(code, None, text, "") });
    };
    let (least, most) = (u64::from(role.least), role.most.map(u64::from));
    if used.slots < least {
        let held = if used.slots == 0 { "have none".to_owned() } else { format!("have {}", used.slots) };
        let text = format!("{label}: you need at least {} and {held}", slots(least));
        add(Code::RoleLeast, least - used.slots, text);
    }
    if let Some(most) = most.filter(|most| used.slots > *most) {
        let text = format!("{label}: you may have at most {} and have {}", slots(most), used.slots);
        add(Code::RoleMost, used.slots - most, text);
    }
    if let Some(share) = role.most_share.filter(|share| over_share(used.points, *share, limit)) {
        let most = allowed(limit, share);
        let text = format!("{label}: {}, more than {share}% of {limit} ({most})", points(used.points));
        add(Code::RoleShareMost, used.points - most, text);
    }
    let below = |share: &u32| used.points.saturating_mul(100) < u64::from(*share) * u64::from(limit);
    if let Some(share) = role.least_share.filter(below) {
        let needed = (u64::from(limit) * u64::from(share)).div_ceil(100);
        let text = format!("{label}: {}, less than {share}% of {limit} ({needed})", points(used.points));
        add(Code::RoleShareLeast, needed - used.points, text);
    }
    found
}

fn is(number: u64) -> &'static str {
    if number == 1 { "is" } else { "are" }
}

/// What the list as a whole breaks.
pub(super) fn of_list(view: &View<'_>) -> Vec<Problem> {
    let (limits, limit) = (&view.tally.pack.limits, u64::from(view.tally.limit));
    let (units, total) = (view.units(), view.points());
    let mut found = Vec::new();
    let mut add = |code, by: u64, text: String| found.push(Problem { by, ..Problem::new(code, None, text, "") });
    let (least, most) = (u64::from(limits.least_units), limits.most_units.map(u64::from));
    if units < least {
        let text = format!("a list holds at least {}, and this one holds {units}", count(least, "unit", "units"));
        add(Code::UnitsLeast, least - units, text);
    }
    if let Some(most) = most.filter(|most| units > *most) {
        let text = format!("a list holds at most {}, and this one holds {units}", count(most, "unit", "units"));
        add(Code::UnitsMost, units - most, text);
    }
    if total > limit {
        let text = format!("{} {} {} over the limit of {limit}", points(total), is(total), total - limit);
        add(Code::OverPoints, total - limit, text);
    }
    found
}
