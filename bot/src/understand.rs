//! What a message asks, or what is missing of it. Asks nobody and changes nothing.
//!
//! | file | what it does |
//! | --- | --- |
//! | [`lexicon`], `lexicon.txt` | the trade's words, each in its classes |
//! | [`names`] | the names of a pack, indexed once |
//! | [`spell`] | slips of the pen, towards names and words of the trade only |
//! | [`message`], `numbers` | a message cut into words, with what each may mean |
//! | [`sides`], [`elliptic`], [`carried`], [`amounts`] | one grammar for a side |
//! | [`table`] | one grammar for the situation |
//! | [`roles`], [`battle`] | who attacks whom |
//! | [`volleys`], [`counts`], [`luck`], [`contest`], [`wholes`], [`mend`], [`dice`], [`plain`], [`looks`], [`chosen`], [`reach`], [`ruled`] | readings of each kind of question, with how much speaks for them |
//! | [`kinds`], `kinds.txt` | how likely each kind of question is in such words: a second opinion with fitted weights |
//! | [`cover`], [`dropped`] | what a reading leaves over, and what of units and table its question has no place for |
//! | [`apart`] | several sentences: which of them asks |
//! | [`mod@choose`] | the clear winner, or what to ask |
//! | [`follow`] | the question before with something changed |
//! | [`speak`] | a reading as a complete sentence |
pub mod amounts;
pub mod apart;
pub mod attack;
pub mod battle;
mod build;
pub mod carried;
pub mod choose;
pub mod chosen;
pub mod contest;
pub mod counts;
pub mod cover;
pub mod dice;
pub mod dropped;
pub mod elliptic;

pub mod follow;
pub mod helpers;
pub mod kinds;
pub mod lexicon;
pub mod lists;
pub mod looks;
pub mod luck;
pub mod mend;
pub mod message;
pub mod names;
mod numbers;
pub mod options;
pub mod plain;
pub mod reach;
pub mod reading;
pub mod roles;
pub mod ruled;
pub mod sides;
pub mod speak;
pub mod spell;
pub mod table;
pub mod trial;
pub mod volleys;
pub mod wholes;

use crate::client::index::PackIndex;
use crate::commands::Command;
use crate::draft::Draft;
use crate::link::Link;
use apart::{sole_question, two_questions};
use choose::{Outcome, Ranked, choose, readings};
use lexicon::Class;
use message::ParsedMessage;

/// What a message is.
#[derive(Clone, Debug)]
pub enum Understood {
    /// A question, or what is to be asked first.
    Said {
        /// What is to be done.
        outcome: Outcome,
        /// Words as written and as read.
        corrected: Vec<(String, String)>,
        /// Whether it changes the question before.
        again: bool,
    },
    /// The question before is dropped.
    Forget,
    /// The answer before is wanted again.
    Back,
}

/// Reads a message.
pub fn understand(text: &str, index: &PackIndex, before: Option<&Link>) -> Understood {
    let text = spell::without_figures(text);
    let text = text.as_ref();
    let message = ParsedMessage::of(text, index);
    if let Some(done) = control(&message, index, before) {
        return done;
    }
    let said = |outcome: Outcome, mut corrected: Vec<(String, String)>, again| {
        if let Outcome::Answer(best) = &outcome {
            told_spellings(&message, best, &mut corrected);
        }
        Understood::Said { outcome, corrected, again }
    };
    if let Some(reading) = before.and_then(|before| wholes::added(&message, before)) {
        let battle = battle::Battle::of(&message);
        return said(
            Outcome::Answer(Box::new(choose::rank(&message, &battle, reading, true))),
            message.corrected.clone(),
            true,
        );
    }
    let (ranked, battle) = readings(&message, None);
    let clear = |ranked: &[Ranked]| ranked.first().is_some_and(|best| best.is_clear() && best.value > 1.45);
    let follow = before.and_then(|before| follow::follow(&message, &battle, before));
    if let Some(mut follow) = follow {
        let cued = follow::cued(&message);
        if !cued && message.tokens.first().is_some_and(|token| token.classes.has(Class::YesNo)) {
            follow.left.soft += follow::unspoken(&message, &follow.reading.used);
        }
        let fresh = ranked.first();
        let own = fresh.is_some_and(|fresh| fresh.is_clear() && fresh.value > 2.1);
        // What goes on from the answer before is seldom a question about a rule.
        let ruled = fresh.is_some_and(|fresh| fresh.reading.command.name == "rule" && fresh.value < 3.4);
        // `and if the gunners were flanked and the bows closer`: both stand in the question before.
        let known: Vec<&str> =
            ["/attacker/unit", "/target/unit", "/a/unit", "/b/unit", "/matchup/attacker/unit", "/matchup/target/unit"]
                .iter()
                .filter_map(|place| before?.question.at(place).as_str())
                .collect();
        let same = battle.fighters().all(|side| side.unit().is_some_and(|unit| known.contains(&unit)));
        let goes_on = cued && same && follow.is_clear() && battle.fighters().all(|side| side.count.is_none());
        // `6 fowlers instead of the bows`: of the two that are named, one is in the question before and goes.
        let replaces = follow::replaced(&message, &battle, &known).is_some();
        let stands = own && !goes_on && !replaces && (!cued || battle.fighters().count() >= 2 && !ruled);
        // A change of which much is left over may be another question.
        let most = if cued { 0.8 } else { 0.45 };
        if !stands && follow.is_clear() && follow.left.soft > most && (!clear(&ranked) || cued && ruled) {
            let offers = vec![follow.reading.clone()];
            return said(choose::unsure(&message, &follow, offers), message.corrected.clone(), true);
        }
        if !stands && follow.is_clear() && follow.left.soft <= most {
            return said(Outcome::Answer(Box::new(follow)), message.corrected.clone(), true);
        }
        if !stands && cued && !clear(&ranked) {
            return said(choose(&message, &[follow]), message.corrected.clone(), true);
        }
    }
    if let Some(outcome) = two_questions(&message) {
        return said(outcome, message.corrected.clone(), false);
    }
    if let Some((alone, alone_ranked)) = sole_question(&message, index) {
        let outcome = choose(&alone, &alone_ranked);
        let mut corrected = alone.corrected.clone();
        if let Outcome::Answer(best) = &outcome {
            told_spellings(&alone, best, &mut corrected);
        }
        return Understood::Said { outcome, corrected, again: false };
    }
    let outcome = choose(&message, &ranked);
    // A change of nothing: there is no question before.
    if before.is_none()
        && matches!(outcome, Outcome::Nothing)
        && follow::cued(&message)
        && !battle.table.is_empty()
        && message.tokens.len() <= 8
    {
        let question = "What is that about? Ask a whole question first: who attacks which unit.".to_owned();
        let command = &crate::commands::matchup::MATCHUP;
        return said(
            Outcome::Ask { question, command, option: None, offers: Vec::new(), choices: Vec::new() },
            message.corrected.clone(),
            false,
        );
    }
    said(outcome, message.corrected.clone(), false)
}

