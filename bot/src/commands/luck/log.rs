//! An evening that is kept on: each result is added to those of the card before, and all of them are in the link.
use super::{LUCK, described};
use crate::card::{Card, Sort};
use crate::client::Api;
use crate::client::index::PackIndex;
use crate::commands::Halt;
use crate::draft::Draft;
use crate::link::Link;
use crate::saying::{count, mean, percent, sentence, unproven};
use pipwright_shared::wire::luck::{LuckLog, LuckSum, SideForm};
use serde_json::{Value as Json, json};

/// Words that begin what comes next in an evening.
const NEXT: [&str; 9] =
    ["and then", "and next", "and later", "and after that", "after that", "then", "next", "later", "also"];
/// Who rolled, where it begins with them: the other side, and one's own.
const THEY: [&str; 9] = ["he", "she", "they", "his", "her", "their", "opponent", "opponents", "enemy"];
const WE: [&str; 4] = ["i", "we", "my", "our"];
/// More entries than this do not fit a card.
const SHOWN: usize = 24;

/// What is to be added to the evening, where the words say that it goes on: `and then he made 5 of 6 on 4s`.
pub fn keeps_on(text: &str) -> Option<&str> {
    let text = text.trim_start();
    for next in NEXT {
        if let Some(rest) = behind(text, next) {
            return Some(rest.trim_start_matches([',', ':']));
        }
    }
    // `and he failed 3 of 4 on 3s`
    let rest = behind(text, "and")?;
    let first = first_words(rest, 1);
    let told = first.iter().any(|word| THEY.contains(&word.as_str()) || WE.contains(&word.as_str()));
    told.then_some(rest)
}

/// The text behind whole words at its beginning.
fn behind<'a>(text: &'a str, words: &str) -> Option<&'a str> {
    let head = text.get(..words.len())?;
    let rest = &text[words.len()..];
    (head.eq_ignore_ascii_case(words) && !rest.starts_with(char::is_alphanumeric)).then_some(rest.trim_start())
}

fn first_words(text: &str, many: usize) -> Vec<String> {
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.take(many).map(str::to_lowercase).collect()
}

/// Whether a result is told of the other side's dice: `he made 5 of 6 on 4s`, `the enemy failed`.
pub(super) fn is_theirs(text: &str) -> bool {
    let text = keeps_on(text).unwrap_or(text);
    first_words(text, 2).iter().find_map(|word| {
        let they = THEY.contains(&word.as_str());
        (they || WE.contains(&word.as_str())).then_some(they)
    }) == Some(true)
}

/// The card of an evening: that of the card before, with the result of this card added.
pub async fn added(api: &Api, index: Option<&PackIndex>, before: Option<&Link>, card: Card) -> Card {
    if card.sort != Sort::Answer {
        // What completes it still belongs to the evening.
        let unfinished = card.unfinished.clone().map(|mut unfinished| {
            unfinished.text = unfinished.text.replacen("/luck ", "/luck and then ", 1);
            unfinished
        });
        return Card { unfinished, ..card };
    }
    let Some(new) = card.link.as_ref().filter(|link| Some(link.path.as_str()) == LUCK.path) else { return card };
    // 0% is said of nothing but what never comes; such a result would spoil the sums.
    if card.lines.first().is_some_and(|line| line.value == "0%") {
        return Card::saying(Sort::Refusal, format!("{} It is not added to the evening.", card.headline));
    }
    let mut log = match before.filter(|link| Some(link.path.as_str()) == LUCK.path) {
        Some(link) => entries(&link.question),
        None => return card,
    };
    log.extend(entries(&new.question));
    match evening(api, index, json!({ "log": log })).await {
        Ok(mut evening) => {
            evening.notes.splice(0..0, card.notes);
            evening
        }
        Err(Halt::Say(said) | Halt::Missing { question: said, .. }) => Card::saying(Sort::Refusal, said),
        Err(Halt::Trouble(trouble)) => {
            let refused = matches!(trouble, crate::client::Trouble::Refused(_));
            Card::saying(if refused { Sort::Refusal } else { Sort::Trouble }, trouble.to_string())
        }
    }
}

