//! From what a person did to what the platform is told first, and what it is told later.
use super::Place;
use super::action::{ActionKind, File, PersonAction};
use super::button::Press;
use super::definition::takes_list;
use super::draw::{self, Drawn};
use super::files;
use super::packs::Known;
use super::payload::{Choice, Form, Message as Payload};
use super::suggest::suggest;
use super::words::line;
use crate::card::{Card, Sort, Unfinished};
use crate::commands::{self, Command, Kind};
use crate::hear::{self, Message, hear, hear_on};
use crate::link::Link;
use crate::saying::count;
use serde_json::{Value as Json, json};
use std::sync::Arc;
use std::time::{Duration, Instant};
use tokio::task::JoinHandle;

/// A first answer is sent by then, be it only that another follows. The platform gives up after three times that.
pub const FIRST: Duration = Duration::from_secs(1);

/// Names that are not there by then are not waited for while somebody types.
const NAMES: Duration = Duration::from_millis(100);

/// What the platform is told first.
#[derive(Debug)]
pub enum First {
    /// The bot is there.
    Pong,
    /// Suggestions.
    Choices(Vec<Choice>),
    /// A form to fill in.
    Form(Form),
    /// The answer.
    Now(Box<Drawn>),
    /// The answer follows.
    Later {
        /// Whether only the one who asked sees it.
        private: bool,
        /// The answer on its way.
        rest: JoinHandle<Drawn>,
    },
}

impl First {
    /// As the platform reads it.
    pub fn body(&self) -> Json {
        match self {
            Self::Pong => json!({"type": 1}),
            Self::Choices(choices) => json!({"type": 8, "data": {"choices": choices}}),
            Self::Form(form) => json!({"type": 9, "data": form}),
            Self::Now(drawn) => json!({"type": 4, "data": drawn.message}),
            Self::Later { private: true, .. } => json!({"type": 5, "data": {"flags": 64}}),
            Self::Later { private: false, .. } => json!({"type": 5}),
        }
    }
}

/// Words, with what stands around them.
#[derive(Clone, Debug, Default)]
pub struct Typed {
    /// The words.
    pub text: String,
    /// The answer that they ask on from.
    pub before: Option<Link>,
    /// The question back that they answer.
    pub lacking: Option<Unfinished>,
    /// A file that came with them.
    pub file: Option<File>,
}

impl Typed {
    fn plain(text: String) -> Self {
        Self { text, ..Self::default() }
    }
}

/// A question on its way to the service.
#[derive(Debug)]
enum Question {
    /// As if it were typed.
    Typed(Typed),
    /// The working of an answer.
    Steps(Link),
}

impl Place {
    /// Answers what a person did.
    pub async fn first(self: &Arc<Self>, action: PersonAction) -> First {
        let (question, private) = match action.what {
            ActionKind::Ping => return First::Pong,
            ActionKind::Typing { command, field, typed } => {
                return First::Choices(self.choices(action.chat, &command, &field, &typed).await);
            }
            ActionKind::Unknown => return told("That is something this version of the bot does not know."),
            ActionKind::Command { name, given, file, private } => {
                let Some(command) = commands::named(&name) else {
                    return told(&format!("There is no /{name} any more. `/help` lists all commands."));
                };
                let text = line(command, &given);
                if let Some(form) = form_for(command, &text, file.is_some()) {
                    return First::Form(form);
                }
                (Question::Typed(Typed { file, ..Typed::plain(text) }), private)
            }
            ActionKind::Press { id, link, private } => match (Press::read(&id), link) {
                (Some(Press::Form(lacking)), _) => return form(&lacking).map_or_else(too_old, First::Form),
                (Some(Press::Ask(text)), _) => (Question::Typed(Typed::plain(text)), private),
                (Some(Press::Again(text)), Some(link)) => {
                    (Question::Typed(Typed { before: Some(link), ..Typed::plain(text) }), private)
                }
                (Some(Press::Steps), Some(link)) => (Question::Steps(link), true),
                _ => return too_old(),
            },
            ActionKind::Form { id, words, private } => match Press::read(&id) {
                Some(Press::Form(lacking)) => (Question::Typed(Typed::plain(lacking.with(&words))), private),
                _ => return too_old(),
            },
        };
        if let Err(wait) = self.chats.take(action.person, action.chat, Instant::now()) {
            return told(&too_fast(wait));
        }
        let place = Arc::clone(self);
        let mut rest = tokio::spawn(async move { place.drawn(question, action.chat, private).await });
        match tokio::time::timeout(FIRST, &mut rest).await {
            Ok(drawn) => First::Now(Box::new(finished(drawn))),
            Err(_) => First::Later { private, rest },
        }
    }

    async fn drawn(&self, question: Question, chat: u64, private: bool) -> Drawn {
        let (card, steps) = self.card(question, chat).await;
        if steps && card.sort == Sort::Answer {
            return Drawn { message: draw::steps(&card).private(true), picture: None };
        }
        self.draw(card, private).await
    }

