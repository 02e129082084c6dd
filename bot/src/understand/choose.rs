//! Which reading is meant: the best is answered where it is clear and explains all; else the reader is asked.
use super::battle::Battle;
use super::cover::{Left, left};
use super::kinds::{Chances, Weights, features};
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::reading::{Act, Reading, Told};
use super::{
    attack, build, chosen, contest, counts, dice, lists, looks, luck, mend, options, plain, reach, ruled, trial,
    volleys, wholes,
};
use crate::commands::Command;
use crate::saying::listed;
use std::collections::BTreeSet;

/// A reading with what it leaves over.
#[derive(Clone, Debug)]
pub struct Ranked {
    /// The reading.
    pub reading: Reading,
    /// What it leaves over.
    pub left: Left,
    /// How good it is in all.
    pub value: f64,
}

impl Ranked {
    /// Whether it can be answered as it stands.
    pub fn is_clear(&self) -> bool {
        self.reading.is_whole() && self.left.blocks.is_empty()
    }
}

/// All readings of a message, the best first.
pub fn readings(message: &ParsedMessage<'_>, only: Option<&'static Command>) -> (Vec<Ranked>, Battle) {
    let battle = Battle::of(message);
    let mut resolved = battle.clone();
    resolved.resolve_amounts(message.index);
    let mut all = of_battle(message, &battle, &resolved);
    let chances = Weights::get().chances(&features(message));
    if chances.of("rule").is_some_and(|chance| chance > RULED)
        && !all.iter().any(|reading| reading.command.name == "rule")
        && message.tokens.len() > 2
    {
        all.push(ruled::any(message));
    }
    let mut ranked: Vec<Ranked> = all
        .into_iter()
        .filter(|reading| only.is_none_or(|only| reading.command.name == only.name))
        .map(|reading| rank(message, &resolved, reading, false))
        .map(|mut one| {
            one.value += likely(&chances, one.reading.command.name);
            one
        })
        .collect();
    ranked.sort_by(|a, b| b.value.total_cmp(&a.value));
    // Words that fit several units: which of them is asked before anything else is.
    if let Some((question, names)) = volleys::unclear(&Told { message, battle: &resolved }) {
        for one in &mut ranked {
            if FOUGHT.contains(&one.reading.command.name) {
                one.reading.variants =
                    if one.reading.is_whole() { variants(message, &battle, &resolved) } else { Vec::new() };
                one.reading.act = Act::Lacks { option: None, question: question.clone(), choices: names.clone() };
            }
        }
    }
    (ranked, resolved)
}

/// What speaks for a reading because people ask its kind of question in such words; below 0 where they seldom do.
fn likely(chances: &Chances<'_>, kind: &str) -> f64 {
    /// A kind is told apart from that many others.
    const EVEN: f64 = 0.06;
    /// Seldom seen is not impossible.
    const SELDOM: f64 = 0.03;
    let Some(chance) = chances.of(kind) else { return 0.0 };
    (0.15 * ((chance + SELDOM) / (EVEN + SELDOM)).ln()).min(0.4)
}

/// The readings of each kind.
fn of_battle(message: &ParsedMessage<'_>, battle: &Battle, resolved: &Battle) -> Vec<Reading> {
    let told = Told { message, battle };
    let fight = Told { message, battle: resolved };
    let all = [
        volleys::matchup(&fight),
        volleys::duel(&fight),
        contest::compare(&fight),
        counts::needed(&told),
        luck::luck(&told),
        mend::repair(&told),
        trial::named_check(&told),
        dice::check(&told),
        attack::odds(&told),
        plain::blast(&told),
        plain::draw(&told),
        looks::unit(&told),
        reach::reach(&told),
        looks::term(&told),
        lists::points(&told),
        wholes::assign(&fight),
        build::build(&told),
        wholes::fair(&told),
        looks::appraise(&told),
        looks::arc(&told),
        ruled::rule(&told),
        chosen::pack(&told),
        chosen::help(&told),
    ];
    all.into_iter().flatten().chain(options::readings(&told)).collect()
}

