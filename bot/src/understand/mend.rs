//! What units roll for themselves: repairs, and the checks that a pack names.
use super::amounts::Says;
use super::lexicon::Class;
use super::names::Sort;
use super::reading::{Reading, Told, arg, mark, side_value};
use super::sides::Side;
use crate::commands::repair::REPAIR;
use crate::typing::Value;
use crate::typing::token::TokenKind;

const MENDED: &[Class] = &[
    Class::Repair,
    Class::Turn,
    Class::Wh,
    Class::YesNo,
    Class::Lost,
    Class::Left,
    Class::Needed,
    Class::Check,
    Class::Structure,
    Class::Luck,
    Class::Suffer,
    Class::Near,
];

/// A repair of a unit, or of plain numbers.
pub fn repair(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let own = message.named(Sort::Rule).any(|rule| {
        rule.ids.iter().any(|(id, _)| {
            told.index()
                .rules
                .iter()
                .any(|known| known.id == *id && known.also.iter().any(|also| also.contains("repair")))
        })
    });
    let lost = told.battle.amounts.iter().any(|amount| amount.says == Says::Lost)
        && told.turns().is_some()
        && told.fighters() == 1;
    if super::ruled::may_be(told) {
        return None;
    }
    // `5 of 9 gone, 9+ on d10 for each missing, 2 turns`: plain numbers say all of it.
    let plain = told.fighters() == 0
        && told.turns().is_some()
        && told.battle.amounts.iter().any(|amount| amount.says == Says::Lost && !amount.killed)
        && message.tokens.iter().any(|token| matches!(token.kind, TokenKind::Needs(_)));
    if !(plain || message.has(Class::Repair) || own || lost && !message.has(Class::Attack)) {
        return None;
    }
    let mut used = told.battle.used.clone();
    let mut args = Vec::new();
    let turns = turns(told, &mut used);
    if let Some(turns) = turns {
        args.push(arg("turns", Value::Number(turns)));
    }
    let mut needs = Vec::new();
    for at in 0..used.len() {
        let on = at > 0 && message.any(at - 1, &["on", "needs", "needing"]);
        // `on the usual six`
        let usual = at > 1
            && message.any(at - 1, &["usual", "normal", "standard", "ordinary"])
            && (at - 2..at).any(|at| message.any(at, &["on", "the", "a"]));
        match &message.tokens[at].kind {
            // `at least one is mended` is wished, and no roll that cannot fail.
            TokenKind::Needs(text) if text == "1+" => used[at] = true,
            TokenKind::Needs(text) => needs.push((at, text.clone())),
            TokenKind::Faces(face) => needs.push((at, format!("{face}+"))),
            TokenKind::Number(_)
                if (on && told.fighters() == 0 || usual) && !used[at] && !message.is(at + 1, Class::Turn) =>
            {
                needs.extend(message.number(at).map(|number| (at, format!("{number}+"))));
            }
            _ => {}
        }
    }
    for (at, needs) in &needs {
        used[*at] = true;
        args.push(arg("needs", Value::Needs(needs.clone())));
    }
    let mut missing = None;
    let mut capacity = None;
    for amount in &told.battle.amounts {
        mark(&mut used, amount.from, amount.to);
        match amount.says {
            Says::Lost => missing = missing.or(Some(amount.value)),
            Says::Left => args.push(arg("left", Value::Number(amount.value))),
        }
        capacity = capacity.or(amount.of);
    }
    if missing.is_none()
        && (0..used.len()).any(|at| message.any(at, &["fresh", "undamaged", "unhurt", "intact", "untouched"]))
    {
        missing = Some(0);
        for at in 0..used.len() {
            used[at] |= message.any(at, &["fresh", "undamaged", "unhurt", "intact", "untouched"]);
        }
    }
    // `wants three ribs`
    for at in 0..used.len() {
        let wants =
            message.any(at, &["wants", "want", "lacks", "needs"]) && super::amounts::is_structure(message, at + 2);
        if let Some(points) = message.number(at + 1).filter(|_| wants && missing.is_none() && !used[at + 1]) {
            mark(&mut used, at, at + 3);
            missing = Some(points);
        }
    }
    let incoming = (0..used.len()).find_map(|at| {
        let verb = message.any(at, &["loses", "losing", "taking", "takes", "suffers", "suffering"]);
        let number = (at + 1..at + 3).find(|at| message.number(*at).is_some())?;
        let each = (number + 1..number + 6)
            .any(|at| message.any(at, &["every", "each", "per", "a"]) && message.any(at + 1, &["turn", "round"]));
        (verb && each).then_some((number, message.number(number)?))
    });
    if let Some((at, incoming)) = incoming {
        let words = 1 + usize::from(super::amounts::is_structure(message, at + 1));
        mark(&mut used, at, at + words);
        args.push(arg("incoming", Value::Dice(incoming.to_string())));
        if missing == Some(incoming) {
            missing =
                (0..used.len()).any(|at| message.any(at, &["fresh", "undamaged", "unhurt", "intact"])).then_some(0);
        }
    }
    args.extend(missing.map(|missing| arg("missing", Value::Number(missing))));
    args.extend(capacity.map(|capacity| arg("capacity", Value::Number(capacity))));
    // `get 2 points back`
    for at in 0..used.len() {
        let named = usize::from(super::amounts::is_structure(message, at + 1));
        let back = message.any(at + 1 + named, &["back"]);
        if let Some(points) = message.number(at).filter(|_| back && !used[at]) {
            mark(&mut used, at, at + 2 + named);
            args.push(arg("want", Value::Number(points)));
            if missing.is_none() {
                missing = Some(points);
                args.push(arg("missing", Value::Number(points)));
            }
        }
    }
    // `ribs back`, `by the end of`
    for at in 0..used.len() {
        if super::amounts::is_structure(message, at) && message.any(at + 1, &["back"]) {
            mark(&mut used, at, at + 2);
        }
        if message.any(at, &["by", "before"]) && (at + 1..at + 5).any(|at| message.is(at, Class::Turn)) {
            mark(&mut used, at, at + 5);
        }
    }
    // `does it mend twice`
    for at in 0..used.len() {
        if let TokenKind::Times(times) = message.tokens[at].kind
            && !used[at]
        {
            used[at] = true;
            args.push(arg("want", Value::Number(times)));
            if missing.is_none() && told.fighters() == 0 {
                missing = Some(times);
                args.push(arg("missing", Value::Number(times)));
            }
        }
    }
    // `mend 2 of 5`
    for at in 0..used.len() {
        if let TokenKind::Share { part, whole, .. } = message.tokens[at].kind
            && !used[at]
            && missing.is_none()
        {
            used[at] = true;
            missing = Some(part);
            args.push(arg("missing", Value::Number(part)));
            args.push(arg("capacity", Value::Number(whole)));
        }
    }
    let each = (0..used.len()).find(|at| {
        message.any(*at, &["each", "every", "per"]) && message.any(*at + 1, &["missing", "point", "points", "lost"])
    });
    if let Some(at) = each {
        mark(&mut used, at, at + 2);
        args.push(arg("rolls", Value::Choice("each_missing")));
    }
    let all: Vec<&Side> = told.battle.fighters().collect();
    let facts = f64::from(u8::from(turns.is_some())) * 0.6
        + f64::from(u8::from(missing.is_some())) * 0.9
        + 0.5 * f64::from(u8::from(!needs.is_empty()));
    let strong = message
        .spans(Class::Repair)
        .any(|(at, len)| len > 1 || !message.any(at, &["pump", "heal", "bail", "fix", "tend", "recovery"]));
    let score = 1.4 + 0.8 * f64::from(u8::from(strong)) + facts;
    let (side, helper) = match all.as_slice() {
        [] if needs.is_empty() => {
            return (facts > 0.0 || told.asks()).then(|| {
                Reading::lacks(
                    &REPAIR,
                    Some("unit"),
                    "What is mended? Say which unit, or what the repair roll needs, like 5+.",
                    score - 0.6,
                    used,
                    MENDED,
                )
            });
        }
        [] => {
            if missing.is_none() && !args.iter().any(|arg| arg.option == "left") {
                return Some(Reading::lacks(
                    &REPAIR,
                    Some("missing"),
                    "How many points are missing, and of how many? Say it like 2 of 5 gone.",
                    score,
                    used,
                    MENDED,
                ));
            }
            return Some(Reading::args(&REPAIR, args, score, used, MENDED));
        }
        [side] => (*side, None),
        // `the drovers sit down at the stove sledge`
        [side, other] if missing.is_some() => (*side, Some(*other)),
        _ => return None,
    };
    let mut side = side.clone();
    // `the cutter is next to my heron, which has lost 3`: who is hurt is mended, and who stands by helps.
    let hurt = told.battle.sides.iter().find(|one| {
        one.helper
            && one.at > side.at
            && message.any(one.end(), &["which", "that", "who", "whos", "has", "is", "had", "with", "down", "missing"])
            && told.battle.amounts.iter().any(|amount| amount.from >= one.end() && amount.from <= one.end() + 4)
    });
    if let Some(hurt) = hurt {
        let mender = std::mem::replace(&mut side, Side { helper: false, ..hurt.clone() });
        side.near.extend(mender.ids.first().cloned());
    }
    if let Some(helper) = helper {
        let led = (helper.start.saturating_sub(2)..helper.start)
            .any(|at| message.any(at, &["at", "by", "with", "to", "near", "behind"]));
        if !led {
            return None;
        }
        side.near.extend(helper.ids.first().cloned());
    }
    // `with the pump` may be a rule that it has; `its gang` mends.
    for rule in message.named(Sort::Rule) {
        mark(&mut used, rule.at, rule.at + rule.len);
    }
    args.push(arg("unit", side_value(told.index(), &side)));
    if missing.is_none() && !args.iter().any(|arg| arg.option == "left") {
        let question = "How many points are missing? Say it like 2 lost.";
        return Some(Reading::lacks(&REPAIR, Some("missing"), question, score, used, MENDED));
    }
    Some(Reading::args(&REPAIR, args, score, used, MENDED))
}

