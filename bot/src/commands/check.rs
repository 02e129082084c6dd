//! `/check`: one roll or several.
use super::definition::{Answering, Command, Kind, Opt, Share};
use super::{Asked, Halt, named};
use crate::card::{Card, Chart, Step};
use crate::client::index::NameKind;
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::saying::{apart, count, equal_to, listed, mean, needed, often, percent, proven, reroll, small, verb};
use crate::typing::Value;
use pipwright_shared::wire::check::CheckOutcome;
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
    let mut card = card(&asked, question, &answer);
    if let Some(step) = card.steps.first_mut() {
        step.because = because;
    }
    Ok(card)
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

/// Who takes a check that the pack words, and how often it passes: `The Heath Riders pass their charge of 8" half the time.`
fn whose(asked: &Asked<'_>, label: &str, often: &str) -> Option<String> {
    let (unit, check) = label.split_once(": ")?;
    let unit = asked.names().ok()?.unit_called(unit)?;
    let many = unit.most > 1 && unit.name == unit.plural;
    let mut letters = check.chars();
    let first: String = letters.next()?.to_lowercase().collect();
    let its = if many { "their" } else { "its" };
    // A test is passed, and a distance is made.
    let pass = verb(if check.ends_with('"') { "make" } else { "pass" }, many);
    let (unit, check) = (&unit.name, format!("{its} {first}{}", letters.as_str()));
    Some(match often {
        "always" | "never" => format!("The {unit} {often} {pass} {check}."),
        _ => format!("The {unit} {pass} {check} {often}."),
    })
}

fn card(asked: &Asked<'_>, question: Json, answer: &CheckOutcome) -> Card {
    let tries = question.tries().unwrap_or(1);
    let want = asked.read.number("want").filter(|want| *want > 0);
    let what = words(&question);
    let mut card = Card { read_as: described(&question), ..Card::default() };
    let opposed = question.versus().is_said();
    let chance = proven(answer.chance, Some(&answer.fraction));
    let (all, any) = (answer.passes.at_least(tries), answer.passes.at_least(1));
    let none = proven(answer.none.chance, (answer.passes.at_least(1) <= 0.0).then_some("1"));
    card.headline = match (tries, want) {
        (1, _) if opposed => format!("{} wins {}.", question.label().unwrap_or(&what), often(chance)),
        (1, _) => match question.label() {
            Some(label) => {
                whose(asked, label, &often(chance)).unwrap_or_else(|| format!("{label} passes {}.", often(chance)))
            }
            None => match kept(&question) {
                Some(kept) => format!("{kept} {}.", often(chance)),
                None => match often(chance).as_str() {
                    sure @ ("always" | "never") => format!("{what} {sure} passes."),
                    often => format!("{what} passes {often}."),
                },
            },
        },
        (_, Some(want)) => {
            let pass = verb("pass", want != 1);
            let which = if want == tries { "All".to_owned() } else { format!("At least {} of", small(want)) };
            format!("{which} {} {pass} {}.", small(tries), often(answer.passes.at_least(want)))
        }
        _ if all >= 1.0 => {
            format!("{} always pass.", if tries == 2 { "Both".to_owned() } else { format!("All {}", small(tries)) })
        }
        _ if any <= 0.0 => "None of them can pass.".to_owned(),
        _ => format!(
            "{} pass {}; at least one passes {} of the time.",
            if tries == 2 { "Both".to_owned() } else { format!("All {}", small(tries)) },
            often(all),
            apart(&[all, any])[1]
        ),
    };
    let fraction = equal_to(Some(&answer.fraction));
    let one = match tries {
        1 if opposed => "wins",
        1 => "passes",
        _ => "one roll passes",
    };
    card.line(one, format!("{}{fraction}", percent(chance)));
    if tries == 1 {
        card.line(if opposed { "loses" } else { "fails" }, percent(1.0 - chance));
        if opposed {
            let ties = match question.ties() {
                Some("win") => "win",
                Some("again") => "are rolled again",
                Some(_) => "lose",
                None => "lose (assumed)",
            };
            card.line("ties", ties);
        } else {
            let what = if one_die(&question) { "roll" } else { "total" };
            card.line(format!("{what} on average"), mean(answer.total.expected));
        }
    } else {
        card.line(if tries == 2 { "both pass".to_owned() } else { format!("all {tries} pass") }, percent(all));
        card.line("none passes", percent(none));
        card.line("passes on average", mean(answer.passes.expected));
    }
    card.steps.push(Step {
        name: if tries > 1 { "each roll" } else { "roll" }.into(),
        text: format!("{}: {}{fraction}", one_roll(&question), percent(chance)),
        ..Step::default()
    });
    let target = target(&question);
    let worst = worst_face(&question);
    card.chart = if tries > 1 {
        Some(Chart::of("passes", &answer.passes, |passes| passes >= want.unwrap_or(tries)))
    } else {
        // Of two sides, one side's total alone says little.
        target.map(|(least, at)| {
            let title = if one_die(&question) { "the roll" } else { "the total" };
            let passes = |total: u64| if least { total >= at } else { total <= at };
            Chart::of(title, &answer.total, |total| passes(total) && worst != Some(total))
        })
    };
    if question.reroll().is_none() && question.rerolls().is_none() {
        card.follow_up("re-roll failures", "what about rerolling failures");
    }
    card.follow_up("one more try", format!("what about {} tries", tries + 1));
    card.link = Some(Link::new("/v1/check", question));
    card
}

