//! What a follow-up says goes into its place in the question before.
use super::super::amounts::Says;
use super::super::battle::{Battle, models, number, option_text};
use super::super::carried::unattached;
use super::super::lexicon::Class;
use super::super::message::ParsedMessage;
use super::super::names::Fit;
use super::super::reading::{Told, mark};
use super::super::sides::Side;
use super::super::table::Range;
use super::Places;
use crate::client::index::PackIndex;
use crate::draft::{Draft, retain, set, take, unset};
use crate::link::Link;
use serde_json::{Value as Json, json};

pub(super) fn swap(question: &mut Json, places: &Places) {
    let (mut one, mut other) = (take(question, places.attacker), take(question, places.target));
    for state in ["left", "hurt", "statuses"] {
        unset(&mut one, state);
        unset(&mut other, state);
    }
    set(question, places.attacker, other);
    set(question, places.target, one);
    // The arc was that of who was attacked: it says nothing of who is now.
    if places.shown == "/situation" {
        unset(question, "/situation/arc");
        if question.situation().as_object().is_some_and(serde_json::Map::is_empty) {
            unset(question, "situation");
        }
    }
}

pub(super) fn stand_in(id: &str) -> Side {
    Side {
        ids: vec![id.to_owned()],
        at: 0,
        len: 0,
        start: 0,
        count: None,
        whole: false,
        options: Vec::new(),
        weapons: Vec::new(),
        near: Vec::new(),
        statuses: Vec::new(),
        left: None,
        lost: None,
        whose: None,
        fit: Fit::Whole,
        helper: false,
    }
}

/// What a unit of the question before carries in place of, or beside, what it had.
pub(super) fn carried_along(
    message: &ParsedMessage<'_>,
    question: &mut Json,
    places: &Places,
    attacker: Option<&str>,
    target: Option<&str>,
    used: &mut [bool],
) -> u32 {
    let mut changes = 0;
    for (id, place) in [(attacker, places.attacker), (target, places.target)] {
        let Some(id) = id else { continue };
        let mut side = stand_in(id);
        unattached(message, &mut side, used, place == places.target);
        for extra in &side.options {
            push(question, &format!("{place}/options"), option_text(extra));
            changes += 1;
        }
        if !side.weapons.is_empty() {
            set(question, &format!("{place}/weapons"), json!(side.weapons));
            changes += 1;
        }
        if !side.statuses.is_empty() && place == places.target {
            set(question, &format!("{place}/statuses"), json!(side.statuses));
            changes += 1;
        }
    }
    changes
}

pub(super) fn push(question: &mut Json, at: &str, value: Json) {
    let mut list = question.at(at).items().to_vec();
    if !list.contains(&value) {
        list.push(value);
    }
    set(question, at, Json::Array(list));
}

/// Puts a side at its place; a unit that is there already keeps what it has.
pub(super) fn put_side(index: &PackIndex, question: &mut Json, place: &str, side: &Side) {
    let Some(id) = side.ids.first() else { return };
    let same = question.at(place).unit_id() == Some(id);
    if !same {
        if place.is_empty() {
            let pack = take(question, "/pack");
            *question = json!({"pack": pack});
        } else {
            set(question, place, json!({}));
        }
    }
    set(question, &format!("{place}/unit"), json!(id));
    if let Some(models) = side.models(index) {
        set(question, &format!("{place}/models"), json!(models));
    }
    for extra in &side.options {
        push(question, &format!("{place}/options"), option_text(extra));
    }
    for near in &side.near {
        push(question, &format!("{place}/near"), json!(near));
    }
    if !side.weapons.is_empty() {
        set(question, &format!("{place}/weapons"), json!(side.weapons));
    }
    if !side.statuses.is_empty() {
        set(question, &format!("{place}/statuses"), json!(side.statuses));
    }
    for (state, value) in [("left", side.left), ("hurt", side.lost)] {
        if let Some(value) = value {
            set(question, &format!("{place}/{state}"), json!(value));
        }
    }
}

/// What the follow-up says of the table.
pub(super) fn table(battle: &Battle, question: &mut Json, places: &Places, path: &str) -> u32 {
    let table = &battle.table;
    let mut changes = 0;
    let mut put = |at: String, value: Json| {
        set(question, &at, value);
        changes += 1;
    };
    let duel = path == "/v1/duel";
    let (shown, all) = (places.shown, places.table);
    if let Some(arc) = table.arcs.last() {
        put(format!("{shown}/arc"), json!(arc));
    }
    if let Some(cover) = &table.cover {
        put(format!("{shown}/cover"), json!(cover));
    } else if table.no_cover {
        put(format!("{shown}/cover"), Json::Null);
    }
    match &table.range {
        Some(Range::Band(band)) => put(format!("{all}/range"), json!(band)),
        Some(Range::Inches(inches)) => put(format!("{all}/range"), number(*inches)),
        None => {}
    }
    if let Some(moved) = table.moved.filter(|_| !duel) {
        put(format!("{all}/moved"), json!(moved));
    }
    for flag in &table.flags {
        put(format!("{all}/{flag}"), json!(true));
    }
    for flag in &table.no_flags {
        put(format!("{all}/{flag}"), json!(false));
    }
    let base = all.strip_suffix("/situation").unwrap_or_default();
    for (key, other, rules) in [("with", "without", &table.with), ("without", "with", &table.without)] {
        for rule in rules {
            retain(question, &format!("{base}/{other}"), |known| known != rule.as_str());
            push(question, &format!("{base}/{key}"), json!(rule));
            changes += 1;
        }
    }
    changes
}

