//! The card of tokens or cards drawn without putting back.
use super::{Card, Chart, Step};
use crate::report::saying::{count, equal_to, listed, mean, often, percent, proven, sentence, small, unproven, verb};
use crate::wire::draw::{DrawOutcome, DrawRequest, EndRow};

/// The card of draws.
pub fn card(request: &DrawRequest, answer: &DrawOutcome) -> Card {
    let mut card = Card { read_as: described(request), ..Card::default() };
    let ends_on = request.ends_on.as_ref().and_then(|ends| ends.keys().next().cloned());
    let most = answer.colours.iter().max_by(|a, b| a.1.first.chance.total_cmp(&b.1.first.chance));
    card.headline = match (&ends_on, &answer.ended) {
        (Some(end), Some(ended)) => {
            let half = answer.ends.iter().flatten().find(|row| row.by >= 0.5);
            let half =
                half.map_or_else(String::new, |row| format!("; it is over by draw {} {}", row.draw, often(row.by)));
            let drawn = count_mean(answer.drawn.expected);
            // Whoever draws until the end comes to it.
            if request.draws.is_none() {
                format!("It takes {drawn} on average until {end} comes up{half}.")
            } else {
                let ended = often(unproven(ended.chance));
                format!("{} comes up {ended}; on average {drawn} are made{half}.", sentence(end))
            }
        }
        _ => match most {
            Some((name, colour)) => format!(
                "{} is drawn first {}; on average {} of the draws are {}.",
                sentence(name),
                often(proven(colour.first.chance, colour.first.fraction.as_deref())),
                mean(colour.drawn.expected),
                name
            ),
            None => "Nothing is drawn.".to_owned(),
        },
    };
    if let (Some(hoped), Some(wanted)) = (hoped(request), &answer.wanted) {
        let chance = proven(wanted.at_least.chance, wanted.at_least.fraction.as_deref());
        card.headline = format!("{} {}.", sentence(&comes(request, &hoped, ends_on.is_some())), often(chance));
    }
    // The token that ends it comes for certain where all is drawn: that is no news.
    let ends_it = |name: &String| ends_on.as_ref() == Some(name) && request.draws.is_none();
    for (name, colour) in &answer.colours {
        let fraction = equal_to(colour.first.fraction.as_deref());
        if !ends_it(name) {
            let (drawn, any) = (mean(colour.drawn.expected), percent(colour.drawn.at_least(1)));
            card.line(name.clone(), format!("{drawn} on average, at least one {any}"));
        }
        card.steps.push(Step {
            name: name.clone(),
            text: format!("drawn first {}{fraction}", percent(colour.first.chance)),
            ..Step::default()
        });
    }
    let asked_for = only_wanted(request).and_then(|(name, least)| Some((answer.colours.get(&name)?, name, least)));
    let ends_shown = ends_on.is_some() && asked_for.is_none();
    // The bars say how likely it ends with each draw; what is left to say is how likely it has by then.
    let end = |row: &EndRow| Step {
        name: format!("by draw {}", row.draw),
        text: format!("ended {}", percent(row.by)),
        ..Step::default()
    };
    card.steps.extend(answer.ends.iter().flatten().map(end));
    card.chart = match (asked_for, most) {
        (Some((colour, name, least)), _) => {
            Some(Chart::of(format!("{name} drawn"), &colour.drawn, |drawn| drawn >= least))
        }
        _ if ends_shown => Some(Chart::of("draws until the end", &answer.drawn, |_| true)),
        (None, Some((name, colour))) => Some(Chart::of(format!("{name} drawn"), &colour.drawn, |drawn| drawn > 0)),
        _ => None,
    };
    if let Some(draws) = request.draws.map(u64::from) {
        card.follow_up("one more draw", format!("what about {} draws", draws + 1));
    }
    card
}

/// `at least two red`, `at least two red and one blue`.
fn hoped(request: &DrawRequest) -> Option<String> {
    let wanted = request.wanted.as_ref().filter(|wanted| !wanted.is_empty())?;
    let said: Vec<String> = wanted.iter().map(|(name, count)| format!("{} {name}", small(u64::from(*count)))).collect();
    Some(format!("at least {}", listed(&said)))
}

/// What is hoped for with its verb: `both are white`, `at least two of the 3 are black`, `at least two red come out before
/// the end`.
fn comes(request: &DrawRequest, hoped: &str, ends: bool) -> String {
    let draws = request.draws.map(u64::from);
    match (only_wanted(request), draws) {
        (Some((name, least)), Some(draws)) if !ends && least <= draws => match (least, draws) {
            (1, 1) => format!("the one drawn is {name}"),
            (2, 2) => format!("both are {name}"),
            _ if least == draws => format!("all {draws} are {name}"),
            _ => format!("at least {} of the {draws} {} {name}", small(least), verb("are", least != 1)),
        },
        _ => {
            let total: u64 = request.wanted.iter().flatten().map(|(_, count)| u64::from(*count)).sum();
            let within = match draws {
                Some(draws) => format!(" in {}", count(draws, "draw", "draws")),
                None if ends => " before the end".to_owned(),
                None => String::new(),
            };
            format!("{hoped} {} out{within}", verb("come", total != 1))
        }
    }
}

/// The one colour that is hoped for, and how many of it.
fn only_wanted(request: &DrawRequest) -> Option<(String, u64)> {
    let wanted = request.wanted.as_ref()?;
    let (name, least) = wanted.iter().next().filter(|_| wanted.len() == 1)?;
    Some((name.clone(), u64::from(*least)))
}

fn count_mean(number: f64) -> String {
    format!("{} draws", mean(number))
}

/// All that was read, in canonical words.
fn described(request: &DrawRequest) -> String {
    let named = |pair: (&String, &u32)| format!("{} {}", pair.1, pair.0);
    let mut parts: Vec<String> = request.contents.iter().map(named).collect();
    if let Some(draws) = request.draws.map(u64::from) {
        parts.push(count(draws, "draw", "draws"));
    }
    parts.extend(hoped(request));
    parts.extend(request.ends_on.iter().flatten().map(|(name, _)| format!("until {name}")));
    parts.join(", ")
}
