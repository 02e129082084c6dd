//! The card of a plan: who attacks whom, so that most is destroyed.
use super::matchup::{counted, named};
use super::notes::assume;
use super::{Card, NameKind};
use crate::report::saying::{count, listed, mean, percent, place, unproven};
use crate::wire::assign::{AssignAnswer, AssignObjective, AssignRequest, PlanRow};
use crate::wire::matchup::{RangeForm, SideForm};
use crate::wire::packs::{CountedForm, PackAnswer};

/// The card of a plan: who attacks whom.
pub fn card(names: &PackAnswer, request: &AssignRequest, answer: &AssignAnswer) -> Card {
    let mut card = Card { headline: answer.sentence.clone(), ..Card::default() };
    card.text = rows(names, &request.attackers, &answer.plan);
    for target in &answer.targets {
        if target.attackers.is_empty() {
            card.line(target.name.clone(), "nobody is sent there");
            continue;
        }
        let (lost, what) = match (&target.models, &target.structure) {
            (Some(models), _) => (models.expected, "models"),
            (None, structure) => (structure.as_ref().map_or(0.0, |lost| lost.expected), "structure"),
        };
        let what = names.label(what);
        let fate = format!(
            "{} {what} on average, {} of {}, {} {}",
            mean(lost),
            mean(target.points.removed),
            count(target.points.cost, "point", "points"),
            if target.models.is_some() { "all gone" } else { "wrecked" },
            percent(unproven(target.destroyed.chance))
        );
        card.line(target.name.clone(), fate);
    }
    let tail = if answer.objective == AssignObjective::Destroyed { "destroyed targets" } else { "points" };
    for other in answer.others.iter().take(1) {
        card.notes.push(format!("The next best plan gives {} {tail}.", mean(other.expected)));
    }
    card.read_as = described(names, request, answer);
    assume(&mut card, &answer.defaults);
    assume_sizes(&mut card, names, request);
    card.in_words_of(&names.labels);
    card
}

/// What stands first among what was assumed: how many each side is that was named without a number.
fn assume_sizes(card: &mut Card, names: &PackAnswer, request: &AssignRequest) {
    let sides = request.attackers.iter().chain(&request.targets);
    let mut sizes: Vec<String> = Vec::new();
    for side in sides.filter(|side| side.models.is_none()) {
        let unit = names.unit(&side.unit).filter(|unit| unit.least < unit.most);
        let Some(unit) = unit else { continue };
        let size = names.counting(unit).digits(unit.least);
        if !sizes.contains(&size) {
            sizes.push(size);
        }
    }
    const ASSUMED: &str = " \u{b7} assumed: ";
    if sizes.is_empty() {
        return;
    }
    let sizes = sizes.join(", ");
    card.read_as = match card.read_as.split_once(ASSUMED) {
        Some((read, rest)) => format!("{read}{ASSUMED}{sizes}, {rest}"),
        None => format!("{}{ASSUMED}{sizes}", card.read_as),
    };
}

/// A sentence for each attacker; those that are alike and of whom the same is said share one: `The 3 Ram Barges on …`.
fn rows(names: &PackAnswer, sides: &[SideForm], plan: &[PlanRow]) -> Vec<String> {
    // What is said behind the name, and of whom.
    let mut all: Vec<(Vec<usize>, &str)> = Vec::new();
    for (at, row) in plan.iter().enumerate() {
        let said = row.sentence.strip_prefix(row.name.as_str()).unwrap_or(&row.sentence);
        match all.iter_mut().find(|(_, known)| *known == said && row.sentence.starts_with(&row.name)) {
            Some((rows, _)) => rows.push(at),
            None => all.push((vec![at], said)),
        }
    }
    let written = |(rows, said): (Vec<usize>, &str)| {
        if let [one] = rows.as_slice() {
            return plan[*one].sentence.clone();
        }
        let alike = |at: &usize| sides.get(*at).is_some_and(|side| Some(side) == sides.get(rows[0]));
        let everywhere = (0..sides.len()).filter(alike).count();
        let who = match rows.iter().all(alike) && rows.len() == everywhere {
            true => times(names, &sides[rows[0]], rows.len() as u64),
            false => listed(&rows.iter().map(|at| plan[*at].name.clone()).collect::<Vec<_>>()),
        };
        let said = said
            .replacen(" is sent", " are sent", 1)
            .replace(": its ", ": their ")
            .replace("none of its ", "none of their ")
            .replace("; without it,", "; without one of them,")
            .replace("; without them,", "; without one of these units,")
            .replace("alone it would", "each alone would")
            .replace("alone they would", "each alone would")
            .replace(": it has", ": they have")
            .replace("it can ", "they can ")
            .replace("it helps", "they help")
            .replace("it adds", "they add");
        format!("{who}{said}")
    };
    all.into_iter().map(written).collect()
}

/// So many units alike: `The 3 Ram Barges`, `The 2 units of 10 Quay Rifles`.
fn times(names: &PackAnswer, side: &SideForm, times: u64) -> String {
    let Some(unit) = names.unit(&side.unit) else { return format!("These {times}") };
    let models = side.models.unwrap_or(unit.least);
    let counting = names.counting(unit);
    let one = counting.named(models);
    match unit.counted {
        _ if one == counting.singular => format!("The {times} {}", counting.plural),
        CountedForm::Units => format!("The {times} {} of {models} {}", counting.plural, counting.words.1),
        _ => format!("The {times} units of {one}"),
    }
}

/// What was asked, in canonical words.
fn described(names: &PackAnswer, request: &AssignRequest, answer: &AssignAnswer) -> String {
    let all = |each: &[SideForm]| {
        let side = |side: &SideForm| {
            let mut words = counted(names, side);
            for option in side.options.iter().flatten() {
                words.push_str(&format!(" + {}", named(names, NameKind::Extra, option)));
            }
            words
        };
        let mut all: Vec<(SideForm, u32)> = Vec::new();
        for side in each {
            match all.last_mut().filter(|(last, _)| *last == *side) {
                Some((_, times)) => *times += 1,
                None => all.push((side.clone(), 1)),
            }
        }
        let told = |(one, times): (SideForm, u32)| {
            let models = one.models.map(|models| models.saturating_mul(times));
            side(&SideForm { models, ..one })
        };
        listed(&all.into_iter().map(told).collect::<Vec<_>>())
    };
    let mut parts = vec![format!("{} v {}", all(&request.attackers), all(&request.targets))];
    let situation = request.situation.clone().unwrap_or_default();
    parts.extend(situation.arc.as_ref().map(|arc| named(names, NameKind::Arc, arc)));
    parts.extend(situation.range.as_ref().map(|range| match range {
        RangeForm::Band(band) => named(names, NameKind::Range, band),
        RangeForm::Distance(distance) => distance.to_string(),
    }));
    parts.extend(situation.cover.as_ref().map(|cover| place(&named(names, NameKind::Cover, cover))));
    for flag in &names.situation {
        if situation.flags.get(&flag.id).is_some_and(|set| *set == true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    if answer.objective == AssignObjective::Destroyed {
        parts.push("most targets".to_owned());
    }
    parts.join(", ")
}
