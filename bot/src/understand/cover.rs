//! Each word that carries meaning must be explained by the reading; what is left over blocks it.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::{Fit, Sort};
use super::reading::{Act, Reading};
use crate::typing::token::TokenKind;

mod aside;
use aside::{ASIDE, asides, is_person, owned_unknown};

/// What a reading leaves over.
#[derive(Clone, Debug, Default)]
pub struct Left {
    /// Words that block it.
    pub blocks: Vec<usize>,
    /// How much else is left: ordinary words.
    pub soft: f64,
    /// Which ordinary words those are.
    pub words: Vec<usize>,
}

/// Holds a reading against all words.
pub fn left(message: &ParsedMessage<'_>, reading: &Reading) -> Left {
    let mut left = Left::default();
    // A check that the pack names is no question in plain numbers.
    let named = matches!(&reading.act, Act::Args(read) if read.name("check").is_some());
    let named_check = named;
    let plain = reading.is_whole() && !named && ["check", "odds", "draw", "blast"].contains(&reading.command.name);
    let asides = asides(message, &reading.used);
    for (at, token) in message.tokens.iter().enumerate() {
        if reading.used.get(at).copied().unwrap_or(false) {
            continue;
        }
        match &token.kind {
            TokenKind::Break | TokenKind::Line | TokenKind::Colon | TokenKind::Plus => continue,
            TokenKind::Word(_) => {}
            TokenKind::Number(number)
                if token.word == "one"
                    && (*number - 1.0).abs() < 0.1
                    && !message.any(at.wrapping_sub(1), &["plus", "minus"]) =>
            {
                continue;
            }
            // `took seven off. seven.`
            TokenKind::Number(_) if is_said_again(message, &reading.used, at) => continue,
            // `table 5 wants to know`, `after ten minutes`: no number of the game.
            TokenKind::Number(_) if is_beside_the_game(message, at) => {
                left.soft += 0.1;
                left.words.push(at);
                continue;
            }
            // `which ones count as beasts`
            TokenKind::Faces(1)
                if message.any(at.wrapping_sub(1), &["which", "what", "those", "these", "the", "other"]) =>
            {
                left.soft += 0.1;
                continue;
            }
            // `which of the two`, `swap the two sides`: both that were named.
            TokenKind::Number(_) if is_both(message, at) => continue,
            // `as I have told him twice`
            TokenKind::Times(_)
                if !["check", "repair", "odds"].contains(&reading.command.name)
                    && message
                        .text
                        .get(token.span.clone())
                        .is_some_and(|said| said.chars().all(char::is_alphabetic)) =>
            {
                left.soft += 0.3;
                left.words.push(at);
                continue;
            }
            _ => {
                left.blocks.push(at);
                continue;
            }
        }
        let cue = reading.cues.iter().any(|class| token.classes.has(*class));
        let halved = (token.classes.has(Class::Half) || token.classes.has(Class::Double))
            && matches!(token.word.as_str(), "half" | "halve" | "double");
        if halved && !cue {
            left.blocks.push(at);
            continue;
        }
        let named = message.mentions.iter().filter(|one| one.at <= at && at < one.at + one.len);
        let blocking = named.clone().any(|one| match one.sort {
            // `crosses a lock`: a word of a name as an ordinary one.
            Sort::Unit if one.fit == Fit::Part && ["blast", "draw"].contains(&reading.command.name) => false,
            Sort::Unit
                if one.fit == Fit::Part && named_check && message.any(at.wrapping_sub(1), &["a", "an", "the"]) =>
            {
                false
            }
            Sort::Unit => one.fit != Fit::Part || one.ids.len() == 1 && !token.classes.has(Class::Small),
            Sort::Option | Sort::Weapon => one.fit != Fit::Part,
            Sort::Rule => one.fit == Fit::Whole && (one.len > 1 || !pipwright_shared::english::is_word(&token.word)),
            Sort::Flag | Sort::Status => true,
            // `how much frame will it lose`: of what is lost, the answer tells anyway.
            Sort::Stat if message.any(one.at.wrapping_sub(1), &["much", "many"]) && message.has(Class::Suffer) => false,
            Sort::Stat => !token.classes.has(Class::Small) && !is_label(message, at),
            Sort::Cover => one.len > 1 || !pipwright_shared::english::is_word(&token.word),
            Sort::Check | Sort::Arc | Sort::Range | Sort::Role | Sort::Term => false,
        });
        // `nerve test wardens with the banner`: whoever or whatever is with them changes the roll.
        let beside = ["with", "w", "near", "beside"];
        if named_check && token.classes.is_empty() && !cue && message.any(before_article(message, at), &beside) {
            left.blocks.push(at);
            continue;
        }
        // A result that is told asks for no chance of it.
        if reading.command.name == "check"
            && reading.is_whole()
            && ["passed", "failed", "missed"].contains(&token.word.as_str())
        {
            left.soft += 1.3;
            left.words.push(at);
            continue;
        }
        // Who stands near changes an attack.
        if left_near(message, reading, at) {
            left.soft += 1.3;
            left.words.push(at);
            continue;
        }
        // Who goes first changes a fight.
        if reading.command.name == "duel"
            && reading.is_whole()
            && message.any(at, &["first", "second", "starts", "begins", "opens"])
            && !message.any(at.wrapping_sub(1), &["goes", "who", "at", "dies", "drops", "falls", "the"])
        {
            left.soft += 1.3;
            left.words.push(at);
            continue;
        }
        if reading.is_whole() && !cue && owned_unknown(message, reading, at) {
            left.soft += 1.3;
            left.words.push(at);
            continue;
        }
        // `only uses the beak`, where the beak was not taken for all that is used.
        let only = message.any(at, &["only", "nothing"])
            && (at + 1..at + 5).any(|at| {
                message.mentions.iter().any(|one| one.at == at && matches!(one.sort, Sort::Weapon | Sort::Option))
            });
        if only
            && ["matchup", "needed", "luck", "duel", "compare"].contains(&reading.command.name)
            && reading.is_whole()
        {
            left.soft += 1.3;
            left.words.push(at);
            continue;
        }
        // A move changes an attack.
        if message.any(at, MOVES)
            && ["matchup", "needed", "luck", "compare"].contains(&reading.command.name)
            && reading.is_whole()
        {
            left.soft += 1.3;
            left.words.push(at);
            continue;
        }
        // In plain numbers each word counts: `both black`, `again if I fail`.
        if plain
            && !message.is(at, Class::Wh)
            && QUANTITIES.contains(&token.word.as_str())
            && !(token.word == "all" && message.any(at.wrapping_sub(1), &["at"]))
        {
            left.soft += 1.3;
            left.words.push(at);
            continue;
        }
        // `no commentary from Dunc`, `enjoy your fireworks`: a clause that names nothing of the game.
        if asides[at] {
            left.soft += if token.classes.has(Class::Small) || cue || is_person(message, at) { 0.0 } else { ASIDE };
            left.words.push(at);
            continue;
        }
        if is_person(message, at) {
            left.soft += 0.1;
            left.words.push(at);
            continue;
        }
        // `given that they are Ice-wise`: what the unit is anyway.
        let given = ["check", "matchup", "repair"].contains(&reading.command.name)
            && named.clone().all(|one| {
                one.sort == Sort::Rule
                    && message.any(one.at.wrapping_sub(1), &["are", "is", "being", "were", "theyre", "hes", "its"])
            })
            && named.clone().next().is_some();
        if given {
            left.soft += 0.2;
            left.words.push(at);
            continue;
        }
        // A range or an arc by its own name that no reading of the table has taken.
        let placed = named.clone().any(|one| matches!(one.sort, Sort::Range | Sort::Arc) && one.fit == Fit::Whole);
        if placed && !cue && ["matchup", "needed", "luck", "compare", "duel"].contains(&reading.command.name) {
            let range = named.clone().any(|one| one.sort == Sort::Range);
            left.soft += if range { 1.3 } else { 1.0 };
            left.words.push(at);
            continue;
        }
        // `chat chat chat`: said again at once, it weighs nothing more. Few are looked at, however long the message.
        let again = |known: &usize| message.word(*known) == token.word;
        if !blocking && token.classes.is_empty() && left.words.iter().rev().take(8).any(again) {
            continue;
        }
        if blocking
            && !(cue
                && named.clone().all(|one| matches!(one.sort, Sort::Check | Sort::Weapon | Sort::Rule | Sort::Cover)))
        {
            left.blocks.push(at);
        } else if cue {
        } else if is_denial(message, at) {
            left.blocks.push(at);
        } else if token.classes.has(Class::Small) {
        } else if token.classes.is_empty() && !token.unknown && is_whereabouts(message, at) {
            left.blocks.push(at);
        } else if token.word == "without" && message.word(at + 1).ends_with("ing") && message.number(at + 1).is_none() {
            left.soft += 0.3;
            left.words.push(at);
        } else if token.classes.has(Class::Without) && token.word != "no" || token.classes.has(Class::Charged) {
            left.blocks.push(at);
        } else if is_place(token.classes) {
            left.soft += 1.2;
            left.words.push(at);
            if at > 0 && message.any(at - 1, &["from", "in", "at", "the", "on"]) {
                left.blocks.push(at);
            }
        } else if token.unknown {
            left.soft += 0.8;
            left.words.push(at);
            if at > 0 && message.any(at - 1, &["with", "w", "without", "near", "no", "in", "behind"])
                || at > 1
                    && message.any(at - 1, &["a", "the"])
                    && message.any(at - 2, &["with", "without", "near", "behind", "in"])
            {
                left.blocks.push(at);
            }
        } else if named.clone().any(|one| one.sort == Sort::Rule && one.fit == Fit::Whole) {
            left.soft += 1.3;
            left.words.push(at);
        } else {
            left.soft += if token.classes.is_empty() { 0.35 } else { 0.25 } + if plain { 0.2 } else { 0.0 };
            left.words.push(at);
        }
    }
    left
}

