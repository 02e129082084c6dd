//! A message becomes a card. The same for every place.
use crate::card::{Card, Sort, Unfinished};
use crate::client::index::PackIndex;
use crate::client::{Api, Trouble};
use crate::commands::{self, Asked, Command, Halt, Kind};
use crate::inline::Inline;
use crate::link::Link;
use crate::typing::choose::{Slash, slash};
use crate::typing::{self, Read, Value, assign::assign};
use crate::understand::choose::Outcome;
use crate::understand::reading::{Act, Reading, arg};
use crate::understand::{Understood, understand, understand_as, unruled};

mod back;
use back::asked_back;

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
        card.notes.push("Worked out with the file you sent; send it again with the next question.".into());
    }
    card
}

/// Answers a message by these names.
async fn read(api: &Api, message: Message<'_>, index: Option<&PackIndex>, inline: Option<&Inline>) -> Card {
    match slash(message.text) {
        Slash::Command(command, text, misspelt) => {
            let mut card = commanded(api, &message, (index, inline), command, text).await;
            if misspelt {
                card.notes.insert(0, format!("Read as /{}.", command.name));
            }
            card
        }
        Slash::Unknown(name, close) => unknown(name, &close),
        Slash::None => plain(api, &message, index, inline).await,
    }
}

/// Commands that are about units on a table, or told in sentences: the grammar of those reads them first.
const FOUGHT: &[&str] =
    &["matchup", "duel", "needed", "luck", "compare", "appraise", "repair", "check", "draw", "blast", "unit", "build"];

/// Answers what stands behind a slash command; what an evening goes on with is added to the card before.
async fn commanded(
    api: &Api,
    message: &Message<'_>,
    (index, inline): (Option<&PackIndex>, Option<&Inline>),
    command: &'static Command,
    text: &str,
) -> Card {
    match keeps_on(message, command, text) {
        Some(next) => {
            let card = alone(api, message, (index, inline), command, next).await;
            commands::luck::added(api, index, message.before, card).await
        }
        None => alone(api, message, (index, inline), command, text).await,
    }
}

/// What is added to the evening of the card before, where there is one.
fn keeps_on<'a>(message: &Message<'_>, command: &'static Command, text: &'a str) -> Option<&'a str> {
    let luck = &commands::luck::LUCK;
    let evening = message.before.is_some_and(|before| Some(before.path.as_str()) == luck.path);
    commands::luck::keeps_on(text).filter(|_| evening && command.name == luck.name)
}

/// Answers what stands behind a slash command by itself.
async fn alone(
    api: &Api,
    message: &Message<'_>,
    (index, inline): (Option<&PackIndex>, Option<&Inline>),
    command: &'static Command,
    text: &str,
) -> Card {
    let said = typing::tokens(text, index);
    let mut read = Read { by_command: true, ..assign(text, &said, command, index) };
    // Names of packs and counts of faces are read as they stand: nothing of them was read otherwise.
    if [commands::pack::PACK.name, commands::fair::FAIR.name].contains(&command.name) {
        read.corrected.clear();
    }
    // The service reads a question about rules itself, with all its words.
    if command.name == commands::rule::RULE.name && !text.trim().is_empty() {
        let about = Value::Text(text.trim().to_owned());
        read = Read { args: vec![arg("about", about)], by_command: true, ..Read::default() };
    }
    // The command's own word makes a sentence of what stands behind it: `/repair whaleback 3 spars gone`.
    let named = ["repair", "draw", "luck", "duel", "build"].contains(&command.name);
    let spoken = if named { format!("{} {text}", command.name) } else { text.to_owned() };
    // What its options explain in full needs no more; but a check that the pack names has numbers of its own.
    let labelled = ["blast", "draw", "luck", "unit", "build"].contains(&command.name) && command.is_labelled(text);
    let unnamed = ["check", "repair"].contains(&command.name) && read.name("check").is_none();
    let plain = read.unread.is_empty() && (labelled || unnamed);
    if let Some(index) = index.filter(|_| FOUGHT.contains(&command.name) && !plain)
        && let Some((best, corrected)) = understand_as(&spoken, index, command)
        && best.is_clear()
    {
        let mut reading = best.reading;
        reading.beside.by_command = true;
        if let Act::Args(read) = &mut reading.act {
            read.by_command = true;
        }
        return perform(api, message, (Some(index), inline), reading, text, &corrected).await;
    }
    ask(api, message, (index, inline), command, read, text, None).await
}

