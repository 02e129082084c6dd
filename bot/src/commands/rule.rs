//! `/rule`: what a rule says, what it changes in numbers, and yes or no to a question about it.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::unit::unit_of;
use crate::card::Card;
use crate::client::Trouble;
use crate::client::index::{NameKind, PackIndex, name_words};
use crate::draft::Draft;
use crate::link::Link;
use crate::saying::{count, full_stop, listed, sentence, small};
use pipwright_shared::cards::rule::{card, lead_with_who};
use pipwright_shared::cards::unit::profile;
use pipwright_shared::wire::packs::{ModelGroupForm, OptionHead, UnitHead};
use pipwright_shared::wire::rule::RuleAnswer;
use serde_json::{Value as Json, json};

/// The definition.
pub const RULE: Command = Command {
    name: "rule",
    about: "What a rule says and what it changes; yes or no to a question about it",
    words: &[
        "rule", "rules", "work", "works", "working", "mean", "means", "explain", "apply", "applies", "helps", "matter",
        "matters", "act", "acts", "stack", "stacks",
    ],
    options: &[
        Opt::new("rule", Kind::Name(NameKind::Rule), "A rule's name").many(),
        Opt::new("about", Kind::Text, "A question, a rule's name, or words of its text"),
    ],
    shares: &[],
    examples: &["/rule screen", "/rule does the screen work from behind", "can guns be used in contact?"],
    path: None,
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

/// Where rules are asked for.
pub const PATH: &str = "/v1/rule";

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let names = asked.names()?;
    if asked.read.args.is_empty() {
        let choices = names.rules.iter().take(5).map(|rule| rule.name.clone()).collect();
        let question = "Which rule? Say its name, some of its words, or ask: does it work from the side?".into();
        return Err(Halt::Missing { option: Some("about"), question, choices });
    }
    let mut question = json!({"pack": names.id, "ask": asked.text.trim()});
    if let Some(inline) = asked.inline {
        inline.put(&mut question);
    }
    let answer: RuleAnswer = match asked.api.ask(PATH, &question).await {
        Ok(answer) => answer,
        Err(trouble) => return Err(option_named(&asked, &trouble).await.unwrap_or_else(|| none(trouble))),
    };
    let mut card = linked(&answer, question);
    if asks_who(asked.text) {
        lead_with_who(&mut card, names, &answer);
    }
    card.in_words_of(&names.labels);
    Ok(card)
}

/// `which hulls have a thaw gang`, `who carries the night bell`
fn asks_who(text: &str) -> bool {
    let words = name_words(text);
    let at = |all: &[&str]| words.iter().position(|word| all.contains(&word.as_str()));
    let who = at(&["which", "what", "who"]);
    let has = at(&["have", "has", "got", "carry", "carries", "take"]);
    who.zip(has).is_some_and(|(who, has)| who < has)
}

/// The first unit that may take an option of that name, with the option.
fn named_option<'a>(names: &'a PackIndex, said: &str) -> Option<(&'a UnitHead, &'a OptionHead)> {
    names.units.iter().find_map(|unit| {
        let option = unit.options.iter().find(|option| option.name.eq_ignore_ascii_case(said))?;
        Some((unit, option))
    })
}

/// Where no rule is called so but an option of a unit is: what that is.
async fn option_named(asked: &Asked<'_>, trouble: &Trouble) -> Option<Halt> {
    let Trouble::Refused(problem) = trouble else { return None };
    let names = asked.names().ok().filter(|_| problem.is_at("/ask"))?;
    let said = asked.text.trim();
    let (unit, option) = named_option(names, said)?;
    let told = unit_of(asked, &unit.id, &[("options", option.id.as_str())]).await.ok()?;
    let points = told.options.iter().find(|one| one.name == option.name)?.points;
    let own = |group: &ModelGroupForm| {
        format!(": {} of them has {}", small(group.models.into()), listed(&profile(&group.profile)))
    };
    let group = told.groups.iter().find(|group| group.name.eq_ignore_ascii_case(said));
    let group = group.filter(|group| group.models == 1).map_or_else(String::new, own);
    Some(Halt::Say(format!(
        "No rule is called that: {} is an option of the {}, +{}{group}. Ask /unit {}.",
        sentence(&option.name),
        unit.name,
        count(points.into(), "point", "points"),
        unit.name
    )))
}

/// The card of a rule with its link.
fn linked(answer: &RuleAnswer, question: Json) -> Card {
    let mut card = card(answer, question.ask().unwrap_or_default());
    card.link = Some(Link::new(PATH, question));
    card
}

/// What the pack says of one of its words.
///
/// # Errors
/// Where it says nothing of it.
pub(super) async fn explain(asked: &Asked<'_>, word: &str) -> Result<Card, Halt> {
    let names = asked.names()?;
    let question = json!({"pack": names.id, "ask": format!("what is {}", word.replace('-', " "))});
    let answer: RuleAnswer = asked.api.ask(PATH, &question).await.map_err(none)?;
    let mut card = linked(&answer, question);
    card.in_words_of(&names.labels);
    Ok(card)
}

/// No rule speaks of it: the sentence, with the names that look like it.
fn none(trouble: Trouble) -> Halt {
    match trouble {
        Trouble::Refused(problem) if problem.is_at("/ask") => {
            let choices = problem.did_you_mean.clone();
            let near: Vec<String> = choices.iter().map(|question| format!("\u{201c}{question}\u{201d}")).collect();
            let near = if near.is_empty() { String::new() } else { format!(" Perhaps ask: {}.", near.join(" or ")) };
            let what = problem.detail.split("; did you").next().unwrap_or_default().to_owned();
            Halt::Say(format!("{}{near}", full_stop(&what)))
        }
        trouble => trouble.into(),
    }
}
