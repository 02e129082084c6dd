//! The card of a check: one roll or several.
use super::{Card, Chart, Step};
use crate::report::saying::{
    apart, count, equal_to, listed, mean, needed, often, percent, proven, reroll, small, verb,
};
use crate::wire::check::{CheckOutcome, CheckRequest, CheckTies, NeedsList};
use crate::wire::packs::PackAnswer;

/// A check as it was asked for.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The question.
    pub request: &'a CheckRequest,
    /// Its dice as they were written: `d6` was no `1d6` to whoever wrote it.
    pub dice: &'a str,
    /// The other side's dice as they were written; empty where there is no other side.
    pub versus: &'a str,
}

/// Who takes a check that the pack words, and how often it passes: `The Heath Riders pass their charge of 8" half the time.`
fn whose(names: Option<&PackAnswer>, label: &str, often: &str) -> Option<String> {
    let (unit, check) = label.split_once(": ")?;
    let unit = names?.unit_called(unit)?;
    let many = unit.counts_as_many();
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

/// The card of a check; `want` is how many tries are hoped to pass (0: that none does), `names` are those of the pack that words it.
pub fn card(asked: &Asked<'_>, names: Option<&PackAnswer>, want: Option<u64>, answer: &CheckOutcome) -> Card {
    let request = asked.request;
    let tries = u64::from(request.tries.unwrap_or(1));
    let what = words(asked);
    let label = label(request);
    let mut card = Card { read_as: described(asked), ..Card::default() };
    let opposed = request.versus.is_some();
    let chance = proven(answer.chance, Some(&answer.fraction));
    let (all, any) = (answer.passes.at_least(tries), answer.passes.at_least(1));
    let none = proven(answer.none.chance, (answer.passes.at_least(1) <= 0.0).then_some("1"));
    card.headline = match (tries, want) {
        (1, _) if opposed => format!("{} wins {}.", label.unwrap_or(&what), often(chance)),
        (1, _) => match label {
            Some(label) => {
                whose(names, label, &often(chance)).unwrap_or_else(|| format!("{label} passes {}.", often(chance)))
            }
            None => match kept(asked) {
                Some(kept) => format!("{kept} {}.", often(chance)),
                None => match often(chance).as_str() {
                    sure @ ("always" | "never") => format!("{what} {sure} passes."),
                    often => format!("{what} passes {often}."),
                },
            },
        },
        (_, Some(0)) => format!("None of the {} passes {}.", small(tries), often(none)),
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
            let ties = match request.ties {
                Some(CheckTies::Win) => "win",
                Some(CheckTies::Again) => "are rolled again",
                Some(CheckTies::Lose) => "lose",
                None => "lose (assumed)",
            };
            card.line("ties", ties);
        } else {
            let what = if one_die(asked) { "roll" } else { "total" };
            card.line(format!("{what} on average"), mean(answer.total.expected));
        }
    } else {
        card.line(if tries == 2 { "both pass".to_owned() } else { format!("all {tries} pass") }, percent(all));
        card.line("none passes", percent(none));
        card.line("passes on average", mean(answer.passes.expected));
    }
    card.steps.push(Step {
        name: if tries > 1 { "each roll" } else { "roll" }.into(),
        text: format!("{}: {}{fraction}", one_roll(asked), percent(chance)),
        ..Step::default()
    });
    let target = target(request);
    let worst = worst_face(asked);
    card.chart = if tries > 1 {
        Some(Chart::of("passes", &answer.passes, |passes| passes >= want.unwrap_or(tries)))
    } else {
        // Of two sides, one side's total alone says little.
        target.map(|(least, at)| {
            let title = if one_die(asked) { "the roll" } else { "the total" };
            let passes = |total: u64| if least { total >= at } else { total <= at };
            Chart::of(title, &answer.total, |total| passes(total) && worst != Some(total))
        })
    };
    if request.reroll.is_none() && request.rerolls.is_none() {
        card.follow_up("re-roll failures", "what about rerolling failures");
    }
    card.follow_up("one more try", format!("what about {} tries", tries + 1));
    card
}

/// Whether the total is to be at least or at most so much; nothing where it goes by more than one number.
fn target(request: &CheckRequest) -> Option<(bool, u64)> {
    let needs = need(request)?;
    let at = needs.trim_end_matches(['+', '-']).parse().ok()?;
    Some((!needs.ends_with('-'), at))
}

