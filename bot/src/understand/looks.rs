//! Look-ups: a unit's sheet, a term, what a unit is worth, which side is hit.
use super::lexicon::Class;
use super::message::ParsedToken;
use super::names::Sort;
use super::reading::{Reading, Told, arg, mark, side_value, unit_name};
use super::sides::Side;
use crate::commands::appraise::APPRAISE;
use crate::commands::arc::ARC;
use crate::commands::unit::UNIT;
use crate::typing::token::TokenKind;
use crate::typing::{self, Value};

const LOOKED: &[Class] = &[
    Class::Unit,
    Class::Points,
    Class::Wh,
    Class::YesNo,
    Class::Structure,
    Class::Help,
    Class::Needed,
    Class::Rule,
    Class::UnitList,
];

const VALUED: &[Class] = &[
    Class::Appraise,
    Class::Points,
    Class::Wh,
    Class::YesNo,
    Class::Turn,
    Class::Luck,
    Class::Compare,
    Class::Repair,
    Class::Neg,
];

/// A unit's sheet, or one number of it.
pub fn unit(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let stat = told.free(Sort::Stat).cloned();
    let last = (0..message.tokens.len()).rev().find(|at| !message.word(*at).is_empty());
    let has = told.begins(Class::Wh) && last.is_some_and(|at| message.any(at, &["have", "has", "got", "get"]));
    let cue = message.has(Class::Unit) || has;
    let fighters: Vec<&Side> = told.battle.fighters().collect();
    let mut used = told.battle.used.clone();
    let role_asked = told.free(Sort::Role).is_some()
        && (0..used.len()).any(|at| message.any(at, &["what", "which", "whatve", "list", "show", "whats"]))
        && !message
            .spans(Class::Attack)
            .any(|(at, _)| !message.named(Sort::Role).any(|one| one.at <= at && at < one.at + one.len));
    if (message.has(Class::UnitList) || role_asked) && fighters.is_empty() {
        let mut args = vec![arg("list", Value::Flag)];
        if let Some(role) = told.free(Sort::Role) {
            args.push(arg("role", Value::Text(role.ids[0].0.clone())));
            mark(&mut used, role.at, role.at + role.len);
        }
        // `which units are the best value`: a list of them says nothing of that.
        if message.has(Class::Appraise) && args.len() == 1 {
            return None;
        }
        let sure = message.has(Class::UnitList) && args.len() > 1;
        return Some(Reading::args(&UNIT, args, if sure { 3.6 } else { 2.6 }, used, LOOKED));
    }
    let speed = message.any(0, &["how"])
        || (0..used.len())
            .any(|at| message.any(at, &["how"]) && message.any(at + 1, &["fast", "tough", "strong", "far", "quick"]));
    let does = (0..used.len()).any(|at| message.any(at, &["what", "whats"]))
        && (0..used.len()).any(|at| {
            message.any(
                at,
                &[
                    "do", "does", "stick", "put", "give", "take", "carry", "options", "weapons", "stats", "upgrades",
                    "guns", "have",
                ],
            )
        });
    match fighters.as_slice() {
        [side] => {
            // A unit's name alone asks for its sheet; what it is to carry is told with it.
            let alone =
                (0..used.len()).all(|at| used[at] || message.is_end(at) || message.any(at, &["unit", "the", "a"]));
            if alone && side.count.is_none() && told.battle.table.is_empty() && told.battle.amounts.is_empty() {
                let args = vec![arg("unit", side_value(told.index(), side))];
                return Some(Reading::args(&UNIT, args, 2.2, used, LOOKED));
            }
            // `what does one more ganger cost`: its sheet says what each more costs.
            let more = side.count == Some(1) && message.has(Class::MoreOne);
            let cost = message.has(Class::Points)
                && (side.count.is_none() || more)
                && side.options.is_empty()
                && !message.has(Class::Appraise);
            // `what do 12 hands with hooks cost me`: a sum, and no sheet.
            let summed = (side.count.is_some() && !more || !side.options.is_empty())
                && (0..used.len()).any(|at| message.any(at, &["cost", "costs", "price"]));
            if !(stat.is_some() || cue || cost) || summed && stat.is_none() {
                return None;
            }
            let mut args = vec![arg("unit", Value::Name(unit_name(told.index(), &side.ids[0])))];
            let yes = told.begins(Class::YesNo) && !told.begins(Class::Wh);
            let mut score = 0.9 + 0.4 * f64::from(u8::from(told.asks())) + 1.2 * f64::from(u8::from(cost));
            if let Some(stat) = &stat {
                mark(&mut used, stat.at, stat.at + stat.len);
                // `all 3 sides`: the sheet gives each.
                for at in 0..used.len() {
                    if message.any(at, &["all", "each", "every"])
                        && (at + 1..at + 3).any(|at| message.any(at, &["sides", "side", "arcs", "arc"]))
                    {
                        mark(&mut used, at, at + 3);
                    }
                }
                args.push(arg("stat", Value::Text(stat.ids[0].0.clone())));
                score += if yes { 0.6 } else { 1.8 };
                // `must test nettle`
                if (0..used.len())
                    .any(|at| message.any(at, &["test", "tests", "check", "roll", "pass", "passes", "fail"]))
                {
                    score -= 1.5;
                }
            }
            if told.battle.sides.iter().any(|side| side.helper) {
                score -= 1.2;
            }
            let strong = message.spans(Class::Unit).any(|(at, len)| {
                len > 1
                    || message.any(
                        at,
                        &["stats", "profile", "statline", "weapons", "options", "upgrades", "stat", "sheet", "gear"],
                    )
            });
            score += if speed && cue || does {
                1.5
            } else if strong {
                1.0
            } else {
                0.2
            };
            // What is done to it is another question.
            if message.has(Class::Attack)
                || message.has(Class::Suffer)
                || message.has(Class::Repair)
                || message.has(Class::Appraise)
            {
                score -= 1.7;
            }
            Some(Reading::args(&UNIT, args, score, used, LOOKED))
        }
        // `which has more pluck, cutters or fowlers`
        [one, other]
            if (one.end()..other.start).any(|at| message.any(at, &["or", "than"]))
                && !message.has(Class::Attack)
                && !message.has(Class::Vs)
                && !message.has(Class::Check) =>
        {
            let stat = stat?;
            mark(&mut used, stat.at, stat.at + stat.len);
            let of = |side: &Side| {
                let unit = arg("unit", Value::Name(unit_name(told.index(), &side.ids[0])));
                let args = vec![unit, arg("stat", Value::Text(stat.ids[0].0.clone()))];
                Reading::args(&UNIT, args, 2.6, used.clone(), LOOKED)
            };
            let mut reading =
                Reading::lacks(&UNIT, Some("unit"), "One at a time: whose first?", 3.0, used.clone(), LOOKED);
            reading.variants = vec![of(one), of(other)];
            Some(reading)
        }
        [] if cue && (0..used.len()).any(|at| message.any(at, &["unit"])) && told.asks() => {
            Some(Reading::lacks(&UNIT, Some("unit"), "Which unit? Say its name.", 1.6, used, LOOKED))
        }
        _ => None,
    }
}

