//! Who attacks whom: the units of a message take their seats.
use super::assign::ArgumentAssigner;
use super::names::Found;
use super::token::{TokenKind, whole};
use super::value::{Side, Value};
use crate::client::index::NameKind;
use crate::commands::{Kind, Opt};

/// Words between two units, or before one, that point at the target.
pub const POINTING: &[&str] = &[
    "shoot",
    "shoots",
    "shooting",
    "attack",
    "attacks",
    "attacking",
    "kill",
    "kills",
    "killing",
    "destroy",
    "destroys",
    "destroying",
    "wreck",
    "wrecks",
    "wrecking",
    "hurt",
    "hurts",
    "hurting",
    "hit",
    "hits",
    "hitting",
    "beat",
    "beats",
    "fire",
    "fires",
    "firing",
    "charge",
    "charges",
    "charging",
    "damage",
    "damages",
    "scratch",
    "break",
    "breach",
    "penetrate",
    "stop",
    "fight",
    "fights",
    "fighting",
    "target",
    "targeting",
    "take",
    "takes",
    "beating",
];

/// Words that point at the target where they stand right before it.
const TOWARDS: &[&str] = &["into", "at", "onto", "on", "to"];

/// Words before the second unit that make it the attacker.
const TURNING: &[&str] = &["by", "from", "with", "using"];

/// Words before a unit that only stands by.
const NEAR: &[&str] = &["near", "beside", "alongside", "nearby"];

/// Gives the units to the sides of the command, with their numbers and what they carry.
pub(super) fn seat(assigner: &mut ArgumentAssigner<'_>, found: &[Found]) {
    let seats: Vec<&'static Opt> =
        assigner.options.iter().copied().filter(|option| option.kind == Kind::Side).collect();
    let is_near = |found: &Found| found.kind == NameKind::Unit && is_right_before(assigner, found, NEAR);
    let (near, units): (Vec<&Found>, Vec<&Found>) =
        found.iter().filter(|found| found.kind == NameKind::Unit).partition(|found| is_near(found));
    let order = match (seats.as_slice(), units.as_slice()) {
        ([], _) | (_, []) => return,
        ([_], _) => vec![0],
        // Who can do without the second is asked about the first.
        ([_, second], [_]) if second.required.is_none() => vec![0],
        (_, [unit]) => vec![usize::from(is_target(assigner, unit, found))],
        (_, [first, second, ..]) if is_turned(assigner, first, second) => vec![1, 0],
        _ => vec![0, 1],
    };
    let named = |unit: &Found| {
        let seat = seats.iter().position(|seat| is_right_before(assigner, unit, &[seat.name]));
        seat.filter(|_| seats.len() > 1)
    };
    let order = match units.iter().position(|unit| named(unit).is_some()) {
        Some(at) if at < 2 => {
            let seat = named(units[at]).unwrap_or_default();
            if at == 0 { vec![seat, 1 - seat] } else { vec![1 - seat, seat] }
        }
        _ => order,
    };
    let order = if seats.len() > 1 && seats[0].many { several(assigner, &units) } else { order };
    for (unit, seat) in units.iter().zip(order) {
        let count = count(assigner, unit, found);
        let next = units.iter().map(|unit| unit.at).find(|&at| at > unit.at).unwrap_or(usize::MAX);
        let first = unit.at == units[0].at;
        let carried = |extra: &&Found| {
            extra.kind == NameKind::Extra
                && extra.at < next
                && (extra.at > unit.at || first)
                && assigner.is_free(extra.at)
        };
        let extras: Vec<Found> = found.iter().filter(carried).cloned().collect();
        let beside: Vec<Found> =
            near.iter().filter(|near| near.at > unit.at && near.at < next).map(|near| (*near).clone()).collect();
        let side = Side {
            near: beside.iter().map(|near| near.name.clone()).collect(),
            unit: unit.name.clone(),
            models: count.map(|(_, models)| models),
            extras: extras.iter().map(|extra| extra.name.clone()).collect(),
        };
        if let Some((at, _)) = count {
            assigner.take(at);
        }
        for near in &beside {
            // `near` may be a range band, too: here it is none.
            if let Some(at) = right_before(assigner, near, NEAR) {
                assigner.take(at);
            }
        }
        for extra in extras.into_iter().chain(beside) {
            (extra.at..extra.at + extra.length).for_each(|at| assigner.take(at));
        }
        assigner.give(seats[seat].name, Value::Side(side), unit.at, unit.length);
    }
}

