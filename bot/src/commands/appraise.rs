//! `/appraise`: what a unit is worth, on one card; the whole page stands behind its link.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::{Api, typed};
use crate::draft::{Draft, set, take, unset};
use crate::link::Link;
use crate::typing::{Side, Value};
use pipwright_shared::cards::appraise::{Answers, card, hardest};
use pipwright_shared::wire::appraisal::AppraisalAnswer;
use pipwright_shared::wire::duel::DuelOutcome;
use serde_json::{Value as Json, json};

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
    let answers = Answers { whole: &answer, bare: bare.as_ref(), safe };
    let mut card = card(names, &typed(&question)?, &answers);
    card.notes.push(format!(
        "The whole review as a page, to show or to print: {}",
        Link::new("/v1/appraisal.html", question.clone())
    ));
    card.link = Some(Link::new("/v1/appraisal", question));
    Ok(card)
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
