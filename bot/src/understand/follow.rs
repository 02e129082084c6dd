//! A question again with something changed: what a follow-up says goes into the question before.
use super::battle::{Battle, option_text};
use super::carried::unattached;
use super::choose::{Ranked, rank};
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;
use super::reading::{Reading, Told};
use super::sides::Side;
use crate::commands::{self, Command, rule};
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::typing;
use serde_json::{Value as Json, json};

mod apply;
mod cues;
mod other;
use apply::{amounts, carried_along, numbers, push, put_side, stand_in, swap, table};
pub use cues::cued;
use cues::{hits_back, repeats};
use other::{converted, of_numbers, of_rule};
pub use other::{replaced, unspoken};

const CHANGED: &[Class] = &[
    Class::Again,
    Class::Swap,
    Class::Half,
    Class::Double,
    Class::MoreOne,
    Class::LessOne,
    Class::Run,
    Class::Why,
    Class::Wh,
    Class::YesNo,
    Class::Attack,
    Class::Kill,
    Class::Suffer,
    Class::Needed,
    Class::Duel,
    Class::Near,
    Class::With,
    Class::Cond,
    Class::Check,
    Class::Luck,
    Class::Points,
    Class::Appraise,
    Class::Compare,
    Class::Repair,
    Class::Neg,
];

/// Where the attacker, the target and the table stand in a question of this path.
struct Places {
    attacker: &'static str,
    target: &'static str,
    table: &'static str,
    shown: &'static str,
}

fn places(path: &str, question: &Json) -> Option<Places> {
    let matchup = |attacker, target, table| Some(Places { attacker, target, table, shown: table });
    match path {
        "/v1/matchup" => matchup("/attacker", "/target", "/situation"),
        "/v1/needed" | "/v1/luck" if question.matchup().is_said() => {
            matchup("/matchup/attacker", "/matchup/target", "/matchup/situation")
        }
        "/v1/duel" => Some(Places { attacker: "/a", target: "/b", table: "/situation", shown: "/b/situation" }),
        "/v1/appraisal" => matchup("", "/against/0", "/situation"),
        _ => None,
    }
}

/// The reading of a message as a change of the question before.
pub fn follow(message: &ParsedMessage<'_>, battle: &Battle, before: &Link) -> Option<Ranked> {
    let command = commands::at(&before.path).or((before.path == rule::PATH).then_some(&rule::RULE))?;
    let cue = f64::from(u8::from(cued(message)));
    let change = if before.path == rule::PATH {
        of_rule(message, before)
    } else if let Some(places) = places(&before.path, &before.question) {
        of_units(message, battle, before, command, &places)
    } else {
        of_numbers(message, battle, before, command)
    };
    let mut reading = change?;
    reading.score += 1.7 + 1.3 * cue;
    Some(rank(message, battle, reading, true))
}

/// Whose side a unit of a follow-up is: the one it plays on already, or the one that the words say.
fn seat(
    message: &ParsedMessage<'_>,
    battle: &Battle,
    question: &Json,
    places: &Places,
    at: usize,
    side: &Side,
) -> Option<&'static str> {
    let known = |place: &str| question.at(place).unit_id().is_some_and(|id| side.ids.iter().any(|known| known == id));
    if side.ids.len() > 1 {
        return match (known(places.attacker), known(places.target)) {
            (true, false) => Some(places.attacker),
            (false, true) => Some(places.target),
            _ => None,
        };
    }
    // `sorry, bittern, not heron`
    let denied =
        |place: &str| question.at(place).unit_id().is_some_and(|id| battle.denied.iter().any(|known| known == id));
    if denied(places.attacker) {
        return Some(places.attacker);
    }
    if denied(places.target) {
        return Some(places.target);
    }
    if places.attacker.is_empty() {
        return Some(places.attacker);
    }
    // `swap the target for a hauler`
    let role = |name: &str| (0..message.tokens.len()).any(|at| message.any(at, &[name]));
    if message.has(Class::Swap) && role("target") != role("attacker") && battle.fighters().count() == 1 {
        return Some(if role("target") { places.target } else { places.attacker });
    }
    let index = message.index;
    let id = side.unit()?;
    let is = |place: &str| question.at(place).unit_id() == Some(id);
    match (is(places.attacker), is(places.target)) {
        (true, false) => return Some(places.attacker),
        (false, true) => return Some(places.target),
        _ => {}
    }
    // A unit of the same sort takes the place of its like.
    let role = |id: &str| index.unit(id).map(|unit| (unit.armoured, unit.role.as_str()));
    let like = |place: &str| question.at(place).unit_id().and_then(role) == role(id);
    let armoured = |place: &str| {
        question.at(place).unit_id().and_then(|id| index.unit(id)).map(|unit| unit.armoured)
            == index.unit(id).map(|unit| unit.armoured)
    };
    let roles = &battle.roles;
    if roles.targets.contains(&at) && roles.sure {
        Some(places.target)
    } else if roles.attackers.contains(&at) && roles.sure {
        Some(places.attacker)
    } else {
        match (like(places.attacker), like(places.target)) {
            (true, false) => Some(places.attacker),
            (false, true) => Some(places.target),
            _ => match (armoured(places.attacker), armoured(places.target)) {
                (true, false) => Some(places.attacker),
                (false, true) => Some(places.target),
                _ => None,
            },
        }
    }
}

