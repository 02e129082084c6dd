//! Look-ups without a page of their own: one stat of a unit, all units, a word of the pack.
use super::asked::Halt;
use crate::card::{Card, Sort};
use crate::client::index::{PackIndex, name_words};
use crate::saying::{count, either, full_stop, sentence, the};
use pipwright_shared::wire::packs::{CheckForm, TermForm, UnitAnswer, WeaponForm};

/// One stat leads its unit's sheet.
pub(super) fn stat(card: &mut Card, unit: &UnitAnswer, id: &str) {
    if let Some(found) = unit.profile.iter().find(|stat| stat.id == id) {
        card.headline = format!("{}: {} {}.", unit.name, found.name, found.value);
    } else {
        card.headline = format!("The {} has no such stat.", unit.name);
    }
}

/// How far the unit gets, by the test of a distance that it takes, leads its sheet: `Glide 7: its dash is 1d10+7 inches`.
pub(super) fn speed(card: &mut Card, unit: &UnitAnswer, many: bool) {
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

/// A weapon or an option in place of a unit: it asks which unit is meant, of those that have it.
pub(super) fn part(names: &PackIndex, said: &str) -> Option<Halt> {
    let said = name_words(said);
    let is_said = |name: &str| {
        let words = name_words(name);
        !words.is_empty() && said.windows(words.len()).any(|window| window == words)
    };
    let weapon = names.weapons.iter().find(|weapon| is_said(&weapon.name));
    let option = names.units.iter().flat_map(|unit| &unit.options).find(|option| is_said(&option.name));
    let (name, what) = match (weapon, option) {
        (Some(weapon), _) => (&weapon.name, "a weapon"),
        (None, Some(option)) => (&option.name, "an option"),
        (None, None) => return None,
    };
    let mut choices: Vec<String> = Vec::new();
    for unit in &names.units {
        if weapon.is_some_and(|weapon| unit.weapons.contains(&weapon.id)) {
            choices.push(unit.name.clone());
        } else if let Some(option) = unit
            .options
            .iter()
            .find(|option| is_said(&option.name) || weapon.is_some_and(|weapon| option.weapons.contains(&weapon.id)))
        {
            choices.push(format!("{} + {}", unit.name, option.name));
        }
    }
    if choices.is_empty() {
        return None;
    }
    choices.truncate(5);
    let the: Vec<String> = choices.iter().map(|choice| format!("the {choice}")).collect();
    let question = match the.as_slice() {
        [one] => format!("The {} is {what} of {one}. Ask about that unit.", name.to_lowercase()),
        _ => format!("The {} is {what}. Which unit: {}?", name.to_lowercase(), either(&the)),
    };
    Some(Halt::Missing { option: Some("unit"), question, choices })
}

/// How far a weapon of the unit reaches, or each of them, leads its sheet.
pub(super) fn reach(card: &mut Card, unit: &UnitAnswer, id: &str) {
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

/// All units, or those of a role.
pub(super) fn list(names: &PackIndex, role: Option<&str>) -> Card {
    let role = role.and_then(|role| names.roles.iter().find(|known| known.id == role)).map(|role| role.name.clone());
    let units: Vec<_> = names.units.iter().filter(|unit| role.as_ref().is_none_or(|role| unit.role == *role)).collect();
    let of = role.map_or_else(String::new, |role| format!(" that count as {role}"));
    let mut card = Card::saying(
        Sort::Answer,
        format!("{} has {}{of}.", sentence(&the(&names.name)), count(units.len() as u64, "unit", "units")),
    );
    for unit in &units {
        card.line(unit.name.clone(), format!("{}, {}", unit.role, count(unit.points.into(), "point", "points")));
    }
    for unit in units.iter().take(3) {
        card.follow_up(unit.name.clone(), format!("/unit {}", unit.name));
    }
    card
}

/// A word of the pack with what it means; none where nobody says it here.
pub(super) fn term(names: &PackIndex, id: &str) -> Option<Card> {
    let general = match id {
        "breach" => Some(
            "A breach is a hit that goes through the armour: it costs structure, and the breach chart says what else it does.",
        ),
        "graze" => Some(
            "A graze is a hit that only equals the armour: it does less than a breach, or nothing; some packs count it as a breach.",
        ),
        "structure" => Some("Structure is what armour can lose before it is wrecked."),
        "critical" => Some("A critical is a roll so good that it does more: the rule that gives it says what."),
        "aftermath" => Some("An aftermath is a roll made after an attack, because of what it did."),
        _ => None,
    };
    let found: Option<&TermForm> = names.terms.iter().find(|term| term.id == id);
    let headline = match (general, found) {
        (Some(general), _) => general.to_owned(),
        (None, Some(term)) if !term.text.is_empty() => format!("{}: {}", sentence(&term.name), full_stop(&term.text)),
        (None, Some(term)) => format!(
            "{} is a {2} of {1}; the pack does not explain it further.",
            sentence(&term.name),
            the(&names.name),
            term.sort
        ),
        (None, None) => return None,
    };
    let mut card = Card::saying(Sort::Answer, headline);
    for chart in names.terms.iter().filter(|term| term.sort == "breach" && id == "breach" && !term.text.is_empty()) {
        card.text.push(format!("{}: {}", sentence(&chart.name), full_stop(&chart.text)));
    }
    Some(card)
}