/// The best reading with each of the units that the words of a side fit.
fn variants(message: &ParsedMessage<'_>, battle: &Battle, resolved: &Battle) -> Vec<Reading> {
    let Some(at) = battle.sides.iter().position(|side| !side.helper && side.ids.len() > 1) else { return Vec::new() };
    let ids = battle.sides[at].ids.clone();
    let one = |id: &String| {
        let (mut battle, mut resolved) = (battle.clone(), resolved.clone());
        battle.sides[at].ids = vec![id.clone()];
        resolved.sides[at].ids = vec![id.clone()];
        let ranked =
            of_battle(message, &battle, &resolved).into_iter().map(|reading| rank(message, &resolved, reading, false));
        let best = ranked.filter(Ranked::is_clear).max_by(|a, b| a.value.total_cmp(&b.value))?;
        (best.reading.command.name != "rule").then_some(best.reading)
    };
    ids.iter().take(4).filter_map(one).collect()
}

/// Questions that are about units.
const FOUGHT: &[&str] =
    &["matchup", "duel", "compare", "needed", "luck", "repair", "check", "unit", "points", "appraise"];

/// How good a reading is with what it leaves over.
pub fn rank(message: &ParsedMessage<'_>, battle: &Battle, reading: Reading, follows: bool) -> Ranked {
    let mut left = left(message, &reading);
    for at in super::dropped::dropped(message, battle, &reading, follows) {
        if !left.blocks.contains(&at) {
            left.blocks.push(at);
        }
    }
    let blocks = f64::from(u32::try_from(left.blocks.len().min(3)).unwrap_or(3));
    // What lacks something is asked about anyway.
    let weight = if reading.is_whole() { 1.1 } else { 0.25 };
    let value = reading.score - weight * blocks - (0.12 * left.soft).min(1.0);
    Ranked { reading, left, value }
}

/// What is to be done with a message.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// One reading is clear.
    Answer(Box<Ranked>),
    /// Something is to be asked first; the readings are offered.
    Ask {
        /// What is asked.
        question: String,
        /// The command that it is about.
        command: &'static Command,
        /// The option that the reply goes to.
        option: Option<&'static str>,
        /// Whole readings to choose from.
        offers: Vec<Reading>,
        /// Some words that would answer it.
        choices: Vec<String>,
    },
    /// It is no question to us.
    Nothing,
}

/// Below this nothing is answered, and nothing is asked.
const LEAST: f64 = 1.45;
/// Below this nothing is asked back.
const LEAST_ASKED: f64 = 1.15;
/// The same where something of the pack is named.
const LEAST_NAMED: f64 = 0.2;
/// Where more than this is left over of ordinary words, the reading is offered, not answered.
pub const MUCH: f64 = 1.25;
/// Where people who say such words ask this kind of question more seldom, and another one mostly, it is offered, not answered.
const UNLIKELY: f64 = 0.1;
/// So seldom it is not answered, unless it has words of its own kind alone.
const NEVER: f64 = 0.03;
/// From this value on a reading is answered however seldom its kind of question is asked in such words.
const SURE: f64 = 3.0;
/// Where people who say such words ask for a rule that often, it is one even if nothing else says so.
const RULED: f64 = 0.6;
/// How often that other one is.
const LIKELY: f64 = 0.5;
/// Closer than this two readings are offered both.
const MARGIN: f64 = 0.3;

