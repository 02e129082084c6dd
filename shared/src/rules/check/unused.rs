//! Parts of a pack that nothing uses.
use super::super::fault::Fault;
use super::super::model::change::RuleScope;
use super::super::model::{Named, Pack};
use super::may::weapons_of;
use super::places::Places;
use std::collections::HashSet;

pub(super) fn find<'a>(pack: &'a Pack, places: &Places<'a>, faults: &mut Vec<Fault>) {
    rules(pack, places, faults);
    stats(pack, places, faults);
    let mut unless = |used: bool, section: &'a str, named: &'a Named, message: &str, hint: &str| {
        if !used {
            faults.push(places.of(section, &named.id).warning(message, hint));
        }
    };
    let drop = "leave it out, or use it";
    for chart in pack.charts.iter().map(|chart| &chart.named) {
        unless(places.says(&format!("chart.{}", chart.id)), "chart", chart, "nothing reads this chart", drop);
    }
    for breach in pack.breaches.iter().map(|breach| &breach.named) {
        unless(places.says(&breach.id), "breach", breach, "no step and no rule uses this breach chart", drop);
    }
    let rolled: HashSet<usize> = pack.procedures.iter().flat_map(|procedure| procedure.steps.iter().copied()).collect();
    for (at, step) in pack.steps.iter().enumerate() {
        unless(rolled.contains(&at), "step", &step.named, "no procedure rolls this step", drop);
    }
    for (at, procedure) in pack.procedures.iter().enumerate() {
        let before = &pack.procedures[..at];
        let hidden = before.iter().any(|other| other.armoured == procedure.armoured && other.when.is_always());
        let hint = "the first that fits is taken: give the earlier ones a condition (when), or put this one before";
        unless(!hidden, "procedure", &procedure.named, "this procedure is never used: an earlier one takes all", hint);
    }
    let kinds: HashSet<usize> = pack.units.iter().map(|unit| unit.kind).collect();
    for (at, kind) in pack.kinds.iter().enumerate() {
        unless(kinds.contains(&at), "kind", &kind.named, "no unit is of this kind", drop);
    }
    let roles: HashSet<usize> = pack.units.iter().map(|unit| unit.role).collect();
    for (at, role) in pack.roles.iter().enumerate() {
        unless(roles.contains(&at), "role", &role.named, "no unit counts as this role", drop);
    }
    let weapons: HashSet<usize> = pack.units.iter().flat_map(weapons_of).collect();
    for (at, weapon) in pack.weapons.iter().enumerate() {
        unless(
            weapons.contains(&at),
            "weapon",
            &weapon.named,
            "no unit has this weapon",
            "leave it out, or arm somebody",
        );
    }
    for flag in &pack.situations.flags {
        unless(places.has_key(&flag.id), "flag", flag, "no condition asks for this flag", drop);
    }
    for (at, unit) in pack.units.iter().enumerate() {
        let armoured = pack.kinds[unit.kind].body.is_armoured();
        let attacked = pack.procedures.iter().any(|procedure| procedure.armoured == armoured);
        let first = pack.units[..at].iter().all(|other| other.kind != unit.kind);
        let kind = &pack.kinds[unit.kind].named;
        let hint = "add a [[procedure]] for such targets";
        unless(attacked || !first, "kind", kind, "nothing can attack units of this kind", hint);
    }
}

fn rules(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    let mut carried: HashSet<usize> = HashSet::new();
    for unit in &pack.units {
        carried.extend(unit.rules.iter().chain(unit.options.iter().flat_map(|option| &option.rules)));
    }
    carried.extend(pack.weapons.iter().flat_map(|weapon| &weapon.rules));
    for (at, rule) in pack.rules.iter().enumerate() {
        let holds = rule.side == RuleScope::Table || rule.changes.iter().any(|change| change.side == RuleScope::Table);
        let place = places.of("rule", &rule.named.id);
        if !holds && !carried.contains(&at) && !place.is_true("reminder") {
            let hint = "give it to somebody (rules = […]), or leave it out; side = \"table\" holds for all";
            faults.push(place.warning("no unit, option or weapon has this rule", hint));
        }
    }
}

fn stats(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    let all = [
        ("unit", &pack.stats.unit),
        ("weapon", &pack.stats.weapon),
        ("range", &pack.stats.range),
        ("cover", &pack.stats.cover),
        ("arc", &pack.stats.arc),
    ];
    for (scope, stats) in all {
        for stat in stats {
            let of_target = scope == "unit" && places.says(&format!("target.{}", stat.id));
            if !of_target && !places.says(&format!("{scope}.{}", stat.id)) {
                let place = places.key(&["stats", scope, &stat.id]);
                let hint = format!("leave it out, or use it as \"{scope}.{}\"", stat.id);
                faults.push(place.warning(format!("no roll and no chart reads the stat {:?}", stat.id), hint));
            }
        }
    }
}