fn target(question: &Json) -> Option<(bool, u64)> {
    let needs = question.need()?;
    let at = needs.trim_end_matches(['+', '-']).parse().ok()?;
    Some((!needs.ends_with('-'), at))
}

/// Whether one die alone is read, with nothing added.
fn one_die(question: &Json) -> bool {
    let kept = question.keep().highest().or(question.keep().lowest());
    let dice = dice(question);
    let single = dice.starts_with('d') || dice.starts_with("1d") || kept == Some(1);
    single && !dice.contains(['+', '-']) && question.modifier().unwrap_or(0) == 0
}

/// The face that fails whatever is needed, where that makes a difference: of one die the worst one.
fn worst_face(question: &Json) -> Option<u64> {
    if *question.part("low_fails") != json!(true) || !one_die(question) {
        return None;
    }
    let faces: u64 = dice(question).split('d').nth(1)?.parse().ok()?;
    let (least, at) = target(question)?;
    match least {
        true if at <= 1 => Some(1),
        false if at >= faces => Some(faces),
        _ => None,
    }
}

fn dice(question: &Json) -> String {
    question.dice().words()
}

fn words(question: &Json) -> String {
    if let Some(other) = question.versus().said() {
        let more = other.modifier().filter(|more| *more != 0);
        let more = more.map_or_else(String::new, |more| format!("{more:+}"));
        return format!("{}{} against {}{more}", dice(question), plus(question), dice(other));
    }
    let needs = match question.needs() {
        Json::Array(several) => listed(&several.iter().filter_map(Json::as_str).map(needed).collect::<Vec<_>>()),
        one => needed(one.as_str().unwrap_or_default()),
    };
    let worst = worst_face(question);
    let but = worst.map_or_else(String::new, |face| format!(" (a natural {face} always fails)"));
    format!("{needs} on {}{}{but}", dice(question), plus(question))
}

/// What is added to the dice: `+4`.
fn plus(question: &Json) -> String {
    let modifier = question.modifier().filter(|modifier| *modifier != 0);
    modifier.map_or_else(String::new, |modifier| format!("{modifier:+}"))
}

/// Of dice of which not all count, what is rolled: `The best of 2d6 is 5+`, `The worst two of 3d6 come to 7 or less`.
fn kept(question: &Json) -> Option<String> {
    let (which, number) = [("highest", "best"), ("lowest", "worst")]
        .into_iter()
        .find_map(|(end, which)| Some((which, question.keep().part(end).as_u64()?)))?;
    let needs = needed(question.need()?);
    Some(match number {
        1 => format!("The {which} of {} is {needs}", dice(question)),
        number => format!("The {which} {} of {} come to {needs}", small(number), dice(question)),
    })
}

/// All that was read, in canonical words.
pub(super) fn described(question: &Json) -> String {
    let mut parts = vec![one_roll(question)];
    if let Some(budget) = question.rerolls() {
        parts.push(count(budget, "re-roll", "re-rolls"));
    }
    if let Some(tries) = question.tries().filter(|tries| *tries > 1) {
        parts.push(count(tries, "try", "tries"));
    }
    parts.join(", ")
}

/// One of the rolls, in canonical words.
fn one_roll(question: &Json) -> String {
    let mut parts: Vec<String> = question.label().map(str::to_owned).into_iter().collect();
    parts.push(words(question));
    for (end, name) in [("highest", "keeping the highest"), ("lowest", "keeping the lowest")] {
        if let Some(kept) = question.keep().part(end).as_u64() {
            parts.push(if kept == 1 { name.to_owned() } else { format!("{name} {kept}") });
        }
    }
    if let Some(what) = question.reroll() {
        parts.push(reroll(what, question.need()).to_owned());
    }
    parts.join(", ")
}