/// Chooses among the readings of a message.
pub fn choose(message: &ParsedMessage<'_>, ranked: &[Ranked]) -> Outcome {
    let Some(best) = ranked.first() else { return Outcome::Nothing };
    let chances = Weights::get().chances(&features(message));
    // Before something is asked back, a whole question of the kind that people ask in such words.
    let whole = |one: &&Ranked| {
        one.is_clear()
            && one.reading.command.name != best.reading.command.name
            && one.left.soft <= MUCH
            && one.value > 0.6
            && chances.likeliest().is_some_and(|(kind, chance)| kind == one.reading.command.name && chance > LIKELY)
    };
    if !best.reading.is_whole()
        && let Some(whole) = ranked.iter().find(whole)
    {
        return Outcome::Answer(Box::new(whole.clone()));
    }
    // What belongs to no game on a table is not asked about either.
    if message.has(Class::Outside) && !best.reading.is_whole() {
        return Outcome::Nothing;
    }
    let about = is_about(message);
    let least = match (best.reading.is_whole(), about) {
        (true, _) => LEAST,
        (false, true) => LEAST_NAMED,
        (false, false) => LEAST_ASKED,
    };
    if best.value < least {
        // Something complete that leaves too much over is offered, where it is asked at all.
        let whole = |one: &&Ranked| one.reading.is_whole() && one.value > 0.6;
        let offered: Vec<Reading> = ranked.iter().filter(whole).take(3).map(|one| one.reading.clone()).collect();
        let Some(first) = ranked.iter().find(whole) else { return Outcome::Nothing };
        // Offered alone, and word for word as it was typed: then it is answered.
        if let [only] = offered.as_slice()
            && only.command.name == "rule"
            && first.left.blocks.is_empty()
            && about
            && message.asks()
        {
            return Outcome::Answer(Box::new(first.clone()));
        }
        if first.reading.score > 2.0 || about {
            return if first.left.blocks.is_empty() {
                unsure(message, first, offered)
            } else {
                leftover(message, first, offered)
            };
        }
        return Outcome::Nothing;
    }
    let offers = |but: Option<usize>| -> Vec<Reading> {
        ranked
            .iter()
            .enumerate()
            .filter(|(at, one)| Some(*at) != but && one.reading.is_whole() && one.value > best.value - 1.4)
            .take(3)
            .map(|(_, one)| one.reading.clone())
            .collect()
    };
    if let Some((word, known)) = message.unclear.as_ref().filter(|_| best.reading.command.name != "pack") {
        let question = format!("What is meant by \u{201c}{word}\u{201d}: {}?", known.join(" or "));
        return Outcome::Ask {
            question,
            command: best.reading.command,
            option: None,
            offers: Vec::new(),
            choices: known.clone(),
        };
    }
    if let Act::Lacks { option, question, choices } = &best.reading.act {
        if !best.reading.variants.is_empty() {
            let offers = best.reading.variants.clone();
            let command = best.reading.command;
            return Outcome::Ask { question: question.clone(), command, option: None, offers, choices: Vec::new() };
        }
        // `dragon v heron`: whoever nobody knows is said to be unknown.
        let strange: Vec<String> = best
            .left
            .words
            .iter()
            .chain(&best.left.blocks)
            .filter(|at| message.tokens[**at].unknown && message.tokens[**at].word.len() > 3)
            .filter_map(|at| message.text.get(message.tokens[*at].span.clone()))
            .take(2)
            .map(|word| format!("\u{201c}{word}\u{201d}"))
            .collect();
        let fought = ["matchup", "duel", "needed", "compare"].contains(&best.reading.command.name);
        let lead = if strange.is_empty() || !fought {
            String::new()
        } else {
            format!("I don't know {}. ", strange.join(" or "))
        };
        return Outcome::Ask {
            question: format!("{lead}{question}"),
            command: best.reading.command,
            option: *option,
            offers: offers(Some(0)).into_iter().filter(|offer| offer.score > best.reading.score - 0.8).collect(),
            choices: choices.clone(),
        };
    }
    if !best.left.blocks.is_empty() {
        return leftover(message, best, offers(None));
    }
    if best.left.soft > MUCH {
        return unsure(message, best, offers(None));
    }
    let rival = ranked
        .iter()
        .skip(1)
        .find(|one| one.is_clear() && one.value > best.value - MARGIN && !same(&one.reading, &best.reading));
    if let Some(rival) = rival {
        let question = "Which of these do you mean?".to_owned();
        let offers = vec![best.reading.clone(), rival.reading.clone()];
        return Outcome::Ask { question, command: best.reading.command, option: None, offers, choices: Vec::new() };
    }
    let other = chances.likeliest().is_some_and(|(kind, chance)| kind != best.reading.command.name && chance > LIKELY);
    // What only looks something up gives no numbers for another question.
    let name = best.reading.command.name;
    let chance = chances.of(name).unwrap_or(1.0);
    let cued = !["matchup", "check", "compare"].contains(&name);
    let sure = best.value > SURE && (chance > NEVER || cued) && !["rule", "points"].contains(&name)
        || ["unit", "help", "pack"].contains(&name);
    if other && !sure && chance < UNLIKELY {
        let likely = |one: &&Ranked| one.is_clear() && chances.of(one.reading.command.name).is_some_and(|p| p > 0.2);
        let mut offers = vec![best.reading.clone()];
        offers.extend(ranked.iter().filter(likely).take(2).map(|one| one.reading.clone()));
        return unsure(message, best, offers);
    }
    Outcome::Answer(Box::new(best.clone()))
}