/// A change of a question about units.
fn of_units(
    message: &ParsedMessage<'_>,
    battle: &Battle,
    before: &Link,
    command: &'static Command,
    places: &Places,
) -> Option<Reading> {
    let index = message.index;
    if before.path == "/v1/matchup"
        && let Some(reading) = converted(message, battle, before)
    {
        return Some(reading);
    }
    let mut question = before.question.clone();
    let mut used = battle.used.clone();
    let mut changes = 0_u32;
    let mut notes = Vec::new();
    // `and if they charge me`, `what if he shoots mine`: whoever was attacked strikes.
    let mine = ["me", "us", "my", "mine", "our", "ours"];
    let theirs = ["he", "they", "his", "their", "she", "her"];
    let strikes = (0..message.tokens.len()).any(|at| {
        (message.is(at, Class::Attack) || message.is(at, Class::Charged))
            && (at.saturating_sub(3)..at).any(|at| message.any(at, &theirs))
            && (at + 1..at + 3).any(|at| message.any(at, &mine))
    });
    let back = hits_back(message);
    // `swap the target for a hauler`: another unit in its place.
    let exchanged = message.spans(Class::Swap).any(|(from, _)| {
        (from + 1..from + 5).any(|at| message.any(at, &["for", "with"]))
            && battle.fighters().any(|side| side.start > from)
    });
    // `the wrong way round: it is the hands who attack the gang`: both stand there already, each where the other belongs.
    if let (Some(one), Some(other)) = (battle.roles.attackers.first(), battle.roles.targets.first())
        && battle.fighters().count() == 2
        && battle.fighters().all(|side| side.count.is_none())
        && before.path == "/v1/matchup"
    {
        let at = |place: &str| question.at(place).unit_id().map(str::to_owned);
        let (attacker, target) = (battle.sides[*one].unit(), battle.sides[*other].unit());
        if attacker.is_some() && at(places.target).as_deref() == attacker && at(places.attacker).as_deref() == target {
            swap(&mut question, places);
            return Some(Reading::asks(command, question, 1.3, used, CHANGED));
        }
    }
    let swapped = message.has(Class::Swap) && !exchanged || (strikes || back) && battle.fighters().count() == 0;
    if swapped && before.path != "/v1/appraisal" {
        swap(&mut question, places);
        changes += 1;
    }
    let unit_of = |question: &Json, place: &str| question.at(place).unit_id().map(str::to_owned);
    let attacker = unit_of(&question, places.attacker);
    let target = unit_of(&question, places.target);
    let count_of = |question: &Json, place: &str| question.at(place).models();
    // `how many would I need to kill half`: half of what is wished, not of who attacks.
    let many = (0..message.tokens.len()).any(|at| message.any(at, &["how"]) && message.any(at + 1, &["many"]));
    if message.has(Class::Half) && many {
        return None;
    }
    for (class, change) in [
        (Class::Half, &(|count: u64| count.div_ceil(2)) as &dyn Fn(u64) -> u64),
        (Class::Double, &|count| count * 2),
        (Class::MoreOne, &|count| count + 1),
        (Class::LessOne, &|count: u64| count.saturating_sub(1).max(1)),
    ] {
        if message.has(class) {
            // Where one side is a single thing, the other is meant.
            let halved = matches!(class, Class::Half);
            let sides = [places.attacker, places.target];
            let many = sides.into_iter().find(|place| count_of(&question, place).is_some_and(|count| count > 1));
            let gone =
                (0..message.tokens.len()).any(|at| message.any(at, &["legged", "ran", "died", "fled", "lost", "dead"]));
            let place = if halved && gone { places.target } else { many.filter(|_| halved).unwrap_or(places.attacker) };
            let count = count_of(&question, place).unwrap_or(1);
            set(&mut question, &format!("{place}/models"), json!(change(count)));
            changes += 1;
        }
    }
    let fighters: Vec<&Side> = battle.fighters().collect();
    let known: Vec<&str> = [attacker.as_deref(), target.as_deref()].into_iter().flatten().collect();
    if let Some((new, old)) = replaced(message, battle, &known) {
        let place = [places.attacker, places.target]
            .into_iter()
            .find(|place| unit_of(&question, place).is_some_and(|id| old.ids.contains(&id)))?;
        put_side(index, &mut question, place, new);
        changes += table(battle, &mut question, places, &before.path);
        return Some(Reading::asks(command, question, f64::from(changes.min(3)) * 0.3 + 1.0, used, CHANGED));
    }
    // `what if two of the hands are gone`: so many fewer than before.
    if let [side] = fighters.as_slice()
        && let Some(gone) = side.count
        && let Some(at) = (side.end()..(side.end() + 4).min(message.tokens.len()))
            .find(|&at| message.any(at, &["gone", "dead", "down", "killed", "lost", "missing"]))
        && let Some(place) = [places.target, places.attacker]
            .into_iter()
            .find(|place| unit_of(&question, place).as_deref() == side.unit())
        && let Some(left) =
            count_of(&question, place).and_then(|count| count.checked_sub(gone)).filter(|left| *left > 0)
    {
        super::reading::mark(&mut used, side.end(), at + 1);
        set(&mut question, &format!("{place}/models"), json!(left));
        return Some(Reading::asks(command, question, 1.3, used, CHANGED));
    }
    // `2 barges and 1 skiff` attack together: that is no change of one side.
    if let [one, other] = fighters.as_slice()
        && (one.end()..other.start).all(|at| message.any(at, &["and", "n", "plus", "a", "an", "the", "my", "his"]))
        && one.end() < other.start
    {
        return None;
    }
    // `what does the heron do to them`: the target of before attacks.
    if let [one] = fighters.as_slice()
        && before.path == "/v1/matchup"
        && one.unit() == target.as_deref()
        && one.unit() != attacker.as_deref()
        && let Some(verb) = (one.end()..message.tokens.len()).find(|&at| {
            message.is(at, Class::Attack)
                && (message.any(at + 1, &["them", "it", "him", "back", "to", "me", "us"])
                    || message.any(at + 2, &["them", "it", "him", "me", "us"])
                    || message.any(at + 2, &["of"]) && message.any(at + 3, &["them", "em", "these", "those"]))
        })
    {
        swap(&mut question, places);
        // `the heron shoots one of them`
        if let Some(of_them) = message.number(verb + 1).filter(|_| message.any(verb + 2, &["of"])) {
            set(&mut question, &format!("{}/models", places.target), json!(of_them));
            super::reading::mark(&mut used, verb + 1, verb + 4);
        }
        table(battle, &mut question, places, &before.path);
        return Some(Reading::asks(command, question, 1.0, used, CHANGED));
    }
    let single = |side: &Side| {
        side.unit()
            .and_then(|id| index.unit(id))
            .is_some_and(|unit| unit.least <= 1 && unit.most <= 1 && !unit.armoured)
    };
    for (at, side) in battle.sides.iter().enumerate() {
        if side.helper {
            // A helper that was given to nobody stands by the attacker.
            if !battle.sides.iter().any(|other| !other.helper) {
                push(&mut question, &format!("{}/near", places.attacker), json!(side.ids.first()?));
                changes += 1;
            }
            continue;
        }
        if single(side) && message.has(Class::Near) {
            for (at, len) in message.spans(Class::Near) {
                super::reading::mark(&mut used, at, at + len);
            }
        }
        if single(side)
            && message.has(Class::Near)
            && battle.fighters().count() == 1
            && attacker.as_deref() != side.unit()
        {
            push(&mut question, &format!("{}/near", places.attacker), json!(side.ids.first()?));
            changes += 1;
            continue;
        }
        // What looks like a crew's name may be what the unit before can take.
        if side.fit == super::names::Fit::Part {
            let mut loosened = stand_in(attacker.as_deref()?);
            let mut free = used.clone();
            free[side.start..side.end()].fill(false);
            unattached(message, &mut loosened, &mut free, false);
            if let Some(extra) = loosened.options.first() {
                push(&mut question, &format!("{}/options", places.attacker), option_text(extra));
                used = free;
                changes += 1;
                continue;
            }
        }
        let place = seat(message, battle, &question, places, at, side)?;
        let resolved = question.at(place).unit_id().map(str::to_owned);
        let mut side = side.clone();
        if let Some(id) = resolved.filter(|id| side.ids.len() > 1 && side.ids.contains(id)) {
            side.ids = vec![id];
        }
        let before_count = count_of(&question, place);
        put_side(index, &mut question, place, &side);
        // `same with skiffs`: as many of them.
        let plural = message.word(side.end() - 1);
        if place == places.attacker
            && side.count.is_none()
            && typing::fillers::singular(plural) != plural
            && (0..side.start).any(|at| message.any(at, &["same"]))
            && let (Some(count), Some(unit)) = (before_count, side.unit().and_then(|id| index.unit(id)))
            && unit.least <= 1
        {
            set(&mut question, &format!("{place}/models"), json!(count));
        }
        changes += 1;
    }
    if battle.fighters().count() == 0 {
        changes += carried_along(message, &mut question, places, attacker.as_deref(), target.as_deref(), &mut used);
    }
    changes += table(battle, &mut question, places, &before.path);
    changes += amounts(battle, &mut question, places, index, target.as_deref(), &mut used);
    changes += numbers(message, battle, &mut question, places, before, &mut used, index);
    let told = Told { message, battle };
    if before.path == "/v1/duel" {
        let (a, b) = (stand_in(attacker.as_deref()?), stand_in(target.as_deref()?));
        let named = |mut side: Side| {
            if let Some(mention) =
                message.named(Sort::Unit).find(|one| one.ids.iter().any(|(id, _)| side.ids.contains(id)))
            {
                (side.at, side.len) = (mention.at, mention.len);
            }
            side
        };
        if let Some(first) = super::volleys::who_first(&told, &named(a), &named(b), &mut used) {
            set(&mut question, "/first", json!(first));
            changes += 1;
        }
    }
    // A change that changes nothing was meant otherwise.
    if changes > 0 && question == before.question {
        changes = 0;
    }
    // `how likely to kill at least 4`: the same attack, asked for one number of its answer.
    let wish = battle.amounts.iter().find(|amount| amount.killed && amount.value > 0).map(|amount| amount.value);
    let again = changes == 0 && (repeats(message) || wish.is_some() && before.path == "/v1/matchup");
    if message.has(Class::Why) && changes == 0 {
        for at in 0..used.len() {
            if message.number(at).is_some()
                || message.any(at, &["not"])
                || matches!(message.tokens[at].kind, typing::TokenKind::Needs(_) | typing::TokenKind::Faces(_))
            {
                used[at] = true;
            }
        }
    }
    if changes == 0 && !again {
        return None;
    }
    let wished = if changes == 0 && wish.is_some() { 0.6 } else { 0.0 };
    let mut reading = Reading::asks(command, question, f64::from(changes.min(3)) * 0.3 + wished, used, CHANGED);
    if let Some(wish) = wish.filter(|_| before.path == "/v1/matchup") {
        reading.beside.args.push(super::reading::arg("wish", typing::Value::Number(wish)));
    }
    notes.dedup();
    reading.notes = std::mem::take(&mut notes);
    Some(reading)
}
