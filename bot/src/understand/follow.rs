//! A question again with something changed: what a follow-up says goes into the question before.
use super::battle::{Battle, models, number, option_text};
use super::carried::loose;
use super::choose::{Ranked, rank};
use super::dice;
use super::lexicon::Class;
use super::names::Sort;
use super::reading::{Act, Reading, Told, mark};
use super::scene::Scene;
use super::sides::Side;
use super::table::Range;
use crate::client::index::PackIndex;
use crate::commands::{self, Command, rule, set, unset};
use crate::link::Link;
use crate::typing;
use serde_json::{Value as Json, json};

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
        "/v1/needed" | "/v1/luck" if question.get("matchup").is_some() => {
            matchup("/matchup/attacker", "/matchup/target", "/matchup/situation")
        }
        "/v1/duel" => Some(Places { attacker: "/a", target: "/b", table: "/situation", shown: "/b/situation" }),
        "/v1/appraisal" => matchup("", "/against/0", "/situation"),
        _ => None,
    }
}

/// The reading of a message as a change of the question before.
pub fn follow(scene: &Scene<'_>, battle: &Battle, before: &Link) -> Option<Ranked> {
    let command = commands::at(&before.path).or((before.path == rule::PATH).then_some(&rule::RULE))?;
    let cue = f64::from(u8::from(cued(scene)));
    let change = if before.path == rule::PATH {
        of_rule(scene, before)
    } else if let Some(places) = places(&before.path, &before.question) {
        of_units(scene, battle, before, command, &places)
    } else {
        of_numbers(scene, battle, before, command)
    };
    let mut reading = change?;
    reading.score = 1.7 + 1.3 * cue + reading.score;
    Some(rank(scene, reading))
}

/// Whether the message says that it changes the question before.
pub fn cued(scene: &Scene<'_>) -> bool {
    let start = (0..scene.tokens.len())
        .find(|at| {
            !scene.is_end(*at)
                && !scene
                    .any(*at, &["ok", "okay", "right", "so", "oh", "ah", "hmm", "well", "no", "yes", "yeah", "lol"])
        })
        .unwrap_or(0);
    scene.spans(Class::Again).any(|(at, len)| {
        at <= start + 1 && (len > 1 || !scene.any(at, &["too", "also"]))
            || len > 1
            || scene.any(at, &["instead", "same", "nah"])
    }) || scene.has(Class::Swap)
        || scene.any(start, &["no", "nah", "sorry", "not", "actually", "i"])
            && scene.any(start, &["no", "nah", "sorry", "not", "actually"])
        || scene.has(Class::Why)
}

