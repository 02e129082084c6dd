//! Several held against each other: units, weapons or arcs.
use super::battle::{self, side_json, situation};
use super::lexicon::Class;
use super::names::Sort;
use super::reading::{Reading, Told, mark};
use super::sides::{Extra, Side};
use crate::commands::compare::COMPARE;
use crate::draft::set;
use crate::typing::token::TokenKind;
use serde_json::{Value as Json, json};

const HELD: &[Class] = &[
    Class::Compare,
    Class::Attack,
    Class::Kill,
    Class::Suffer,
    Class::Wh,
    Class::YesNo,
    Class::Points,
    Class::Needed,
    Class::Luck,
    Class::Appraise,
    Class::Vs,
    Class::Arc,
    Class::Unit,
];

/// A comparison.
pub fn compare(told: &Told<'_>) -> Option<Reading> {
    let (message, battle) = (told.message, told.battle);
    let cheapest = message.spans(Class::Compare).any(|(at, _)| {
        message.any(at, &["cheapest", "cheaper", "cheaply", "best", "efficient"])
            || message.any(at, &["most"]) && message.any(at + 1, &["efficient"])
    });
    let cue = message.has(Class::Compare)
        && !message.spans(Class::Compare).all(|(at, _)| message.any(at, &["worst", "better"]));
    // `which hurts a whaleback most`
    let most = (0..message.tokens.len()).any(|at| {
        message.any(at, &["which", "who", "whos"])
            && (at + 1..at + 4).any(|at| message.is(at, Class::Attack))
            && (at + 2..message.tokens.len())
                .any(|at| message.any(at, &["most", "best", "hardest", "more", "least", "fastest"]))
    });
    // `which should I bring to shoot a hauler`
    let chosen = (0..message.tokens.len()).any(|at| {
        message.any(at, &["which", "who", "whom", "what"])
            && (at + 1..at + 5).any(|at| {
                message.any(at, &["should", "shall", "would", "do", "to"])
                    && (at + 1..at + 4).any(|at| message.any(at, &["bring", "take", "field", "pick", "choose", "send"]))
            })
    });
    let cue = cue || most || chosen;
    let weak = message.has(Class::Compare) || most || chosen;
    let all: Vec<&Side> = battle.fighters().collect();
    let joined = all.windows(2).any(|two| (two[0].end()..two[1].start).any(|at| message.any(at, &["or"])));
    let mut used = battle.used.clone();
    let points = points(told, &mut used);
    let index = told.index();
    let table = situation(&battle.table);
    if let (true, [target]) = (cheapest, all.as_slice()) {
        let score = 4.8;
        // `the best side to hit it from` asks for its sides, and for nobody who would.
        if (1..message.tokens.len()).any(|at| {
            message.any(at, &["arc", "side", "angle", "facing", "direction"])
                && message.any(at - 1, &["best", "cheapest", "better"])
        }) {
            return None;
        }
        // `the best 200 points against the wardens`
        if let Some(points) = points {
            let mut every = json!({"pack": index.id});
            if let Some(table) = table {
                set(&mut every, "/situation", table);
            }
            let question =
                json!({"every": every, "targets": [{"unit": side_json(index, target, true)}], "points": points});
            for at in (0..used.len()).filter(|at| message.number(*at) == Some(points)).collect::<Vec<_>>() {
                used[at] = true;
            }
            return Some(Reading::asks(&COMPARE, question, score, used, HELD));
        }
        let Some((at, len, chance)) = told.percent().or_else(|| super::counts::of_times(told)) else {
            return Some(Reading::lacks(
                &COMPARE,
                Some("chance"),
                "How sure is it to be? Say it like 50%; then all units are compared.",
                2.2,
                used,
                HELD,
            ));
        };
        mark(&mut used, at, at + len);
        let mut every = json!({"pack": index.id});
        if let Some(table) = table {
            set(&mut every, "/situation", table);
        }
        let question = json!({"every": every, "targets": [{"unit": side_json(index, target, true)}], "want": {"destroyed": chance}});
        return Some(Reading::asks(&COMPARE, question, score, used, HELD));
    }
    if let Some(reading) = of_arcs(told, &all, cue) {
        return Some(reading);
    }
    if let Some(reading) = of_weapons(told, &all) {
        return Some(reading);
    }
    if all.len() < 2 || !(weak || joined || points.is_some()) {
        return None;
    }
    let (mut attackers, mut targets) = seats(told, &all);
    // `rack crew vs pivot crew, which should I bring to shoot a hauler`: the two are held against each other.
    if let ([first, second, target], true) = (all.as_slice(), chosen)
        && (first.end()..second.start).any(|at| message.is(at, Class::Vs))
        && (second.end()..target.start).any(|at| message.is(at, Class::Attack) || message.is(at, Class::Vs))
    {
        (attackers, targets) = (vec![*first, *second], vec![*target]);
    }
    let score = 1.6
        + 1.8 * f64::from(u8::from(cue))
        + 0.8 * f64::from(u8::from(weak))
        + 1.6 * f64::from(u8::from(joined))
        + 0.8 * f64::from(u8::from(points.is_some()));
    if targets.is_empty() {
        let who = (weak || joined) && all.len() >= 2;
        return who.then(|| {
            Reading::lacks(
                &COMPARE,
                Some("target"),
                "Against whom? Say which unit is the target.",
                score - 0.6,
                used,
                HELD,
            )
        });
    }
    if attackers.len() < 2 && targets.len() < 2 {
        return None;
    }
    let variant = |side: &&Side| {
        let mut variant = json!({"matchup": {"pack": index.id, "attacker": side_json(index, side, false)}});
        if let Some(table) = &table {
            set(&mut variant, "/matchup/situation", table.clone());
        }
        variant
    };
    let mut question = json!({
        "variants": attackers.iter().map(variant).collect::<Vec<Json>>(),
        "targets": targets.iter().map(|side| json!({"unit": side_json(index, side, true)})).collect::<Vec<Json>>(),
    });
    if let Some(points) = points {
        set(&mut question, "/points", json!(points));
        for at in 0..used.len() {
            if message.number(at) == Some(points) {
                used[at] = true;
            }
        }
    } else if let Some((at, len, chance)) = told.percent() {
        mark(&mut used, at, at + len);
        set(&mut question, "/want", json!({"destroyed": chance}));
    }
    for at in 0..used.len() {
        if message.any(at, &["each"]) || matches!(message.tokens[at].kind, TokenKind::Plus) {
            used[at] = true;
        }
    }
    Some(Reading::asks(&COMPARE, question, score, used, HELD))
}