    /// Draws a card; what is no answer is nobody else's business.
    pub(super) async fn draw(&self, card: Card, private: bool) -> Drawn {
        let links = self.settings.links.clone();
        let private = private || card.sort != Sort::Answer;
        // Painting takes some milliseconds of the processor.
        let drawn = tokio::task::spawn_blocking(move || draw::card(&card, links.as_deref())).await;
        let mut drawn = finished(drawn);
        drawn.message = drawn.message.private(private);
        drawn
    }

    /// The card of a question, and whether its working was asked for.
    async fn card(&self, question: Question, chat: u64) -> (Card, bool) {
        match question {
            Question::Steps(link) => {
                let pack = self.pack(chat).await.pack;
                (hear::again(&self.api, pack.as_deref(), &link).await, true)
            }
            Question::Typed(typed) => (self.ask(&typed, chat).await, false),
        }
    }

    /// Answers words; the chat's pack is remembered.
    pub(super) async fn ask(&self, typed: &Typed, chat: u64) -> Card {
        let known = self.pack(chat).await;
        let attached = match &typed.file {
            None => None,
            Some(file) => match files::read(file, &self.settings.files).await {
                Ok(attached) => Some(attached),
                Err(sentence) => return Card::saying(Sort::Refusal, sentence),
            },
        };
        let message = Message {
            text: &typed.text,
            pack: known.pack.as_deref(),
            before: typed.before.as_ref(),
            attached: attached.as_deref(),
        };
        let mut card = match &typed.lacking {
            Some(lacking) if !typed.text.starts_with('/') => hear_on(&self.api, message, lacking).await,
            _ => hear(&self.api, message).await,
        };
        let chosen = match &card.pack {
            Some(pack) => Some(self.packs.play(chat, pack).await),
            None => None,
        };
        match chosen {
            Some(false) => {
                card.notes.push("The bot's memory is away: this choice may be forgotten when it restarts.".into());
            }
            None if !known.sure => {
                card.notes.push("The bot's memory is away: taken by the usual pack, not by one chosen here.".into());
            }
            _ => {}
        }
        card
    }

    async fn pack(&self, chat: u64) -> Known {
        let known = self.packs.of(chat).await;
        Known { pack: known.pack.or_else(|| self.settings.pack.clone()), ..known }
    }

    async fn choices(self: &Arc<Self>, chat: u64, command: &str, field: &str, typed: &str) -> Vec<Choice> {
        let (place, api) = (Arc::clone(self), self.api.clone());
        // Names that come too late for this sign are there for the next.
        let names = tokio::spawn(async move { api.index(place.pack(chat).await.pack.as_deref()).await.ok() });
        let names = tokio::time::timeout(NAMES, names).await.ok().and_then(Result::ok).flatten();
        let names = match names {
            Some(names) => Some(self.names.keep(chat, names)),
            None => self.names.last(chat),
        };
        suggest(commands::named(command).and_then(|command| command.option(field)), typed, names.as_deref())
    }
}

/// A form for a command that takes many lines and was given none.
fn form_for(command: &'static Command, text: &str, file: bool) -> Option<Form> {
    let option = command.options.iter().find(|option| option.kind == Kind::Lines && option.required.is_some())?;
    let given = file || text.contains('\n') || !takes_list(command);
    let lacking = Unfinished { text: text.to_owned(), option: Some(option.name), lines: true };
    if given { None } else { form(&lacking) }
}

fn form(lacking: &Unfinished) -> Option<Form> {
    let name = lacking.text.strip_prefix('/').and_then(|text| text.split_whitespace().next());
    let option = name.and_then(commands::named).and_then(|command| command.option(lacking.option?));
    let label = option.map_or("What is missing", |option| option.about);
    Some(Form::new(Press::Form(lacking.clone()).id()?, &lacking.text, label, lacking.lines))
}

fn finished(drawn: Result<Drawn, tokio::task::JoinError>) -> Drawn {
    drawn.unwrap_or_else(|error| {
        tracing::error!(%error, "an answer was never finished");
        Drawn::saying("The bot had a fault of its own with that. It is not your message.")
    })
}

fn told(sentence: &str) -> First {
    First::Now(Box::new(Drawn { message: Payload::saying(sentence).private(true), picture: None }))
}

/// What is said to whoever asks too fast.
pub fn too_fast(wait: Duration) -> String {
    format!("That is a lot at once. Ask again in {}.", count(wait.as_secs() + 1, "second", "seconds"))
}

fn too_old() -> First {
    told("That button is of another version of the bot, or its answer is gone. Ask again with a command.")
}

/// The rest of an answer that was put off.
pub async fn late(rest: JoinHandle<Drawn>) -> Drawn {
    finished(rest.await)
}
