//! What the platform tells of a person's doing, as much of it as the bot needs. The same from both ways in.
use super::button::Press;
use super::definition::{FILE, PRIVATE};
use super::draw::link_of;
use super::words::Given;
use crate::card::Unfinished;
use crate::link::Link;
use serenity::model::application::{
    ActionRowComponent, ButtonKind, CommandDataOptionValue, CommandInteraction, Interaction, ModalInteraction,
    ResolvedValue,
};
use serenity::model::channel::{Message, MessageFlags};

/// Something that a person did.
#[derive(Clone, Debug)]
pub struct PersonAction {
    /// Its number, for the answer.
    pub id: u64,
    /// Its key, for the answer.
    pub token: String,
    /// Who.
    pub person: u64,
    /// Where: a chat that plays by one pack.
    pub chat: u64,
    /// What.
    pub what: ActionKind,
}

/// What a person did.
#[derive(Clone, Debug)]
pub enum ActionKind {
    /// Nobody did anything: the platform asks whether the bot is there.
    Ping,
    /// Used a command.
    Command {
        /// Which.
        name: String,
        /// Its fields.
        given: Vec<(String, Given)>,
        /// A file that came with it.
        file: Option<File>,
        /// Whether only this person is to see the answer.
        private: bool,
    },
    /// Types a field of a command.
    Typing {
        /// The command.
        command: String,
        /// The field.
        field: String,
        /// What stands in it so far.
        typed: String,
    },
    /// Pressed a button.
    Press {
        /// What was kept with the button.
        id: String,
        /// The answer that it stands below.
        link: Option<Link>,
        /// Whether only this person sees that answer.
        private: bool,
    },
    /// Sent a form.
    Form {
        /// What was kept with the form.
        id: String,
        /// What was entered.
        words: String,
        /// Whether only this person sees the message with the form's button.
        private: bool,
    },
    /// Something of which this version knows nothing.
    Unknown,
}

/// A file on the platform.
#[derive(Clone, Debug)]
pub struct File {
    /// Where it lies.
    pub url: String,
    /// How many bytes it has.
    pub size: u64,
}

impl PersonAction {
    /// Reads what the platform tells.
    pub fn of(interaction: &Interaction) -> Self {
        match interaction {
            Interaction::Command(command) => Self::with(command, command_used(command)),
            Interaction::Autocomplete(command) => Self::with(command, typing(command)),
            Interaction::Component(press) => Self {
                id: press.id.get(),
                token: press.token.clone(),
                person: press.user.id.get(),
                chat: press.channel_id.get(),
                what: ActionKind::Press {
                    id: press.data.custom_id.clone(),
                    link: link_in(&press.message),
                    private: is_private(&press.message),
                },
            },
            Interaction::Modal(form) => Self {
                id: form.id.get(),
                token: form.token.clone(),
                person: form.user.id.get(),
                chat: form.channel_id.get(),
                what: ActionKind::Form {
                    id: form.data.custom_id.clone(),
                    words: entered(form),
                    private: form.message.as_deref().is_some_and(is_private),
                },
            },
            Interaction::Ping(ping) => {
                Self { id: ping.id.get(), token: ping.token.clone(), person: 0, chat: 0, what: ActionKind::Ping }
            }
            _ => Self { id: 0, token: String::new(), person: 0, chat: 0, what: ActionKind::Unknown },
        }
    }

    fn with(command: &CommandInteraction, what: ActionKind) -> Self {
        Self {
            id: command.id.get(),
            token: command.token.clone(),
            person: command.user.id.get(),
            chat: command.channel_id.get(),
            what,
        }
    }
}

/// The link of the answer in a message of the bot.
pub fn link_in(message: &Message) -> Option<Link> {
    let embed = message.embeds.first()?;
    link_of(embed.url.as_deref(), embed.footer.as_ref().map(|footer| footer.text.as_str()))
}

/// What the question back in a message of the bot asks for: it stands in the button that opens its form.
pub fn lacking_in(message: &Message) -> Option<Unfinished> {
    message.components.iter().flat_map(|row| &row.components).find_map(|component| {
        let ActionRowComponent::Button(button) = component else { return None };
        let ButtonKind::NonLink { custom_id, .. } = &button.data else { return None };
        match Press::read(custom_id) {
            Some(Press::Form(lacking)) => Some(lacking),
            _ => None,
        }
    })
}

fn is_private(message: &Message) -> bool {
    message.flags.is_some_and(|flags| flags.contains(MessageFlags::EPHEMERAL))
}

fn command_used(command: &CommandInteraction) -> ActionKind {
    let (mut given, mut file, mut private) = (Vec::new(), None, false);
    for option in command.data.options() {
        let value = match option.value {
            ResolvedValue::Boolean(flag) if option.name == PRIVATE => {
                private = flag;
                continue;
            }
            ResolvedValue::Attachment(attached) if option.name == FILE => {
                file = Some(File { url: attached.url.clone(), size: u64::from(attached.size) });
                continue;
            }
            ResolvedValue::Boolean(flag) => Given::Flag(flag),
            ResolvedValue::Integer(number) => Given::Whole(number),
            ResolvedValue::String(words) => Given::Words(words.to_owned()),
            _ => continue,
        };
        given.push((option.name.to_owned(), value));
    }
    ActionKind::Command { name: command.data.name.clone(), given, file, private }
}

fn typing(command: &CommandInteraction) -> ActionKind {
    let focused = command.data.options.iter().find_map(|option| match &option.value {
        CommandDataOptionValue::Autocomplete { value, .. } => Some((option.name.clone(), value.clone())),
        _ => None,
    });
    let (field, typed) = focused.unwrap_or_default();
    ActionKind::Typing { command: command.data.name.clone(), field, typed }
}

fn entered(form: &ModalInteraction) -> String {
    let inputs = form.data.components.iter().flat_map(|row| &row.components);
    let words = inputs.filter_map(|component| match component {
        ActionRowComponent::InputText(input) => input.value.clone(),
        _ => None,
    });
    words.collect::<Vec<_>>().join("\n")
}