/// Whether one die alone is read, with nothing added.
fn one_die(asked: &Asked<'_>) -> bool {
    let kept = asked.request.keep.and_then(|keep| keep.highest.or(keep.lowest));
    let dice = asked.dice;
    let single = dice.starts_with('d') || dice.starts_with("1d") || kept == Some(1);
    single && !dice.contains(['+', '-']) && asked.request.modifier.unwrap_or(0) == 0
}

/// The face that fails whatever is needed, where that makes a difference: of one die the worst one.
fn worst_face(asked: &Asked<'_>) -> Option<u64> {
    if asked.request.low_fails != Some(true) || !one_die(asked) {
        return None;
    }
    let faces: u64 = asked.dice.split('d').nth(1)?.parse().ok()?;
    let (least, at) = target(asked.request)?;
    match least {
        true if at <= 1 => Some(1),
        false if at >= faces => Some(faces),
        _ => None,
    }
}

/// What one try needs, where all need the same.
fn need(request: &CheckRequest) -> Option<String> {
    match request.needs.as_ref()? {
        NeedsList::One(needs) => Some(needs.to_string()),
        NeedsList::Each(_) => None,
    }
}

/// Who takes the check, and what it is called.
fn label(request: &CheckRequest) -> Option<&str> {
    request.label.as_ref().map(|label| label.0.as_str())
}

fn words(asked: &Asked<'_>) -> String {
    let (request, dice) = (asked.request, asked.dice);
    if let Some(other) = &request.versus {
        return format!("{dice}{} against {}{}", plus(request.modifier), asked.versus, plus(other.modifier));
    }
    let needs = match &request.needs {
        Some(NeedsList::Each(several)) => {
            listed(&several.iter().map(|needs| needed(&needs.to_string())).collect::<Vec<_>>())
        }
        Some(NeedsList::One(one)) => needed(&one.to_string()),
        None => needed(""),
    };
    let worst = worst_face(asked);
    let but = worst.map_or_else(String::new, |face| format!(" (a natural {face} always fails)"));
    format!("{needs} on {dice}{}{but}", plus(request.modifier))
}

/// What is added to the dice: `+4`.
fn plus(modifier: Option<i32>) -> String {
    let modifier = modifier.filter(|modifier| *modifier != 0);
    modifier.map_or_else(String::new, |modifier| format!("{modifier:+}"))
}

/// Of dice of which not all count, what is rolled: `The best of 2d6 is 5+`, `The worst two of 3d6 come to 7 or less`.
fn kept(asked: &Asked<'_>) -> Option<String> {
    let keep = asked.request.keep?;
    let best = keep.highest.map(|number| ("best", number));
    let (which, number) = best.or(keep.lowest.map(|number| ("worst", number)))?;
    let needs = needed(&need(asked.request)?);
    Some(match number {
        1 => format!("The {which} of {} is {needs}", asked.dice),
        number => format!("The {which} {} of {} come to {needs}", small(number.into()), asked.dice),
    })
}

/// All that was read, in canonical words.
pub fn described(asked: &Asked<'_>) -> String {
    let mut parts = vec![one_roll(asked)];
    if let Some(budget) = asked.request.rerolls.map(u64::from) {
        parts.push(count(budget, "re-roll", "re-rolls"));
    }
    if let Some(tries) = asked.request.tries.map(u64::from).filter(|tries| *tries > 1) {
        parts.push(count(tries, "try", "tries"));
    }
    parts.join(", ")
}

/// One of the rolls, in canonical words.
fn one_roll(asked: &Asked<'_>) -> String {
    let request = asked.request;
    let mut parts: Vec<String> = label(request).map(str::to_owned).into_iter().collect();
    parts.push(words(asked));
    let (highest, lowest) = request.keep.map_or((None, None), |keep| (keep.highest, keep.lowest));
    for (kept, name) in [(highest, "keeping the highest"), (lowest, "keeping the lowest")] {
        if let Some(kept) = kept {
            parts.push(if kept == 1 { name.to_owned() } else { format!("{name} {kept}") });
        }
    }
    if let Some(what) = request.reroll {
        parts.push(reroll(what.word(), need(request).as_deref()).to_owned());
    }
    parts.join(", ")
}