/// Whose side a unit of a follow-up is: the one it plays on already, or the one that the words say.
fn seat(
    index: &PackIndex,
    battle: &Battle,
    question: &Json,
    places: &Places,
    at: usize,
    side: &Side,
) -> Option<&'static str> {
    let known = |place: &str| {
        question
            .pointer(&format!("{place}/unit"))
            .and_then(Json::as_str)
            .is_some_and(|id| side.ids.iter().any(|known| known == id))
    };
    if side.ids.len() > 1 {
        return match (known(places.attacker), known(places.target)) {
            (true, false) => Some(places.attacker),
            (false, true) => Some(places.target),
            _ => None,
        };
    }
    // `sorry, bittern, not heron`
    let denied = |place: &str| {
        question
            .pointer(&format!("{place}/unit"))
            .and_then(Json::as_str)
            .is_some_and(|id| battle.denied.iter().any(|known| known == id))
    };
    if denied(places.attacker) {
        return Some(places.attacker);
    }
    if denied(places.target) {
        return Some(places.target);
    }
    if places.attacker.is_empty() {
        return Some(places.attacker);
    }
    let id = side.unit()?;
    let is = |place: &str| question.pointer(&format!("{place}/unit")).and_then(Json::as_str) == Some(id);
    match (is(places.attacker), is(places.target)) {
        (true, false) => return Some(places.attacker),
        (false, true) => return Some(places.target),
        _ => {}
    }
    // A unit of the same sort takes the place of its like.
    let role = |id: &str| index.unit(id).map(|unit| (unit.armoured, unit.role.as_str()));
    let like =
        |place: &str| question.pointer(&format!("{place}/unit")).and_then(Json::as_str).and_then(role) == role(id);
    let armoured = |place: &str| {
        question
            .pointer(&format!("{place}/unit"))
            .and_then(Json::as_str)
            .and_then(|id| index.unit(id))
            .map(|unit| unit.armoured)
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
    scene: &Scene<'_>,
    battle: &Battle,
    before: &Link,
    command: &'static Command,
    places: &Places,
) -> Option<Reading> {
    let index = scene.index;
    if before.path == "/v1/matchup"
        && let Some(reading) = converted(scene, battle, before)
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
    let strikes = (0..scene.tokens.len()).any(|at| {
        (scene.is(at, Class::Attack) || scene.is(at, Class::Charged))
            && (at.saturating_sub(3)..at).any(|at| scene.any(at, &theirs))
            && (at + 1..at + 3).any(|at| scene.any(at, &mine))
    });
    let swapped = scene.has(Class::Swap) || strikes && battle.fighters().count() == 0;
    if swapped && before.path != "/v1/appraisal" {
        swap(&mut question, places);
        changes += 1;
    }
    let unit_of = |question: &Json, place: &str| {
        question.pointer(&format!("{place}/unit")).and_then(Json::as_str).map(str::to_owned)
    };
    let attacker = unit_of(&question, places.attacker);
    let target = unit_of(&question, places.target);
    let count_of = |question: &Json, place: &str| question.pointer(&format!("{place}/models")).and_then(Json::as_u64);
    for (class, change) in [
        (Class::Half, &(|count: u64| count.div_ceil(2)) as &dyn Fn(u64) -> u64),
        (Class::Double, &|count| count * 2),
        (Class::MoreOne, &|count| count + 1),
        (Class::LessOne, &|count: u64| count.saturating_sub(1).max(1)),
    ] {
        if scene.has(class) {
            // Where one side is a single thing, the other is meant.
            let halved = matches!(class, Class::Half);
            let sides = [places.attacker, places.target];
            let many = sides.into_iter().find(|place| count_of(&question, place).is_some_and(|count| count > 1));
            let gone =
                (0..scene.tokens.len()).any(|at| scene.any(at, &["legged", "ran", "died", "fled", "lost", "dead"]));
            let place = if halved && gone { places.target } else { many.filter(|_| halved).unwrap_or(places.attacker) };
            let count = count_of(&question, place).unwrap_or(1);
            set(&mut question, &format!("{place}/models"), json!(change(count)));
            changes += 1;
        }
    }
    // Units, and what stands by them.
    // `now 6 fowlers instead of the bows`
    let fighters: Vec<&Side> = battle.fighters().collect();
    if let [new, old] = fighters.as_slice()
        && (new.end()..old.start).any(|at| scene.any(at, &["instead", "rather"]))
    {
        let place = [places.attacker, places.target]
            .into_iter()
            .find(|place| unit_of(&question, place).as_deref() == old.unit())?;
        put_side(index, &mut question, place, new);
        changes += table(battle, &mut question, places, &before.path);
        return Some(Reading::asks(command, question, f64::from(changes.min(3)) * 0.3 + 1.0, used, CHANGED));
    }
    // `2 barges and 1 skiff` attack together: that is no change of one side.
    if let [one, other] = fighters.as_slice()
        && (one.end()..other.start).all(|at| scene.any(at, &["and", "n", "plus", "a", "an", "the", "my", "his"]))
        && one.end() < other.start
    {
        return None;
    }
    // `what does the heron do to them`: the target of before attacks.
    if let [one] = fighters.as_slice()
        && before.path == "/v1/matchup"
        && one.unit() == target.as_deref()
        && one.unit() != attacker.as_deref()
        && (one.end()..scene.tokens.len()).any(|at| {
            scene.is(at, Class::Attack)
                && (scene.any(at + 1, &["them", "it", "him", "back", "to", "me", "us"])
                    || scene.any(at + 2, &["them", "it", "him", "me", "us"]))
        })
    {
        swap(&mut question, places);
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
        if single(side)
            && scene.has(Class::Near)
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
            loose(scene, &mut loosened, &mut free, false);
            if let Some(extra) = loosened.options.first() {
                push(&mut question, &format!("{}/options", places.attacker), option_text(extra));
                used = free;
                changes += 1;
                continue;
            }
        }
        let place = seat(index, battle, &question, places, at, side)?;
        let resolved = question.pointer(&format!("{place}/unit")).and_then(Json::as_str).map(str::to_owned);
        let mut side = side.clone();
        if let Some(id) = resolved.filter(|id| side.ids.len() > 1 && side.ids.contains(id)) {
            side.ids = vec![id];
        }
        put_side(index, &mut question, place, &side);
        changes += 1;
    }
    if battle.fighters().count() == 0 {
        changes += carried_along(scene, &mut question, places, attacker.as_deref(), target.as_deref(), &mut used);
    }
    changes += table(battle, &mut question, places, &before.path);
    changes += amounts(battle, &mut question, places, index, target.as_deref(), &mut used);
    changes += numbers(scene, battle, &mut question, places, before, &mut used, index);
    let told = Told { scene, battle };
    if before.path == "/v1/duel" {
        let (a, b) = (stand_in(attacker.as_deref()?), stand_in(target.as_deref()?));
        let named = |mut side: Side| {
            if let Some(mention) =
                scene.named(Sort::Unit).find(|one| one.ids.iter().any(|(id, _)| side.ids.contains(id)))
            {
                (side.at, side.len) = (mention.at, mention.len);
            }
            side
        };
        if let Some(first) = super::volleys::who_first(&told, &named(a), &named(b), &mut used) {
            question["first"] = json!(first);
            changes += 1;
        }
    }
    let again = changes == 0 && repeats(scene);
    if scene.has(Class::Why) && changes == 0 {
        for at in 0..used.len() {
            if scene.number(at).is_some()
                || scene.any(at, &["not"])
                || matches!(scene.tokens[at].what, typing::What::Needs(_) | typing::What::Faces(_))
            {
                used[at] = true;
            }
        }
    }
    if changes == 0 && !again {
        return None;
    }
    let mut reading = Reading::asks(command, question, f64::from(changes.min(3)) * 0.3, used, CHANGED);
    notes.dedup();
    reading.notes = std::mem::take(&mut notes);
    Some(reading)
}

