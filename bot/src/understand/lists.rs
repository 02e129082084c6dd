//! What a list costs.
use super::lexicon::Class;
use super::names::Sort;
use super::reading::{Reading, Told, arg, mark};
use super::sides::Side;
use crate::commands::points::POINTS;
use crate::typing::Value;

const COSTED: &[Class] =
    &[Class::Points, Class::Wh, Class::YesNo, Class::Rule, Class::Appraise, Class::Needed, Class::RuleAsk];
/// What a list costs.
pub fn points(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let cue = message.has(Class::Points);
    let fighters: Vec<&Side> = told.battle.fighters().collect();
    if let Some(reading) = pasted(told) {
        return Some(reading);
    }
    if !cue {
        return None;
    }
    let mut used = told.battle.used.clone();
    let how = (0..used.len()).any(|at| message.any(at, &["how"]) && message.any(at + 1, &["much", "many"]))
        || (0..used.len()).any(|at| {
            message.any(
                at,
                &[
                    "cost", "costs", "total", "price", "legal", "legality", "allowed", "pts", "points", "add", "tot",
                    "sum", "afford", "limit", "fits",
                ],
            )
        });
    let list = (0..used.len()).any(|at| message.any(at, &["list", "lists", "roster", "army"]));
    if fighters.is_empty() {
        return list
            .then(|| Reading::lacks(&POINTS, Some("list"), "Which list? Paste it, a unit a line.", 1.8, used, COSTED));
    }
    let legal = (0..used.len()).any(|at| {
        message.any(at, &["legal", "legality", "allowed", "limit", "fit", "fits", "over", "under", "within"])
    });
    let attack = message.spans(Class::Attack).any(|(at, _)| !told.battle.used[at]) || message.has(Class::Vs);
    if attack || !how {
        return None;
    }
    let limit = (0..used.len()).find_map(|at| {
        let limit = message.any(at + 1, &["points", "pts", "point", "pt", "limit"])
            || message.any(at.wrapping_sub(1), &["limit", "cap"])
            || message.any(at.wrapping_sub(1), &["in", "under", "into"])
                && message.any(at.wrapping_sub(2), &["fit", "fits", "fitting"]);
        let number = message.number(at).filter(|number| !used[at] && limit && *number >= 20)?;
        Some((at, number))
    });
    let limit = limit.or_else(|| lone_limit(message, &used));
    let mut args = Vec::new();
    if let Some((at, limit)) = limit {
        mark(&mut used, at, at + 1);
        for beside in [at.wrapping_sub(1), at + 1] {
            if message.any(beside, &["points", "pts", "point", "pt", "limit", "cap"]) {
                mark(&mut used, beside, beside + 1);
            }
        }
        args.push(arg("limit", Value::Number(limit)));
    }
    let lines: Vec<String> = fighters.iter().map(|side| line(told, side)).collect();
    args.push(arg("list", Value::Text(lines.join("\n"))));
    let word = message.spans(Class::Points).any(|(at, len)| {
        len > 1 || message.any(at, &["cost", "costs", "pts", "legal", "price", "allowed", "tot", "sum", "total"])
    });
    let joined = fighters.len() > 1;
    // `how much die`: what a fight does.
    let fought = message.has(Class::Suffer) || !told.battle.table.arcs.is_empty() || told.battle.table.range.is_some();
    let value = message.has(Class::Appraise) && !joined;
    let sheet =
        !joined && limit.is_none() && fighters.iter().all(|side| side.count.is_none() && side.options.is_empty());
    let score =
        1.0 - 1.2 * f64::from(u8::from(value)) - 1.5 * f64::from(u8::from(fought)) - 1.6 * f64::from(u8::from(sheet))
            + 1.0 * f64::from(u8::from(word))
            + 0.9 * f64::from(u8::from(joined))
            + 0.8 * f64::from(u8::from(legal))
            + 0.6 * f64::from(u8::from(told.asks()));
    Some(Reading::args(&POINTS, args, score, used, COSTED))
}

/// `legal at 1000?`, `900, legal?`: the one large number that belongs to no unit.
fn lone_limit(message: &super::message::ParsedMessage<'_>, used: &[bool]) -> Option<(usize, u64)> {
    let large = |at: usize| Some((at, message.number(at).filter(|number| !used[at] && *number >= 100)?));
    let mut all = (0..used.len()).filter_map(large);
    match (all.next(), all.next()) {
        (one, None) => one,
        _ => None,
    }
}

