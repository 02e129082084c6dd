//! `/draw`: tokens or cards drawn without putting back.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::typed;
use crate::draft::set;
use crate::link::Link;
use crate::typing::scan::folded;
use pipwright_shared::cards;
use pipwright_shared::wire::draw::DrawOutcome;
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
    let mut card = cards::draw::card(&typed(&question)?, &answer);
    card.link = Some(Link::new("/v1/draw", question));
    Ok(card)
}

/// Words beside a colour that are none.
const SMALL: &[&str] = &[
    "and", "on", "the", "with", "a", "of", "bag", "deck", "in", "out", "at", "least", "most", "or", "more", "my", "are",
];

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
