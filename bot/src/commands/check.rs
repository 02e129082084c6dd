//! `/check`: one roll or several.
use super::definition::{Answering, Command, Kind, Opt, Share};
use super::{Asked, Halt, named};
use crate::card::Card;
use crate::client::index::NameKind;
use crate::client::{Trouble, typed};
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::typing::Value;
use pipwright_shared::cards;
use pipwright_shared::wire::check::{CheckOutcome, CheckRequest};
use serde_json::{Value as Json, json};

/// The definition.
pub const CHECK: Command = Command {
    name: "check",
    about: "One roll or several: hazard, charge, morale, arrival",
    words: &["check", "checks", "test", "tests", "passing", "pass", "fail", "failing", "beat"],
    options: &[
        Opt::new("check", Kind::Name(NameKind::Check), "A check that the pack names, such as a charge"),
        Opt::new("unit", Kind::Name(NameKind::Unit), "The unit that takes the pack's check"),
        Opt::new("near", Kind::Name(NameKind::Unit), "A unit nearby").cues(&["beside", "alongside"]),
        Opt::new("distance", Kind::Distance, "What the pack's check asks for, such as a distance")
            .cues(&["distance", "over", "inch"])
            .bare(),
        Opt::new("needs", Kind::Needs, "What the roll needs, such as 7+, or 6- for 6 or less")
            .cues(&["need", "needed", "needing", "target"])
            .required("What does the roll need? Say it like 7+, or 6- for 6 or less.")
            .bare()
            .many(),
        Opt::new("dice", Kind::Dice, "The dice, such as 2d6 or d10").bare(),
        Opt::new("versus", Kind::Dice, "The other side's dice, where the higher total wins").bare(),
        Opt::new("modifier", Kind::Modifier, "Added to the total, such as +1")
            .cues(&["modifier", "plus", "minus"])
            .bare(),
        Opt::new("tries", Kind::Times, "How many rolls")
            .cues(&["try", "attempt", "roll", "turn", "test", "check", "model", "unit"])
            .bare(),
        Opt::new("want", Kind::Number, "How many of the tries must pass").cues(&[
            "pass",
            "passes",
            "success",
            "successes",
        ]),
        Opt::new("reroll", Kind::Reroll, "What is re-rolled, such as 1s"),
        Opt::new("rerolls", Kind::Budget, "How many failures may be re-rolled in all"),
        Opt::new("keep", Kind::Keep, "Which dice count, such as best of 2"),
        Opt::new(
            "ties",
            Kind::Choice(&[
                ("win", &["ties win", "win ties", "winning ties"]),
                ("again", &["ties again", "roll off", "roll offs"]),
            ]),
            "Who wins a tie of two totals",
        ),
        Opt::new(
            "low_fails",
            Kind::Flag(&["ones always fail", "1s always fail", "1 always fails"]),
            "A natural 1 always fails",
        ),
    ],
    shares: &[Share { cues: &[], part: "want", whole: "tries" }],
    examples: &[
        "/check 2d6 7+",
        "/check 3+ rerolling 1s, 4 times",
        "/check at least 3 of 5 on 4s",
        "/check best of 2d6 5+",
    ],
    path: Some("/v1/check"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let named = named::request(&asked).await?;
    if let Some(name) = asked.read.name("check").filter(|_| named.is_none()) {
        return named::all(&asked, name).await;
    }
    let (question, because) = match named {
        Some((request, because)) => (named_question(&asked, request), because),
        None => (question(&asked)?, Vec::new()),
    };
    let answer: CheckOutcome = asked.api.ask("/v1/check", &question).await?;
    let want = asked.read.number("want").or_else(|| hopes_to_fail(asked.text).then_some(0));
    let names = asked.index.map(|index| &**index);
    let mut card = with_request(&question, |check| cards::check::card(&check, names, want, &answer))?;
    card.link = Some(Link::new("/v1/check", question));
    if let Some(step) = card.steps.first_mut() {
        step.because = because;
    }
    Ok(card)
}

/// `fail a 2+ three times`: what is asked is that none passes.
fn hopes_to_fail(text: &str) -> bool {
    let text = text.to_lowercase();
    let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let again =
        |word: &&str| word.starts_with("re") || ["roll", "rolling", "again", "if", "any", "a", "first"].contains(word);
    words.iter().enumerate().any(|(at, word)| {
        ["fail", "fails", "failing"].contains(word)
            && !words[at.saturating_sub(2)..at].iter().any(again)
            && !words[at + 1..].iter().take(2).any(|word| ["rolls", "dice"].contains(word))
    })
}

/// A check of the pack, with what a message may add to it.
pub(super) fn named_question(asked: &Asked<'_>, mut request: Json) -> Json {
    for option in ["tries", "reroll", "rerolls", "keep"] {
        asked.put(&mut request, option, &format!("/{option}"));
    }
    if let Some(Value::Modifier(more)) = asked.read.given("modifier") {
        let own = request.modifier().unwrap_or(0);
        set(&mut request, "/modifier", json!(own + more));
    }
    request
}

pub(super) fn question(asked: &Asked<'_>) -> Result<Json, Halt> {
    let mut question = asked.question();
    for option in ["dice", "modifier", "tries", "reroll", "rerolls", "keep", "ties", "low_fails"] {
        asked.put(&mut question, option, &format!("/{option}"));
    }
    let needs: Vec<Json> = asked.read.all("needs").map(|arg| arg.value.json()).collect();
    match needs.as_slice() {
        [] => {}
        [one] => set(&mut question, "/needs", one.clone()),
        several => set(&mut question, "/needs", json!(several)),
    }
    if let Some(Value::Dice(dice)) = asked.read.given("versus") {
        let (dice, modifier) = parted(&full(dice, asked.die()));
        set(&mut question, "/versus", json!({"dice": dice, "modifier": modifier}));
    }
    if !question.versus().is_said() {
        asked.need(&question, "needs", "/needs")?;
    }
    resolve_dice(asked, &mut question)?;
    if let Some(want) = asked.read.number("want").filter(|want| *want > 1 && question.tries().is_none()) {
        // `pass three of them`: so many are rolled.
        set(&mut question, "/tries", json!(want.max(needs.len() as u64)));
    }
    if needs.len() > 1 && question.tries().is_none() {
        set(&mut question, "/tries", json!(needs.len()));
    }
    Ok(question)
}

/// Fills in the dice that were not said, or not in full: `best of 2`, `two dice`, `4+`.
fn resolve_dice(asked: &Asked<'_>, question: &mut Json) -> Result<(), Halt> {
    let die = asked.die();
    let said = question.dice().said().map(Draft::words);
    let kept_of = match asked.read.given("keep") {
        Some(Value::Keep { of: Some(of), .. }) => Some(*of),
        Some(Value::Keep { kept, .. }) if said.is_none() => Some(kept + 1),
        _ => None,
    };
    let dice = match (said, kept_of) {
        (Some(dice), Some(of)) if dice.starts_with('d') || dice.starts_with("1d") => {
            format!("{of}d{}", dice.split('d').nth(1).unwrap_or_default())
        }
        (Some(dice), _) => full(&dice, die),
        (None, Some(of)) => format!("{of}d{die}"),
        (None, None) if asked.read.all("needs").all(|arg| fits(&arg.value, die)) => format!("d{die}"),
        (None, None) => return Err(Halt::missing("dice", "Which dice are rolled? Say them like 2d6.")),
    };
    set(question, "/dice", json!(dice));
    Ok(())
}

/// The dice with their faces: `2d` are two of the usual dice.
fn full(dice: &str, die: u32) -> String {
    if dice.ends_with('d') { format!("{dice}{die}") } else { dice.to_owned() }
}

/// Dice and their constant: the other side's constant is its modifier.
fn parted(dice: &str) -> (String, i64) {
    match dice.find(['+', '-']) {
        Some(at) => (dice[..at].to_owned(), dice[at..].parse().unwrap_or(0)),
        None => (dice.to_owned(), 0),
    }
}

/// Whether one die can decide it.
fn fits(needs: &Value, die: u32) -> bool {
    let Value::Needs(needs) = needs else { return true };
    needs.trim_end_matches(['+', '-']).parse().map_or(true, |target: u32| target <= die)
}

/// What is made of a check as it was asked for.
fn with_request<T>(question: &Json, make: impl FnOnce(cards::check::Asked<'_>) -> T) -> Result<T, Trouble> {
    let request: CheckRequest = typed(question)?;
    let (dice, versus) = (question.dice().words(), question.versus().dice().words());
    Ok(make(cards::check::Asked { request: &request, dice: &dice, versus: &versus }))
}

/// All that was read, in canonical words.
///
/// # Errors
/// Where it is no check.
pub(super) fn described(question: &Json) -> Result<String, Trouble> {
    with_request(question, |check| cards::check::described(&check))
}
