//! `/pack`: which house rules this chat plays by.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::index::{PackIndex, name_words};
use crate::client::is_address;
use crate::saying::{sentence, the};

/// The definition.
pub const PACK: Command = Command {
    name: "pack",
    about: "Choose the house rules for this chat, or list them",
    words: &["pack", "packs"],
    options: &[Opt::new("name", Kind::Text, "The pack; without it all are listed")],
    shares: &[],
    examples: &["/pack"],
    path: None,
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    if let Some(address) = asked.text.split_whitespace().find(|word| is_address(word)) {
        let index = asked.api.index(Some(address)).await?;
        return Ok(chosen(&index.name, address));
    }
    let packs = asked.api.packs().await?.packs;
    let Some(wanted) = asked.read.text("name") else {
        return Ok(listed(&asked, &packs));
    };
    let wanted: Vec<String> = name_words(wanted).into_iter().filter(|word| !IDLE.contains(&word.as_str())).collect();
    if wanted.is_empty() {
        return Ok(listed(&asked, &packs));
    }
    let fits = |pack: &&PackIndex| {
        let all = [&pack.name, &pack.id].into_iter().chain(&pack.also);
        let words: Vec<String> = all.flat_map(|name| name_words(name)).collect();
        wanted.iter().all(|word| words.iter().any(|known| known.starts_with(word.as_str())))
    };
    let found: Vec<&PackIndex> = packs.iter().filter(fits).collect();
    match found.as_slice() {
        [pack] => Ok(chosen(&pack.name, &pack.id)),
        _ => {
            let choices = packs.iter().map(|pack| pack.name.clone()).collect();
            Err(Halt::Missing { option: Some("name"), question: "Which pack?".into(), choices })
        }
    }
}

fn chosen(name: &str, pack: &str) -> Card {
    let headline = format!("This chat now plays by the rules of {}.", the(name));
    Card { headline, pack: Some(pack.to_owned()), ..Card::default() }
}

/// `which pack are we using`: these name none.
const IDLE: &[&str] =
    &["are", "we", "using", "use", "playing", "play", "is", "this", "chat", "by", "with", "chosen", "now"];

fn listed(asked: &Asked<'_>, packs: &[PackIndex]) -> Card {
    let headline = match asked.index {
        Some(index) => format!("This chat plays by the rules of {}.", the(&index.name)),
        None => "This chat has no pack chosen.".to_owned(),
    };
    let mut card = Card { headline, ..Card::default() };
    for pack in packs {
        card.line(pack.name.clone(), sentence(&pack.about));
        card.follow_up(pack.name.clone(), format!("/pack {}", pack.id));
    }
    card
}