/// Another question about the same two units: how many it takes, a fight turn by turn, how unusual a result was.
fn converted(scene: &Scene<'_>, battle: &Battle, before: &Link) -> Option<Reading> {
    use crate::commands::{duel::DUEL, luck::LUCK, needed::NEEDED};
    if battle.fighters().count() > 0 {
        return None;
    }
    let told = Told { scene, battle };
    let mut used = battle.used.clone();
    let mut matchup = before.question.clone();
    let percent = told.percent();
    let many = (0..scene.tokens.len()).any(|at| scene.any(at, &["how"]) && scene.any(at + 1, &["many"]));
    if many
        && (percent.is_some() || (0..scene.tokens.len()).any(|at| scene.any(at, &["need", "needed", "take", "takes"])))
    {
        let chance = percent.map_or(0.9, |(at, len, chance)| {
            mark(&mut used, at, at + len);
            chance
        });
        if let Some(side) = matchup.get_mut("attacker") {
            unset(side, "models");
        }
        let question = json!({"matchup": matchup, "want": {"destroyed": chance}, "most": 50});
        return Some(Reading::asks(&NEEDED, question, 1.4, used, CHANGED));
    }
    let turns = told.turns();
    if super::volleys::duel_cues(&told) > 2.0 || turns.is_some() && scene.has(Class::Duel) {
        let mut question = json!({"pack": matchup["pack"], "a": matchup["attacker"], "b": matchup["target"]});
        if let Some(range) = matchup.pointer("/situation/range") {
            question["situation"] = json!({"range": range});
        }
        if let Some((at, turns)) = turns {
            question["turns"] = json!(turns);
            mark(&mut used, at, at + 2);
        }
        return Some(Reading::asks(&DUEL, question, 1.4, used, CHANGED));
    }
    if scene.has(Class::Luck) && scene.has(Class::Happened) {
        let amount = battle.amounts.iter().find(|amount| amount.says == super::amounts::Says::Lost)?;
        mark(&mut used, amount.from, amount.to);
        let armoured = matchup
            .pointer("/target/unit")
            .and_then(Json::as_str)
            .and_then(|id| scene.index.unit(id))
            .is_some_and(|unit| unit.armoured);
        let result = if armoured { json!({"structure": amount.value}) } else { json!({"models": amount.value}) };
        return Some(Reading::asks(&LUCK, json!({"matchup": matchup, "result": result}), 1.4, used, CHANGED));
    }
    None
}

/// Whether the same question is asked in other words: `would they run?`, `how often does that wipe them out`, `why is that`.
fn repeats(scene: &Scene<'_>) -> bool {
    let refers =
        (0..scene.tokens.len()).any(|at| scene.any(at, &["it", "they", "them", "that", "he", "this", "him", "you"]));
    scene.has(Class::Why)
        || scene.has(Class::Run) && refers
        || refers && scene.has(Class::Kill) && (scene.asks() || scene.begins(Class::Wh, 0).is_some())
}

