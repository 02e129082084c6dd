//! Costs that are never paid, limits that are never reached, and units that break the limits they are under.
use super::super::fault::Fault;
use super::super::model::Pack;
use super::super::model::unit::{Most, Unit};
use super::may::weapons_of;
use super::places::{Places, Spot};

pub(super) fn find(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    for (at, unit) in pack.units.iter().enumerate() {
        let place = places.of("unit", &unit.named.id);
        of_models(unit, &place, faults);
        of_options(pack, unit, &place, faults);
        of_limits(pack, unit, &place, faults);
        of_others(pack, at, &place, faults);
    }
    of_roles(pack, places, faults);
    of_lists(pack, places, faults);
    of_board(pack, places, faults);
}

fn of_models(unit: &Unit, place: &Spot<'_>, faults: &mut Vec<Fault>) {
    let (least, most) = unit.models;
    if least == most && unit.each_more > 0 {
        let message = format!("this is never paid: the unit always has {}", counted(most, "model"));
        let hint = "give it room: models = { least = …, most = … }";
        faults.push(place.key("each_more").warning(message, hint));
    }
}

fn of_options(pack: &Pack, unit: &Unit, place: &Spot<'_>, faults: &mut Vec<Fault>) {
    for (at, option) in unit.options.iter().enumerate() {
        let here = place.option(&option.named.id);
        if let Most::PerModels(share) = option.most
            && share > unit.models.1
        {
            let message = format!(
                "this option can never be taken: one for {share} models, and the unit has {} at most",
                unit.models.1
            );
            faults.push(here.under("most").warning(message, "lower per_models, or let the unit grow"));
        }
        for weapon in &option.replaces {
            let brought = unit.options.iter().enumerate().filter(|(other, _)| *other != at);
            let brought = brought.flat_map(|(_, other)| &other.weapons);
            if !unit.weapons.iter().chain(brought).any(|carried| carried.weapon == *weapon) {
                let weapon = &pack.weapons[*weapon].named;
                let message = format!("this option can never be taken: the unit has no {}", weapon.label);
                faults.push(here.under("replaces").naming(&weapon.id).warning(message, "name a weapon that it has"));
            }
        }
        let wanted = wanted_with(unit, at);
        let bars = |one: usize, other: usize| unit.options[one].excludes.contains(&other);
        let clash =
            wanted.iter().find_map(|one| wanted.iter().find(|other| bars(*one, **other)).map(|other| (*one, *other)));
        if let Some((one, other)) = clash {
            let name = |at: usize| &unit.options[at].named.label;
            let message =
                format!("this option can never be taken: it comes with {}, which excludes {}", name(one), name(other));
            faults.push(here.warning(message, "look at requires and excludes"));
        }
    }
}

/// An option and all that must be taken with it.
fn wanted_with(unit: &Unit, option: usize) -> Vec<usize> {
    let mut wanted = vec![option];
    let mut seen = 0;
    while let Some(at) = wanted.get(seen).copied() {
        let option = &unit.options[at];
        for next in option.requires.iter().copied().chain(option.inside) {
            if !wanted.contains(&next) {
                wanted.push(next);
            }
        }
        seen += 1;
    }
    wanted
}

fn of_limits(pack: &Pack, unit: &Unit, place: &Spot<'_>, faults: &mut Vec<Fault>) {
    let (limit, cost) = (u64::from(pack.limits.points), unit.cost(unit.models.0));
    let share = |percent: u32| limit * u64::from(percent) / 100;
    let role = &pack.roles[unit.role];
    let bounds = [
        (Some(limit), format!("a list has {limit}")),
        (
            pack.limits.most_share_of_unit.map(share),
            format!("one unit may cost {}% of {limit}", pack.limits.most_share_of_unit.unwrap_or(0)),
        ),
        (
            role.most_share.map(share),
            format!("{} may cost {}% of {limit}", role.named.label, role.most_share.unwrap_or(0)),
        ),
    ];
    let broken = bounds.into_iter().find(|(bound, _)| limit > 0 && bound.is_some_and(|bound| cost > bound));
    if let Some((_, why)) = broken {
        let message = format!("this unit breaks a limit whatever is taken: it costs {cost}, and {why}");
        faults.push(place.key("points").warning(message, "a larger list may still hold it"));
    }
    if let (Some(most), Some(slots)) = (unit.most, role.most)
        && most > 1
        && most > slots * unit.per_slot
    {
        let message =
            format!("this limit is never reached: {} holds {} of them", role.named.label, slots * unit.per_slot);
        faults.push(place.key("most").warning(message, "lower it, or leave it out"));
    }
    if weapons_of(unit).next().is_none() && unit.rules.is_empty() && unit.options.is_empty() {
        faults.push(place.warning("this unit has no weapon and no rule: it does nothing", "give it weapons = […]"));
    }
}