/// The place before a name, over its article; `with his banner` says nothing new of whoever has it.
fn before_article(message: &ParsedMessage<'_>, at: usize) -> usize {
    let before = at.wrapping_sub(1);
    if message.any(before, &["a", "an", "the", "my", "our"]) { before.wrapping_sub(1) } else { before }
}

/// Words of movement that no reading of the table has taken.
const MOVES: &[&str] =
    &["move", "moved", "moves", "moving", "march", "marched", "marching", "advance", "advanced", "advancing", "walked"];

/// Words that change what plain numbers say.
const QUANTITIES: &[&str] = &[
    "both",
    "all",
    "none",
    "neither",
    "either",
    "every",
    "again",
    "twice",
    "half",
    "double",
    "exactly",
    "except",
    "automatically",
    "always",
    "best",
    "worst",
    "highest",
    "lowest",
    "another",
    "fewer",
    "passed",
    "failed",
    "missed",
    "rolled",
    "until",
    "till",
];

/// `next to`, `beside` that no reading of an attack has given to anybody.
fn left_near(message: &ParsedMessage<'_>, reading: &Reading, at: usize) -> bool {
    const NEAR: &[&str] =
        &["near", "beside", "alongside", "next", "adjacent", "accompanied", "supported", "backed", "led"];
    message.any(at, NEAR)
        && message.spans(Class::Near).any(|(from, len)| from <= at && at < from + len)
        && ["matchup", "needed", "luck", "check", "repair"].contains(&reading.command.name)
        && reading.is_whole()
}

