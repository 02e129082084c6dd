//! Cards about a pack: its units, and what one of its words means.
use super::{Card, Sort};
use crate::report::saying::{count, full_stop, sentence, the};
use crate::wire::packs::{PackAnswer, TermForm};

/// All units, or those of a role.
pub fn list(names: &PackAnswer, role: Option<&str>) -> Card {
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
pub fn term(names: &PackAnswer, id: &str) -> Option<Card> {
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