/// How a note begins that names words nobody understood.
const LEFT_OUT: &str = "Not understood and left out:";

/// A reply to a question back has not more words.
const MOST_OF_A_REPLY: usize = 7;

/// Answers what is typed after a question back: it completes the message before, unless it is a question of its own.
pub async fn hear_on(api: &Api, message: Message<'_>, unfinished: &Unfinished) -> Card {
    let index = api.index(message.pack).await.ok();
    let alone = index.as_deref().map(|index| understand(message.text, index, None));
    let own = match &alone {
        Some(Understood::Forget | Understood::Back) => true,
        Some(Understood::Said { outcome: Outcome::Answer(best), .. }) => best.value > 2.5,
        _ => false,
    };
    // What completes a question is short; a whole sentence is a question of its own.
    if own || !unfinished.lines && message.text.split_whitespace().count() > MOST_OF_A_REPLY {
        return hear(api, message).await;
    }
    let whole = unfinished.with(message.text);
    // An evening that goes on needs the one before.
    let evening =
        matches!(slash(&whole), Slash::Command(command, text, _) if keeps_on(&message, command, text).is_some());
    let card = hear(api, Message { text: &whole, before: message.before.filter(|_| evening), ..message }).await;
    let leaves_out = |card: &Card| card.notes.iter().any(|note| note.starts_with(LEFT_OUT));
    if card.sort == Sort::Answer && !leaves_out(&card) {
        return card;
    }
    let alone = hear(api, message).await;
    // What the two say together may leave words out that the second by itself explains: then it is a question of its own.
    let better = match (card.sort, alone.sort) {
        (Sort::Answer, Sort::Answer) => !leaves_out(&alone),
        (Sort::Answer, _) => false,
        (before, now) => now == Sort::Answer || before == Sort::Refusal,
    };
    if better { alone } else { card }
}

/// Answers the question of a link as it stands.
pub async fn again(api: &Api, pack: Option<&str>, link: &Link) -> Card {
    let index = api.index(pack).await.ok();
    repeated(api, &Message { pack, ..Message::default() }, (index.as_deref(), None), link).await
}

/// Answers the question of a link.
async fn repeated(
    api: &Api,
    message: &Message<'_>,
    (index, inline): (Option<&PackIndex>, Option<&Inline>),
    link: &Link,
) -> Card {
    let Some(command) = commands::at(&link.path) else {
        return Card::saying(Sort::Refusal, "That answer comes from another version. Ask the question again.");
    };
    let read = Read { about: about(command, &link.question), ..Read::default() };
    ask(api, message, (index, inline), command, read, "", Some(link)).await
}

