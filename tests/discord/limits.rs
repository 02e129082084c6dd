//! The platform's written limits, which its machine-readable description does not hold all of.
//!
//! Source: the platform's developer documentation (discord.com/developers/docs: application commands, messages, embeds,
//! message components, gateway), as read in 2026. Lengths are counted in UTF-16, the stricter of the ways to count.
use super::platform::Sent;
use serde_json::{Value, json};
use std::collections::HashSet;

/// What is wrong with something sent.
pub fn faults(sent: &Sent) -> Vec<String> {
    let mut faults = Vec::new();
    let path = sent.path.as_str();
    let body = &sent.body;
    match sent.method.as_str() {
        "PUT" => commands(body, &mut faults),
        "POST" if path.starts_with("/interactions") => match body["type"].as_u64() {
            Some(4) => message(&body["data"], sent.files.len(), &mut faults),
            Some(5) => check(body["data"].get("content").is_none(), "content on a deferral", &mut faults),
            Some(8) => choices(body["data"]["choices"].as_array(), &mut faults),
            Some(9) => form(&body["data"], &mut faults),
            _ => {}
        },
        "PATCH" | "POST" => message(body, sent.files.len(), &mut faults),
        _ => {}
    }
    let size: usize = sent.files.iter().map(|(_, bytes)| bytes.len()).sum();
    check(size < 10 * 1024 * 1024, "a file over 10 MiB", &mut faults);
    faults
}

fn check(holds: bool, fault: &str, faults: &mut Vec<String>) {
    if !holds {
        faults.push(fault.to_owned());
    }
}

fn length(value: &Value) -> usize {
    value.as_str().map_or(0, |text| text.encode_utf16().count())
}

fn between(value: &Value, least: usize, most: usize, what: &str, faults: &mut Vec<String>) {
    let length = length(value);
    check((least..=most).contains(&length), &format!("{what} of {length} signs"), faults);
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn message(message: &Value, files: usize, faults: &mut Vec<String>) {
    let (embeds, rows) = (list(&message["embeds"]), list(&message["components"]));
    between(&message["content"], 0, 2000, "content", faults);
    check(length(&message["content"]) > 0, "nothing to read where embeds are switched off", faults);
    check(message["allowed_mentions"]["parse"] == json!([]), "mentions are parsed", faults);
    check(embeds.len() <= 10, "more than ten embeds", faults);
    let mut all = 0;
    for embed in embeds {
        let parts = ["title", "description"].map(|part| length(&embed[part]));
        all += parts.iter().sum::<usize>() + length(&embed["footer"]["text"]) + length(&embed["author"]["name"]);
        between(&embed["title"], 0, 256, "a title", faults);
        between(&embed["description"], 0, 4096, "a description", faults);
        between(&embed["footer"]["text"], 0, 2048, "a footer", faults);
        between(&embed["url"], 0, 2048, "an address", faults);
        check(embed["fields"].is_null(), "fields, which phones show badly", faults);
        if let Some(url) = embed["image"]["url"].as_str() {
            let name = url.trim_start_matches("attachment://");
            let told = list(&message["attachments"]).iter().any(|attachment| attachment["filename"] == name);
            check(told, "a picture that is not attached", faults);
        }
    }
    check(all <= 6000, "embeds of more than 6,000 signs", faults);
    check(list(&message["attachments"]).len() == files, "files and what is told of them differ in number", faults);
    for attachment in list(&message["attachments"]) {
        between(&attachment["description"], 1, 1024, "the description of a picture", faults);
    }
    check(rows.len() <= 5, "more than five rows", faults);
    let mut ids = HashSet::new();
    for row in rows {
        check((1..=5).contains(&list(&row["components"]).len()), "a row of too many or no buttons", faults);
        for button in list(&row["components"]) {
            between(&button["label"], 1, 80, "a label", faults);
            between(&button["custom_id"], 1, 100, "a custom_id", faults);
            check(ids.insert(button["custom_id"].to_string()), "two buttons of one custom_id", faults);
        }
    }
    keys(
        message,
        &["content", "embeds", "components", "attachments", "allowed_mentions", "flags", "message_reference"],
        faults,
    );
}

fn keys(value: &Value, known: &[&str], faults: &mut Vec<String>) {
    for key in value.as_object().into_iter().flat_map(|fields| fields.keys()) {
        check(known.contains(&key.as_str()), &format!("an unknown {key}"), faults);
    }
}

fn form(form: &Value, faults: &mut Vec<String>) {
    between(&form["title"], 1, 45, "a form's title", faults);
    between(&form["custom_id"], 1, 100, "a form's custom_id", faults);
    for input in list(&form["components"]).iter().flat_map(|row| list(&row["components"])) {
        between(&input["label"], 1, 45, "a field's label", faults);
        between(&input["custom_id"], 1, 100, "a field's custom_id", faults);
        check(input["max_length"].as_u64().is_some_and(|most| most <= 4000), "a field of over 4,000 signs", faults);
    }
}

fn choices(choices: Option<&Vec<Value>>, faults: &mut Vec<String>) {
    let choices = choices.map_or(&[][..], Vec::as_slice);
    check((1..=25).contains(&choices.len()), "no choices, or more than 25", faults);
    for choice in choices {
        between(&choice["name"], 1, 100, "a choice's name", faults);
        if choice["value"].is_string() {
            between(&choice["value"], 1, 100, "a choice's value", faults);
        }
    }
}

fn is_name(name: &Value) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '-';
    name.as_str().is_some_and(|name| (1..=32).contains(&name.len()) && name.chars().all(plain))
}

fn commands(commands: &Value, faults: &mut Vec<String>) {
    check(list(commands).len() <= 100, "more than 100 commands", faults);
    let mut names = HashSet::new();
    for command in list(commands) {
        check(is_name(&command["name"]), &format!("a command named {}", command["name"]), faults);
        check(names.insert(command["name"].to_string()), "two commands of one name", faults);
        between(&command["description"], 1, 100, "a command's description", faults);
        check(list(&command["options"]).len() <= 25, "more than 25 options", faults);
        let mut all = length(&command["name"]) + length(&command["description"]);
        let (mut fields, mut optional) = (HashSet::new(), false);
        for option in list(&command["options"]) {
            let name = &option["name"];
            check(is_name(name), &format!("an option named {name}"), faults);
            check(fields.insert(name.to_string()), &format!("two options named {name}"), faults);
            between(&option["description"], 1, 100, &format!("{name}'s description"), faults);
            let required = option["required"] == json!(true);
            check(!required || !optional, &format!("{name} is required after one that is not"), faults);
            optional |= !required;
            let (autocomplete, given) = (option["autocomplete"] == json!(true), list(&option["choices"]));
            check(!autocomplete || given.is_empty(), "choices and autocompletion", faults);
            if !given.is_empty() {
                choices(option["choices"].as_array(), faults);
            }
            all += length(name) + length(&option["description"]);
            all += given.iter().map(|choice| length(&choice["name"]) + length(&choice["value"])).sum::<usize>();
        }
        check(all <= 8000, "a command of more than 8,000 signs", faults);
    }
}

#[test]
fn the_limits_find_what_is_wrong() {
    let mut faults = Vec::new();
    commands(&json!([{"name": "Check", "description": ""}]), &mut faults);
    assert_eq!(faults.len(), 2, "{faults:?}");
    faults.clear();
    message(&json!({"content": "x".repeat(2001), "allowed_mentions": {"parse": ["users"]}}), 0, &mut faults);
    assert_eq!(faults.len(), 2, "{faults:?}");
}