/// A word of the pack, or of the trade, that is to be explained.
pub fn term(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    if told.fighters() > 0 || message.tokens.len() > 9 {
        return None;
    }
    let what = (0..message.tokens.len()).any(|at| {
        message.any(at, &["whats", "mean", "means", "define", "explain"])
            || message.any(at, &["what"]) && message.any(at + 1, &["is", "are", "does", "do", "was"])
            || message.any(at, &["what"]) && (at + 2..at + 5).any(|at| message.any(at, &["is", "means"]))
    });
    let sorts = [Sort::Stat, Sort::Arc, Sort::Range, Sort::Cover, Sort::Flag, Sort::Status, Sort::Check];
    let mention = message
        .mentions
        .iter()
        .filter(|one| sorts.contains(&one.sort))
        .max_by_key(|one| (one.sort == Sort::Stat, one.len));
    let general = (0..message.tokens.len())
        .find(|at| message.any(*at, &["breach", "breaches", "graze", "grazes", "aftermath", "structure", "critical"]));
    let id = match (mention, general) {
        (_, Some(at)) => typing::fillers::singular(message.word(at)).to_owned(),
        (Some(mention), None) => mention.ids[0].0.clone(),
        _ => return None,
    };
    let short = message.tokens.iter().filter(|token| !token.word.is_empty()).count() <= 6;
    (what && short).then(|| {
        let used = vec![true; message.tokens.len()];
        Reading::args(&UNIT, vec![arg("term", Value::Text(id))], 2.3, used, LOOKED)
    })
}