/// Whether something of the pack is named, or dice are.
fn is_about(message: &ParsedMessage<'_>) -> bool {
    use super::names::{Fit, Sort};
    use crate::typing::token::TokenKind;
    let named = message.mentions.iter().any(|one| match one.sort {
        Sort::Unit => true,
        Sort::Rule | Sort::Weapon | Sort::Option => one.fit == Fit::Whole,
        _ => false,
    });
    let dice = |what: &TokenKind| matches!(what, TokenKind::Dice(_) | TokenKind::Needs(_) | TokenKind::Faces(_));
    const CHANCES: &[&str] = &["chance", "chances", "odds", "likelihood", "probability", "prob", "percentage"];
    let chance = (0..message.tokens.len()).any(|at| message.any(at, CHANCES));
    let asked = chance
        || message.asks()
        || message.has(Class::Wh)
        || message.tokens.iter().any(|token| is_bare_number(&token.kind));
    let attacked = message.has(Class::Attack) && message.tokens.iter().any(|token| is_bare_number(&token.kind));
    asked && (named || attacked || message.tokens.iter().any(|token| dice(&token.kind)))
}

fn is_bare_number(what: &crate::typing::token::TokenKind) -> bool {
    matches!(what, crate::typing::token::TokenKind::Number(_) | crate::typing::token::TokenKind::Times(_))
}

fn same(one: &Reading, other: &Reading) -> bool {
    one.command.name == other.command.name
}

/// The reading leaves words over: they are named, and it is offered.
fn leftover(message: &ParsedMessage<'_>, best: &Ranked, offers: Vec<Reading>) -> Outcome {
    let mut words: Vec<&str> =
        best.left.blocks.iter().filter_map(|at| message.text.get(message.tokens[*at].span.clone())).collect();
    let mut seen = BTreeSet::new();
    words.retain(|word| seen.insert(*word));
    let words: Vec<String> = words.into_iter().take(4).map(|word| format!("\u{201c}{word}\u{201d}")).collect();
    let mut question = format!("I don't understand {}.", listed(&words));
    if !offers.is_empty() {
        question.push_str(" Is this what you mean? If not, say it in other words.");
    }
    Outcome::Ask { question, command: best.reading.command, option: None, offers, choices: Vec::new() }
}

/// So many ordinary words are left over that the reading may miss their meaning: it is offered.
pub fn unsure(message: &ParsedMessage<'_>, best: &Ranked, offers: Vec<Reading>) -> Outcome {
    let words: Vec<String> = best
        .left
        .words
        .iter()
        .filter_map(|at| message.text.get(message.tokens[*at].span.clone()))
        .take(3)
        .map(|word| format!("\u{201c}{word}\u{201d}"))
        .collect();
    let question = if words.is_empty() {
        "Is this what you mean?".to_owned()
    } else {
        format!("Is this what you mean? I didn't understand {}.", listed(&words))
    };
    Outcome::Ask { question, command: best.reading.command, option: None, offers, choices: Vec::new() }
}
