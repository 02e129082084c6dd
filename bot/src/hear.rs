//! A message becomes a card. The same for every place.
use crate::card::{Card, Sort, Unfinished};
use crate::client::index::PackIndex;
use crate::client::{Api, Trouble};
use crate::commands::{self, Asked, Command, Halt, Kind};
use crate::inline::Inline;
use crate::link::Link;
use crate::typing::choose::{Slash, choose, slash};
use crate::typing::{
    self, Read,
    assign::{assign, assign_about},
};

/// A message, with what the place knows of the chat.
#[derive(Clone, Copy, Debug, Default)]
pub struct Message<'a> {
    /// What was typed.
    pub text: &'a str,
    /// The pack chosen in this chat.
    pub pack: Option<&'a str>,
    /// The link of the card before.
    pub before: Option<&'a Link>,
    /// A file that came with it.
    pub attached: Option<&'a str>,
}

/// Longer messages are not read: no question needs so many words.
const LONGEST: usize = 16_000;

/// Answers a message. There is always a card, whatever happens.
pub async fn hear(api: &Api, message: Message<'_>) -> Card {
    if message.text.len() > LONGEST {
        return Card::saying(
            Sort::Refusal,
            "That message is too long. A list of up to 200 lines fits; attach longer ones.",
        );
    }
    let (text, pasted) = Inline::parted(message.text);
    let inline = pasted.or(message.attached).and_then(Inline::of);
    let message = Message { text, attached: message.attached.filter(|_| inline.is_none()), ..message };
    let Some(inline) = inline else {
        let index = api.index(message.pack).await.ok();
        return read(api, message, index.as_deref(), None).await;
    };
    let index = match api.index_of(&inline, message.pack).await {
        Ok(index) => index,
        Err(trouble) => return troubled(trouble),
    };
    let mut card = read(api, message, Some(&index), Some(&inline)).await;
    // A file is too long for a link, and nobody keeps it.
    if card.link.take().is_some() {
        card.follow_ups.clear();
        card.notes
            .push("Worked out with the file that came with it; send the file again with the next question.".into());
    }
    card
}

/// Answers a message by these names.
async fn read(api: &Api, message: Message<'_>, index: Option<&PackIndex>, inline: Option<&Inline>) -> Card {
    match slash(message.text) {
        Slash::Command(command, text, misspelt) => {
            let said = typing::pieces(text, index);
            let read = assign(text, &said, command, index);
            let mut card = ask(api, &message, (index, inline), command, read, text, None).await;
            if misspelt {
                card.notes.insert(0, format!("Read as /{}.", command.name));
            }
            card
        }
        Slash::Unknown(name, close) => unknown(name, &close),
        Slash::None => plain(api, &message, index, inline).await,
    }
}

/// Answers what is typed after a question back: it completes the message before, unless it is a question of its own.
pub async fn hear_on(api: &Api, message: Message<'_>, unfinished: &Unfinished) -> Card {
    let whole = unfinished.with(message.text);
    let card = hear(api, Message { text: &whole, ..message }).await;
    let alone = if card.sort == Sort::Answer { None } else { Some(hear(api, message).await) };
    alone.filter(|alone| alone.sort == Sort::Answer).unwrap_or(card)
}

/// Answers the question of a link as it stands.
pub async fn again(api: &Api, pack: Option<&str>, link: &Link) -> Card {
    let Some(command) = commands::at(&link.path) else {
        return Card::saying(Sort::Refusal, "That answer is of another version. Ask its question again.");
    };
    let index = api.index(pack).await.ok();
    let message = Message { pack, ..Message::default() };
    ask(api, &message, (index.as_deref(), None), command, Read::default(), "", Some(link)).await
}

/// A message without a slash: a question again with one thing changed, or one of its own.
async fn plain(api: &Api, message: &Message<'_>, index: Option<&PackIndex>, inline: Option<&Inline>) -> Card {
    let text = message.text;
    let said = typing::pieces(text, index);
    if said.pieces.is_empty() {
        return Card::saying(
            Sort::Question,
            "What do you want to know? Try `/check 2d6 7+`, or `/help` for all that can be asked.",
        );
    }
    let again = message.before.and_then(|before| {
        let command = commands::at(&before.path)?;
        // What it is about does not change: `what about 50%` asks for the same matchup.
        let about = command.about().find(|about| before.question.get(about.request()).is_some());
        let read = match about {
            Some(_) => assign_about(text, &said, command, about, index),
            None => assign(text, &said, command, index),
        };
        (!read.args.is_empty()).then_some((command, read, before))
    });
    let fresh = choose(text, &said, index);
    if fresh.is_none() && again.is_none() && said.pieces.iter().all(|piece| piece.is_mark() || says_nothing(piece)) {
        // `what can you do?`
        let help = &commands::help::HELP;
        return ask(api, message, (index, inline), help, Read::default(), "", None).await;
    }
    if let Some((command, read, before)) = again {
        let clear = read.unread.is_empty() && read.guessed == 0;
        let whole = fresh.as_ref().is_some_and(|fresh| fresh.is_whole());
        if is_again(text) || (clear && !whole) || fresh.is_none() {
            return ask(api, message, (index, inline), command, read, text, Some(before)).await;
        }
    }
    if let Some(fresh) = fresh {
        return ask(api, message, (index, inline), fresh.command, fresh.read, text, None).await;
    }
    if asks(text) {
        // It may be about a rule whose name was not said: `can guns be used in contact?`
        let read = assign(text, &said, &commands::rule::RULE, index);
        let card = ask(api, message, (index, inline), &commands::rule::RULE, read, text, None).await;
        if card.sort == Sort::Answer {
            return card;
        }
    }
    Card::saying(Sort::Refusal, "That is not a question I know. Try `/help`, or for example `/check 2d6 7+`.")
}