/// What a unit is worth.
pub fn appraise(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    if !message.has(Class::Appraise) {
        return None;
    }
    let strong = message.spans(Class::Appraise).any(|(at, len)| {
        len > 1 || !message.any(at, &["rate", "value", "cheap", "expensive", "good", "worth", "dear", "review"])
    });
    let worth = message.spans(Class::Appraise).any(|(at, _)| message.any(at, &["worth", "value"]));
    let mut used = told.battle.used.clone();
    let fighters: Vec<&Side> = told.battle.fighters().collect();
    let score = 1.5
        + 0.9 * f64::from(u8::from(strong))
        + 0.7 * f64::from(u8::from(worth))
        + 0.3 * f64::from(u8::from(told.asks()));
    match fighters.as_slice() {
        [] => (told.asks()
            && ![Sort::Weapon, Sort::Rule, Sort::Flag, Sort::Option]
                .iter()
                .any(|sort| message.named(*sort).next().is_some()))
        .then(|| {
            let question = "One unit at a time here: which one? `pipwright-bot league` ranks all units of a pack.";
            let all = (0..message.tokens.len()).any(|at| message.any(at, &["units", "which", "best"]));
            let question = if all { question } else { "Which unit? Say its name." };
            Reading::lacks(&APPRAISE, Some("unit"), question, score - 0.6, used, VALUED)
        }),
        [side] => {
            let mut args = vec![arg("unit", side_value(told.index(), side))];
            if let Some((at, turns)) = told.turns() {
                mark(&mut used, at, at + 2);
                args.push(arg("turns", Value::Number(turns)));
            }
            // The price that is asked about: `is 120 for a lighter a rip off`.
            for at in 0..used.len() {
                let price = message.number(at).is_some_and(|number| number >= 20) && !used[at];
                if price
                    && (message.is(at + 1, Class::Points)
                        || message.any(at + 1, &["for"])
                        || at > 0 && message.is(at - 1, Class::Appraise)
                        || message.is_end(at + 1))
                {
                    used[at] = true;
                }
            }
            Some(Reading::args(&APPRAISE, args, score, used, VALUED))
        }
        _ => None,
    }
}