fn swap(question: &mut Json, places: &Places) {
    let take = |question: &mut Json, place: &str| question.pointer_mut(place).map(Json::take).unwrap_or_default();
    let (mut one, mut other) = (take(question, places.attacker), take(question, places.target));
    for state in ["left", "hurt", "statuses"] {
        unset(&mut one, state);
        unset(&mut other, state);
    }
    set(question, places.attacker, other);
    set(question, places.target, one);
}

fn stand_in(id: &str) -> Side {
    Side {
        ids: vec![id.to_owned()],
        at: 0,
        len: 0,
        start: 0,
        count: None,
        options: Vec::new(),
        weapons: Vec::new(),
        near: Vec::new(),
        statuses: Vec::new(),
        left: None,
        lost: None,
        whose: None,
        fit: super::names::Fit::Whole,
        helper: false,
    }
}

/// What a unit of the question before carries in place of, or beside, what it had.
fn carried_along(
    scene: &Scene<'_>,
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
        loose(scene, &mut side, used, place == places.target);
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

fn push(question: &mut Json, at: &str, value: Json) {
    let mut list = question.pointer(at).and_then(Json::as_array).cloned().unwrap_or_default();
    if !list.contains(&value) {
        list.push(value);
    }
    set(question, at, Json::Array(list));
}

/// Puts a side at its place; a unit that is there already keeps what it has.
fn put_side(index: &PackIndex, question: &mut Json, place: &str, side: &Side) {
    let Some(id) = side.ids.first() else { return };
    let same = question.pointer(&format!("{place}/unit")) == Some(&json!(id));
    if !same {
        if place.is_empty() {
            let pack = question["pack"].take();
            *question = json!({"pack": pack});
        } else {
            set(question, place, json!({}));
        }
    }
    set(question, &format!("{place}/unit"), json!(id));
    if let Some(count) = side.count {
        set(question, &format!("{place}/models"), json!(models(index, id, count)));
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
fn table(battle: &Battle, question: &mut Json, places: &Places, path: &str) -> u32 {
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
            if let Some(list) = question.pointer_mut(&format!("{base}/{other}")).and_then(Json::as_array_mut) {
                list.retain(|known| known != rule.as_str());
            }
            push(question, &format!("{base}/{key}"), json!(rule));
            changes += 1;
        }
    }
    changes
}

/// What is lost and left.
fn amounts(
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
        let left = amount.says == super::amounts::Says::Left;
        if armoured {
            let (key, other) = if left { ("left", "hurt") } else { ("hurt", "left") };
            if let Some(side) = question.pointer_mut(places.target) {
                unset(side, other);
            }
            set(question, &format!("{}/{key}", places.target), json!(amount.value));
        } else {
            let count = question.pointer(&format!("{}/models", places.target)).and_then(Json::as_u64);
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
fn numbers(
    scene: &Scene<'_>,
    battle: &Battle,
    question: &mut Json,
    places: &Places,
    before: &Link,
    used: &mut [bool],
    index: &PackIndex,
) -> u32 {
    let mut changes = 0;
    let told = Told { scene, battle };
    if let Some((at, len, chance)) = told.percent().filter(|_| before.path == "/v1/needed") {
        let key = if question.pointer("/want/destroyed").is_some() { "destroyed" } else { "chance" };
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
        let Some(count) = scene.number(at).filter(|_| !used[at]) else { continue };
        let of = scene.any(at + 1, &["of"]) && scene.any(at + 2, &["them", "em", "those", "these"]);
        let made = at > 0
            && scene
                .any(at - 1, &["it", "with", "about", "if", "now", "say", "ok", "that", "them", "be", "only", "just"]);
        let instead = scene.any(at + 1, &["instead"]) || scene.is_end(at + 1) && made;
        let lone = scene.is_end(at + 1) && (at == 0 || at == 1 && scene.any(0, &["and", "n", "with", "or", "but"]));
        let attackers = scene.any(at + 1, &["attackers"]) || lone;
        let against = at > 0 && scene.is(at - 1, Class::Vs) && scene.is_end(at + 1);
        if against {
            let unit = question.pointer(&format!("{}/unit", places.target)).and_then(Json::as_str).map(str::to_owned);
            let count = unit.map_or(count, |unit| models(index, &unit, count));
            set(question, &format!("{}/models", places.target), json!(count));
            mark(used, at, at + 1);
            changes += 1;
            continue;
        }
        if !(of || made && (scene.is_end(at + 1) || scene.is(at + 1, Class::Small)) || instead || attackers)
            || scene.is(at + 1, Class::Turn)
        {
            continue;
        }
        let unit = question.pointer(&format!("{}/unit", places.attacker)).and_then(Json::as_str).map(str::to_owned);
        let count = unit.map_or(count, |unit| models(index, &unit, count));
        set(question, &format!("{}/models", places.attacker), json!(count));
        mark(used, at, if of { at + 3 } else { at + 1 });
        changes += 1;
        break;
    }
    changes
}

/// A question about a rule goes on: `and hide?`
fn of_rule(scene: &Scene<'_>, before: &Link) -> Option<Reading> {
    let ask = before.question.get("ask")?.as_str()?;
    let text = format!("{} {}", ask.trim_end_matches(['?', ' ']), scene.text.trim());
    let words = scene.tokens.iter().filter(|token| !token.word.is_empty()).count();
    let known = scene.mentions.iter().any(|one| one.sort != Sort::Check);
    (words <= 9 && known && cued(scene)).then(|| {
        let args = vec![super::reading::arg("about", typing::Value::Text(text))];
        Reading::args(&rule::RULE, args, 0.6, vec![true; scene.tokens.len()], &[])
    })
}

/// A change of a question in plain numbers, by the options of its command.
fn of_numbers(scene: &Scene<'_>, battle: &Battle, before: &Link, command: &'static Command) -> Option<Reading> {
    if battle.fighters().count() > 0 && before.path != "/v1/arc" {
        return None;
    }
    let told = Told { scene, battle };
    if before.path == "/v1/list-points" {
        let limit =
            (0..scene.tokens.len()).find_map(|at| Some((at, scene.number(at).filter(|number| *number >= 50)?)))?;
        let mut question = before.question.clone();
        question["limit"] = json!(limit.1);
        let mut used = vec![false; scene.tokens.len()];
        mark(&mut used, limit.0, limit.0 + 1);
        return Some(Reading::asks(command, question, 0.8, used, CHANGED));
    }
    if before.path == "/v1/check" {
        let mut used = vec![false; scene.tokens.len()];
        let roll = dice::roll(&told, &mut used).unwrap_or_default();
        let mut question = before.question.clone();
        let die = scene.index.die.unwrap_or(6);
        let mut changes = 0;
        for (key, value) in roll.json(scene.index).as_object()? {
            if key == "dice" && roll.dice.is_none() {
                continue;
            }
            set(&mut question, &format!("/{key}"), value.clone());
            changes += 1;
        }
        if let Some(count) = roll.count.filter(|_| roll.tries.is_none() && roll.dice.is_none()) {
            set(&mut question, "/dice", json!(format!("{count}d{die}")));
            changes += 1;
        }
        // `with two added to the roll`
        let added = (0..used.len()).find(|at| {
            scene.number(*at).is_some()
                && (scene.any(at + 1, &["added", "more"])
                    || at.checked_sub(1).is_some_and(|at| scene.any(at, &["add", "plus", "adding"])))
        });
        if let Some((at, number)) = added.and_then(|at| Some((at, scene.number(at)?))) {
            set(&mut question, "/modifier", json!(number));
            used[at] = true;
            changes += 1;
        }
        if changes > 0 || repeats(scene) {
            return Some(Reading::asks(command, question, 0.3 * f64::from(changes.min(3)), used, CHANGED));
        }
    }
    let said = typing::pieces(scene.text, Some(scene.index));
    let about = command.about().find(|about| before.question.get(about.request()).is_some());
    let mut read = match about {
        Some(_) => typing::assign::assign_about(scene.text, &said, command, about, Some(scene.index)),
        None => typing::assign::assign(scene.text, &said, command, Some(scene.index)),
    };
    read.args.retain(|arg| !matches!(arg.value, typing::Value::Text(_)));
    read.corrected.clear();
    if read.args.is_empty() && !repeats(scene) {
        return None;
    }
    let taken = |at: usize| {
        let span = &scene.tokens[at].span;
        !read.unread.iter().any(|unread| unread.start < span.end && span.start < unread.end)
    };
    let used: Vec<bool> = (0..scene.tokens.len()).map(taken).collect();
    let mut reading = Reading::args(command, Vec::new(), 0.3, used, CHANGED);
    reading.act = Act::Args(read);
    reading.before = Some(before.question.clone());
    Some(reading)
}