/// What is lost and left.
pub(super) fn amounts(
    battle: &Battle,
    question: &mut Json,
    places: &Places,
    index: &PackIndex,
    target: Option<&str>,
    used: &mut [bool],
) -> u32 {
    let mut changes = 0;
    let armoured = target.and_then(|id| index.unit(id)).is_some_and(|unit| unit.armoured);
    for amount in &battle.amounts {
        // `the chance of killing 3`: the answer says it.
        if amount.killed {
            mark(used, amount.from, amount.to);
            changes += 1;
            continue;
        }
        let left = amount.says == Says::Left;
        if armoured {
            let (key, other) = if left { ("left", "hurt") } else { ("hurt", "left") };
            unset(question, &format!("{}/{other}", places.target));
            set(question, &format!("{}/{key}", places.target), json!(amount.value));
        } else {
            let count = question.at(places.target).models();
            let now = if left {
                Some(amount.value)
            } else {
                count.and_then(|count| count.checked_sub(amount.value)).filter(|now| *now > 0)
            };
            let Some(now) = now else { continue };
            set(question, &format!("{}/models", places.target), json!(now));
        }
        mark(used, amount.from, amount.to);
        changes += 1;
    }
    changes
}

/// Numbers without a unit: `make it 4`, `5 of them`, `50%`, `8 turns`.
pub(super) fn numbers(
    message: &ParsedMessage<'_>,
    battle: &Battle,
    question: &mut Json,
    places: &Places,
    before: &Link,
    used: &mut [bool],
    index: &PackIndex,
) -> u32 {
    let mut changes = 0;
    let told = Told { message, battle };
    if let Some((at, len, chance)) =
        told.percent().or_else(|| super::super::counts::of_times(&told)).filter(|_| before.path == "/v1/needed")
    {
        let key = if question.want().destroyed().is_said() { "destroyed" } else { "chance" };
        set(question, &format!("/want/{key}"), json!(chance));
        mark(used, at, at + len);
        changes += 1;
    }
    if let Some((at, turns)) = told.turns().filter(|_| matches!(before.path.as_str(), "/v1/duel" | "/v1/appraisal")) {
        set(question, "/turns", json!(turns));
        mark(used, at, at + 2);
        changes += 1;
    }
    for at in 0..used.len() {
        let Some(count) = message.number(at).filter(|_| !used[at]) else { continue };
        // `one more`, `half as many`: no number of its own.
        let relative = [Class::MoreOne, Class::LessOne, Class::Half, Class::Double]
            .iter()
            .any(|class| message.spans(*class).any(|(from, len)| from <= at && at < from + len));
        if relative {
            mark(used, at, at + 1);
            continue;
        }
        let of = message.any(at + 1, &["of"]) && message.any(at + 2, &["them", "em", "those", "these"]);
        let made = at > 0
            && message
                .any(at - 1, &["it", "with", "about", "if", "now", "say", "ok", "that", "them", "be", "only", "just"])
            || at > 0 && message.any(at - 1, &["same"])
            || at > 1
                && message
                    .any(at - 1, &["had", "have", "brought", "took", "used", "bring", "take", "send", "sent", "use"])
                && (0..at).any(|at| message.any(at, &["i", "we"]));
        let instead = message.any(at + 1, &["instead"]) || message.is_end(at + 1) && made;
        let lone = message.is_end(at + 1) && (at == 0 || at == 1 && message.any(0, &["and", "n", "with", "or", "but"]));
        let attackers = message.any(at + 1, &["attackers"]) || lone;
        // `3 of them, not 2`: the number of before is taken back.
        if at > 0
            && message.any(at - 1, &["not"])
            && (changes > 0 || battle.fighters().any(|side| side.count.is_some()))
        {
            mark(used, at - 1, at + 1);
            continue;
        }
        let against = at > 0 && message.is(at - 1, Class::Vs) && message.is_end(at + 1);
        if against {
            let unit = question.at(places.target).unit_id().map(str::to_owned);
            let count = unit.map_or(count, |unit| models(index, &unit, count));
            set(question, &format!("{}/models", places.target), json!(count));
            mark(used, at, at + 1);
            changes += 1;
            continue;
        }
        if !(of || made && (message.is_end(at + 1) || message.is(at + 1, Class::Small)) || instead || attackers)
            || message.is(at + 1, Class::Turn)
        {
            continue;
        }
        // Of two sides, one alone has a number: it is that number.
        let counted = |place: &str| question.at(place).models().is_some();
        let place =
            if of && counted(places.target) && !counted(places.attacker) { places.target } else { places.attacker };
        let unit = question.at(place).unit_id().map(str::to_owned);
        let count = unit.map_or(count, |unit| models(index, &unit, count));
        set(question, &format!("{place}/models"), json!(count));
        mark(used, at, if of { at + 3 } else { at + 1 });
        changes += 1;
        break;
    }
    changes
}
