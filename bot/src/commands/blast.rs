//! `/blast`: how many bases a round template catches, or whether it lands on a hull.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::{Trouble, typed};
use crate::draft::{Draft, set, unset};
use crate::link::Link;
use pipwright_shared::cards;
use pipwright_shared::wire::blast::BlastOutcome;
use pipwright_shared::wire::packs::FormationHead;
use serde_json::{Value as Json, json};

/// The definition.
pub const BLAST: Command = Command {
    name: "blast",
    about: "How many bases a round template catches, with its scatter",
    words: &["blast", "blasts", "template", "templates", "scatter", "scatters", "drift", "drifts"],
    options: &[
        Opt::new("template", Kind::Length, "The template's diameter, such as 3\" or 76mm")
            .cues(&["diameter", "marker", "round"])
            .required("How wide is the template? Say it like 3\" or 76mm.")
            .bare(),
        Opt::new("models", Kind::Number, "How many bases stand there")
            .cues(&["model", "base", "figure", "target", "people"])
            .bare(),
        Opt::new("scatter", Kind::Dice, "The dice of its drift, in inches, such as 2d6").cues(&["drift"]).bare(),
        Opt::new("reduce", Kind::Number, "Taken off the drift").cues(&["less", "minus", "skill"]),
        Opt::new("on_target", Kind::Chance, "The chance that it does not drift").cues(&["target", "direct"]),
        Opt::new("base", Kind::Length, "The diameter of each base").cues(&["bases"]),
        Opt::new("gap", Kind::Length, "From edge to edge of two bases").cues(&["apart", "spacing", "spread"]),
        Opt::new("files", Kind::Number, "How many bases stand in a rank").cues(&["file", "rank", "abreast"]),
        Opt::new("long", Kind::Length, "A hull's length, in place of bases").cues(&["length", "hull"]),
        Opt::new("wide", Kind::Length, "A hull's width").cues(&["width", "by"]),
        Opt::new(
            "counts",
            Kind::Choice(&[
                ("touched", &["touched", "touching", "partly"]),
                ("centre", &["centre", "centres", "center", "middle"]),
                ("whole", &["whole", "wholly", "completely", "entirely"]),
            ]),
            "When a base is caught: touched, its centre, or the whole of it",
        ),
        Opt::new(
            "no_scatter",
            Kind::Flag(&["no scatter", "without scatter", "no drift"]),
            "It lands where it is aimed",
        ),
    ],
    shares: &[],
    examples: &[
        "/blast 3\" template, 10 models, scatter 2d6",
        "/blast 5 inch on 12 models, 25mm bases, 1 inch apart",
        "/blast 3\" scatter 2d6 hull 130mm by 75mm",
    ],
    path: Some("/v1/blast"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

/// How bases stand where nothing is said of it and no pack says it: their size, their gap and how many to a rank.
const USUAL: FormationHead = FormationHead { base_mm: 25, gap_mm: 25, files: 5 };

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let mut question = question(&asked)?;
    let assumed = assume(&asked, &mut question);
    let answer: BlastOutcome = asked.api.ask("/v1/blast", &question).await?;
    let drift = question.scatter().dice().words();
    let card = cards::blast::card(&typed(&question)?, &answer, &assumed, &drift);
    let mut card = card.ok_or(Trouble::InvalidResponse)?;
    card.link = Some(Link::new("/v1/blast", question));
    Ok(card)
}

/// Fills in how the bases stand, as the chat's pack has it: what was not said, by its field.
fn assume(asked: &Asked<'_>, question: &mut Json) -> Vec<&'static str> {
    if question.hull().is_said() {
        return Vec::new();
    }
    let usual = asked.index.map_or(USUAL, |index| index.formation);
    let all = [("base_mm", usual.base_mm), ("gap_mm", usual.gap_mm), ("files", usual.files)];
    let mut open: Vec<&'static str> = Vec::new();
    for (field, usual) in all {
        if !question.formation().part(field).is_said() {
            set(question, &format!("/formation/{field}"), json!(usual));
            open.push(field);
        }
    }
    if question.counts().is_none() {
        open.push("counts");
    }
    open
}

fn question(asked: &Asked<'_>) -> Result<Json, Halt> {
    let mut question = asked.question();
    asked.put(&mut question, "template", "/template/diameter_mm");
    asked.need(&question, "template", "/template/diameter_mm")?;
    if asked.read.has("long") || asked.read.has("wide") {
        for name in ["formation", "counts"] {
            unset(&mut question, name);
        }
        asked.put(&mut question, "long", "/hull/length_mm");
        asked.put(&mut question, "wide", "/hull/width_mm");
        for (option, pointer) in [("long", "/hull/length_mm"), ("wide", "/hull/width_mm")] {
            if !question.at(pointer).is_said() {
                return Err(Halt::missing(option, format!("How {option} is the hull? Say it like 100mm.")));
            }
        }
    } else if !question.hull().is_said() || asked.read.has("models") {
        unset(&mut question, "hull");
        formation(asked, &mut question)?;
    }
    for (option, pointer) in
        [("scatter", "/scatter/dice"), ("reduce", "/scatter/reduce"), ("on_target", "/scatter/on_target")]
    {
        asked.put(&mut question, option, pointer);
    }
    if asked.read.has("no_scatter") {
        unset(&mut question, "scatter");
    } else if question.scatter().is_said() && !question.scatter().dice().is_said() {
        return Err(Halt::missing("scatter", "How far does it drift? Say the dice like 2d6."));
    }
    Ok(question)
}

fn formation(asked: &Asked<'_>, question: &mut Json) -> Result<(), Halt> {
    asked.put(question, "models", "/formation/models");
    if question.formation().models().is_none() {
        return Err(Halt::missing("models", "How many models stand there? Say it like 10 models."));
    }
    for (option, pointer) in
        [("base", "/formation/base_mm"), ("gap", "/formation/gap_mm"), ("files", "/formation/files")]
    {
        asked.put(question, option, pointer);
    }
    asked.put(question, "counts", "/counts");
    Ok(())
}
