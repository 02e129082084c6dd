//! Whether a question is too much work, or its answer too long; and which size of the request makes it so.
use super::bytes::MOST_BYTES;
use super::mistake::{Mistake, MistakeKind, pointer};
use super::question::PreparedQuery;
use crate::odds::dice::Dice;
use crate::odds::price::Work;
use serde_json::Value;

/// What a question costs, where so much is allowed: its work, and the writing of its answer.
///
/// # Errors
/// The mistake that says which size to lower, where it is too much or the answer would be too long.
pub fn within<R: PreparedQuery>(
    prepared: &R,
    budget: u64,
    request: impl FnOnce() -> Option<Value>,
) -> Result<Work, Mistake> {
    let bytes = prepared.bytes();
    // Writing a few bytes takes as long as a multiplication.
    let price = prepared.price() + bytes / 4;
    if !price.is_within(budget) {
        let much = match price.units() / budget.max(1) {
            // Beyond this the number says nothing any more.
            times if price == Work::UNPAYABLE || times > 1_000_000 => "far too much work for one question".to_owned(),
            times => format!("about {} times the work that one question may take", times.saturating_add(1)),
        };
        return Err(too_much(&format!("This is {much}."), request().as_ref()));
    }
    if !bytes.is_within(MOST_BYTES) {
        let most = MOST_BYTES >> 20;
        let size = match bytes.units().div_ceil(1 << 20) {
            mib if mib <= 100_000 => format!("of up to {mib} MB"),
            _ => "far longer".to_owned(),
        };
        return Err(too_much(&format!("The answer would be {size}, and may have {most} MB."), request().as_ref()));
    }
    Ok(price)
}

fn too_much(what: &str, request: Option<&Value>) -> Mistake {
    let own = request.and_then(|request| own_pack(request, ""));
    let named = request.and_then(largest).filter(|(_, size)| own.is_none() || *size > FEW);
    let (pointer, lower) = match (named, own) {
        (Some((pointer, size)), _) => {
            let field = pointer.trim_start_matches('/').replace('/', ".");
            (pointer, format!("Lower its sizes, first of all {field} ({size})."))
        }
        (None, Some(pointer)) => (
            pointer,
            "Lower the sizes that the files name, first of all dice, attacks and what rules add to them.".to_owned(),
        ),
        (None, None) => (String::new(), "Ask for less at once.".to_owned()),
    };
    Mistake { kind: MistakeKind::TooMuchWork, ..Mistake::value(pointer, format!("{what} {lower}")) }
}

/// Sizes up to this are no reason for much work where a pack comes with the request.
const FEW: u64 = 100;

/// Where a request brings the text of a pack.
fn own_pack(request: &Value, at: &str) -> Option<String> {
    match request {
        Value::Object(members) => members.iter().find_map(|(name, member)| match member {
            Value::String(text) if ["pack", "book"].contains(&name.as_str()) && text.contains('\n') => {
                Some(pointer(at, name))
            }
            member => own_pack(member, &pointer(at, name)),
        }),
        Value::Array(items) => items.iter().enumerate().find_map(|(index, item)| own_pack(item, &pointer(at, index))),
        _ => None,
    }
}

/// Fields that say how much there is of something.
const SIZES: [&str; 18] = [
    "attackers",
    "attacks",
    "capacity",
    "contents",
    "damage",
    "dice",
    "draws",
    "faces",
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