/// A number that stands alone as a sentence and repeats one that is explained.
fn is_said_again(message: &ParsedMessage<'_>, used: &[bool], at: usize) -> bool {
    let alone = (at == 0 || message.is_end(at - 1)) && message.is_end(at + 1);
    alone && (0..at).any(|before| used[before] && message.number(before) == message.number(at))
}

/// `table 5`, `for round 3:`, `ten minutes`, `he is 9`: a number of the evening, and none of the game.
fn is_beside_the_game(message: &ParsedMessage<'_>, at: usize) -> bool {
    const TIMES: &[&str] = &[
        "minute", "minutes", "min", "mins", "hour", "hours", "week", "weeks", "month", "months", "year", "years",
        "quid", "pounds", "euros", "bucks", "seconds", "oclock", "pm", "am", "beers", "pints",
    ];
    let ends = message.is_end(at + 1);
    let place = at > 0
        && (message.any(at - 1, &["table", "board", "pitch", "court"])
            || message.any(at - 1, &["round", "game", "match"])
                && ends
                && (at == 1 || message.any(at - 2, &["for", "of", "from"])));
    let age = ends
        && at > 1
        && (message.any(at - 1, &["hes", "shes"])
            || message.any(at - 1, &["is", "turned"]) && message.any(at - 2, &["he", "she"]));
    place || age || message.any(at + 1, TIMES)
}

