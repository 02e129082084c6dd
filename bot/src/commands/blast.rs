//! `/blast`: how many bases a round template catches, or whether it lands on a hull.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::{Card, Chart, Step};
use crate::client::Trouble;
use crate::draft::{Draft, set, unset};
use crate::link::Link;
use crate::saying::{apart, count, length, mean, often, percent};
use pipwright_shared::wire::blast::{BlastOutcome, DistanceRow};
use pipwright_shared::wire::packs::FormationHead;
use pipwright_shared::wire::summary::{Chance, Summary};
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
    Ok(card(question, &answer, &assumed).ok_or(Trouble::InvalidResponse)?)
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

fn card(question: Json, answer: &BlastOutcome, assumed: &[&str]) -> Option<Card> {
    let mut card = Card { read_as: described(&question, assumed), ..Card::default() };
    match &answer.covered {
        Some(covered) => bases(&mut card, &question, covered),
        None => {
            let chance = |of: &Option<Chance>| of.as_ref().map(|of| of.chance);
            let (touched, inside) = chance(&answer.touched).zip(chance(&answer.centre_inside))?;
            card.headline = format!(
                "The template touches the hull {}; its middle is over the hull {} of the time.",
                often(touched),
                apart(&[touched, inside])[1]
            );
            card.line("touches it", percent(touched));
            card.line("middle over it", percent(inside));
        }
    }
    let hull = answer.covered.is_none();
    // Where it stays, the headline says all.
    let drifts = answer.distances.len() > 1 || answer.distances.iter().any(|row| row.distance_mm > 0.0);
    card.steps.extend(answer.distances.iter().filter(|_| drifts).map(|row| step(row, hull)));
    if question.scatter().is_said() {
        card.follow_up("no drift", "what about no scatter");
    }
    if let Some(mm) = question.template().diameter_mm().as_f64() {
        card.follow_up(
            "a wider template",
            format!("what about template {}", length(mm + if length(mm).ends_with('"') { 50.8 } else { 50.0 })),
        );
    }
    card.link = Some(Link::new("/v1/blast", question));
    Some(card)
}

fn bases(card: &mut Card, question: &Json, covered: &Summary) {
    let models = question.formation().models().unwrap_or_default();
    let most = covered.highest();
    let all = count(models, "model", "models");
    if let [only] = covered.distribution.as_slice() {
        card.headline = if models == 1 && only.value == 1 {
            "Laid on the middle of the model, the template catches it.".to_owned()
        } else {
            format!("Laid on the middle of one model, the template catches {} of {all}.", only.value)
        };
        return;
    }
    let least = covered.lowest();
    card.headline = if least >= 1 {
        format!(
            "Aimed at the middle of one model, the template catches {} of {all} on average, and at least {least}.",
            mean(covered.expected)
        )
    } else {
        format!(
            "Aimed at the middle of one model, the template catches {} of {all} on average; at least one {}.",
            mean(covered.expected),
            often(covered.at_least(1))
        )
    };
    let few = covered.median();
    if few > 1 {
        card.line(format!("{few} or more"), percent(covered.at_least(few)));
    }
    card.line("none", percent(covered.distribution.iter().find(|row| row.value == 0).map_or(0.0, |row| row.chance)));
    card.line(format!("{most}, the most it can"), percent(covered.at_least(most)));
    card.chart = Some(Chart::of("bases caught", covered, |caught| caught > 0));
}

fn step(row: &DistanceRow, hull: bool) -> Step {
    let name = if row.distance_mm > 0.0 { format!("drifts {}", length(row.distance_mm)) } else { "stays".into() };
    let then = if hull {
        format!("touches it {}", percent(row.expected))
    } else {
        format!("{} caught on average", mean(row.expected))
    };
    Step { name, text: format!("{}, then {then}", percent(row.chance)), ..Step::default() }
}

/// All that was read, in canonical words.
fn described(question: &Json, assumed: &[&str]) -> String {
    let mut open: Vec<String> = Vec::new();
    let mm = |part: &Json| part.as_f64().map(length).unwrap_or_default();
    let mut parts = vec![format!("template {}", mm(question.template().diameter_mm()))];
    if question.hull().is_said() {
        parts.push(format!(
            "hull {} long and {} wide",
            mm(question.hull().length_mm()),
            mm(question.hull().width_mm())
        ));
    } else {
        let formation = question.formation();
        parts.push(count(formation.models().unwrap_or_default(), "model", "models"));
        let counted = match question.counts() {
            Some("centre") => "the centre is covered",
            Some("whole") => "wholly covered",
            _ => "touched",
        };
        let told = [
            ("base_mm", format!("{} bases", mm(formation.part("base_mm")))),
            ("gap_mm", format!("{} apart", mm(formation.part("gap_mm")))),
            ("files", format!("ranks of {}", formation.files())),
            ("counts", format!("counted where {counted}")),
        ];
        for (field, words) in told {
            if assumed.contains(&field) { open.push(words) } else { parts.push(words) }
        }
        open.push("aimed at the middle of the model where it catches most".to_owned());
    }
    if let Some(dice) = question.scatter().dice().said() {
        parts.push(format!("drift {}", dice.words()));
        if let Some(less) = question.scatter().reduce().said() {
            parts.push(format!("less {less}"));
        }
        if let Some(chance) = question.scatter().on_target().as_f64() {
            parts.push(format!("on target {}", percent(chance)));
        }
    }
    let said = parts.join(", ");
    if open.is_empty() { said } else { format!("{said} \u{b7} assumed: {}", open.join(", ")) }
}