/// Over how many turns: `3 turns left`, `turn 3 of 6`, `on turn 2, the game is 6 turns`.
fn turns(told: &Told<'_>, used: &mut [bool]) -> Option<u64> {
    let message = told.message;
    let game = told.turns();
    let now = (0..used.len()).find_map(|at| {
        if !message.any(at, &["turn", "round"]) {
            return None;
        }
        match message.tokens.get(at + 1).map(|token| &token.kind) {
            Some(TokenKind::Share { part, whole, .. }) => Some((at, 2, *part, Some(*whole))),
            Some(TokenKind::Number(_)) => {
                let number = message.number(at + 1)?;
                let of = message.any(at + 2, &["of"]).then(|| message.number(at + 3)).flatten();
                Some((at, if of.is_some() { 4 } else { 2 }, number, of))
            }
            _ => None,
        }
    });
    // `back by turn 6, missing 2 on turn 3`
    let named: Vec<(usize, u64)> = (0..used.len())
        .filter(|at| message.any(*at, &["turn", "round"]))
        .filter_map(|at| Some((at, message.number(at + 1)?)))
        .collect();
    if let [(a, one), (b, other)] = named.as_slice()
        && one != other
        && now.is_none_or(|(.., of)| of.is_none())
    {
        mark(used, *a, *a + 2);
        mark(used, *b, *b + 2);
        return Some(one.abs_diff(*other));
    }
    // `by the end of turn 2`: from the first turn on.
    if let (Some((at, len, now, None)), None) = (now, game)
        && (at.saturating_sub(4)..at).any(|at| message.any(at, &["by", "end", "before"]))
    {
        mark(used, at, at + len);
        return Some(now);
    }
    match (now, game) {
        (Some((at, len, now, Some(all))), _) => {
            mark(used, at, at + len);
            Some(all.saturating_sub(now) + 1)
        }
        (Some((at, len, now, None)), Some((place, all))) => {
            mark(used, at, at + len);
            mark(used, place, place + 2);
            Some(all.saturating_sub(now))
        }
        (_, Some((place, all))) => {
            mark(used, place, place + 2);
            Some(all)
        }
        _ => None,
    }
}
