//! What a matchup's card says beside its numbers: what was assumed, which rules act, and how to ask on.
use super::{Card, Step};
use crate::report::saying::{ELSEWHERE, full_stop, one, place};
use crate::wire::matchup::{MatchupAnswer, MatchupRequest, RuleNoteForm, Stated, UnusedWeapon};
use crate::wire::packs::{PackAnswer, UnitAnswer};

/// What the card is to say beside the numbers: what was left open, what is not used, which rules did nothing.
pub(super) fn notes(card: &mut Card, answer: &MatchupAnswer) {
    assume(card, &answer.defaults);
    let mut aside: Vec<String> = Vec::new();
    // A rule that only keeps a weapon from being used is told with the weapon.
    let counts = |note: &&RuleNoteForm| {
        let silences = answer.unused_weapons.iter().any(|unused_weapons| unused_weapons.why.contains(&note.rule));
        !silences || answer.because.iter().any(|reason| reason.rule == note.id)
    };
    let acted: Vec<String> = answer.rules.acted.iter().filter(counts).map(|note| note.rule.clone()).collect();
    if !acted.is_empty() {
        card.notes.push(format!("Rules that apply: {}.", acted.join(", ")));
    }
    if !answer.unused_weapons.is_empty() {
        // What a rule says at length can be asked of the rule.
        let why = |unused_weapons: &UnusedWeapon| unused_weapons.why.split(": ").next().unwrap_or_default().to_owned();
        let unused_weapons = answer
            .unused_weapons
            .iter()
            .map(|unused_weapons| format!("{} ({})", unused_weapons.weapon, why(unused_weapons)));
        card.notes.push(format!("Not used: {}.", unused_weapons.collect::<Vec<_>>().join(", ")));
    }
    // What works for the other side anyway is no news.
    let idle: Vec<&RuleNoteForm> =
        answer.rules.did_not.iter().filter(|note| !note.why.starts_with(ELSEWHERE)).collect();
    let said = |note: &&RuleNoteForm| full_stop(&format!("{}: {}", note.rule, note.why));
    // In one line that says what all of them have in common, so that no reason reads as what the rule does.
    let brief: Vec<String> = idle.iter().take(NOTED).map(|note| format!("{} ({})", note.rule, note.why)).collect();
    if !brief.is_empty() {
        card.notes.push(format!("Rules that don't apply: {}.", brief.join(", ")));
    }
    aside.extend(idle.iter().skip(NOTED).map(said));
    if !aside.is_empty() {
        card.steps.push(Step { name: "what does not apply".into(), text: String::new(), because: aside });
    }
}

/// Says what was taken for granted behind what was read.
pub fn assume(card: &mut Card, defaults: &[Stated]) {
    let told = |text: &str| text.replacen(": ", " ", 1);
    let open: Vec<String> = (defaults.iter())
        .filter(|stated| stated.pointer != "/pack" && (!stated.text.contains(": 1 ") || stated.text.contains('(')))
        .map(|stated| assumed(&told(&stated.text), &stated.pointer))
        .collect();
    if !open.is_empty() {
        card.read_as.push_str(&format!(" \u{b7} assumed: {}", open.join(", ")));
    }
}

/// What was taken for granted, in a word or two: `near`, `not moved`.
fn assumed(text: &str, pointer: &str) -> String {
    match pointer {
        "/situation/moved" => "not moved".to_owned(),
        "/situation/range" | "/situation/arc" => text.split_once(' ').map_or(text, |(_, word)| word).to_owned(),
        "/situation/cover" => text.split_once(' ').map_or_else(|| text.to_owned(), |(_, word)| place(word)),
        _ => text.to_owned(),
    }
}

/// More notes than this are read by nobody; the others stand among the steps.
const NOTED: usize = 3;

pub(super) fn follow_ups(card: &mut Card, names: &PackAnswer, request: &MatchupRequest) {
    let situation = request.situation.clone().unwrap_or_default();
    let arc = situation.arc.as_deref().or_else(|| names.arcs.first().map(|arc| arc.id.as_str()));
    for other in names.arcs.iter().filter(|other| Some(other.id.as_str()) != arc).take(2) {
        card.follow_up(other.name.to_lowercase(), format!("what about from the {}", other.name.to_lowercase()));
    }
    let cover = situation.cover.as_deref().or_else(|| names.cover.first().map(|cover| cover.id.as_str()));
    if let Some(other) = names.cover.iter().find(|other| Some(other.id.as_str()) != cover) {
        card.follow_up(other.name.to_lowercase(), format!("what about {}", other.name.to_lowercase()));
    }
    let range = situation.range.is_some();
    if let Some(other) = names.ranges.iter().rev().find(|_| !range && names.ranges.len() > 1) {
        let band = other.name.to_lowercase();
        card.follow_up(band.clone(), format!("what about {band} range"));
    }
    if situation.moved.is_none() && names.situation.iter().any(|flag| flag.id == "moved") {
        card.follow_up("moved", "what if it moved");
    }
    card.follow_up("one more attacker", "what about one more");
    // Of two alike the other way round is the same.
    if request.attacker != request.target {
        card.follow_up("swap sides", "swap sides");
    }
}

/// A weapon that a whole unit puts down for an option that it has, which nobody expects who counts its models.
pub fn replaced(unit: &UnitAnswer, options: &[String]) -> Option<String> {
    if unit.models.now < 2 {
        return None;
    }
    let carries = |weapon: &String| unit.weapons.iter().any(|own| own.name == *weapon);
    unit.options.iter().find_map(|option| {
        let taken = option.per == "unit" && options.contains(&option.id);
        let gone = option.replaces.iter().find(|weapon| taken && !carries(weapon))?;
        Some(format!("With the {}, nobody in the unit carries {}.", option.name, one(gone)))
    })
}
