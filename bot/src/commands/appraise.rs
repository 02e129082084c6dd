//! `/appraise`: what a unit is worth, on one card; the whole page stands behind its link.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::{counted, unit_name};
use crate::card::{Bar, Card, Chart};
use crate::client::Api;
use crate::client::index::PackIndex;
use crate::draft::{Draft, set, take, unset};
use crate::link::Link;
use crate::saying::{another_unit, count, of_points, per_point, percent, points, the_unit, unproven};
use crate::typing::{Side, Value};
use pipwright_shared::wire::appraisal::{AppraisalAnswer, ApproachRow};
use pipwright_shared::wire::duel::DuelOutcome;
use serde_json::{Value as Json, json};

mod worth;

/// The definition.
pub const APPRAISE: Command = Command {
    name: "appraise",
    about: "What a unit is worth: what it costs, what it does, how long it lives, what matters most",
    words: &["appraise", "appraisal", "appraised", "worth", "value", "review", "rate"],
    options: &[
        Opt::new("unit", Kind::Side, "The unit, with what it carries").required("Which unit? Name one of the pack."),
        Opt::new("against", Kind::Side, "A unit to hold it against, in place of the pack's board"),
        Opt::new("turns", Kind::Number, "Turns of a game").cues(&["rounds"]),
    ],
    shares: &[],
    examples: &[],
    path: Some("/v1/appraisal"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    let mut question = asked.question();
    if !question.pack().is_said() {
        set(&mut question, "/pack", json!(names.id));
    }
    if let Some(Value::Side(side)) = asked.read.given("unit") {
        let pack = take(&mut question, "/pack");
        question = json!({ "pack": pack });
        put(&mut question, "", side);
    }
    if let Some(Value::Side(side)) = asked.read.given("against") {
        let mut against = json!({});
        put(&mut against, "", side);
        set(&mut question, "/against", json!([against]));
    }
    asked.put(&mut question, "turns", "/turns");
    if !question.unit().is_said() {
        return Err(asked.lacks("unit", names.units.iter().take(5).map(|unit| unit.name.clone()).collect()));
    }
    if let Some(inline) = asked.inline {
        inline.put(&mut question);
    }
    let answer: AppraisalAnswer = asked.api.ask("/v1/appraisal", &question).await?;
    let bare = without_options(asked.api, &question).await;
    let safe = safe_turns(asked.api, &answer).await;
    Ok(card(names, question, &Answers { whole: &answer, bare: bare.as_ref(), safe }))
}

/// What the service says.
struct Answers<'a> {
    /// Of the unit as it was asked for.
    whole: &'a AppraisalAnswer,
    /// Of the same unit without its options, where it has any.
    bare: Option<&'a AppraisalAnswer>,
    /// How many turns the unit is sure to live, where it lives shortest.
    safe: usize,
}

/// The unit without the options that it was asked for with; nothing where there are none, or where the service is busy:
/// the card then does without the comparison.
async fn without_options(api: &Api, question: &Json) -> Option<AppraisalAnswer> {
    if question.options().is_empty() {
        return None;
    }
    let mut question = question.clone();
    unset(&mut question, "options");
    api.ask("/v1/appraisal", &question).await.ok()
}

/// In how many turns from the start nothing can end the unit: the game behind the chart is asked for, whose chance of an
/// end is nothing only where there is none.
async fn safe_turns(api: &Api, answer: &AppraisalAnswer) -> usize {
    let Some(ask) = hardest(answer).and_then(|life| life.ask.as_ref()) else { return 0 };
    let Ok(game) = api.ask::<DuelOutcome>(&format!("/v1/{}", ask.path), &ask.request).await else { return 0 };
    game.turns.iter().take_while(|turn| turn.a_destroyed == 0.0).count()
}

/// The game in which it lives shortest.
fn hardest(answer: &AppraisalAnswer) -> Option<&ApproachRow> {
    let games = answer.approach.iter().filter(|life| life.without.is_none());
    games.min_by(|a, b| a.stood.total_cmp(&b.stood))
}

/// A unit of the answer with its article: one of the sort that is appraised is another.
fn other(answer: &AppraisalAnswer, name: &str, counted: &str) -> String {
    if name == answer.name { another_unit(counted) } else { the_unit(counted) }
}