/// The entries of a log; a single result is one.
fn entries(question: &Json) -> Vec<Json> {
    match question.part("log").as_array() {
        Some(log) => log.clone(),
        None => vec![question.clone()],
    }
}

/// The card of a log.
pub(super) async fn evening(api: &Api, index: Option<&PackIndex>, question: Json) -> Result<Card, Halt> {
    let answer: LuckLog = api.ask("/v1/luck", &question).await?;
    let log = entries(&question);
    let theirs = log.iter().filter(|entry| entry.side() == Some("them")).count();
    let mut card = Card { headline: headline(&answer), ..Card::default() };
    card.read_as = match (log.len() - theirs, theirs) {
        (ours, 0) => count(ours as u64, "result", "results"),
        (0, theirs) => format!("{} of theirs", count(theirs as u64, "result", "results")),
        (ours, theirs) => {
            format!("{}, {ours} of ours and {theirs} of theirs", count(log.len() as u64, "result", "results"))
        }
    };
    for sum in &answer.sums {
        card.line(format!("{}, {}", quantity(&sum.result), whose(sum)), said(sum));
    }
    let hidden = log.len().saturating_sub(SHOWN);
    if hidden > 0 {
        card.text
            .push(format!("The first {} are counted in and not shown.", count(hidden as u64, "result", "results")));
    }
    for (at, (entry, outcome)) in log.iter().zip(&answer.entries).enumerate().skip(hidden) {
        let who = if entry.side() == Some("them") { "theirs" } else { "ours" };
        let what = described(index, entry).unwrap_or_else(|| "a result".to_owned());
        card.text.push(format!("{}. {who}, {what}: {}", at + 1, outcome.sentence));
    }
    card.notes.push("To go on: and then I made 5 of 6 on 4s.".into());
    card.link = Some(Link::new("/v1/luck", question));
    Ok(card)
}

/// The sentence of the sum that is the most unusual.
fn headline(answer: &LuckLog) -> String {
    let tail = |sum: &LuckSum| sum.at_least.chance.min(sum.at_most.chance);
    let most = answer.sums.iter().min_by(|a, b| tail(a).total_cmp(&tail(b)));
    // One sum for each side: what both did is told, else the card would begin as the one before.
    if let [one, other] = answer.sums.as_slice()
        && one.side != other.side
    {
        return format!("{} {}", one.sentence, other.sentence);
    }
    let said = most.map(|sum| sum.sentence.clone());
    said.unwrap_or_else(|| sentence("there is nothing in this log that adds up: each result stands by itself."))
}

fn whose(sum: &LuckSum) -> String {
    let who = if sum.side == SideForm::Them { "theirs" } else { "ours" };
    format!("{who} ({})", count(sum.entries as u64, "result", "results"))
}

/// `12 in all, 17.1 expected; this or fewer 3.2%`
fn said(sum: &LuckSum) -> String {
    let (few, many) = (sum.at_most.chance, sum.at_least.chance);
    let (words, chance) = if few < many { ("this or fewer", few) } else { ("this or more", many) };
    let in_all = if sum.entries > 1 { " in all" } else { "" };
    let chance = percent(if sum.is_sure() { 1.0 } else { unproven(chance) });
    format!("{}{in_all}, {} expected; {words} {chance}", sum.value, mean(sum.expected))
}

fn quantity(result: &str) -> String {
    match result {
        "models" => "models lost".to_owned(),
        "health_lost" => "health lost".to_owned(),
        "structure" => "structure lost".to_owned(),
        "through" => "attacks through".to_owned(),
        "restored" => "points back".to_owned(),
        "a_left" => "left of side a".to_owned(),
        "b_left" => "left of side b".to_owned(),
        other => other.replace('_', " "),
    }
}