/// Who is compared, and against whom: joined by `or` and `and` they sit on one side.
pub(super) fn seats<'a>(told: &Told<'_>, all: &[&'a Side]) -> (Vec<&'a Side>, Vec<&'a Side>) {
    let message = told.message;
    let roles = &told.battle.roles;
    let place = |at: &usize| &told.battle.sides[*at];
    let (attackers, targets): (Vec<&Side>, Vec<&Side>) = if all.len() == 2 {
        let between = all[0].end()..all[1].start;
        if between.clone().any(|at| message.any(at, &["or", "and", "than"]))
            && !between.clone().any(|at| message.is(at, Class::Vs) || message.is(at, Class::Attack))
        {
            (all.to_vec(), Vec::new())
        } else {
            (vec![all[0]], vec![all[1]])
        }
    } else {
        let at = |side: &&Side, list: &[usize]| list.iter().map(place).any(|one| one.at == side.at);
        (
            all.iter().filter(|side| at(side, &roles.attackers)).copied().collect(),
            all.iter().filter(|side| at(side, &roles.targets)).copied().collect(),
        )
    };
    // `dogs or runners, … in the clinch with 10 hands`, `out of ten wardens, rifles or hands`
    let led = |side: &Side, words: &[&str]| (side.start.saturating_sub(2)..side.start).any(|at| message.any(at, words));
    let (attackers, targets): (Vec<&Side>, Vec<&Side>) = match (targets.is_empty(), all) {
        (true, [first, rest @ ..]) if rest.len() >= 2 && led(first, &["out", "against", "from", "versus"]) => {
            (rest.to_vec(), vec![*first])
        }
        (true, [rest @ .., last]) if rest.len() >= 2 && led(last, &["with", "against", "on", "into", "at"]) => {
            (rest.to_vec(), vec![*last])
        }
        _ => (attackers, targets),
    };
    let of = |list: Vec<&Side>| -> Vec<&'a Side> {
        all.iter().filter(|side| list.iter().any(|one| one.at == side.at)).copied().collect()
    };
    (of(attackers), of(targets))
}

/// `300 pts each`, `at 300 points`.
fn points(told: &Told<'_>, used: &mut [bool]) -> Option<u64> {
    let message = told.message;
    let at = (0..message.tokens.len()).find(|at| {
        !used[*at]
            && message.number(*at).is_some()
            && (message.any(*at + 1, &["points", "pts", "point", "pt"])
                || message.any(*at + 1, &["each"]) && message.has(Class::Points))
    })?;
    let number = message.number(at);
    mark(used, at, at + 2);
    number
}

