//! `/pack`: which house rules this chat plays by.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::index::name_words;
use crate::client::is_address;
use crate::saying::{sentence, small, the};
use pipwright_shared::wire::packs::PackHead;

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
        return Ok(match switched(&asked, &packs) {
            Some(pack) => chosen(&pack.name, &pack.id),
            None => listed(&asked, &packs),
        });
    };
    let wanted: Vec<String> = name_words(wanted).into_iter().filter(|word| !IDLE.contains(&word.as_str())).collect();
    if wanted.is_empty() {
        return Ok(listed(&asked, &packs));
    }
    let fits = |pack: &&PackHead| {
        let all = [&pack.name, &pack.id].into_iter().chain(&pack.also);
        let words: Vec<String> = all.flat_map(|name| name_words(name)).collect();
        wanted.iter().all(|word| words.iter().any(|known| known.starts_with(word.as_str())))
    };
    let found: Vec<&PackHead> = packs.iter().filter(fits).collect();
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

/// Words that ask for other rules: `put me on the marsh rules`, `can we switch to sedge moot`.
const SWITCHING: [&str; 9] = ["switch", "change", "put", "swap", "use", "play", "move", "go", "want"];
/// Words of a pack's name that are ordinary ones, too.
const ORDINARY: [&str; 7] = ["the", "of", "and", "a", "run", "rules", "rule"];
/// Words of a question about the pack that is on, and not about all there are.
const PRESENT: [&str; 9] = ["we", "on", "now", "moment", "playing", "using", "current", "currently", "this"];

/// The one other pack that a message in plain words asks to play by.
fn switched<'a>(asked: &Asked<'_>, packs: &'a [PackHead]) -> Option<&'a PackHead> {
    let said = name_words(asked.text);
    let asks = said.first().is_some_and(|first| ["which", "what"].contains(&first.as_str()));
    if asks || !said.iter().any(|word| SWITCHING.contains(&word.as_str())) {
        return None;
    }
    let named = |pack: &&PackHead| {
        let all = [&pack.name, &pack.id].into_iter().chain(&pack.also);
        let mut words = all.flat_map(|name| name_words(name));
        words.any(|word| !ORDINARY.contains(&word.as_str()) && said.contains(&word))
    };
    let now = |pack: &&PackHead| asked.index.is_some_and(|index| index.id == pack.id);
    let mut others = packs.iter().filter(|pack| named(pack) && !now(pack));
    others.next().filter(|_| others.next().is_none())
}

fn listed(asked: &Asked<'_>, packs: &[PackHead]) -> Card {
    let on = asked.index.map(|index| (index.id.as_str(), the(&index.name)));
    let names: Vec<String> = packs.iter().map(|pack| pack.name.clone()).collect();
    let present = name_words(asked.text).iter().any(|word| PRESENT.contains(&word.as_str()));
    let headline = match &on {
        Some((_, name)) if present || asked.read.by_command => {
            format!("This chat plays by the rules of {name}.")
        }
        Some((_, name)) if packs.len() > 1 => {
            let all = crate::saying::listed(&names);
            format!("I know {}: {all}; this chat plays by the rules of {name}.", small(packs.len() as u64))
        }
        Some((_, name)) => format!("This chat plays by the rules of {name}."),
        None => "This chat has no pack chosen.".to_owned(),
    };
    let mut card = Card { headline, ..Card::default() };
    for pack in packs {
        let is_on = on.as_ref().is_some_and(|(id, _)| *id == pack.id);
        card.line(if is_on { format!("{} (on)", pack.name) } else { pack.name.clone() }, sentence(&pack.about));
        card.follow_up(pack.name.clone(), format!("/pack {}", pack.id));
    }
    card
}