/// The command of the question that this one is about.
fn about(command: &'static Command, question: &serde_json::Value) -> Option<&'static Command> {
    command.about().find(|about| question.get(about.request()).is_some())
}

/// A message without a slash.
async fn plain(api: &Api, message: &Message<'_>, index: Option<&PackIndex>, inline: Option<&Inline>) -> Card {
    let text = message.text;
    if !text.chars().any(char::is_alphanumeric) {
        return Card::saying(
            Sort::Question,
            "What would you like to know? Try `/check 2d6 7+`, or `/help` for everything you can ask.",
        );
    }
    if keeps_on(message, &commands::luck::LUCK, text).is_some() {
        return commanded(api, message, (index, inline), &commands::luck::LUCK, text).await;
    }
    let nameless = PackIndex::default();
    let (outcome, corrected) = match understand(text, index.unwrap_or(&nameless), message.before) {
        Understood::Forget => {
            return Card { dropped: true, ..Card::saying(Sort::Refusal, "All right, forgotten. Ask away.") };
        }
        Understood::Back => {
            return match message.before {
                Some(link) => repeated(api, message, (index, inline), link).await,
                None => Card::saying(Sort::Refusal, "There is no earlier answer to go back to."),
            };
        }
        Understood::Said { outcome, corrected, .. } => (outcome, corrected),
    };
    match outcome {
        Outcome::Answer(best) => {
            let ruled = best.reading.command.name == commands::rule::RULE.name;
            let card = perform(api, message, (index, inline), best.reading, text, &corrected).await;
            let known = index.unwrap_or(&nameless);
            match unruled(text, known).filter(|_| ruled && card.sort == Sort::Refusal) {
                Some(asked) => asked_back(asked, text, index),
                None => card,
            }
        }
        other => asked_back(other, text, index),
    }
}

/// Answers a reading.
async fn perform(
    api: &Api,
    message: &Message<'_>,
    (index, inline): (Option<&PackIndex>, Option<&Inline>),
    reading: Reading,
    text: &str,
    corrected: &[(String, String)],
) -> Card {
    let Reading { command, act, beside, before, notes, .. } = reading;
    let (read, before) = match act {
        Act::Question(question) => {
            let read = Read { about: about(command, &question), ..beside };
            (read, Some(Link::new(command.path.unwrap_or_default(), question)))
        }
        Act::Args(read) => (read, before.map(|question| Link::new(command.path.unwrap_or_default(), question))),
        Act::Lacks { question, .. } => return Card::saying(Sort::Question, question),
    };
    // What a rule is asked about may be the words of two messages.
    let said = read.text("about").map(str::to_owned).filter(|_| command.name == commands::rule::RULE.name);
    let text = said.as_deref().unwrap_or(text);
    let read = Read { unread: Vec::new(), corrected: corrected.to_vec(), ..read };
    let mut card = ask(api, message, (index, inline), command, read, text, before.as_ref()).await;
    if card.sort == Sort::Answer && !notes.is_empty() {
        let behind = if card.read_as.contains(" \u{b7} assumed: ") { ", " } else { " \u{b7} assumed: " };
        card.read_as.push_str(&format!("{behind}{}", notes.join(", ")));
    }
    card
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
    let understood = understood(&read);
    let before = before.map(|link| link.question.clone());
    if inline.is_some() && !command.takes_book() {
        let sentence = format!("/{} can't use a pack or unit book of your own.", command.name);
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
    if card.sort == Sort::Question {
        card.headline = exampled(card.headline, index);
    }
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

/// A question back for a unit, with one of the pack's for an example.
fn exampled(question: String, index: Option<&PackIndex>) -> String {
    const PLAIN: &str = "Say it like 3 and the unit's name.";
    let Some(index) = index.filter(|_| question.contains(PLAIN)) else { return question };
    let group = index.units.iter().find(|unit| unit.most > 1);
    let example = group.map(|unit| index.counting(unit).digits(unit.least.max(2)));
    example.map_or(question.clone(), |example| question.replace(PLAIN, &format!("For example: {example}.")))
}

fn troubled(trouble: Trouble) -> Card {
    let sort = if matches!(trouble, Trouble::Refused(_)) { Sort::Refusal } else { Sort::Trouble };
    Card::saying(sort, trouble.to_string())
}

/// What was understood of a message: `needs 7+, tries 3`.
fn understood(read: &Read) -> Option<String> {
    let said = |arg: &typing::Arg| {
        let words = arg.value.words();
        if words.is_empty() {
            arg.option.replace('_', " ")
        } else {
            format!("{} {words}", arg.option.replace('_', " "))
        }
    };
    let parts: Vec<String> = read.args.iter().map(said).collect();
    if parts.is_empty() { None } else { Some(format!("Understood so far: {}.", parts.join(", "))) }
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
    notes.dedup();
    if !read.unread.is_empty() {
        let words: Vec<String> = read.unread.iter().filter_map(|span| text.get(span.clone())).map(quoted).collect();
        notes.push(format!("{LEFT_OUT} {}.", words.join(", ")));
    }
    notes
}

fn quoted(text: &str) -> String {
    format!("\u{201c}{}\u{201d}", text.chars().filter(|c| !typing::scan::is_invisible(*c)).collect::<String>())
}

fn unknown(name: &str, close: &[&str]) -> Card {
    if typing::scan::folded(name) == "roll" {
        return Card::saying(Sort::Refusal, "I give odds, I don't roll dice. Try `/check 2d6 7+`.");
    }
    let close: Vec<String> = close.iter().map(|name| format!("/{name}")).collect();
    let mean = if close.is_empty() {
        "`/help` lists all commands.".to_owned()
    } else {
        format!("Did you mean {}?", close.join(" or "))
    };
    Card::saying(Sort::Refusal, format!("There is no /{name}. {mean}"))
}
