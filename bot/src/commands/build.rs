//! `/build`: the best legal lists for so many points.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::side_form;
use crate::card::Card;
use crate::client::index::PackIndex;
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::saying::{count, full_stop, listed};
use crate::typing::Value;
use pipwright_shared::wire::build::BuildAnswer;
use pipwright_shared::wire::list_points::ListAnswer;
use pipwright_shared::wire::packs::UnitHead;
use serde_json::{Value as Json, json};

/// The definition.
pub const BUILD: Command = Command {
    name: "build",
    about: "The best legal lists for your points; where another could be better, by how much at most",
    words: &[],
    options: &[
        Opt::new("limit", Kind::Number, "The points limit").cues(&["limit", "point", "max"]).bare(),
        Opt::new("add", Kind::Number, "So many points more than the list before it").cues(&["add"]),
        Opt::new("target", Kind::Side, "Whom it is to face, in place of the pack's reference board").many(),
        Opt::new(
            "total",
            Kind::Flag(&["in all", "overall", "total"]),
            "The most in all, in place of the most against whichever it is weaker against",
        ),
    ],
    shares: &[],
    examples: &[],
    path: Some("/v1/build"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    let mut question = asked.question();
    set(&mut question, "/pack", json!(names.id));
    if let Some(limit) = asked.read.number("limit") {
        set(&mut question, "/limit", json!(limit));
    }
    if asked.read.given("total").is_some() {
        set(&mut question, "/objective", json!("total"));
    }
    let against = asked.read.all("target").filter_map(|arg| match &arg.value {
        Value::Side(side) => Some(line(names, &side_form(side))),
        _ => None,
    });
    let against: Vec<Json> = against.collect();
    if !against.is_empty() {
        set(&mut question, "/against", Json::Array(against));
    }
    // How many lines of the plans were there before: titles and limits among the pasted ones are none.
    let mut kept = 0;
    if question.keep().is_array() {
        let list = json!({"pack": names.id, "lines": question.keep()});
        let list: ListAnswer = asked.api.ask("/v1/list-points", &list).await?;
        kept = list.lines.len();
        if let Some(more) = asked.read.number("add") {
            set(&mut question, "/limit", json!(list.total.saturating_add(more)));
        }
    } else if asked.read.has("add") {
        return Err(Halt::Say("Add to which list? Paste it with /points first.".into()));
    }
    // Units that were named in a sentence are part of the list that was asked for; to a pasted list something is added.
    if !asked.read.has("add") && are_names(names, question.keep()) {
        kept = 0;
    }
    let answer: BuildAnswer = asked.api.ask("/v1/build", &question).await?;
    Ok(card(names, question, &answer, kept))
}

/// Whether these lines are names of the pack, or lines taken apart, and not as somebody wrote them.
fn are_names(names: &PackIndex, lines: &Json) -> bool {
    let named = |line: &Json| line.as_str().is_none_or(|text| names.unit_called(text).is_some());
    lines.as_array().is_some_and(|lines| lines.iter().all(named))
}

/// A line of a list: more models than one unit may have are several units.
fn line(names: &PackIndex, side: &Json) -> Json {
    let mut line = json!({"unit": side.unit()});
    if let Some(options) = side.part("options").said() {
        set(&mut line, "/options", options.clone());
    }
    let most = side.unit_id().and_then(|id| names.unit(id)).map_or(u64::MAX, |unit| u64::from(unit.most.max(1)));
    match side.models() {
        Some(models) if models > most && models % most == 0 => {
            set(&mut line, "/models", json!(most));
            set(&mut line, "/count", json!(models / most));
        }
        Some(models) => set(&mut line, "/models", json!(models)),
        None => {}
    }
    line
}

/// What a list is to have and to do without: `, with Heron Carriage, without Mortar Crew,`.
fn bounds(names: &PackIndex, question: &Json) -> String {
    let said = |key: &str| -> Vec<String> {
        let all = question.part(key).texts();
        all.map(|name| names.unit(name).map_or(name, |unit| &unit.name).to_owned()).collect()
    };
    let (kept, excluded) = (said("keep"), said("exclude"));
    let mut text = match question.keep().as_array() {
        Some(lines) if kept.len() == lines.len() && kept.len() <= 3 => format!(", with {}", listed(&kept)),
        Some(lines) => format!(", with the {} that there are", count(lines.len() as u64, "line", "lines")),
        None => String::new(),
    };
    if !excluded.is_empty() {
        text.push_str(&format!(", without {}", without(names, question).unwrap_or_else(|| listed(&excluded))));
    }
    if !text.is_empty() {
        text.push(',');
    }
    text
}

/// Of several units that are all of a role, the role: `Haulers (Tread Hauler, Whaleback)`.
fn without(names: &PackIndex, question: &Json) -> Option<String> {
    let ids: Vec<&str> = question.part("exclude").texts().collect();
    let units: Vec<&UnitHead> = ids.iter().filter_map(|id| names.unit(id)).collect();
    let role = &units.first()?.role;
    let all = names.units.iter().filter(|unit| unit.role == *role).count();
    let whole = units.len() > 1 && units.len() == ids.len() && units.len() == all;
    let listed: Vec<&str> = units.iter().map(|unit| unit.name.as_str()).collect();
    (whole && units.iter().all(|unit| unit.role == *role)).then(|| format!("{role} ({})", listed.join(", ")))
}

fn card(names: &PackIndex, question: Json, answer: &BuildAnswer, kept: usize) -> Card {
    let mut card = Card::default();
    let points = count(answer.limit.into(), "point", "points");
    // What was there already is not bought.
    let bought = |text: &str| text.lines().skip(kept).collect::<Vec<_>>().join(", ");
    card.headline = match answer.plans.first().map(|best| bought(&best.text)) {
        Some(best) if best.is_empty() => format!("{points}: nothing more can be added."),
        Some(best) if kept > 0 => format!("Up to {points}, add {best}."),
        Some(best) => format!("{} of {points}: {best}.", answer.plans[0].total),
        None => format!("No list of {points} is legal."),
    };
    // What was looked through is not every list there is.
    if let Some(best) = answer.plans.first() {
        let best = if best.proven { "The best of all lists looked at" } else { "The best list that was found" };
        card.text.push(format!("{best}: each unit at up to four sizes, with up to two options at a time."));
    }
    for problem in &answer.problems {
        card.text.push(format!("- {}", full_stop(&problem.text)));
    }
    if let Some(problem) = answer.problems.first() {
        card.text.push(full_stop(&crate::saying::sentence(&problem.mend)));
    }
    for (at, plan) in answer.plans.iter().enumerate() {
        // The best one is the headline.
        if at > 0 {
            let all = if kept > 0 { format!("+ {}", bought(&plan.text)) } else { bought(&plan.text) };
            card.line(format!("list {}, {}", at + 1, count(plan.total, "point", "points")), all);
        }
        card.text.push(if at == 0 { plan.sentence.clone() } else { format!("List {}: {}", at + 1, plan.sentence) });
    }
    let targets: Vec<String> = answer.targets.iter().map(|target| target.name.clone()).collect();
    let board = if question.against().is_null() { "the reference board: " } else { "" };
    card.read_as = format!("{points}{} against {board}{}", bounds(names, &question), listed(&targets));
    card.link = Some(Link::new("/v1/build", question)).filter(|link| link.to_string().len() <= LONGEST);
    card
}

/// Addresses longer than this are cut somewhere.
const LONGEST: usize = 1_800;