fn says_nothing(piece: &typing::Piece) -> bool {
    piece.word().is_some_and(typing::fillers::is_filler)
}

/// Whether a message is a question.
fn asks(text: &str) -> bool {
    const ASKING: &[&str] = &[
        "do", "does", "can", "could", "is", "are", "will", "would", "should", "may", "must", "what", "whats", "which",
        "how", "when", "why", "where", "who", "has", "have",
    ];
    let text = typing::scan::folded(text.trim_start()).replace('\'', "");
    text.split(|c: char| !c.is_alphanumeric()).next().is_some_and(|word| ASKING.contains(&word))
}

/// Whether the message says that it changes the question before.
fn is_again(text: &str) -> bool {
    const BEGINNINGS: &[&str] = &[
        "what about",
        "how about",
        "what if",
        "and if",
        "and ",
        "same",
        "again",
        "now ",
        "instead",
        "but ",
        "with ",
        "without ",
        "from ",
        "in ",
        "at ",
        "if ",
        "swap",
        "then ",
        "also ",
    ];
    let text = typing::scan::folded(text.trim_start());
    BEGINNINGS.iter().any(|beginning| text.starts_with(beginning)) || text.contains("instead")
}

async fn ask(
    api: &Api,
    message: &Message<'_>,
    (index, inline): (Option<&PackIndex>, Option<&Inline>),
    command: &'static Command,
    read: Read,
    text: &str,
    before: Option<&Link>,
) -> Card {
    let notes = notes(text, &read);
    let understood = understood(command, &read);
    let before = before.map(|link| link.question.clone());
    if inline.is_some() && !command.takes_book() {
        let sentence = format!("/{} takes no pack or unit book of your own.", command.name);
        return Card::saying(Sort::Refusal, sentence);
    }
    let (pack, attached) = (message.pack, message.attached);
    let asked = Asked { api, index, pack, command, read, before, text, attached, inline };
    let certain = asked.certain();
    let result = match certain {
        Ok(()) => (command.answer)(asked).await,
        Err(halt) => Err(halt),
    };
    let mut card = result.unwrap_or_else(|halt| refused(halt, understood, command, text));
    card.notes.splice(0..0, notes);
    card
}

/// A card for what could not be answered.
fn refused(halt: Halt, understood: Option<String>, command: &'static Command, text: &str) -> Card {
    match halt {
        Halt::Missing { option, question, choices } => {
            let mut card = Card::saying(Sort::Question, question);
            card.text.extend(understood);
            let lines = option.and_then(|name| command.option(name)).is_some_and(|option| option.kind == Kind::Lines);
            let text = format!("/{} {}", command.name, text.trim());
            card.unfinished = Some(Unfinished { text, option, lines });
            for choice in choices {
                card.follow_up(choice.clone(), choice);
            }
            card
        }
        Halt::Say(sentence) => Card::saying(Sort::Refusal, sentence),
        Halt::Trouble(trouble) => troubled(trouble),
    }
}

fn troubled(trouble: Trouble) -> Card {
    let sort = if matches!(trouble, Trouble::Refused(_)) { Sort::Refusal } else { Sort::Trouble };
    Card::saying(sort, trouble.to_string())
}

/// What was understood of a message: `needs 7+, tries 3`.
fn understood(command: &Command, read: &Read) -> Option<String> {
    let said = |arg: &typing::Arg| {
        let words = arg.value.words();
        if words.is_empty() {
            arg.option.replace('_', " ")
        } else {
            format!("{} {words}", arg.option.replace('_', " "))
        }
    };
    let parts: Vec<String> = read.args.iter().map(said).collect();
    if parts.is_empty() { None } else { Some(format!("Understood so far: {}, {}.", command.name, parts.join(", "))) }
}

/// What was read otherwise than it was written, and what was not read at all.
fn notes(text: &str, read: &Read) -> Vec<String> {
    // A list is read by the service, word for word.
    let list = read.about.is_none() && read.text("list").is_some();
    let mut notes: Vec<String> = read
        .corrected
        .iter()
        .filter(|_| !list)
        .map(|(said, known)| format!("Read \u{201c}{said}\u{201d} as {known}."))
        .collect();
    if !read.unread.is_empty() {
        let words: Vec<String> = read.unread.iter().filter_map(|span| text.get(span.clone())).map(quoted).collect();
        notes.push(format!("Left out, not understood: {}.", words.join(", ")));
    }
    notes
}

fn quoted(text: &str) -> String {
    format!("\u{201c}{}\u{201d}", text.chars().filter(|c| !typing::scan::is_invisible(*c)).collect::<String>())
}

fn unknown(name: &str, close: &[&str]) -> Card {
    if typing::scan::folded(name) == "roll" {
        return Card::saying(Sort::Refusal, "We give odds, we don't roll. Try `/check 2d6 7+`.");
    }
    let close: Vec<String> = close.iter().map(|name| format!("/{name}")).collect();
    let mean = if close.is_empty() {
        "`/help` lists all.".to_owned()
    } else {
        format!("Did you mean {}?", close.join(" or "))
    };
    Card::saying(Sort::Refusal, format!("There is no /{name}. {mean}"))
}
