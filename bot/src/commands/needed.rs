//! `/needed`: how many attackers, or tries, for a wanted chance.
use super::asked::{Asked, Halt, set};
use super::definition::{Answering, Command, Kind, Opt};
use super::{check, matchup, odds};
use crate::card::{Card, Step};
use crate::client::answers::{Enough, NeededAnswer};
use crate::link::Link;
use crate::saying::{count, mean, percent, plural};
use serde_json::{Value as Json, json};

/// The definition.
pub const NEEDED: Command = Command {
    name: "needed",
    about: "How many attackers, tries or points for a wanted chance",
    words: &["needed", "enough", "many", "to kill", "to wreck", "to destroy"],
    options: &[
        Opt::new("chance", Kind::Chance, "How sure it is to be, such as 90%").cues(&["sure", "certain"]).bare(),
        Opt::new("lost", Kind::Number, "How much is to be lost, where it is not all")
            .cues(&["lose", "loses", "remove"]),
        Opt::new("about", Kind::About(&["matchup", "check", "odds"]), "The question, as it would be asked alone")
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
        "check" => check::question(&about.asked)?,
        _ => odds::question(&about.asked)?,
    };
    let mut question = json!({});
    let before = asked.question();
    let chance = asked.read.get("chance").map(crate::typing::Value::json);
    let chance = chance.or_else(|| before.pointer("/want/chance").or(before.pointer("/want/destroyed")).cloned());
    let usual = chance.is_none();
    let chance = chance.unwrap_or(json!(USUAL));
    let lost = asked.read.number("lost");
    let want = match (about.key, lost) {
        ("check", _) => json!({"passes": about.asked.read.number("want").unwrap_or(1), "chance": chance}),
        (_, Some(lost)) if inner.pointer("/target/structure").is_some() => json!({"structure": lost, "chance": chance}),
        (_, Some(lost)) => json!({"models": lost, "chance": chance}),
        _ => json!({"destroyed": chance}),
    };
    let said = asked.read.has("chance") || lost.is_some() || about.asked.read.has("want");
    let kept = before.get("want").filter(|_| !said).cloned();
    let usual = usual && kept.is_none();
    set(&mut question, &format!("/{}", about.key), inner);
    set(&mut question, "/want", kept.unwrap_or(want));
    if about.key != "check" {
        set(&mut question, "/most", json!(FIELDED));
    }
    let answer: NeededAnswer = asked.api.ask("/v1/needed", &question).await?;
    let mut card = card(&about.asked, about.key, &question, &answer)?;
    if usual {
        card.read_as.push_str(&format!(" \u{b7} assumed: {} sure", sure(USUAL)));
    }
    card.link = Some(Link::new("/v1/needed", question));
    Ok(card)
}

/// What is counted: one of it, and several.
fn counted(asked: &Asked<'_>, key: &str, inner: &Json) -> Result<(String, String), Halt> {
    Ok(match key {
        "matchup" => {
            let name = matchup::unit_name(asked.names()?, &inner["attacker"]["unit"]);
            (name.clone(), plural(&name))
        }
        "check" => ("try".into(), "tries".into()),
        _ => ("attacker".into(), "attackers".into()),
    })
}

fn card(asked: &Asked<'_>, key: &str, question: &Json, answer: &NeededAnswer) -> Result<Card, Halt> {
    let inner = &question[key];
    let (one, many) = counted(asked, key, inner)?;
    let wanted = ["chance", "destroyed"].iter().find_map(|name| question["want"][name].as_f64()).unwrap_or(USUAL);
    let what = match key {
        "matchup" => format!("against {}", matchup::whom(asked.names()?, inner)),
        "check" => format!("of {}", check::described(inner)),
        _ => format!("of {}", odds::who(inner)),
    };
    let headline = match answer.attackers {
        Some(number) => {
            let below = answer.below.filter(|below| below.attackers > 0);
            let fewer = below
                .map_or_else(String::new, |below| format!("; {} do it {}", below.attackers, percent(below.chance)));
            format!(
                "{} {what} for {}: they do it {}{fewer}.",
                count(number, &one, &many),
                sure(wanted),
                percent(answer.chance)
            )
        }
        None => {
            let limit = answer.limit.map_or_else(String::new, |limit| {
                format!(": {} do it {}", crate::saying::grouped(limit.attackers as f64), percent(limit.chance))
            });
            format!("No number of {many} {what} reaches {}{limit}.", sure(wanted))
        }
    };
    let mut card = Card { headline, ..Card::default() };
    if let Some(points) = answer.points {
        card.line("points", points.to_string());
    }
    let row = |row: &Enough| (count(row.attackers, &one, &many), percent(row.chance));
    card.lines.extend(answer.table.iter().take(MOST).map(row).map(|(label, value)| crate::card::Line { label, value }));
    let rest = answer.table.iter().skip(MOST).map(row);
    card.steps.extend(rest.map(|(name, text)| Step { name, text, ..Step::default() }));
    card.read_as = match key {
        "matchup" => matchup::described(asked.names()?, inner),
        "check" => check::described(inner),
        _ => odds::described(&odds::who(inner), inner, true),
    };
    for sure in [0.5, 0.75, 0.95].into_iter().filter(|sure| (sure - wanted).abs() > 0.01).take(2) {
        card.follow_up(self::sure(sure), format!("what about {}", self::sure(sure)));
    }
    Ok(card)
}

/// `90%`: how sure somebody wants to be is a round number.
pub(super) fn sure(chance: f64) -> String {
    format!("{}%", mean(chance * 100.0))
}

/// Lines of the table that a phone shows.
const MOST: usize = 6;