/// `the two`, `the two sides`, `these two`: no number of anything.
fn is_both(message: &ParsedMessage<'_>, at: usize) -> bool {
    let pointed = at > 0 && message.any(at - 1, &["the", "these", "those", "other", "last"]);
    let ends = message.is_end(at + 1)
        || message.any(
            at + 1,
            &["sides", "units", "would", "will", "is", "does", "do", "of", "then", "wins", "has", "places", "comes"],
        );
    message.number(at) == Some(2) && pointed && ends && message.named_at(Sort::Unit, at + 1).is_none()
}

/// `not`, `no`, `without` that nothing explains.
fn is_denial(message: &ParsedMessage<'_>, at: usize) -> bool {
    let word = message.word(at);
    if message.is(at, Class::Small) {
        return false;
    }
    match word {
        "without" => message.mentions.iter().any(|one| {
            one.at > at
                && one.at <= at + 4
                && matches!(one.sort, Sort::Rule | Sort::Option | Sort::Unit | Sort::Cover | Sort::Weapon | Sort::Flag)
        }),
        "not" | "except" => {
            const HELPING: &[&str] = &["can", "could", "will", "would"];
            !message.any(at.wrapping_sub(1), &["why", "or", "if", "am", "do", "may"])
                && !message.any(at.wrapping_sub(1), HELPING)
                && !message.any(at + 1, HELPING)
        }
        "no" => {
            !message.is_end(at + 1)
                && !(at > 0 && message.any(at - 1, &["and", "but", "or"]))
                && !message.any(at + 1, &["it", "he", "they", "she", "we", "i", "that"])
                && !message
                    .any(at + 1, &["idea", "doubt", "matter", "one", "chance", "way", "problem", "mate", "wait", "no"])
        }
        _ => false,
    }
}

fn is_place(classes: super::lexicon::Classes) -> bool {
    [
        Class::ArcFront,
        Class::ArcSide,
        Class::ArcRear,
        Class::MidBand,
        Class::FarBand,
        Class::ContactBand,
        Class::CoverHard,
        Class::CoverSoft,
        Class::CoverSome,
        Class::CoverNone,
        Class::Fog,
    ]
    .into_iter()
    .any(|class| classes.has(class))
}

/// The club's own word for what is lost.
fn is_label(message: &ParsedMessage<'_>, at: usize) -> bool {
    use crate::typing::fillers::singular;
    let word = singular(message.word(at));
    message.index.labels.values().any(|label| label.split(' ').any(|part| singular(part) == word))
}

/// `up the ladder`, `behind a cart`, `in the mud`: a place that nobody knows.
fn is_whereabouts(message: &ParsedMessage<'_>, at: usize) -> bool {
    const ARTICLES: &[&str] = &["the", "a", "an", "some", "that", "this"];
    let Some(before) = at.checked_sub(1) else { return false };
    let article = message.any(before, ARTICLES);
    let lead = if article { before.checked_sub(1) } else { Some(before) };
    lead.is_some_and(|lead| {
        message.any(lead, &["behind", "under", "inside", "beneath"]) || article && message.any(lead, &["up", "in"])
    })
}
