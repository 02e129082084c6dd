//! The card of an appraisal: what a unit is worth.
use super::matchup::{counted, unit_name};
use super::{Bar, Card, Chart};
use crate::report::saying::{another_unit, count, of_points, per_point, percent, points, the_unit, unproven};
use crate::wire::appraisal::{AppraisalAnswer, AppraisalRequest, ApproachRow};
use crate::wire::matchup::SideForm;
use crate::wire::packs::PackAnswer;

mod worth;

/// What the service says.
#[derive(Clone, Copy, Debug)]
pub struct Answers<'a> {
    /// Of the unit as it was asked for.
    pub whole: &'a AppraisalAnswer,
    /// Of the same unit without its options, where it has any.
    pub bare: Option<&'a AppraisalAnswer>,
    /// How many turns the unit is sure to live, where it lives shortest.
    pub safe: usize,
}

/// The card of an appraisal.
pub fn card(names: &PackAnswer, request: &AppraisalRequest, answers: &Answers<'_>) -> Card {
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
        card.text.push(worth::figures(answer, request.against.is_some()));
    }
    for game in &answer.damage {
        let each = game.per_point.map_or_else(String::new, |earned| format!(", {} per point spent", per_point(earned)));
        card.line(game.target_counted.clone(), format!("{} destroyed{each}", of_points(&points(game.points))));
    }
    card.text.extend(answer.verdict.iter().map(|row| row.text.clone()));
    card.text.extend(answer.advice.iter().map(|row| row.text.clone()));
    card.chart = hardest(answer).map(|life| chart(answer, life, answers.safe));
    card.read_as = described(names, request, answer);
    card.follow_up("profile", format!("/unit {name}"));
    for option in answer.cost.options.iter().take(3) {
        let option = &option.option;
        card.follow_up(format!("with {option}"), format!("/appraise {name} + {option}"));
    }
    card
}

/// The game in which it lives shortest.
pub fn hardest(answer: &AppraisalAnswer) -> Option<&ApproachRow> {
    let games = answer.approach.iter().filter(|life| life.without.is_none());
    games.min_by(|a, b| a.stood.total_cmp(&b.stood))
}

/// A unit of the answer with its article: one of the sort that is appraised is another.
fn other(answer: &AppraisalAnswer, name: &str, counted: &str) -> String {
    if name == answer.name { another_unit(counted) } else { the_unit(counted) }
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

fn described(names: &PackAnswer, request: &AppraisalRequest, answer: &AppraisalAnswer) -> String {
    let options = |side: &SideForm| -> Vec<String> {
        let unit = names.unit(&side.unit);
        let label = |id: &String| {
            let known = unit.and_then(|unit| unit.options.iter().find(|option| *id == option.id));
            known.map_or_else(|| id.replace('-', " "), |option| option.name.clone())
        };
        side.options.iter().flatten().map(label).collect()
    };
    let side = |side: &SideForm, options: &[String]| {
        let mut words = counted(names, side);
        options.iter().for_each(|option| words.push_str(&format!(" + {option}")));
        let near = side.near.iter().flatten();
        near.for_each(|near| words.push_str(&format!(" near the {}", unit_name(names, near))));
        words
    };
    let own = SideForm {
        unit: request.unit.clone(),
        models: request.models,
        near: request.near.clone(),
        ..SideForm::default()
    };
    let mut words = side(&own, &answer.taken);
    for against in request.against.iter().flatten() {
        words.push_str(&format!(" against {}", side(against, &options(against))));
    }
    if let Some(turns) = request.turns {
        words.push_str(&format!(", {}", count(turns.into(), "turn", "turns")));
    }
    words
}
