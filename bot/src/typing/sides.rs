//! Who attacks whom: the units of a message take their seats.
use super::assign::Desk;
use super::names::Found;
use super::piece::{What, whole};
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
pub(super) fn seat(desk: &mut Desk<'_>, found: &[Found]) {
    let seats: Vec<&'static Opt> = desk.options.iter().copied().filter(|option| option.kind == Kind::Side).collect();
    let is_near = |found: &Found| found.kind == NameKind::Unit && is_right_before(desk, found, NEAR);
    let (near, units): (Vec<&Found>, Vec<&Found>) =
        found.iter().filter(|found| found.kind == NameKind::Unit).partition(|found| is_near(found));
    let order = match (seats.as_slice(), units.as_slice()) {
        ([], _) | (_, []) => return,
        ([_], _) => vec![0],
        // Who can do without the second is asked about the first.
        ([_, second], [_]) if second.required.is_none() => vec![0],
        (_, [unit]) => vec![usize::from(is_target(desk, unit, found))],
        (_, [first, second, ..]) if is_turned(desk, first, second) => vec![1, 0],
        _ => vec![0, 1],
    };
    let named = |unit: &Found| {
        let seat = seats.iter().position(|seat| is_right_before(desk, unit, &[seat.name]));
        seat.filter(|_| seats.len() > 1)
    };
    let order = match units.iter().position(|unit| named(unit).is_some()) {
        Some(at) if at < 2 => {
            let seat = named(units[at]).unwrap_or_default();
            if at == 0 { vec![seat, 1 - seat] } else { vec![1 - seat, seat] }
        }
        _ => order,
    };
    let order = if seats.len() > 1 && seats[0].many { several(desk, &units) } else { order };
    for (unit, seat) in units.iter().zip(order) {
        let count = count(desk, unit, found);
        let next = units.iter().map(|unit| unit.at).find(|&at| at > unit.at).unwrap_or(usize::MAX);
        let first = unit.at == units[0].at;
        let carried = |extra: &&Found| {
            extra.kind == NameKind::Extra && extra.at < next && (extra.at > unit.at || first) && desk.is_free(extra.at)
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
            desk.take(at);
        }
        for near in &beside {
            // `near` may be a range band, too: here it is none.
            if let Some(at) = right_before(desk, near, NEAR) {
                desk.take(at);
            }
        }
        for extra in extras.into_iter().chain(beside) {
            (extra.at..extra.at + extra.length).for_each(|at| desk.take(at));
        }
        desk.give(seats[seat].name, Value::Side(side), unit.at, unit.length);
    }
}

/// Where several may sit on a side: all units before the word that points at the targets, and all behind it.
fn several(desk: &Desk<'_>, units: &[&Found]) -> Vec<usize> {
    let points = |at: usize| desk.pieces[at].what == What::Versus || is_word(desk, at, POINTING);
    let pointed = |unit: &&Found| (0..unit.at).any(points) || is_right_before(desk, unit, TOWARDS);
    units.iter().map(|unit| usize::from(pointed(unit))).collect()
}

/// How many of a unit: the number right before it, or right behind.
fn count(desk: &Desk<'_>, unit: &Found, found: &[Found]) -> Option<(usize, u64)> {
    let number = |at: usize| match desk.pieces[at].what {
        What::Number(number) => whole(number),
        What::Times(number) | What::Faces(number) => Some(number),
        _ => None,
    };
    // `10 braced rifles`: what is so on the table may stand between.
    let between =
        |at: usize| found.iter().find(|other| other.kind == NameKind::Situation && other.at + other.length == at + 1);
    let mut before = desk.before(unit.at);
    while let Some(other) = before.and_then(between) {
        before = desk.before(other.at);
    }
    let before = before.filter(|&at| desk.is_free(at)).and_then(|at| Some((at, number(at)?)));
    before.or_else(|| {
        let at = unit.at + unit.length;
        // Where a chance is asked for, a number on its own is that: `barges kill heron 90`.
        let chance = desk.options.iter().any(|option| option.kind == Kind::Chance);
        let alone = !chance && desk.pieces.get(at + 1).is_none_or(|next| next.is_mark() || next.what == What::Versus);
        let counted = desk.is_free(at) && (alone || matches!(desk.pieces[at].what, What::Times(_)));
        if counted { Some((at, number(at)?)) } else { None }
    })
}

/// Whether the only unit named is the target.
fn is_target(desk: &Desk<'_>, unit: &Found, found: &[Found]) -> bool {
    let points = |at: usize| desk.pieces[at].what == What::Versus || is_word(desk, at, POINTING);
    let comes_after = (0..unit.at).any(points) || is_right_before(desk, unit, TOWARDS);
    let goes_before = (unit.at + unit.length..desk.pieces.len()).any(points);
    comes_after || (!goes_before && count(desk, unit, found).is_none() && !is_right_before(desk, unit, TURNING))
}

/// Whether the second unit attacks the first: `heron hit by 3 barges`, `kill a heron with 3 barges`.
fn is_turned(desk: &Desk<'_>, first: &Found, second: &Found) -> bool {
    let between = first.at + first.length..second.at;
    if between.clone().any(|at| desk.pieces[at].what == What::Versus) {
        return false;
    }
    let by = between.clone().any(|at| is_word(desk, at, &["by"]));
    by || (is_right_before(desk, second, TURNING) && !between.clone().any(|at| is_word(desk, at, POINTING)))
}

/// Whether one of the words stands before the unit, its article and its number.
fn is_right_before(desk: &Desk<'_>, unit: &Found, words: &[&str]) -> bool {
    right_before(desk, unit, words).is_some()
}

/// Where that word stands.
fn right_before(desk: &Desk<'_>, unit: &Found, words: &[&str]) -> Option<usize> {
    (0..unit.at)
        .rev()
        .find(|&at| {
            !is_word(desk, at, &["a", "an", "the", "my", "his", "her", "their", "of"])
                && !matches!(desk.pieces[at].what, What::Number(_) | What::Times(_) | What::Faces(_) | What::Colon)
        })
        .filter(|&at| is_word(desk, at, words))
}

fn is_word(desk: &Desk<'_>, at: usize, words: &[&str]) -> bool {
    desk.pieces[at].word().is_some_and(|word| words.contains(&word))
}
