//! Questions about whole lists, and about a die: who attacks whom, the best list, what the points left buy, a fair die.
use super::battle::side_json;
use super::contest::seats;
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;
use super::reading::{Reading, Told, arg, mark};
use super::sides::Side;
use crate::commands::assign::{ASSIGN, each_apart};
use crate::commands::build::BUILD;
use crate::commands::fair::FAIR;
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::typing::Value;
use crate::typing::token::TokenKind;
use serde_json::{Value as Json, json};

const AGAINST: &[Class] =
    &[Class::Attack, Class::Kill, Class::Wh, Class::Vs, Class::Points, Class::Compare, Class::YesNo];

const ATTACKS: &[&str] = &[
    "shoots", "shoot", "attacks", "attack", "fires", "fire", "targets", "hits", "hit", "engages", "takes", "goes",
    "charges",
];

/// `who shoots what`, `who should attack whom`: where it stands, and how long it is.
pub fn who_whom(message: &ParsedMessage<'_>) -> Option<(usize, usize)> {
    (0..message.tokens.len()).find_map(|start| {
        let mut at = start;
        message.any(at, &["who", "which"]).then_some(())?;
        at += 1;
        at += usize::from(message.any(at, &["should", "best", "of", "ought"]));
        at += usize::from(message.any(at, &["us", "mine", "ours"]));
        at += usize::from(message.any(at, &["to"]));
        let goes = message.any(at, &["go"]) && message.any(at + 1, &["for", "after", "at"]);
        (goes || message.any(at, ATTACKS)).then_some(())?;
        at += 1;
        at += usize::from(message.any(at, &["at", "on", "for", "after"]));
        message.any(at, &["what", "whom", "who", "which"]).then_some((start, at + 1 - start))
    })
}

/// Who attacks whom.
pub fn assign(told: &Told<'_>) -> Option<Reading> {
    let (message, index) = (told.message, told.index());
    let (at, length) = who_whom(message)?;
    let mut used = told.battle.used.clone();
    mark(&mut used, at, at + length);
    // Whose they are is said by where they stand.
    for at in 0..used.len() {
        used[at] |=
            message.any(at, &["his", "her", "their", "theirs", "my", "our", "i", "have", "got", "he", "has", "the"]);
    }
    let all: Vec<&Side> = told.battle.fighters().collect();
    let (attackers, mut targets) = parted(told, &all);
    // `… and the punt has to go`: who is named again must be destroyed.
    let mut must: Vec<Json> = Vec::new();
    for at in (1..targets.len()).rev() {
        let again = targets[at];
        let known = targets[..at].iter().position(|side| side.unit() == again.unit());
        let doomed = (message.any(again.end(), &["has", "must", "needs", "got"]))
            && (again.end()..again.end() + 4).any(|at| message.any(at, &["go", "die", "fall", "sink", "goes"]));
        if let Some(known) = known.filter(|_| again.count.is_none() && doomed) {
            mark(&mut used, again.end(), again.end() + 3);
            targets.remove(at);
            must.push(json!({"target": known}));
        }
    }
    if attackers.is_empty() || targets.is_empty() {
        let question = "Who attacks, and against whom? Name your units, then v, then theirs.";
        return Some(Reading::lacks(&ASSIGN, Some("units"), question, 3.0, used, AGAINST));
    }
    let sides = |all: &[&Side], targets: bool| -> Vec<Json> {
        all.iter().flat_map(|side| each_apart(index, side_json(index, side, targets))).collect()
    };
    let mut question =
        json!({"pack": index.id, "attackers": sides(&attackers, false), "targets": sides(&targets, true)});
    if let Some(situation) = super::battle::situation(&told.battle.table) {
        set(&mut question, "/situation", situation);
    }
    if !must.is_empty() {
        set(&mut question, "/must", Json::Array(must));
    }
    Some(Reading::asks(&ASSIGN, question, 5.0, used, AGAINST))
}

/// Those before the word that parts two lists, and those behind it.
fn parted<'a>(told: &Told<'_>, all: &[&'a Side]) -> (Vec<&'a Side>, Vec<&'a Side>) {
    let message = told.message;
    // `his side: …`, `and he has …`, `he's got …`: theirs begin there.
    let theirs = || {
        (0..message.tokens.len()).find(|at| {
            message.any(*at, &["he", "she", "they", "opponent"])
                && message.any(*at + 1, &["has", "have", "got", "brings"])
                || message.any(*at, &["hes", "shes", "theyve"]) && message.any(*at + 1, &["got"])
                || message.any(*at, &["his", "her", "their", "theirs"])
                    && (message.is_end(*at + 1)
                        || message.any(*at + 1, &["side", "list", "army", "lot", "ones"]) && message.is_end(*at + 2))
        })
    };
    let Some(at) = message.spans(Class::Vs).map(|(at, _)| at).next().or_else(theirs) else { return seats(told, all) };
    let before = |side: &&&Side| side.start < at;
    (all.iter().filter(before).copied().collect(), all.iter().filter(|side| !before(side)).copied().collect())
}

/// Of a list: `what do the last 85 points buy`, `the best 400 points to add`.
pub fn added(message: &ParsedMessage<'_>, before: &Link) -> Option<Reading> {
    if before.path != "/v1/list-points" {
        return None;
    }
    let all = || 0..message.tokens.len();
    let any = |words: &[&str]| all().any(|at| message.any(at, words));
    let spends = any(&["buy", "buys", "spend", "add", "fill"]);
    let rest = any(&["last", "left", "rest", "remaining", "leftover"]);
    let best = any(&["best", "more"]) && any(&["add", "more"]);
    let named = message.named(Sort::Unit).next().is_some();
    let points = any(&["points", "pts"]);
    if named || !(points && spends && (rest || best) || rest && spends && !any(&["much"])) {
        return None;
    }
    let mut question = json!({"keep": before.question.part("lines")});
    for key in ["pack", "limit"] {
        if !before.question[key].is_null() {
            question[key] = before.question[key].clone();
        }
    }
    let more = all().find_map(|at| message.number(at)).filter(|_| !rest);
    let args = more.map(|more| arg("add", Value::Number(more))).into_iter().collect();
    let mut reading = Reading::args(&BUILD, args, 5.0, vec![true; message.tokens.len()], AGAINST);
    reading.before = Some(question);
    Some(reading)
}

/// `my die: 12 9 14 8 11 26`, `is my d20 fair`.
pub fn fair(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let all = || 0..message.tokens.len();
    let die = |at: usize| message.any(at, &["die", "dice"]) || matches!(message.tokens[at].kind, TokenKind::Dice(_));
    let owned =
        all().any(|at| die(at) && at > 0 && message.any(at - 1, &["my", "this", "his", "her", "their", "that"]));
    let judged =
        all().any(|at| message.any(at, &["fair", "loaded", "biased", "crooked", "weighted", "cursed", "honest"]));
    let numbers = all().filter(|at| message.number(*at).is_some()).count();
    // A die and what came up, or what it is suspected of, and no unit of the game.
    if message.named(Sort::Unit).next().is_some() || !all().any(die) || !(judged || owned && numbers >= 4) {
        return None;
    }
    let used = vec![true; message.tokens.len()];
    if numbers < 4 {
        return Some(Reading::lacks(&FAIR, Some("counts"), crate::commands::fair::ASKS, 2.6, used, AGAINST));
    }
    Some(Reading::args(&FAIR, vec![arg("counts", Value::Text(message.text.to_owned()))], 5.0, used, AGAINST))
}
