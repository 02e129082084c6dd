//! The card of a unit: its sheet, or one thing of it that leads the sheet.
use super::Card;
use crate::report::saying::{count, listed};
use crate::wire::packs::{CheckForm, ModelsForm, OptionForm, StatForm, UnitAnswer, WeaponForm};

/// The sheet of a unit; `several` is the club's word for models.
pub fn card(unit: &UnitAnswer, several: &str) -> Card {
    let mut card = Card::default();
    let name = &unit.name;
    let ModelsForm { least, most, .. } = unit.models;
    let size = if most > least {
        // Without what each more costs, the price of ten can't be told from that of five.
        let each = Some(unit.each_more).filter(|each| *each > 0);
        let each = each.map_or_else(String::new, |each| format!(", {each} for each extra one"));
        let counted = if least == 1 { "one".to_owned() } else { format!("{least} {several}") };
        format!(" for {counted}{each}, up to {most}")
    } else if least > 1 {
        format!(" for {least} {several}")
    } else {
        String::new()
    };
    card.headline = format!("{name} ({}): {}{size}.", unit.role, count(unit.points, "point", "points"));
    for stat in &unit.profile {
        card.line(stat.name.clone(), stat.value.clone());
    }
    for group in &unit.groups {
        let own = profile(&group.profile);
        card.line(format!("{} x {}", group.models, group.name), format!("{}, lost last", own.join(", ")));
    }
    for weapon in &unit.weapons {
        let mut stats = profile(&weapon.profile);
        stats.extend(weapon.reach.map(|reach| format!("reach {reach}")));
        stats.extend(weapon.rules.iter().map(|rule| rule.name.clone()));
        let count = if weapon.count > 1 { format!("{} x ", weapon.count) } else { String::new() };
        card.line(format!("{count}{}", weapon.name), stats.join(", "));
    }
    let rules: Vec<String> = unit.rules.iter().map(|rule| rule.name.clone()).collect();
    if !rules.is_empty() {
        card.line("rules", rules.join(", "));
    }
    let options: Vec<String> = unit.options.iter().map(|option| priced(unit, option)).collect();
    if !options.is_empty() {
        card.line("options", options.join(", "));
    }
    if let Some(repair) = &unit.repair {
        card.line("repairs", format!("on {}, {}", repair.needs, repair.label));
        card.follow_up("repair", format!("/repair {name}"));
    }
    let checks: Vec<&str> = unit.checks.iter().map(|check| check.name.as_str()).collect();
    if !checks.is_empty() {
        card.line("checks", checks.join(", "));
        card.follow_up("checks", format!("/check {} {name}", checks[0].to_lowercase()));
    }
    card.follow_ups.extend(
        rules.iter().take(3).map(|rule| super::FollowUp { label: rule.clone(), says: format!("/rule {rule}") }),
    );
    card
}

/// Each stat with its value: `Glide 7`.
pub fn profile(stats: &[StatForm]) -> Vec<String> {
    stats.iter().map(|stat| format!("{} {}", stat.name, stat.value)).collect()
}

/// An option with its cost and what it needs: `Rocket rack +20 (with Long mast)`.
fn priced(unit: &UnitAnswer, option: &OptionForm) -> String {
    let per = if option.per == "unit" { String::new() } else { format!(" a {}", option.per) };
    let needed = option.inside.iter().chain(&option.requires);
    let needed: Vec<String> = needed.map(|id| called(unit, id)).collect();
    let with = if needed.is_empty() { String::new() } else { format!(" (with {})", listed(&needed)) };
    format!("{} +{}{per}{with}", option.name, option.points)
}

/// The name of an option by its id.
fn called(unit: &UnitAnswer, id: &str) -> String {
    unit.options.iter().find(|option| option.id == id).map_or_else(|| id.to_owned(), |option| option.name.clone())
}

/// One stat leads its unit's sheet.
pub fn stat(card: &mut Card, unit: &UnitAnswer, id: &str) {
    if let Some(found) = unit.profile.iter().find(|stat| stat.id == id) {
        card.headline = format!("{}: {} {}.", unit.name, found.name, found.value);
    } else {
        card.headline = format!("The {} has no such stat.", unit.name);
    }
}

/// How far the unit gets, by the test of a distance that it takes, leads its sheet: `Glide 7: its dash is 1d10+7 inches`.
pub fn speed(card: &mut Card, unit: &UnitAnswer, many: bool) {
    let inches = |check: &&CheckForm| check.asks.as_ref().is_some_and(|asks| asks.contains("inches"));
    let found = unit.checks.iter().filter(inches).find_map(|check| {
        // What is added to the dice is a stat of the unit.
        let plus = check.request.modifier?;
        let stat = unit.profile.iter().find(|stat| {
            let own = format!("{plus:+}: {} {}", stat.name, stat.value);
            check.because.iter().any(|reason| reason.effect == own)
        })?;
        Some((check, plus, stat))
    });
    let Some((check, plus, stat)) = found else { return };
    let (have, its) = if many { ("have", "their") } else { ("has", "its") };
    card.headline = format!(
        "The {} {have} {} {}: {its} {} is {}{plus:+} inches.",
        unit.name,
        stat.name,
        stat.value,
        check.name.to_lowercase(),
        check.request.dice,
    );
}

/// How far a weapon of the unit reaches, or each of them, leads its sheet.
pub fn reach(card: &mut Card, unit: &UnitAnswer, id: &str) {
    let name = &unit.name;
    let told = |weapon: &WeaponForm| {
        let weapon_name = &weapon.name;
        match (weapon.least_reach, weapon.reach) {
            (0, Some(most)) => Some(format!("the {weapon_name} reaches {most} inches")),
            (least, Some(most)) => Some(format!("the {weapon_name} reaches from {least} to {most} inches")),
            (_, None) => None,
        }
    };
    let all: Vec<String> = match unit.weapons.iter().find(|weapon| weapon.id == id) {
        Some(weapon) => told(weapon).into_iter().collect(),
        None => unit.weapons.iter().filter_map(told).collect(),
    };
    if !all.is_empty() {
        card.headline = format!("{name}: {}.", all.join(", "));
    }
}
