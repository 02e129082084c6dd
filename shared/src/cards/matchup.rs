//! The card of a matchup: this unit, so many, against that one, from that arc, at that range.
use super::attack::{Attack, attack_card};
use super::notes::{follow_ups, notes};
use super::{Card, NameKind, Who};
use crate::report::saying::{mean, place, plural, sentence};
use crate::wire::matchup::{MatchupAnswer, MatchupRequest, RangeForm, SideForm};
use crate::wire::packs::PackAnswer;

/// Who is attacked: `the Heron Carriage`, `ten Dyke Hands`.
pub fn whom(names: &PackAnswer, request: &MatchupRequest) -> String {
    Who::of(names, &request.target).name
}

/// The card of a matchup.
pub fn card(names: &PackAnswer, request: &MatchupRequest, answer: &MatchupAnswer) -> Card {
    let (who, whom) = Who::of(names, &request.attacker).against(Who::of(names, &request.target));
    let whom = whom.name;
    let crew = names.unit(&request.target.unit).filter(|unit| unit.is_counted_whole());
    let crew_of = crew.map(|unit| names.counting(unit).words.1);
    let attack = Attack {
        who: &who,
        whom: &whom,
        chain: &answer.chain,
        written: &[],
        rules: &answer.rules,
        counts_through: false,
        crew_of,
    };
    let mut card = attack_card(&attack, &answer.odds);
    card.read_as = described(names, request);
    let spent = &answer.points;
    card.line("points", format!("{} spent, {} destroyed on average", spent.cost, mean(spent.removed)));
    notes(&mut card, answer);
    follow_ups(&mut card, names, request);
    card.in_words_of(&names.labels);
    card
}

/// A side as it was said, in digits: `3 Ram Barges`, `2 Rack Crews (6 models)`, `Heron Carriage`.
pub fn counted(names: &PackAnswer, side: &SideForm) -> String {
    let name = unit_name(names, &side.unit);
    match (side.models, names.unit(&side.unit)) {
        (Some(models), Some(unit)) => names.counting(unit).in_full(models),
        (Some(models), None) => format!("{models} {name}"),
        (None, _) => name,
    }
}

pub fn unit_name(names: &PackAnswer, id: &str) -> String {
    names.units.iter().find(|unit| unit.id == id).map_or_else(|| id.to_owned(), |unit| unit.name.clone())
}

/// What people call something of the pack, in lower case.
pub fn named(names: &PackAnswer, kind: NameKind, id: &str) -> String {
    let known = names.called(kind).find(|(known, ..)| *known == id);
    known.map_or_else(|| id.to_owned(), |(_, name, _)| name.to_lowercase())
}

/// An option of a unit as the book writes it, with its number where it is taken in numbers: `Rocket rack`, `2 Walrus rifles`.
pub fn option_name(names: &PackAnswer, unit: &str, said: &str) -> String {
    let (number, id) = match said.split_once(' ').and_then(|(number, id)| Some((number.parse::<u64>().ok()?, id))) {
        Some((number, id)) => (Some(number), id),
        None => (None, said),
    };
    let own = names.unit(unit);
    let own = own.and_then(|unit| unit.options.iter().find(|option| option.id == id));
    let name = own.map_or_else(|| sentence(&named(names, NameKind::Extra, id)), |own| own.name.clone());
    // What is taken in numbers is one where no number was said.
    match number.or(own.filter(|own| own.counted).map(|_| 1)) {
        None => name,
        Some(1) => format!("1 {name}"),
        Some(number) => format!("{number} {}", plural(&name)),
    }
}

/// A range band by its name, or a distance: `at 30"`.
pub fn range(names: &PackAnswer, range: &RangeForm) -> String {
    match range {
        RangeForm::Distance(distance) => format!("at {distance}\""),
        RangeForm::Band(band) => named(names, NameKind::Range, band),
    }
}

/// What was asked, in canonical words.
pub fn described(names: &PackAnswer, request: &MatchupRequest) -> String {
    let side = |side: &SideForm| {
        let mut words = counted(names, side);
        for option in side.options.iter().flatten() {
            words.push_str(&format!(" + {}", option_name(names, &side.unit, option)));
        }
        for near in side.near.iter().flatten() {
            words.push_str(&format!(" near the {}", unit_name(names, near)));
        }
        for weapon in side.weapons.iter().flatten() {
            let known = names.weapons.iter().find(|known| known.id == *weapon);
            words.push_str(&format!(", {} only", known.map_or(weapon, |known| &known.name)));
        }
        words
    };
    let mut parts = vec![format!("{} v {}", side(&request.attacker), side(&request.target))];
    let situation = request.situation.clone().unwrap_or_default();
    parts.extend(situation.arc.as_ref().map(|arc| named(names, NameKind::Arc, arc)));
    parts.extend(situation.range.as_ref().map(|band| range(names, band)));
    parts.extend(situation.cover.as_ref().map(|cover| place(&named(names, NameKind::Cover, cover))));
    match situation.moved {
        Some(true) => parts.push("moved".into()),
        Some(false) => parts.push("not moved".into()),
        None => {}
    }
    for flag in names.situation.iter().filter(|flag| flag.id != "moved") {
        if situation.flags.get(&flag.id).is_some_and(|set| *set == true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    for (points, words) in [(request.target.left, "left"), (request.target.hurt, "lost already")] {
        if let Some(points) = points {
            parts.push(format!("{points} {words}"));
        }
    }
    for (option, rules) in [("with", &request.with), ("without", &request.without)] {
        for rule in rules.iter().flatten() {
            parts.push(format!("{option} {}", named(names, NameKind::Rule, rule)));
        }
    }
    parts.join(", ")
}
