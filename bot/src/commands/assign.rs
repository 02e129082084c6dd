//! `/assign`: who attacks whom, so that most is destroyed.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::side_form;
use crate::card::Card;
use crate::client::index::{NameKind, PackIndex};
use crate::client::typed;
use crate::draft::{Draft, set, unset};
use crate::link::Link;
use crate::typing::Value;
use pipwright_shared::cards;
use pipwright_shared::wire::assign::AssignAnswer;
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
    let mut card = cards::assign::card(asked.names()?, &typed(&question)?, &answer);
    card.link = Some(Link::new("/v1/assign", question)).filter(|link| link.to_string().len() <= LONGEST);
    Ok(card)
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

/// Addresses longer than this are cut somewhere.
const LONGEST: usize = 1_800;
