//! What the platform tells of a person's doing, as its documents have it.
use super::platform::{APPLICATION, Sent, bot};
use serde_json::{Value, json};
use std::sync::atomic::{AtomicU64, Ordering};

static NEXT: AtomicU64 = AtomicU64::new(940_000_000_000_000_001);

/// Where and by whom.
#[derive(Clone, Copy)]
pub struct Who {
    pub person: u64,
    pub channel: u64,
    /// None in a direct message.
    pub server: Option<u64>,
}

/// Somebody of their own, in a direct message.
pub fn somebody() -> Who {
    let person = NEXT.fetch_add(1, Ordering::Relaxed);
    Who { person, channel: person + 1_000_000_000_000, server: None }
}

pub fn user(id: u64) -> Value {
    json!({"id": id.to_string(), "username": "wren", "discriminator": "0", "avatar": null, "global_name": "Wren"})
}

fn interaction(who: Who, kind: u8, data: Value) -> Value {
    let id = NEXT.fetch_add(1, Ordering::Relaxed).to_string();
    let mut made = json!({
        "id": id, "application_id": APPLICATION.to_string(), "type": kind, "data": data,
        "channel_id": who.channel.to_string(), "token": format!("key-{id}"), "version": 1, "locale": "en-GB",
        "app_permissions": "2147483647", "entitlements": [], "authorizing_integration_owners": {},
        "attachment_size_limit": 10_485_760, "context": if who.server.is_some() { 0 } else { 1 },
    });
    match who.server {
        Some(server) => {
            made["guild_id"] = json!(server.to_string());
            made["guild_locale"] = json!("en-GB");
            made["member"] = json!({
                "user": user(who.person), "roles": [], "joined_at": "2026-01-01T00:00:00.000000+00:00", "deaf": false,
                "mute": false, "flags": 0, "permissions": "2147483647", "nick": null, "avatar": null, "pending": false,
            });
        }
        None => made["user"] = user(who.person),
    }
    made
}

/// A command with its fields.
pub fn command(who: Who, name: &str, fields: &[(&str, Value)]) -> Value {
    let options: Vec<Value> = fields.iter().map(|(name, value)| option(name, value)).collect();
    interaction(who, 2, json!({"id": "950000000000000001", "name": name, "type": 1, "options": options}))
}

fn option(name: &str, value: &Value) -> Value {
    let kind = match value {
        Value::Bool(_) => 5,
        Value::Number(_) => 4,
        _ => 3,
    };
    json!({"name": name, "type": kind, "value": value})
}

/// A command with an attached file.
pub fn with_file(who: Who, name: &str, fields: &[(&str, Value)], url: &str, size: u64) -> Value {
    let mut made = command(who, name, fields);
    let id = "960000000000000001";
    made["data"]["options"].as_array_mut().expect("options").push(json!({"name": "file", "type": 11, "value": id}));
    made["data"]["resolved"] = json!({"attachments": {id: {
        "id": id, "filename": "list.txt", "size": size, "url": url, "proxy_url": url, "content_type": "text/plain",
    }}});
    made
}

/// A field of a command while it is typed.
pub fn typing(who: Who, name: &str, field: &str, typed: &str) -> Value {
    let option = json!({"name": field, "type": 3, "value": typed, "focused": true});
    interaction(who, 4, json!({"id": "950000000000000001", "name": name, "type": 1, "options": [option]}))
}

/// A button below a message that the bot sent.
pub fn press(who: Who, custom_id: &str, below: &Sent) -> Value {
    let mut made = interaction(who, 3, json!({"custom_id": custom_id, "component_type": 2}));
    made["message"] = message(who, below);
    made
}

/// A form that was filled in.
pub fn form(who: Who, custom_id: &str, words: &str) -> Value {
    let input = json!({"type": 4, "custom_id": "words", "value": words});
    interaction(who, 5, json!({"custom_id": custom_id, "components": [{"type": 1, "components": [input]}]}))
}

/// A message that the bot sent, as the platform keeps it.
pub fn message(who: Who, sent: &Sent) -> Value {
    let data = if sent.body["data"].is_object() { &sent.body["data"] } else { &sent.body };
    let mut embeds = data["embeds"].clone();
    for embed in embeds.as_array_mut().into_iter().flatten() {
        embed["type"] = json!("rich");
        if embed["image"].is_object() {
            embed["image"] = json!({"url": "https://cdn.discordapp.com/attachments/1/2/chart.png"});
        }
    }
    if embeds.is_null() {
        embeds = json!([]);
    }
    json!({
        "id": "920000000000000002", "channel_id": who.channel.to_string(), "author": bot(), "content": data["content"],
        "timestamp": "2026-11-25T12:00:00.000000+00:00", "edited_timestamp": null, "tts": false,
        "mention_everyone": false, "mentions": [], "mention_roles": [], "attachments": [], "embeds": embeds,
        "pinned": false, "type": 20, "flags": data["flags"].as_u64().unwrap_or(0),
        "components": data["components"].as_array().cloned().unwrap_or_default(),
    })
}

/// A message that a person wrote.
pub fn said(who: Who, text: &str, names_the_bot: bool) -> Value {
    let mut made = json!({
        "id": NEXT.fetch_add(1, Ordering::Relaxed).to_string(), "channel_id": who.channel.to_string(),
        "author": user(who.person), "content": text, "timestamp": "2026-11-25T12:00:00.000000+00:00",
        "edited_timestamp": null, "tts": false, "mention_everyone": false,
        "mentions": if names_the_bot { json!([bot()]) } else { json!([]) }, "mention_roles": [], "attachments": [],
        "embeds": [], "pinned": false, "type": 0, "flags": 0, "components": [],
    });
    if let Some(server) = who.server {
        made["guild_id"] = json!(server.to_string());
    }
    made
}

/// The ping with which the platform tries an endpoint.
pub fn ping() -> Value {
    interaction(somebody(), 1, Value::Null)
}
