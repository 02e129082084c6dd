//! `/needed`: how many attackers, or tries, for a wanted chance.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::{check, matchup, named, odds};
use crate::card::{Card, Step};
use crate::client::Trouble;
use crate::draft::{Draft, set, unset};
use crate::link::Link;
use crate::saying::{apart, count, mean, sentence, unproven, verb};
use pipwright_shared::wire::needed::{NeededAnswer, NeededRow};
use serde_json::{Value as Json, json};

/// The definition.
pub const NEEDED: Command = Command {
    name: "needed",
    about: "How many attackers, tries or points for the chance you want",
    words: &["needed", "enough", "many", "to kill", "to wreck", "to destroy", "wrecked", "destroyed"],
    options: &[
        Opt::new("chance", Kind::Chance, "How sure you want to be, such as 90%").cues(&["sure", "certain"]).bare(),
        Opt::new("lost", Kind::Number, "How much must be lost, if not all of it").cues(&["lose", "loses", "remove"]),
        Opt::new("about", Kind::About(&["matchup", "check", "odds"]), "The question, as you would ask it by itself")
            .required("How many of what? Say who attacks whom and a chance, or 90% check 6+."),
    ],
    shares: &[],
    examples: &["/needed 90% check 6+"],
    path: Some("/v1/needed"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

/// Nobody fields more of a unit than this, and the search costs by its largest number.
const FIELDED: u64 = 50;

/// How sure people want to be where they do not say.
const USUAL: f64 = 0.9;

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let said = asked.before.is_some() || !asked.read.args.is_empty();
    let Some(about) = asked.about().filter(|_| said) else { return Err(asked.lacks("about", Vec::new())) };
    let inner = match about.key {
        "matchup" => matchup::question(&about.asked)?,
        "check" => match named::one(&about.asked).await? {
            Some(request) => check::named_question(&about.asked, request),
            None => check::question(&about.asked)?,
        },
        _ => odds::question(&about.asked)?,
    };
    let mut question = json!({});
    let before = asked.question();
    let chance = asked.read.given("chance").map(crate::typing::Value::json);
    let chance = chance.or_else(|| before.want().chance().said().or(before.want().destroyed().said()).cloned());
    let usual = chance.is_none();
    let chance = chance.unwrap_or(json!(USUAL));
    let lost = asked.read.number("lost");
    let want = match (about.key, lost) {
        ("check", _) => json!({"passes": about.asked.read.number("want").unwrap_or(1), "chance": chance}),
        (_, Some(lost)) if inner.target().structure().is_some() => json!({"structure": lost, "chance": chance}),
        (_, Some(lost)) => json!({"models": lost, "chance": chance}),
        _ => json!({"destroyed": chance}),
    };
    let said = asked.read.has("chance") || lost.is_some() || about.asked.read.has("want");
    let kept = before.want().said().filter(|_| !said).cloned();
    let usual = usual && kept.is_none();
    set(&mut question, &format!("/{}", about.key), inner);
    set(&mut question, "/want", kept.unwrap_or(want));
    if about.key != "check" {
        set(&mut question, "/most", json!(FIELDED));
    }
    let answer: NeededAnswer = asked.api.ask("/v1/needed", &question).await?;
    let mut card = card(&about.asked, about.key, &question, &answer)?;
    matchup::assume(&mut card, answer.defaults.as_deref().unwrap_or_default());
    if usual {
        let behind = if card.read_as.contains(" \u{b7} assumed: ") { ", " } else { " \u{b7} assumed: " };
        card.read_as.push_str(&format!("{behind}{} sure", sure(USUAL)));
    }
    if let Some(models) = question.matchup().attacker().models() {
        card.notes.push(format!("How many attack is what is looked for: the {models} was not used."));
    }
    if about.key == "matchup" {
        card.in_words_of(&about.asked.names()?.labels);
    }
    card.link = Some(Link::new("/v1/needed", question));
    Ok(card)
}

/// How so many of what is looked for are said: `11 Ram Barges`, `one try`.
fn counted(asked: &Asked<'_>, key: &str, inner: &Json, number: u64) -> Result<(String, bool), Halt> {
    let plain = |one: &str, many: &str| (count(number, one, many), number != 1);
    Ok(match key {
        "matchup" => {
            let names = asked.names()?;
            let models = u32::try_from(number).unwrap_or(u32::MAX);
            match names.unit(inner.attacker().unit_id().unwrap_or_default()) {
                Some(unit) => (names.counting(unit).in_full(models), names.counting(unit).is_several(models)),
                None => plain("attacker", "attackers"),
            }
        }
        "check" => plain("try", "tries"),
        _ => plain("attacker", "attackers"),
    })
}

/// What is wanted, behind a number of attackers or tries: `wreck the Heron Carriage`.
fn does(asked: &Asked<'_>, key: &str, question: &Json, many: bool) -> Result<String, Halt> {
    let want = question.want();
    let inner = question.part(key);
    let whom = match key {
        "matchup" => matchup::whom(asked.names()?, inner),
        _ => "the target".to_owned(),
    };
    Ok(match (key, want.passes(), want.models(), want.structure()) {
        ("check", passes, ..) => {
            let times = match passes.unwrap_or(1) {
                1 => "once".to_owned(),
                2 => "twice".to_owned(),
                times => format!("{times} times"),
            };
            format!("at {} {} at least {times}", check::described(inner)?, verb("pass", many))
        }
        (_, _, Some(models), _) => {
            format!("{} out at least {models} of {whom}", verb("take", many))
        }
        (_, _, _, Some(points)) => {
            format!("{} at least {points} structure off {whom}", verb("knock", many))
        }
        _ if key == "matchup" && armoured(asked, inner) => format!("{} {whom}", verb("wreck", many)),
        _ => format!("{} out {whom}", verb("wipe", many)),
    })
}

/// Whether the target loses structure.
fn armoured(asked: &Asked<'_>, inner: &Json) -> bool {
    let unit = inner.target().unit_id().unwrap_or_default();
    asked.index.and_then(|names| names.unit(unit)).is_some_and(|unit| unit.armoured)
}

fn card(asked: &Asked<'_>, key: &str, question: &Json, answer: &NeededAnswer) -> Result<Card, Halt> {
    let inner = question.part(key);
    let want = question.want();
    let wanted = want.chance().as_f64().or(want.destroyed().as_f64()).unwrap_or(USUAL);
    let said = |number: u64| counted(asked, key, inner, number);
    let unit = match key {
        "matchup" => asked.names()?.unit(inner.attacker().unit_id().unwrap_or_default()),
        _ => None,
    };
    // What one unit has at least; a crew has its models in any case.
    let (least, crew) = unit.map_or((1, false), |unit| (u64::from(unit.least.max(1)), unit.is_counted_whole()));
    let headline = match answer.number() {
        Some(number) => {
            // Fewer than a unit has at its smallest are nobody's choice.
            let below = answer.below.as_ref().filter(|below| below.number() >= least.max(1));
            let chances = answer.chance.into_iter().chain(below.map(|below| below.chance));
            let chances = apart(&chances.map(unproven).collect::<Vec<_>>());
            let fewer = match below {
                Some(below) => format!("; {} only {}", said(below.number())?.0, chances[1]),
                None => String::new(),
            };
            let (who, many) = said(number)?;
            let smallest = match number {
                number if number == least && least > 1 && !crew => " That is the smallest unit.".to_owned(),
                number if number < least && !crew => {
                    let cost = answer
                        .points
                        .map_or_else(String::new, |points| format!(", for {}", count(points, "point", "points")));
                    format!(" The smallest unit has {least}{cost}.")
                }
                _ => String::new(),
            };
            let does = does(asked, key, question, many)?;
            format!("{} {does} {} of the time{fewer}.{smallest}", sentence(&who), chances[0])
        }
        None => {
            let limit = answer.limit.as_ref().ok_or(Trouble::InvalidResponse)?;
            let (who, many) = said(limit.number())?;
            if answer.harmless == Some(true) && key == "matchup" {
                let names = asked.names()?;
                let attackers = names.unit(inner.attacker().unit_id().unwrap_or_default());
                let attackers = attackers.map_or_else(|| who.clone(), |unit| unit.plural.clone());
                let (attackers, whom) = (sentence(&attackers), matchup::whom(names, inner));
                format!("{attackers} can't hurt {whom}, however many there are.")
            } else if limit.chance <= 0.0 && key == "check" {
                format!("{} at {} can't pass at all.", sentence(&who), check::described(inner)?)
            } else if limit.chance <= 0.0 {
                format!("{} can't {}; more were not tried.", sentence(&who), does(asked, key, question, true)?)
            } else {
                let does = does(asked, key, question, many)?;
                let chances = apart(&[limit.chance, wanted]);
                format!(
                    "{} {does} only {} of the time, not {}; more were not tried.",
                    sentence(&who),
                    chances[0],
                    sure(wanted)
                )
            }
        }
    };
    let mut card = Card { headline, ..Card::default() };
    let few = answer.number().is_some_and(|number| number < least);
    if let Some(points) = answer.points {
        card.line("points", if few { format!("{points} for {least}") } else { points.to_string() });
    }
    let largest = answer.number().or(answer.limit.as_ref().map(NeededRow::number)).unwrap_or(0);
    if let Some(most) = answer.list_most.map(u64::from).filter(|most| largest > *most) {
        card.headline.push_str(&format!(" A list may hold no more than {}.", said(most)?.0));
    }
    let chances = apart(&answer.table.iter().map(|row| unproven(row.chance)).collect::<Vec<_>>());
    let mut rows: Vec<(String, String)> = Vec::new();
    // Fewer than one such unit has are nobody's choice, unless fewer are enough.
    let from = if few && !crew { 1 } else { least };
    for (row, chance) in answer.table.iter().zip(chances).filter(|(row, _)| row.number() >= from) {
        rows.push((said(row.number())?.0, chance));
    }
    if few && !crew {
        card.notes.push(format!("Fewer than {least} are what is left of a unit."));
    }
    let rest = rows.split_off(rows.len().min(MOST));
    card.lines.extend(rows.into_iter().map(|(label, value)| crate::card::Line { label, value }));
    card.steps.extend(rest.into_iter().map(|(name, text)| Step { name, text, ..Step::default() }));
    card.read_as = match key {
        "matchup" => matchup::described(asked.names()?, &without_number(inner))?,
        "check" => check::described(inner)?,
        _ => odds::described(&odds::who(inner), inner, true)?,
    };
    for sure in [0.5, 0.75, 0.95].into_iter().filter(|sure| (sure - wanted).abs() > 0.01).take(2) {
        card.follow_up(self::sure(sure), format!("what about {}", self::sure(sure)));
    }
    Ok(card)
}

/// A matchup whose number of attackers is what is looked for.
fn without_number(inner: &Json) -> Json {
    let mut inner = inner.clone();
    unset(&mut inner, "/attacker/models");
    inner
}

/// `90%`: how sure somebody wants to be is a round number.
pub(super) fn sure(chance: f64) -> String {
    format!("{}%", mean(chance * 100.0))
}

/// Lines of the table that a phone shows: the number and three on either side.
const MOST: usize = 7;