/// Which spellings are told: those of words that the reading rests on, each once. Names of packs are read as they stand.
fn told_spellings(message: &ParsedMessage<'_>, best: &Ranked, corrected: &mut Vec<(String, String)>) {
    let mut seen = std::collections::BTreeSet::new();
    let plain = ["pack", "help"].contains(&best.reading.command.name);
    let rests = |said: &str| {
        message.tokens.iter().enumerate().any(|(at, token)| {
            message.text.get(token.span.clone()).is_some_and(|text| text.eq_ignore_ascii_case(said))
                && best.reading.used.get(at).copied().unwrap_or(false)
        })
    };
    corrected.retain(|pair| !plain && rests(&pair.0) && seen.insert(pair.clone()));
}

/// Whether a message asks for the reasons of an answer.
pub fn asks_why(text: &str) -> bool {
    let index = PackIndex::default();
    let message = ParsedMessage::of(text, &index);
    message.has(Class::Why) && message.tokens.len() <= 16
}

/// What to ask about a message that was taken for a question about a rule that no pack has.
pub fn unruled(text: &str, index: &PackIndex) -> Option<Outcome> {
    let message = ParsedMessage::of(text, index);
    let (mut ranked, _) = readings(&message, None);
    ranked.retain(|one| one.reading.command.name != "rule");
    match choose(&message, &ranked) {
        asked @ Outcome::Ask { .. } => Some(asked),
        _ => None,
    }
}

/// Reads what stands behind a slash command.
pub fn understand_as(
    text: &str,
    index: &PackIndex,
    command: &'static Command,
) -> Option<(Ranked, Vec<(String, String)>)> {
    let message = ParsedMessage::of(text, index);
    let (ranked, _) = readings(&message, Some(command));
    let best = ranked.into_iter().next()?;
    Some((best, message.corrected))
}

/// `never mind`, `cancel`, `new question: …`, `go back`.
fn control(message: &ParsedMessage<'_>, index: &PackIndex, before: Option<&Link>) -> Option<Understood> {
    let words: Vec<usize> = (0..message.tokens.len()).filter(|at| !message.tokens[*at].word.is_empty()).collect();
    let first = words
        .iter()
        .copied()
        .find(|at| !message.any(*at, &["oh", "ok", "okay", "ah", "no", "actually", "well", "sorry", "um", "hmm"]))
        .unwrap_or(0);
    if let Some(len) = message.begins(Class::Forget, first) {
        let rest: Vec<usize> = words
            .iter()
            .copied()
            .filter(|at| {
                *at >= first + len && !message.any(*at, &["then", "please", "thanks", "it", "that", "mate", "lol"])
            })
            .collect();
        match rest.first() {
            None => return Some(Understood::Forget),
            Some(at) if len > 1 && (*at > first + len || message.any(first, &["new"])) => {
                // `new question: 6 stilts, same target`
                let same = rest.iter().any(|at| message.any(*at, &["same"]));
                let start = (first + len..=*at)
                    .find(|at| !message.is_end(*at))
                    .map_or(message.tokens[*at].span.start, |at| message.tokens[at].span.start);
                return Some(understand(&message.text[start..], index, before.filter(|_| same)));
            }
            _ => {}
        }
    }
    let back = message.begins(Class::GoBack, first)?;
    (words.len() <= back + 2).then_some(Understood::Back)
}
