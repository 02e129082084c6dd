//! Which size of a request makes its answer much work.
use super::mistake::pointer;
use crate::odds::dice::Dice;
use serde_json::Value;

/// Fields that say how much there is of something.
const SIZES: [&str; 17] = [
    "attackers",
    "attacks",
    "capacity",
    "contents",
    "damage",
    "dice",
    "draws",
    "health",
    "missing",
    "models",
    "most",
    "passes",
    "rerolls",
    "structure",
    "tries",
    "turns",
    "units",
];

/// The largest size that a request names, with the pointer to it: what to lower first.
pub fn largest(request: &Value) -> Option<(String, u64)> {
    let mut found: Option<(String, u64)> = None;
    look(request, "", false, &mut found);
    found
}

fn look(value: &Value, at: &str, is_size: bool, found: &mut Option<(String, u64)>) {
    let size = match value {
        Value::Object(members) => {
            for (name, member) in members {
                // What stands in a size by names of its own, such as the colours of a bag, is one too.
                look(member, &pointer(at, name), is_size || SIZES.contains(&name.as_str()), found);
            }
            return;
        }
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(index, item)| look(item, &pointer(at, index), is_size, found));
            return;
        }
        Value::Number(number) => number.as_u64(),
        Value::String(text) => text.parse::<Dice>().ok().map(|dice| u64::from(dice.count()) * u64::from(dice.sides())),
        _ => None,
    };
    let Some(size) = size.filter(|_| is_size) else { return };
    if found.as_ref().is_none_or(|(_, largest)| size > *largest) {
        *found = Some((at.to_owned(), size));
    }
}
