//! The profile of an appraisal's sheet: stats, the hull from above, weapons and rules with their texts.
use super::answer::AppraisalAnswer;
use super::sheet::head;
use crate::report::hull::{Hull, Side};
use crate::report::saying::{listed, sentence};
use crate::report::sheet::{Cell, List, Part, Picture, Table};
use crate::wire::packs::WeaponForm;

/// What the unit is.
pub(super) fn part(of: &AppraisalAnswer) -> Option<Part> {
    let stat =
        |stat: &crate::wire::packs::StatForm| vec![Cell::words(stat.name.clone()), Cell::words(stat.value.clone())];
    let mut tables = Vec::new();
    let mut rows: Vec<_> = of.profile.iter().map(stat).collect();
    let capacity = if of.cost.armoured { "structure" } else { "health of all models" };
    rows.push(vec![Cell::words(capacity), Cell::words(of.cost.capacity.to_string())]);
    if of.cost.most_models > of.models {
        let most = format!("{} models for {} points", of.cost.most_models, of.cost.most_points);
        rows.push(vec![Cell::words("at its most"), Cell::words(most)]);
    }
    tables.push(Table { caption: "Profile".to_owned(), head: head(&["stat", "value"]), rows });
    let mut text = Vec::new();
    if of.weapons.is_empty() {
        text.push("It has no weapon.".to_owned());
    } else {
        tables.push(Table {
            caption: "Weapons".to_owned(),
            head: head(&["weapon", "reach", "numbers"]),
            rows: of.weapons.iter().map(weapon).collect(),
        });
    }
    let mut rules: Vec<(&str, &str)> = Vec::new();
    let of_weapons = of.weapons.iter().flat_map(|weapon| &weapon.rules);
    for rule in of.rules.iter().chain(of_weapons) {
        if !rules.iter().any(|(name, _)| *name == rule.name) {
            rules.push((&rule.name, &rule.text));
        }
    }
    let items = rules.into_iter().map(|(name, text)| format!("{}: {text}", sentence(name))).collect::<Vec<_>>();
    let lists = if items.is_empty() { Vec::new() } else { vec![List { heading: "Rules".to_owned(), items }] };
    let pictures = hull(of).map(Picture::Hull).into_iter().collect();
    Some(Part { heading: "Profile".to_owned(), text, lists, pictures, tables })
}

/// `24, not under 6`.
fn reach(weapon: &WeaponForm) -> String {
    match (weapon.least_reach, weapon.reach) {
        (0, None) => "any".to_owned(),
        (0, Some(reach)) => reach.to_string(),
        (least, None) => format!("from {least}"),
        (least, Some(reach)) => format!("{least} to {reach}"),
    }
}

fn weapon(weapon: &WeaponForm) -> Vec<Cell> {
    let name = if weapon.count > 1 { format!("{} \u{d7} {}", weapon.count, weapon.name) } else { weapon.name.clone() };
    let mut numbers: Vec<String> = weapon.profile.iter().map(|stat| format!("{} {}", stat.name, stat.value)).collect();
    numbers.extend(weapon.template_mm.map(|wide| format!("template {wide} mm")));
    let rules: Vec<String> = weapon.rules.iter().map(|rule| rule.name.clone()).collect();
    let rules = if rules.is_empty() { String::new() } else { format!("; {}", listed(&rules)) };
    vec![Cell::words(name), Cell::words(reach(weapon)), Cell::words(format!("{}{rules}", numbers.join(", ")))]
}

/// The hull from above, where its sides differ.
fn hull(of: &AppraisalAnswer) -> Option<Hull> {
    if of.hull.is_empty() {
        return None;
    }
    let several = of.hull.iter().any(|side| side.values.len() > 1);
    let value = |(name, value): &(String, String)| if several { format!("{name} {value}") } else { value.clone() };
    let side = |side: &super::review::HullSide| Side {
        label: side.arc.clone(),
        from: side.from,
        to: side.to,
        values: side.values.iter().map(value).collect(),
    };
    let sides: Vec<Side> = of.hull.iter().map(side).collect();
    let mut said: Vec<String> = Vec::new();
    for side in &sides {
        let one = format!("{} {}", side.label, side.values.join(", "));
        if !said.contains(&one) {
            said.push(one);
        }
    }
    let name = of.hull.first().and_then(|side| side.values.first()).map_or("Sides", |(name, _)| name);
    let title =
        if several { "Seen from above".to_owned() } else { format!("{} by side, seen from above", sentence(name)) };
    Some(Hull { alt: format!("{title}: {}.", listed(&said)), title, sides })
}
