//! `/rule`: what a rule says, what it changes in numbers, and yes or no to a question about it.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::{Card, Step};
use crate::client::Trouble;
use crate::client::answers::Chance;
use crate::client::answers::table::{RuleAnswer, RuleNumbers};
use crate::client::index::NameKind;
use crate::link::Link;
use crate::saying::{apart, exact, full_stop, listed, means_apart, proven, sentence, verb};
use serde_json::{Value as Json, json};
use std::collections::BTreeSet;

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
    let answer: RuleAnswer = asked.api.ask(PATH, &question).await.map_err(none)?;
    let mut card = card(&answer, question);
    card.in_words_of(&names.labels);
    Ok(card)
}

/// What the pack says of one of its words.
///
/// # Errors
/// Where it says nothing of it.
pub(super) async fn explain(asked: &Asked<'_>, word: &str) -> Result<Card, Halt> {
    let names = asked.names()?;
    let question = json!({"pack": names.id, "ask": format!("what is {}", word.replace('-', " "))});
    let answer: RuleAnswer = asked.api.ask(PATH, &question).await.map_err(none)?;
    let mut card = card(&answer, question);
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

fn card(answer: &RuleAnswer, question: Json) -> Card {
    let headline = match &answer.asked {
        None if answer.text.is_empty() => format!("{}.", sentence(&answer.name)),
        None => format!("{}: {}", sentence(&answer.name), full_stop(&answer.text)),
        Some(asked) => {
            let except: Vec<String> = asked.except.iter().map(|weapon| weapon.name.clone()).collect();
            let except = if except.is_empty() { String::new() } else { format!(", except the {}", listed(&except)) };
            let word = match asked.answer.as_str() {
                "yes" => "Yes",
                "no" => "No",
                _ => "It depends",
            };
            // The rule's name stands there once.
            let because = asked.because.strip_prefix("it ").map(|rest| format!("{} {rest}", answer.name));
            full_stop(&format!("{word}{except}: {}", because.unwrap_or_else(|| asked.because.clone())))
        }
    };
    let mut card = Card { headline, ..Card::default() };
    if let Some(asked) = answer.asked.as_ref().filter(|asked| !asked.understood.is_empty()) {
        let own = |said: &&String| !said.eq_ignore_ascii_case(&answer.name);
        let said: Vec<&str> = asked.understood.iter().filter(own).map(String::as_str).collect();
        card.read_as =
            if said.is_empty() { answer.name.clone() } else { format!("{}: {}", answer.name, said.join(", ")) };
    }
    if answer.asked.is_some() && !answer.text.is_empty() {
        card.text.push(answer.text.clone());
    }
    // What has no text of its own is told by what is known of it.
    if answer.text.is_empty() && answer.table.is_none() {
        card.text.extend(answer.does.iter().take(8).map(|line| full_stop(&sentence(line))));
    }
    if let Some(table) = &answer.table {
        for row in std::iter::once(&table.head).chain(&table.rows) {
            if let [first, rest @ ..] = row.as_slice() {
                card.line(first.clone(), rest.join(", "));
            }
        }
    }
    // Where the answer is no, what the rule does elsewhere is another question.
    let no = answer.asked.as_ref().is_some_and(|asked| asked.answer == "no");
    let example = answer.example.as_ref().filter(|_| !no);
    let rows = example.map(|example| compared(&example.with, &example.without)).unwrap_or_default();
    if let Some(example) = example.filter(|_| !rows.is_empty()) {
        card.text.push(format!("For example {}:", example.text));
        rows.into_iter().for_each(|(label, value)| card.line(label, value));
    }
    let does = Step {
        name: "what it changes".into(),
        text: String::new(),
        because: answer.does.iter().map(|line| sentence(line)).collect(),
    };
    if !does.because.is_empty() {
        card.steps.push(does);
    }
    if let Some(example) = example.filter(|example| !example.because.is_empty()) {
        let because = example.because.iter().map(|line| sentence(line)).collect();
        card.steps.push(Step { name: "in the example".into(), text: String::new(), because });
    }
    let names = |list: &[crate::client::index::Named]| list.iter().map(|one| one.name.clone()).collect::<Vec<_>>();
    for (what, list) in
        [("Units with it", &answer.units), ("Weapons with it", &answer.weapons), ("Can take it", &answer.options)]
    {
        if !list.is_empty() {
            card.notes.push(format!("{what}: {}.", listed(&names(list))));
        }
    }
    if answer.example.is_none() && !answer.asked_by.is_empty() {
        let others = names(&answer.asked_by);
        let depend = verb("depend", others.len() != 1);
        card.notes.push(format!("It changes no roll by itself; {} {depend} on it.", listed(&others)));
    }
    for other in answer.others.iter().take(3) {
        card.follow_up(other.name.clone(), format!("/rule {}", other.name));
    }
    card.link = Some(Link::new(PATH, question));
    card
}

/// With the rule and without it, as far as the two differ.
fn compared(with: &RuleNumbers, without: &RuleNumbers) -> Vec<(String, String)> {
    let mut lines = Vec::new();
    let mut add = |label: &str, [with, without]: [String; 2]| {
        if with != without {
            lines.push((label.to_owned(), format!("{with} with it, {without} without")));
        }
    };
    // Nobody cares by how much two chances differ that are next to none.
    let tiny = |one: &Option<Chance>| one.as_ref().is_some_and(|one| one.chance > 0.0 && one.chance < 1e-4);
    // Both are held against each other, and unlike ones are told apart.
    let said = |with: &Option<Chance>, without: &Option<Chance>| {
        let both = [with, without].map(|one| one.as_ref());
        if tiny(with) && tiny(without) {
            return [String::new(), String::new()];
        }
        let known: Vec<f64> = both.iter().flatten().map(|one| proven(one.chance, one.fraction.as_deref())).collect();
        let mut percents = apart(&known).into_iter();
        both.map(|one| {
            let Some(one) = one else { return "none".to_owned() };
            let percent = percents.next().unwrap_or_default();
            match exact(one.fraction.as_deref()).filter(|fraction| fraction.contains('/')) {
                Some(fraction) => format!("{percent} ({fraction})"),
                None => percent,
            }
        })
    };
    let average = |with: Option<f64>, without: Option<f64>| {
        let said = means_apart(&[with.unwrap_or_default(), without.unwrap_or_default()]);
        [said[0].clone(), said[1].clone()]
    };
    if with.chance.is_some() {
        add("one roll", said(&with.chance, &without.chance));
        return lines;
    }
    if with.structure.is_some() || without.structure.is_some() {
        add("structure lost", average(with.structure, without.structure));
        add("wrecked", said(&with.destroyed, &without.destroyed));
    } else {
        add("models lost", average(with.models, without.models));
        add("wiped out", said(&with.destroyed, &without.destroyed));
    }
    add("backfires", average(with.backfires, without.backfires));
    let effects: BTreeSet<&String> = with.aftermath.keys().chain(without.aftermath.keys()).collect();
    for effect in effects {
        add(effect, said(&with.aftermath.get(effect).cloned(), &without.aftermath.get(effect).cloned()));
    }
    lines
}
