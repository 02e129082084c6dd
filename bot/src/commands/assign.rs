//! `/assign`: who attacks whom, so that most is destroyed.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::{assume, counted, named, side_form};
use crate::card::Card;
use crate::client::index::{NameKind, PackIndex};
use crate::draft::{Draft, set, unset};
use crate::link::Link;
use crate::saying::{count, listed, mean, place, unproven};
use crate::typing::Value;
use pipwright_shared::wire::assign::{AssignAnswer, AssignObjective, PlanRow};
use pipwright_shared::wire::packs::CountedForm;
use serde_json::{Value as Json, json};

/// The definition.
pub const ASSIGN: Command = Command {
    name: "assign",
    about: "Several of yours against several of theirs: who attacks whom, so that most is destroyed?",
    words: &[],
    options: &[
        Opt::new("units", Kind::Side, "Those who attack; each of several single models goes where it likes")
            .many()
            .required("Who attacks? Name your units, then v, then theirs."),
        Opt::new("target", Kind::Side, "Those who may be attacked")
            .many()
            .required("Against whom? Name the targets behind a v."),
        Opt::new(
            "wrecks",
            Kind::Flag(&["most wrecks", "most kills", "most targets"]),
            "As many targets as can be, whatever they cost",
        ),
        Opt::new("arc", Kind::Name(NameKind::Arc), "The side of the targets that is hit"),
        Opt::new("range", Kind::Name(NameKind::Range), "The range band"),
        Opt::new("cover", Kind::Name(NameKind::Cover), "What the targets stand behind"),
        Opt::new("situation", Kind::Name(NameKind::Situation), "Anything else about the table").many(),
    ],
    shares: &[],
    examples: &[],
    path: Some("/v1/assign"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

/// The most attackers and the most targets of one plan.
const MOST: (usize, usize) = (12, 8);

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let question = question(&asked)?;
    let answer: AssignAnswer = asked.api.ask("/v1/assign", &question).await?;
    Ok(card(asked.names()?, question, &answer))
}

fn question(asked: &Asked<'_>) -> Result<Json, Halt> {
    let names = asked.names()?;
    let mut question = asked.question();
    set(&mut question, "/pack", json!(names.id));
    for (option, field, most, what) in
        [("units", "attackers", MOST.0, "attackers"), ("target", "targets", MOST.1, "targets")]
    {
        let said = asked.read.all(option).filter_map(|arg| match &arg.value {
            Value::Side(side) => Some(side_form(side)),
            _ => None,
        });
        let sides: Vec<Json> = said.flat_map(|side| each_apart(names, side)).collect();
        if sides.len() > most {
            let sentence = format!("That is {} {what}; one plan takes up to {most}.", sides.len());
            return Err(Halt::Say(sentence));
        }
        if !sides.is_empty() {
            set(&mut question, &format!("/{field}"), Json::Array(sides));
            // What was said of single pairs, or must be destroyed, is of the units before.
            unset(&mut question, "pairs");
            unset(&mut question, "must");
        }
        asked.need(&question, option, &format!("/{field}"))?;
    }
    if asked.read.given("wrecks").is_some() {
        set(&mut question, "/objective", json!("destroyed"));
    }
    for option in ["arc", "range", "cover"] {
        asked.put(&mut question, option, &format!("/situation/{option}"));
    }
    for arg in asked.read.all("situation") {
        if let Value::Name(name) = &arg.value {
            set(&mut question, &format!("/situation/{}", name.id), json!(true));
        }
    }
    Ok(question)
}

/// More models than one unit may have are several units: each goes where it likes.
pub fn each_apart(names: &PackIndex, side: Json) -> Vec<Json> {
    let most = side.unit_id().and_then(|id| names.unit(id)).map_or(u64::MAX, |unit| u64::from(unit.most.max(1)));
    let Some(models) = side.models().filter(|models| *models > most) else { return vec![side] };
    let mut left = models;
    let mut all = Vec::new();
    // More than a plan takes are counted, and refused.
    while left > 0 && all.len() < 100 {
        let mut one = side.clone();
        set(&mut one, "/models", json!(left.min(most)));
        left -= left.min(most);
        all.push(one);
    }
    all
}

fn card(names: &PackIndex, question: Json, answer: &AssignAnswer) -> Card {
    let mut card = Card { headline: answer.sentence.clone(), ..Card::default() };
    card.text = rows(names, &question, &answer.plan);
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
            crate::saying::percent(unproven(target.destroyed.chance))
        );
        card.line(target.name.clone(), fate);
    }
    let tail = if answer.objective == AssignObjective::Destroyed { "destroyed targets" } else { "points" };
    for other in answer.others.iter().take(1) {
        card.notes.push(format!("The next best plan gives {} {tail}.", mean(other.expected)));
    }
    card.read_as = described(names, &question, answer);
    assume(&mut card, &answer.defaults);
    assume_sizes(&mut card, names, &question);
    card.in_words_of(&names.labels);
    card.link = Some(Link::new("/v1/assign", question)).filter(|link| link.to_string().len() <= LONGEST);
    card
}