/// Which side is hit.
pub fn arc(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let clock = (0..message.tokens.len()).any(|at| message.any(at, &["oclock"]));
    let degrees = clock
        || message.any(0, &["arc", "bearing"])
        || message.spans(Class::Arc).any(|(at, _)| {
            message.any(at, &["degrees", "degree", "deg", "bearing", "clockwise", "anticlockwise", "heading"])
        });
    let asks = message.has(Class::Arc) || !told.battle.table.arcs.is_empty();
    // `12,4`, `x 12, y 4`: two numbers with a comma between them, and at least two such pairs.
    let is_number = |token: &&ParsedToken| matches!(token.kind, TokenKind::Number(_) | TokenKind::Signed(_));
    let numbers: Vec<&ParsedToken> = message.tokens.iter().filter(is_number).collect();
    let is_pair = |pair: &&[&ParsedToken]| {
        let between = message.text.get(pair[0].span.end..pair[1].span.start).unwrap_or_default();
        between.contains(',') && between.chars().all(|c| " ,=:xyXY".contains(c))
    };
    let places = numbers.windows(2).filter(is_pair).count() >= 2;
    if !(degrees && message.tokens.iter().any(|token| matches!(token.kind, TokenKind::Number(_))) || places && asks) {
        return None;
    }
    let said = typing::tokens(message.text, Some(told.index()));
    let mut read = typing::assign::assign(message.text, &said, &ARC, None);
    read.args.retain(|arg| arg.option != "unit");
    // Where several are named, the hull is the one that has sides: `hull of the Coot Punt …, the bow that shoots`.
    let has_sides = |side: &&Side| {
        told.fighters() == 1 || side.unit().and_then(|id| told.index().unit(id)).is_some_and(|unit| unit.armoured)
    };
    let mut hulls = told.battle.fighters().filter(has_sides);
    if let (Some(side), None) = (hulls.next(), hulls.next()) {
        read.args.push(arg("unit", Value::Name(unit_name(told.index(), &side.ids[0]))));
    }
    // `I am at 12,4; his barge is at 0,0`: who speaks shoots.
    let mine = (0..message.tokens.len().min(4)).any(|at| message.any(at, &["i", "im", "ive", "my", "me"]));
    // `I am at 0,0 and he shoots from 10,5`: somebody else does.
    let theirs = (1..message.tokens.len()).any(|at| {
        message.is(at, Class::Attack) && message.any(at - 1, &["he", "she", "they", "it", "enemy", "opponent"])
    });
    let mine = mine && !theirs;
    let place = |name: &str| read.args.iter().find(|arg| arg.option == name).map(|arg| arg.span.start);
    if let (true, Some(target), Some(attacker)) = (mine, place("target"), place("attacker"))
        && target < attacker
    {
        for arg in &mut read.args {
            arg.option = match arg.option {
                "target" => "attacker",
                "attacker" => "target",
                other => other,
            };
        }
    }
    // `facing straight up the table`
    let looks = (0..message.tokens.len())
        .find(|at| message.any(*at, &["facing", "faces", "looking", "looks", "pointing", "points"]))
        .map(|at| at + 1 + usize::from(message.any(at + 1, &["straight", "directly", "dead", "right", "due"])));
    let heading = looks.and_then(|at| match message.word(at) {
        "up" | "upward" | "upwards" | "north" => Some(0.0),
        "down" | "downward" | "downwards" | "south" => Some(180.0),
        "right" | "east" => Some(90.0),
        "left" | "west" => Some(270.0),
        _ => None,
    });
    if let Some(heading) = heading.filter(|_| places && !read.args.iter().any(|arg| arg.option == "heading")) {
        read.args.push(arg("heading", Value::Angle(heading)));
    }
    // `one hundred and ten degrees`: the number as the message has it.
    let bearing = (0..message.tokens.len())
        .filter(|at| message.any(at + 1, &["degrees", "degree", "deg"]))
        .find_map(|at| Some((at, message.number(at)?)));
    if let Some((at, bearing)) = bearing.filter(|_| !places) {
        read.args.retain(|arg| !["bearing", "target", "attacker"].contains(&arg.option));
        // `minus 61 degrees`: to the left.
        let sign = if message.any(at.wrapping_sub(1), &["minus", "negative"]) { -1.0 } else { 1.0 };
        read.args.push(arg("bearing", Value::Angle(sign * f64::from(u32::try_from(bearing).ok()?))));
        read.unread.clear();
    }
    // `45 degrees off its nose, on her left`
    let left = (0..message.tokens.len()).any(|at| {
        message.any(at, &["left", "port", "anticlockwise", "counterclockwise", "larboard"])
            && (at == 0
                || message.any(at - 1, &["the", "her", "his", "its", "their", "my", "to", "on"])
                || !message.any(at, &["left"]))
    });
    if left {
        for arg in &mut read.args {
            if let (Value::Angle(angle), "bearing") = (&arg.value, arg.option)
                && *angle > 0.0
            {
                arg.value = Value::Angle(-*angle);
            }
        }
    }
    read.corrected.clear();
    let mut reading = Reading::args(&ARC, Vec::new(), 3.0, vec![true; message.tokens.len()], &[]);
    for span in &read.unread {
        let number = message
            .tokens
            .iter()
            .position(|token| token.span == *span && matches!(token.kind, TokenKind::Number(_) | TokenKind::Signed(_)));
        if let Some(at) = number {
            reading.used[at] = false;
        }
    }
    reading.act = super::reading::Act::Args(read);
    Some(reading)
}
