//! The commands as the platform registers them, made from their one definition.
use super::locale::{Language, in_all};
use super::suggest::has_names;
use super::text::Text;
use crate::commands::{Command, Kind, Opt};
use serde::Serialize;
use serde_json::{Value as Json, json};
use std::collections::BTreeMap;

/// The field by which an answer is asked for that only one person sees.
pub const PRIVATE: &str = "private";
/// The field for a file in place of a text of many lines.
pub const FILE: &str = "file";

/// The fields that a command has at most.
const FIELDS: usize = 25;

const STRING: u8 = 3;
const INTEGER: u8 = 4;
const BOOLEAN: u8 = 5;
const ATTACHMENT: u8 = 11;

/// Where commands are registered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope {
    /// Everywhere: servers, direct messages, people's own installations.
    Everywhere,
    /// One server.
    Server,
}

#[derive(Debug, Serialize)]
struct Definition {
    r#type: u8,
    name: Text<32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    name_localizations: Option<Words>,
    description: Text<100>,
    #[serde(skip_serializing_if = "Option::is_none")]
    description_localizations: Option<Words>,
    options: Vec<Field>,
    #[serde(skip_serializing_if = "Option::is_none")]
    contexts: Option<[u8; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    integration_types: Option<[u8; 2]>,
}

type Words = BTreeMap<&'static str, &'static str>;

#[derive(Debug, Serialize)]
struct Field {
    r#type: u8,
    name: Text<32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    name_localizations: Option<Words>,
    description: Text<100>,
    #[serde(skip_serializing_if = "Option::is_none")]
    description_localizations: Option<Words>,
    #[serde(skip_serializing_if = "is_false")]
    required: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    choices: Vec<Json>,
    #[serde(skip_serializing_if = "is_false")]
    autocomplete: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    min_value: Option<i64>,
}

/// The registration of these commands.
pub fn all(commands: &[&Command], scope: Scope, languages: &[Language]) -> Json {
    let definition = |command: &&Command| {
        let mut options: Vec<Field> = command.options.iter().map(|option| field(option, languages)).collect();
        options.truncate(FIELDS - 2);
        if takes_list(command) {
            options.push(own(ATTACHMENT, FILE, "The same as a text file", languages));
        } else if command.takes_book() {
            options.push(own(ATTACHMENT, FILE, "A pack or unit book of your own, as a text file", languages));
        }
        options.push(own(BOOLEAN, PRIVATE, "Only you see the answer", languages));
        // The platform wants these first; the order is else that of the definition.
        options.sort_by_key(|field| !field.required);
        let everywhere = scope == Scope::Everywhere;
        Definition {
            r#type: 1,
            name: Text::plain(command.name),
            name_localizations: in_all(languages, command.name),
            description: Text::plain(command.about),
            description_localizations: in_all(languages, command.about),
            options,
            contexts: everywhere.then_some([0, 1, 2]),
            integration_types: everywhere.then_some([0, 1]),
        }
    };
    json!(commands.iter().map(definition).collect::<Vec<_>>())
}

/// Whether a file may stand in for one of the command's fields.
pub fn takes_list(command: &Command) -> bool {
    command.options.iter().any(|option| option.kind == Kind::Lines)
}

fn field(option: &Opt, languages: &[Language]) -> Field {
    let kind = match option.kind {
        Kind::Number | Kind::Times | Kind::Budget | Kind::Modifier => INTEGER,
        Kind::Flag(_) => BOOLEAN,
        _ => STRING,
    };
    let mut field = own(kind, option.name, option.about, languages);
    // What may be given in another way (a need by a unit, a list by a file) is asked for by the bot itself.
    let only_way = matches!(option.kind, Kind::Side | Kind::Name(_) | Kind::Text);
    field.required = option.required.is_some() && only_way;
    field.autocomplete = has_names(option.kind);
    field.min_value = matches!(option.kind, Kind::Number | Kind::Times | Kind::Budget).then_some(0);
    if let Kind::Choice(choices) = option.kind {
        let choice = |(value, phrases): &(&'static str, &'static [&'static str])| {
            let name: Text<100> = Text::plain(phrases.first().unwrap_or(value));
            json!({"name": name, "value": value})
        };
        field.choices = choices.iter().take(25).map(choice).collect();
    }
    field
}

fn own(kind: u8, name: &str, about: &str, languages: &[Language]) -> Field {
    Field {
        r#type: kind,
        name: Text::plain(name),
        name_localizations: in_all(languages, name),
        description: Text::plain(about).or("What it is"),
        description_localizations: in_all(languages, about),
        required: false,
        choices: Vec::new(),
        autocomplete: false,
        min_value: None,
    }
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "the serializer hands a reference")]
fn is_false(flag: &bool) -> bool {
    !flag
}