fn put(question: &mut Json, at: &str, side: &Side) {
    set(question, &format!("{at}/unit"), json!(side.unit.id));
    if let Some(models) = side.models {
        set(question, &format!("{at}/models"), json!(models));
    }
    for (field, all) in [("options", &side.extras), ("near", &side.near)] {
        if !all.is_empty() {
            let ids: Vec<&str> = all.iter().map(|name| name.id.as_str()).collect();
            set(question, &format!("{at}/{field}"), json!(ids));
        }
    }
}

fn card(names: &PackIndex, question: Json, answers: &Answers<'_>) -> Card {
    let answer = answers.whole;
    let mut card = Card::default();
    let name = &answer.name;
    if answer.damage.is_empty() && answer.approach.is_empty() {
        card.headline = format!(
            "Nobody to review {} against: this pack names no opponents for a review. Name one yourself.",
            the_unit(&answer.counted)
        );
        let others = names.units.iter().map(|unit| &unit.name).filter(|other| *other != name);
        for other in others.take(3) {
            card.follow_up(format!("against {other}"), format!("/appraise {name} v {other}"));
        }
    } else {
        card.headline = worth::headline(answer, answers.bare);
        card.text.push(worth::figures(answer, question.against().is_array()));
    }
    for game in &answer.damage {
        let each = game.per_point.map_or_else(String::new, |earned| format!(", {} per point spent", per_point(earned)));
        card.line(game.target_counted.clone(), format!("{} destroyed{each}", of_points(&points(game.points))));
    }
    card.text.extend(answer.verdict.iter().map(|row| row.text.clone()));
    card.text.extend(answer.advice.iter().map(|row| row.text.clone()));
    card.chart = hardest(answer).map(|life| chart(answer, life, answers.safe));
    card.read_as = described(names, &question, answer);
    card.follow_up("profile", format!("/unit {name}"));
    for option in answer.cost.options.iter().take(3) {
        let option = &option.option;
        card.follow_up(format!("with {option}"), format!("/appraise {name} + {option}"));
    }
    let link = Link::new("/v1/appraisal", question);
    card.notes.push(format!(
        "The whole review as a page, to show or to print: {}",
        Link::new("/v1/appraisal.html", link.question.clone())
    ));
    card.link = Some(link);
    card
}

/// The chances of still standing, turn by turn, where it lives shortest; in the first turns it may be safe.
fn chart(answer: &AppraisalAnswer, life: &ApproachRow, safe: usize) -> Chart {
    let attacker = other(answer, &life.attacker, &life.attacker_counted);
    let bars: Vec<Bar> = life
        .standing
        .iter()
        .zip(1..)
        .map(|(chance, turn)| Bar {
            label: format!("turn {turn}"),
            chance: if turn <= safe { 1.0 } else { unproven(*chance) },
            strong: *chance >= 0.5,
        })
        .collect();
    let last = bars.last().map_or(0.0, |bar| bar.chance);
    let title = format!("still alive, attacked by {attacker}");
    let alt = format!("Bar chart of {title}: {} after the last turn.", percent(last));
    Chart { title, bars, alt, whole: true, ..Chart::default() }
}

fn described(names: &PackIndex, question: &Json, answer: &AppraisalAnswer) -> String {
    let options = |side: &Json| -> Vec<String> {
        let unit = names.unit(side.unit_id().unwrap_or_default());
        let label = |id: &Json| {
            let known = unit.and_then(|unit| unit.options.iter().find(|option| *id == option.id.as_str()));
            known.map_or_else(|| id.words().replace('-', " "), |option| option.name.clone())
        };
        side.options().iter().map(label).collect()
    };
    let side = |side: &Json, options: Vec<String>| {
        let mut words = counted(names, side);
        options.iter().for_each(|option| words.push_str(&format!(" + {option}")));
        side.near().iter().for_each(|near| words.push_str(&format!(" near the {}", unit_name(names, near))));
        words
    };
    let mut words = side(question, answer.taken.clone());
    for against in question.against().items() {
        words.push_str(&format!(" against {}", side(against, options(against))));
    }
    if let Some(turns) = question.turns() {
        words.push_str(&format!(", {}", count(turns, "turn", "turns")));
    }
    words
}
