//! Registration that changes nothing when nothing changed: the platform counts changes and locks out who makes many.
use super::definition::{Scope, all};
use super::locale::LANGUAGES;
use crate::commands;
use serde_json::{Map, Value as Json};
use serenity::Result;
use serenity::http::{Http, LightMethod, Request, Route};
use serenity::model::id::GuildId;

/// Registers the commands everywhere, or on these servers only. Says how many places had to be changed.
///
/// # Errors
/// Where the platform refuses.
pub async fn register(http: &Http, servers: &[u64]) -> Result<usize> {
    let mut changed = 0;
    if servers.is_empty() {
        changed += usize::from(update(http, None).await?);
    }
    for server in servers {
        changed += usize::from(update(http, Some(GuildId::new(*server))).await?);
    }
    Ok(changed)
}

async fn update(http: &Http, server: Option<GuildId>) -> Result<bool> {
    let application_id = http.application_id().ok_or(serenity::http::HttpError::ApplicationIdMissing)?;
    let (route, scope) = match server {
        Some(guild_id) => (Route::GuildCommands { application_id, guild_id }, Scope::Server),
        None => (Route::Commands { application_id }, Scope::Everywhere),
    };
    let mut ask = Request::new(route, LightMethod::Get);
    ask = ask.params(Some(vec![("with_localizations", "true".to_owned())]));
    let there: Json = http.fire(ask).await?;
    let wanted = all(commands::ALL, scope, LANGUAGES);
    if same(&there, &wanted) {
        return Ok(false);
    }
    let body = serde_json::to_vec(&wanted)?;
    http.fire::<Json>(Request::new(route, LightMethod::Put).body(Some(body))).await?;
    Ok(true)
}

/// What commands are told apart by.
const NAME: &str = "name";

/// Whether two registrations say the same; the platform writes out what was left open, and sorts as it likes.
pub fn same(there: &Json, wanted: &Json) -> bool {
    let by_name = |list: &Json| {
        let mut commands: Vec<Json> = list.as_array().map_or_else(Vec::new, |list| list.iter().map(told).collect());
        commands.sort_by_key(|command| command.get(NAME).map(Json::to_string));
        commands
    };
    // What the platform fills in for a server's commands says nothing.
    let (mut there, wanted) = (by_name(there), by_name(wanted));
    for (there, wanted) in there.iter_mut().zip(&wanted) {
        for field in ["contexts", "integration_types"] {
            if wanted.get(field).is_none()
                && let Some(fields) = there.as_object_mut()
            {
                fields.remove(field);
            }
        }
    }
    there == wanted
}

/// What a command, a field or a choice says, without what is so anyway.
fn told(command: &Json) -> Json {
    const TOLD: [&str; 14] = [
        "type",
        "name",
        "name_localizations",
        "description",
        "description_localizations",
        "options",
        "required",
        "choices",
        "autocomplete",
        "min_value",
        "max_value",
        "contexts",
        "integration_types",
        "value",
    ];
    let mut kept = Map::new();
    for name in TOLD {
        let value = match command.get(name) {
            Some(Json::Array(list)) if list.iter().all(Json::is_object) => Json::Array(list.iter().map(told).collect()),
            Some(Json::Array(list)) => {
                let mut list = list.clone();
                list.sort_by_key(ToString::to_string);
                Json::Array(list)
            }
            // A number is a number, however it is written.
            Some(Json::Number(number)) => number.as_f64().map_or(Json::Null, Json::from),
            Some(other) => other.clone(),
            None => continue,
        };
        let empty = match &value {
            Json::Null | Json::Bool(false) => true,
            Json::Array(list) => list.is_empty(),
            Json::Object(fields) => fields.is_empty(),
            _ => false,
        };
        if !empty {
            kept.insert(name.to_owned(), value);
        }
    }
    Json::Object(kept)
}