/// The same attack from several arcs.
fn of_arcs(told: &Told<'_>, all: &[&Side], cue: bool) -> Option<Reading> {
    let message = told.message;
    let (mut attacker, mut target) = super::volleys::pair(told)?;
    // `how well does its armour protect it from …`
    let protects = (attacker.end()..target.start)
        .any(|at| message.any(at, &["protect", "protects", "protected", "withstand", "resist", "hold", "survive"]));
    if protects {
        std::mem::swap(&mut attacker, &mut target);
    }
    let mut arcs = told.battle.table.arcs.clone();
    let each = message.spans(Class::Compare).any(|(at, len)| len > 1 && message.any(at + len - 1, &["arc", "side"]))
        || (0..message.tokens.len()).any(|at| {
            message.any(at, &["each", "every", "all", "per"])
                && (1..=2).any(|more| message.any(at + more, &["arc", "arcs", "side", "sides", "facing"]))
        });
    if !(each || arcs.len() >= 2 && (cue || (0..message.tokens.len()).any(|at| message.any(at, &["or", "versus"]))))
        || all.len() != 2
    {
        return None;
    }
    if each && arcs.len() < 2 {
        arcs = told.index().arcs.iter().map(|arc| arc.id.clone()).collect();
    }
    if arcs.len() < 2 {
        return None;
    }
    let mut used = told.battle.used.clone();
    for at in 0..used.len() {
        if message.any(at, &["each", "every", "arc", "arcs", "side", "sides", "one"]) {
            used[at] = true;
        }
    }
    let index = told.index();
    let variants: Vec<Json> = arcs
        .iter()
        .map(|arc| {
            let mut table = situation(&told.battle.table).unwrap_or_else(|| json!({}));
            set(&mut table, "/arc", json!(arc));
            let label = index.arcs.iter().find(|known| known.id == *arc).map_or(arc.as_str(), |known| known.name.as_str());
            json!({"label": label, "matchup": {"pack": index.id, "attacker": side_json(index, attacker, false), "situation": table}})
        })
        .collect();
    let question = json!({"variants": variants, "targets": [{"unit": side_json(index, target, true)}]});
    Some(Reading::asks(&COMPARE, question, 4.4, used, HELD))
}

/// The same unit with this or with that: `scatter pieces or the long guns`.
fn of_weapons(told: &Told<'_>, all: &[&Side]) -> Option<Reading> {
    let message = told.message;
    let (attacker, target) = super::volleys::pair(told)?;
    let unit = attacker.unit().and_then(|id| told.index().unit(id))?;
    let or = (0..message.tokens.len()).find(|at| message.any(*at, &["or", "than"]) && !told.battle.used[*at])?;
    if all.len() != 2 || !told.battle.table.arcs.is_empty() && told.battle.table.arcs.len() > 1 {
        return None;
    }
    let named = |at: usize| {
        message
            .mentions
            .iter()
            .find(|one| matches!(one.sort, Sort::Weapon | Sort::Option) && one.at <= at && at < one.at + one.len)
    };
    let first = (or.saturating_sub(3)..or).rev().find_map(&named)?;
    let second = (or + 1..(or + 5).min(message.tokens.len())).find_map(named);
    let of = |id: &str| {
        unit.options.iter().find(|option| option.id == id || option.weapons.iter().any(|weapon| weapon == id))
    };
    let option = |mention: Option<&super::message::Mention>| {
        mention.and_then(|mention| mention.ids.iter().find_map(|(id, _)| of(id)))
    };
    let (one, other) = (option(Some(first)), option(second));
    if one.map(|option| &option.id) == other.map(|option| &option.id) {
        return None;
    }
    let mut used = told.battle.used.clone();
    mark(&mut used, first.at, second.map_or(message.tokens.len(), |second| second.at + second.len));
    let index = told.index();
    let table = situation(&told.battle.table);
    let variant = |option: Option<&pipwright_shared::wire::packs::OptionHead>| {
        let mut side = (*attacker).clone();
        side.options
            .retain(|extra| one.is_none_or(|one| extra.id != one.id) && other.is_none_or(|other| extra.id != other.id));
        side.options.extend(option.map(|option| Extra { id: option.id.clone(), times: None }));
        let label = option.map_or_else(|| unit.name.clone(), |option| option.name.clone());
        let mut form =
            json!({"label": label, "matchup": {"pack": index.id, "attacker": side_json(index, &side, false)}});
        if let Some(table) = &table {
            set(&mut form, "/matchup/situation", table.clone());
        }
        form
    };
    let question = json!({"variants": [variant(one), variant(other)], "targets": [{"unit": battle::side_json(index, target, true)}]});
    Some(Reading::asks(&COMPARE, question, 4.2, used, HELD))
}
