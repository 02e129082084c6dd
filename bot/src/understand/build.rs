//! `the best 1500 points against crawlers`, `build 800 with a heron, no mortar crews`: the best list, in words.
use super::lexicon::Class;
use super::lists::line;
use super::message::ParsedMessage;
use super::names::Sort;
use super::reading::{Reading, Told, mark};
use super::sides::Side;
use crate::commands::build::BUILD;
use crate::draft::set;
use serde_json::{Value as Json, json};

const AGAINST: &[Class] =
    &[Class::Attack, Class::Kill, Class::Wh, Class::Vs, Class::Points, Class::Compare, Class::YesNo];

/// `1500 points against crawlers`, `the best list for 1000 points`.
pub(super) fn build(told: &Told<'_>) -> Option<Reading> {
    let (message, index) = (told.message, told.index());
    let (at, limit) = points(message)?;
    let word = |at: usize, words: &[&str]| message.any(at, words);
    let all = || 0..message.tokens.len();
    let listed = all().any(|at| word(at, &["list", "army", "lists"]))
        && all().any(|at| word(at, &["best", "build", "make", "write", "strongest", "suggest", "draw", "draft"]))
        && !message.text.contains([';', '\n']);
    let taken = all().any(|at| word(at, &["what"]) && word(at + 1, &["should", "shall", "do", "would", "can"]))
        && all().any(|at| word(at, &["take", "bring", "field", "build"]));
    let opens = at <= 1 && all().any(|at| word(at, &["against", "versus", "vs", "v"]));
    let commanded = at <= 1 && word(0, &["build"]);
    if !(listed || taken || opens || commanded) {
        return None;
    }
    let mut used = told.battle.used.clone();
    mark(&mut used, at, at + 2);
    let words = [
        "best",
        "list",
        "army",
        "build",
        "make",
        "write",
        "me",
        "us",
        "a",
        "an",
        "the",
        "strongest",
        "suggest",
        "good",
        "what",
        "should",
        "shall",
        "do",
        "would",
        "can",
        "i",
        "we",
        "take",
        "bring",
        "field",
        "for",
        "with",
        "has",
        "have",
        "that",
        "you",
        "it",
        "in",
        "including",
        "include",
        "keep",
        "around",
        "no",
        "without",
        "except",
        "but",
        "of",
        "legal",
        "against",
        "versus",
        "to",
        "face",
        "beat",
        "his",
        "their",
        "some",
        "please",
        "at",
        "lists",
        "draw",
        "draft",
        "up",
        "out",
        "if",
        "which",
        "holds",
        "contains",
    ];
    for at in all() {
        used[at] |= word(at, &words);
    }
    let mut question = json!({"pack": index.id, "limit": limit});
    let (mut against, mut keep, mut exclude): (Vec<Json>, Vec<Json>, Vec<Json>) = Default::default();
    for side in told.battle.fighters() {
        // The points are no number of models: `800 with a heron`.
        let side = &Side { count: side.count.filter(|count| *count != limit), ..side.clone() };
        match wanted(message, side.start.min(side.at)) {
            Wanted::Against => against.push(json!(line(told, side))),
            Wanted::Kept => keep.push(json!(line(told, side))),
            Wanted::Excluded => match of_role(told, side) {
                // `no haulers`: all that are of that role, and not only the one that is called so too.
                Some(units) => exclude.extend(units.into_iter().map(|id| json!(id))),
                None => exclude.push(json!(side.unit()?)),
            },
        }
    }
    // `against crawlers`: each unit of the book that counts as one.
    for mention in message.named(Sort::Role) {
        let roles: Vec<&str> = mention.ids.iter().map(|(id, _)| id.as_str()).collect();
        let units = index.units.iter().filter(|unit| roles.contains(&unit.role.as_str()));
        match wanted(message, mention.at) {
            Wanted::Against => against.extend(units.map(|unit| json!(unit.name))),
            // Which of them is to be there is not said.
            Wanted::Kept => return None,
            Wanted::Excluded => exclude.extend(units.map(|unit| json!(unit.id))),
        }
        mark(&mut used, mention.at, mention.at + mention.len);
    }
    // The same where the word is one of several roles' names, or says what all of them are.
    let unsaid = |at: &usize| against.is_empty() && wanted(message, *at) == Wanted::Against && !used[*at];
    for at in all().filter(unsaid).collect::<Vec<_>>() {
        let said = message.tokens[at].word.as_str();
        let armoured = match said {
            "soldiers" | "infantry" | "people" => Some(false),
            "armour" | "armor" | "vehicles" => Some(true),
            _ => None,
        };
        let plain = said.trim_end_matches('s');
        let holds = |name: &str| name.to_lowercase().split([' ', '-']).any(|word| word.trim_end_matches('s') == plain);
        let named = |role: &str| {
            let name = index.roles.iter().find(|known| known.id == role).map_or(role, |known| &known.name);
            said.len() > 3 && holds(name)
        };
        let fits = |unit: &&pipwright_shared::wire::packs::UnitHead| {
            armoured.map_or_else(|| named(&unit.role), |armoured| unit.armoured == armoured)
        };
        let units: Vec<Json> = index.units.iter().filter(fits).map(|unit| json!(unit.name)).collect();
        used[at] |= !units.is_empty();
        against.extend(units);
    }
    if opens && !(listed || taken || commanded) && against.is_empty() {
        return None;
    }
    for (key, named) in [("keep", keep), ("exclude", exclude)] {
        if !named.is_empty() {
            question[key] = Json::Array(named);
        }
    }
    if !against.is_empty() {
        set(&mut question, "/against", Json::Array(against));
    }
    Some(Reading::asks(&BUILD, question, 4.9, used, AGAINST))
}

