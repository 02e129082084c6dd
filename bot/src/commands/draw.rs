//! `/draw`: tokens or cards drawn without putting back.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::{Card, Chart, Step};
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::saying::{count, equal_to, listed, mean, often, percent, proven, sentence, small, unproven, verb};
use crate::typing::scan::folded;
use pipwright_shared::wire::draw::{DrawOutcome, EndRow};
use serde_json::{Map, Value as Json, json};

/// The definition.
pub const DRAW: Command = Command {
    name: "draw",
    about: "Tokens from a bag or cards from a deck: which come, and when it ends",
    words: &["draw", "drawing", "bag", "token", "tokens", "card", "cards", "deck"],
    options: &[
        Opt::new("draws", Kind::Number, "How many are drawn; all unless you say").cues(&["drawn", "pulls", "pull"]),
        Opt::new("contents", Kind::Text, "What is in the bag: 4 red, 3 blue, 1 end; and `until end` for what ends it")
            .required("What is in the bag? Say it like 4 red, 3 blue."),
    ],
    shares: &[],
    examples: &["/draw 4 red, 3 blue, 1 end, until end", "/draw 4 red 3 blue, 2 draws"],
    path: Some("/v1/draw"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let mut question = asked.question();
    if let Some(text) = asked.read.text("contents") {
        let (contents, ends, draws) = contents(text);
        if let Some(draws) = draws {
            set(&mut question, "/draws", json!(draws));
        }
        if !contents.is_empty() {
            set(&mut question, "/contents", Json::Object(contents));
        }
        if let Some(end) = ends {
            set(&mut question, "/ends_on", json!({ end: 1 }));
        }
    }
    asked.put(&mut question, "draws", "/draws");
    asked.need(&question, "contents", "/contents")?;
    let answer: DrawOutcome = asked.api.ask("/v1/draw", &question).await?;
    Ok(card(question, &answer))
}

/// Words beside a colour that are none.
const SMALL: &[&str] = &[
    "and", "on", "the", "with", "a", "of", "bag", "deck", "in", "out", "at", "least", "most", "or", "more", "my", "are",
];

/// `at least two red`, `at least two red and one blue`.
fn hoped(question: &Json) -> Option<String> {
    let wanted = question.wanted().as_object().filter(|wanted| !wanted.is_empty())?;
    let said: Vec<String> =
        wanted.iter().map(|(name, count)| format!("{} {name}", small(count.as_u64().unwrap_or(1)))).collect();
    Some(format!("at least {}", listed(&said)))
}

/// What is hoped for with its verb: `both are white`, `at least two of the 3 are black`, `at least two red come out before
/// the end`.
fn comes(question: &Json, hoped: &str, ends: bool) -> String {
    let draws = question.draws();
    match (only_wanted(question), draws) {
        (Some((name, least)), Some(draws)) if !ends && least <= draws => match (least, draws) {
            (1, 1) => format!("the one drawn is {name}"),
            (2, 2) => format!("both are {name}"),
            _ if least == draws => format!("all {draws} are {name}"),
            _ => format!("at least {} of the {draws} {} {name}", small(least), verb("are", least != 1)),
        },
        _ => {
            let total: u64 = question.wanted().fields().filter_map(|(_, n)| n.as_u64()).sum();
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
fn only_wanted(question: &Json) -> Option<(String, u64)> {
    let wanted = question.wanted().as_object()?;
    let (name, least) = wanted.iter().next().filter(|_| wanted.len() == 1)?;
    Some((name.clone(), least.as_u64().unwrap_or(1)))
}

/// `4 red, blue 3`: each colour with its number; and the colour behind `until` or `ends on`.
fn contents(text: &str) -> (Map<String, Json>, Option<String>, Option<u64>) {
    let text = folded(text);
    let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let (mut contents, mut ends, mut draws) = (Map::new(), None, None);
    let (mut number, mut name, mut ending) = (None::<u64>, None::<&str>, false);
    for word in words {
        match word.parse::<u64>() {
            Ok(count) => number = Some(count),
            Err(_) if matches!(word, "until" | "ends" | "ending") => ending = true,
            // `4 cards from …`: so many are drawn.
            Err(_) if matches!(word, "tokens" | "cards" | "from") => draws = number.take().or(draws),
            Err(_) if SMALL.contains(&word) => {}
            Err(_) if ending => (ends, ending) = (Some(word.to_owned()), false),
            Err(_) => name = Some(word),
        }
        if let (Some(count), Some(word)) = (number, name) {
            contents.insert(word.to_owned(), json!(count));
            (number, name) = (None, None);
        }
    }
    // `draw 3` at the end: nobody has a colour of that name.
    if let Some(count) = ["draw", "drawing"].iter().find_map(|word| contents.remove(*word)) {
        draws = count.as_u64();
    } else if name.is_some_and(|name| name.starts_with("draw")) {
        draws = number.or(draws);
    }
    (contents, ends, draws)
}

fn card(question: Json, answer: &DrawOutcome) -> Card {
    let mut card = Card { read_as: described(&question), ..Card::default() };
    let ends_on = question.ends_on().fields().next().map(|(name, _)| name.clone());
    let most = answer.colours.iter().max_by(|a, b| a.1.first.chance.total_cmp(&b.1.first.chance));
    card.headline = match (&ends_on, &answer.ended) {
        (Some(end), Some(ended)) => {
            let half = answer.ends.iter().flatten().find(|row| row.by >= 0.5);
            let half =
                half.map_or_else(String::new, |row| format!("; it is over by draw {} {}", row.draw, often(row.by)));
            let drawn = count_mean(answer.drawn.expected);
            // Whoever draws until the end comes to it.
            if question.draws().is_none() {
                format!("It takes {drawn} on average until {end} comes up{half}.")
            } else {
                let ended = often(unproven(ended.chance));
                format!("{} comes up {ended}; on average {drawn} are made{half}.", crate::saying::sentence(end))
            }
        }
        _ => match most {
            Some((name, colour)) => format!(
                "{} is drawn first {}; on average {} of the draws are {}.",
                crate::saying::sentence(name),
                often(proven(colour.first.chance, colour.first.fraction.as_deref())),
                mean(colour.drawn.expected),
                name
            ),
            None => "Nothing is drawn.".to_owned(),
        },
    };
    if let (Some(hoped), Some(wanted)) = (hoped(&question), &answer.wanted) {
        let chance = proven(wanted.at_least.chance, wanted.at_least.fraction.as_deref());
        card.headline = format!("{} {}.", sentence(&comes(&question, &hoped, ends_on.is_some())), often(chance));
    }
    // The token that ends it comes for certain where all is drawn: that is no news.
    let ends_it = |name: &String| ends_on.as_ref() == Some(name) && question.draws().is_none();
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
    let asked_for = only_wanted(&question).and_then(|(name, least)| Some((answer.colours.get(&name)?, name, least)));
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
    if let Some(draws) = question.draws() {
        card.follow_up("one more draw", format!("what about {} draws", draws + 1));
    }
    card.link = Some(Link::new("/v1/draw", question));
    card
}

fn count_mean(number: f64) -> String {
    format!("{} draws", mean(number))
}

/// All that was read, in canonical words.
fn described(question: &Json) -> String {
    let named = |pair: (&String, &Json)| format!("{} {}", pair.1, pair.0);
    let mut parts: Vec<String> = question.contents().fields().map(named).collect();
    if let Some(draws) = question.draws() {
        parts.push(count(draws, "draw", "draws"));
    }
    parts.extend(hoped(question));
    parts.extend(question.ends_on().fields().map(|(name, _)| format!("until {name}")));
    parts.join(", ")
}