fn of_others(pack: &Pack, at: usize, place: &Spot<'_>, faults: &mut Vec<Fault>) {
    let unit = &pack.units[at];
    for other in &unit.needs_unit {
        let needed = &pack.units[*other];
        if unit.bars_unit.contains(other) || needed.bars_unit.contains(&at) {
            let message =
                format!("no list can hold this unit: it needs {} and the two exclude each other", needed.named.label);
            faults.push(
                place.under("needs_unit").naming(&needed.named.id).warning(message, "look at needs_unit and bars_unit"),
            );
        }
    }
}

/// The most slots of a role that lists can fill; nothing where there is no end to it.
fn slots(pack: &Pack, role: usize) -> Option<u32> {
    let units = pack.units.iter().filter(|unit| unit.role == role);
    let most = |unit: &Unit| unit.most.or(pack.limits.most_alike).map(|most| most.div_ceil(unit.per_slot));
    units.map(most).sum()
}

fn of_roles(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    for (at, role) in pack.roles.iter().enumerate() {
        let place = places.of("role", &role.named.id);
        let Some(slots) = slots(pack, at) else { continue };
        if role.least > slots {
            let message = format!("no list can be legal: {} slots are wanted and the books fill {slots}", role.least);
            faults.push(place.key("least").warning(message, "lower it, or write more units of this role"));
        } else if slots > 0 && role.most.is_some_and(|most| most > slots) {
            let message = format!("this limit is never reached: the books fill {}", counted(slots, "slot"));
            faults.push(place.key("most").warning(message, "lower it, or leave it out"));
        }
    }
}

fn of_lists(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    let limits = &pack.limits;
    let here = |key: &str| places.key(&["limits", key]);
    let of_role = |role: usize| {
        let units = pack.units.iter().filter(move |unit| unit.role == role);
        units.map(|unit| unit.cost(unit.models.0)).min()
    };
    let cheapest: Option<u64> = pack
        .roles
        .iter()
        .enumerate()
        .map(|(at, role)| Some(u64::from(role.least) * of_role(at).or((role.least == 0).then_some(0))?))
        .sum();
    if let Some(cost) = cheapest.filter(|cost| limits.points > 0 && *cost > u64::from(limits.points)) {
        let message = format!("no list can be legal: the roles that must be filled cost {cost} at least");
        faults.push(here("points").warning(message, "raise it, or lower what the roles want (least = …)"));
    }
    if limits.most_units.is_some_and(|most| most < limits.least_units) {
        faults.push(here("least_units").warning("no list can be legal: most_units is less", "look at the two"));
    }
}

fn of_board(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    for (key, units) in [("targets", &pack.board.targets), ("attackers", &pack.board.attackers)] {
        for (at, one) in units.iter().enumerate() {
            let unit = &pack.units[one.unit];
            let (least, most) = unit.models;
            if !(least..=most).contains(&one.models) {
                let message = format!("{} has {least} to {most} models, not {}", unit.named.label, one.models);
                faults.push(
                    places
                        .key(&["board", key])
                        .nth(at)
                        .under("models")
                        .warning(message, "name a number that it may have"),
                );
            }
        }
    }
}

fn counted(number: u32, what: &str) -> String {
    if number == 1 { format!("1 {what}") } else { format!("{number} {what}s") }
}