/// A side as a line of a list.
pub fn line(told: &Told<'_>, side: &Side) -> String {
    let id = side.ids.first().cloned().unwrap_or_default();
    let unit = told.index().unit(&id);
    let name = unit.map_or(id.clone(), |unit| unit.name.clone());
    let single = unit.is_some_and(|unit| unit.armoured || unit.is_counted_whole() || unit.least == unit.most);
    let mut line = match side.count {
        Some(count) if single => format!("{count}x {name}"),
        Some(_) => format!("{} {name}", side.models(told.index()).unwrap_or(1)),
        None => name,
    };
    for extra in &side.options {
        let option = unit.and_then(|unit| unit.options.iter().find(|option| option.id == extra.id));
        let times = extra.times.map_or_else(String::new, |times| format!("{times} "));
        line.push_str(&format!(" + {times}{}", option.map_or(extra.id.as_str(), |option| option.name.as_str())));
    }
    line
}

/// A list that was pasted: several lines with a unit in each.
fn pasted(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let text = message.text;
    let parts: Vec<&str> = text.split(['\n', ';']).map(str::trim).filter(|part| !part.is_empty()).collect();
    let commas: Vec<&str> = text.split([',', ':']).map(str::trim).filter(|part| !part.is_empty()).collect();
    if parts.len() < 2 {
        return listed(told, &commas);
    }
    let mut start = 0;
    let mut with_unit = 0;
    for part in &parts {
        let from = text[start..].find(part).map_or(start, |at| start + at);
        let span = from..from + part.len();
        start = span.end;
        let unit = message
            .named(Sort::Unit)
            .any(|one| message.tokens.get(one.at).is_some_and(|token| span.contains(&token.span.start)));
        with_unit += usize::from(unit && part.split_whitespace().count() <= 12);
    }
    if with_unit < 2 || with_unit * 2 < parts.len() || message.asks() && parts.len() < 4 {
        return None;
    }
    // `ten rifles at medium range; target: ten hands in reeds`: who attacks whom, and no list.
    let fought = !told.battle.table.is_empty()
        || told.has(Class::Vs) > 0.0
        || (0..message.tokens.len()).any(|at| message.any(at, &["target", "casualties"]));
    if parts.len() == 2 && fought {
        return None;
    }
    let mut args = Vec::new();
    // `points for 3x barge; heron`: the list begins with its first unit.
    let first = told.battle.fighters().next().and_then(|side| message.tokens.get(side.start));
    let mut list = first.map_or(text, |token| &text[token.span.start..]).to_owned();
    let number = |head: &str| {
        head.split(|c: char| !c.is_ascii_digit()).filter(|part| !part.is_empty()).map(str::to_owned).collect::<Vec<_>>()
    };
    if let Some((head, rest)) = text.split_once([':', '\n'])
        && let [limit] = number(head).as_slice()
        && let Ok(limit) = limit.parse::<u64>()
        && !message
            .named(Sort::Unit)
            .any(|one| message.tokens.get(one.at).is_some_and(|token| token.span.start < head.len()))
    {
        args.push(arg("limit", Value::Number(limit)));
        list = rest.to_owned();
    }
    // `my army for 400 points, is it legal? 1x …`
    if args.is_empty()
        && let Some(first) = first
        && let Some((at, limit)) = (0..message.tokens.len())
            .take_while(|at| message.tokens[*at].span.start < first.span.start)
            .find_map(|at| Some((at, message.number(at).filter(|number| *number >= 50)?)))
        && message.is(at + 1, Class::Points)
    {
        args.push(arg("limit", Value::Number(limit)));
    }
    args.push(arg("list", Value::Text(list.trim().to_owned())));
    let used = vec![true; message.tokens.len()];
    Some(Reading::args(&POINTS, args, 4.0, used, COSTED))
}

/// A list in one line, with a word of cost or of a limit before it: `is this under 300: reeve w drum, 10 cutters, 10 bows`.
fn listed(told: &Told<'_>, parts: &[&str]) -> Option<Reading> {
    let message = told.message;
    let fighters: Vec<&Side> = told.battle.fighters().collect();
    if parts.len() < 3
        || fighters.len() < 3
        || message.has(Class::Vs)
        || !message.has(Class::Points) && !message.text.contains(':')
    {
        return None;
    }
    if message.spans(Class::Attack).any(|(at, _)| !told.battle.used[at]) {
        return None;
    }
    let mut used = told.battle.used.clone();
    let mut args = Vec::new();
    let limit = (0..fighters[0].start)
        .find_map(|at| Some((at, message.number(at).filter(|number| !used[at] && *number >= 50)?)))
        .or_else(|| lone_limit(message, &used));
    if let Some((at, limit)) = limit {
        mark(&mut used, at, at + 1);
        args.push(arg("limit", Value::Number(limit)));
    }
    let lines: Vec<String> = fighters.iter().map(|side| line(told, side)).collect();
    args.push(arg("list", Value::Text(lines.join("\n"))));
    Some(Reading::args(&POINTS, args, 3.2, used, COSTED))
}