/// Where several may sit on a side: all units before the word that points at the targets, and all behind it.
fn several(assigner: &ArgumentAssigner<'_>, units: &[&Found]) -> Vec<usize> {
    let points = |at: usize| assigner.tokens[at].kind == TokenKind::Versus || is_word(assigner, at, POINTING);
    let pointed = |unit: &&Found| (0..unit.at).any(points) || is_right_before(assigner, unit, TOWARDS);
    units.iter().map(|unit| usize::from(pointed(unit))).collect()
}

/// How many of a unit: the number right before it, or right behind.
fn count(assigner: &ArgumentAssigner<'_>, unit: &Found, found: &[Found]) -> Option<(usize, u64)> {
    let number = |at: usize| match assigner.tokens[at].kind {
        TokenKind::Number(number) => whole(number),
        TokenKind::Times(number) | TokenKind::Faces(number) => Some(number),
        _ => None,
    };
    // `10 braced rifles`: what is so on the table may stand between.
    let between =
        |at: usize| found.iter().find(|other| other.kind == NameKind::Situation && other.at + other.length == at + 1);
    let mut before = assigner.before(unit.at);
    while let Some(other) = before.and_then(between) {
        before = assigner.before(other.at);
    }
    let before = before.filter(|&at| assigner.is_free(at)).and_then(|at| Some((at, number(at)?)));
    before.or_else(|| {
        let at = unit.at + unit.length;
        // Where a chance is asked for, a number on its own is that: `barges kill heron 90`.
        let chance = assigner.options.iter().any(|option| option.kind == Kind::Chance);
        let alone =
            !chance && assigner.tokens.get(at + 1).is_none_or(|next| next.is_mark() || next.kind == TokenKind::Versus);
        let counted = assigner.is_free(at) && (alone || matches!(assigner.tokens[at].kind, TokenKind::Times(_)));
        if counted { Some((at, number(at)?)) } else { None }
    })
}

/// Whether the only unit named is the target.
fn is_target(assigner: &ArgumentAssigner<'_>, unit: &Found, found: &[Found]) -> bool {
    let points = |at: usize| assigner.tokens[at].kind == TokenKind::Versus || is_word(assigner, at, POINTING);
    let comes_after = (0..unit.at).any(points) || is_right_before(assigner, unit, TOWARDS);
    let goes_before = (unit.at + unit.length..assigner.tokens.len()).any(points);
    comes_after || (!goes_before && count(assigner, unit, found).is_none() && !is_right_before(assigner, unit, TURNING))
}

/// Whether the second unit attacks the first: `heron hit by 3 barges`, `kill a heron with 3 barges`.
fn is_turned(assigner: &ArgumentAssigner<'_>, first: &Found, second: &Found) -> bool {
    let between = first.at + first.length..second.at;
    if between.clone().any(|at| assigner.tokens[at].kind == TokenKind::Versus) {
        return false;
    }
    let by = between.clone().any(|at| is_word(assigner, at, &["by"]));
    by || (is_right_before(assigner, second, TURNING) && !between.clone().any(|at| is_word(assigner, at, POINTING)))
}

/// Whether one of the words stands before the unit, its article and its number.
fn is_right_before(assigner: &ArgumentAssigner<'_>, unit: &Found, words: &[&str]) -> bool {
    right_before(assigner, unit, words).is_some()
}

/// Where that word stands.
fn right_before(assigner: &ArgumentAssigner<'_>, unit: &Found, words: &[&str]) -> Option<usize> {
    (0..unit.at)
        .rev()
        .find(|&at| {
            !is_word(assigner, at, &["a", "an", "the", "my", "his", "her", "their", "of"])
                && !matches!(
                    assigner.tokens[at].kind,
                    TokenKind::Number(_) | TokenKind::Times(_) | TokenKind::Faces(_) | TokenKind::Colon
                )
        })
        .filter(|&at| is_word(assigner, at, words))
}

fn is_word(assigner: &ArgumentAssigner<'_>, at: usize, words: &[&str]) -> bool {
    assigner.tokens[at].word().is_some_and(|word| words.contains(&word))
}