/// What stands first among what was assumed: how many each side is that was named without a number.
fn assume_sizes(card: &mut Card, names: &PackIndex, question: &Json) {
    let sides = ["attackers", "targets"].into_iter().flat_map(|field| question.part(field).items());
    let mut sizes: Vec<String> = Vec::new();
    for side in sides.filter(|side| side.models().is_none()) {
        let unit = names.unit(side.unit_id().unwrap_or_default()).filter(|unit| unit.least < unit.most);
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
fn rows(names: &PackIndex, question: &Json, plan: &[PlanRow]) -> Vec<String> {
    // What is said behind the name, and of whom.
    let mut all: Vec<(Vec<usize>, &str)> = Vec::new();
    for (at, row) in plan.iter().enumerate() {
        let said = row.sentence.strip_prefix(row.name.as_str()).unwrap_or(&row.sentence);
        match all.iter_mut().find(|(_, known)| *known == said && row.sentence.starts_with(&row.name)) {
            Some((rows, _)) => rows.push(at),
            None => all.push((vec![at], said)),
        }
    }
    let sides = question.part("attackers").items();
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
fn times(names: &PackIndex, side: &Json, times: u64) -> String {
    let Some(unit) = names.unit(side.unit_id().unwrap_or_default()) else { return format!("These {times}") };
    let models = side.models().unwrap_or(unit.least.into());
    let counting = names.counting(unit);
    let one = counting.named(u32::try_from(models).unwrap_or(u32::MAX));
    match unit.counted {
        _ if one == counting.singular => format!("The {times} {}", counting.plural),
        CountedForm::Units => format!("The {times} {} of {models} {}", counting.plural, counting.words.1),
        _ => format!("The {times} units of {one}"),
    }
}

/// Addresses longer than this are cut somewhere.
const LONGEST: usize = 1_800;

fn described(names: &PackIndex, question: &Json, answer: &AssignAnswer) -> String {
    let all = |field: &str| {
        let each = question.part(field).items();
        let side = |side: &Json| {
            let mut words = counted(names, side);
            for option in side.options() {
                words.push_str(&format!(" + {}", named(names, NameKind::Extra, option)));
            }
            words
        };
        let mut all: Vec<(Json, u64)> = Vec::new();
        for side in each {
            match all.last_mut().filter(|(last, _)| last == side) {
                Some((_, times)) => *times += 1,
                None => all.push((side.clone(), 1)),
            }
        }
        let told = |(mut one, times): (Json, u64)| {
            if let Some(models) = one.models().filter(|_| times > 1) {
                set(&mut one, "/models", json!(models * times));
            }
            side(&one)
        };
        listed(&all.into_iter().map(told).collect::<Vec<_>>())
    };
    let mut parts = vec![format!("{} v {}", all("attackers"), all("targets"))];
    let situation = question.situation();
    for (key, kind) in [("arc", NameKind::Arc), ("range", NameKind::Range), ("cover", NameKind::Cover)] {
        if let Some(word) = situation.part(key).said() {
            let word = named(names, kind, word);
            parts.push(if key == "cover" { place(&word) } else { word });
        }
    }
    for flag in &names.situation {
        if *situation.part(&flag.id) == json!(true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    if answer.objective == AssignObjective::Destroyed {
        parts.push("most targets".to_owned());
    }
    parts.join(", ")
}