/// The units of a role where one word is the role's name and part of a unit's.
fn of_role(told: &Told<'_>, side: &Side) -> Option<Vec<String>> {
    let index = told.index();
    let said = told.message.tokens.get(side.at).filter(|_| side.len == 1)?.span.clone();
    let said = told.message.text.get(said)?;
    let role = index.roles.iter().find(|role| role.name.eq_ignore_ascii_case(said))?;
    let units =
        index.units.iter().filter(|unit| [&role.id, &role.name].contains(&&unit.role)).map(|unit| unit.id.clone());
    Some(units.collect::<Vec<_>>()).filter(|units| !units.is_empty())
}

/// `1500 points`, and `build 1500`.
fn points(message: &ParsedMessage<'_>) -> Option<(usize, u64)> {
    (0..message.tokens.len()).find_map(|at| {
        let number = message.number(at).filter(|number| *number >= 100)?;
        let said = message.any(at + 1, &["points", "pts", "point", "pt"]) || at == 1 && message.any(0, &["build"]);
        said.then_some((at, number))
    })
}

/// What a list is to do with a unit that is named.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wanted {
    /// It faces it.
    Against,
    /// It has it.
    Kept,
    /// It does without.
    Excluded,
}

/// What the last word before a name that says so makes of it: `with a heron, no mortar crews`.
fn wanted(message: &ParsedMessage<'_>, at: usize) -> Wanted {
    const AGAINST: &[&str] =
        &["against", "versus", "vs", "v", "beat", "beats", "face", "faces", "facing", "kill", "kills"];
    const KEPT: &[&str] =
        &["with", "including", "includes", "include", "containing", "contains", "has", "keep", "keeping", "around"];
    const EXCLUDED: &[&str] = &["no", "without", "not", "except", "excluding", "minus", "but"];
    let faces = |at: usize| message.any(at, AGAINST) || message.is(at, Class::Vs);
    let theirs = |at: usize| at > 0 && message.any(at - 1, &["he", "she", "they", "opponent", "enemy"]);
    // `against barges with a heron`, `he has a heron`: it is theirs.
    let against = |at: usize| theirs(at) || (0..at).rev().take_while(|at| !message.is_end(*at)).any(faces);
    let said = (0..at).rev().find_map(|at| {
        if faces(at) {
            Some(Wanted::Against)
        } else if message.any(at, KEPT) {
            Some(if against(at) { Wanted::Against } else { Wanted::Kept })
        } else {
            message.any(at, EXCLUDED).then_some(Wanted::Excluded)
        }
    });
    said.unwrap_or(Wanted::Against)
}
