//! Follow-ups of questions that are not about two units, and other questions about the same two.
use super::super::amounts::Says;
use super::super::battle::Battle;
use super::super::dice;
use super::super::lexicon::Class;
use super::super::message::ParsedMessage;
use super::super::names::Sort;
use super::super::reading::{Act, Reading, Told, arg, mark};
use super::super::sides::Side;
use super::super::volleys;
use super::{CHANGED, cued, repeats};
use crate::commands::{Command, rule};
use crate::draft::{Draft, set, unset};
use crate::link::Link;
use crate::typing;
use serde_json::{Value as Json, json};

/// Another question about the same two units: how many it takes, a fight turn by turn, how unusual a result was.
pub(super) fn converted(message: &ParsedMessage<'_>, battle: &Battle, before: &Link) -> Option<Reading> {
    use crate::commands::{compare::COMPARE, duel::DUEL, luck::LUCK, needed::NEEDED};
    // `compare that with a rack crew`
    if let (Some(new), 1, true) = (
        battle.fighters().next(),
        battle.fighters().count(),
        (0..message.tokens.len()).any(|at| message.any(at, &["compare"])),
    ) && new.unit().is_some()
    {
        let variant = |attacker: &Json| {
            let mut variant = json!({"matchup": {"pack": before.question.pack(), "attacker": attacker}});
            if let Some(table) = before.question.situation().said() {
                set(&mut variant, "/matchup/situation", table.clone());
            }
            variant
        };
        let other = super::super::battle::side_json(message.index, new, false);
        let question = json!({
            "variants": [variant(before.question.attacker()), variant(&other)],
            "targets": [{"unit": before.question.target()}],
        });
        return Some(Reading::asks(&COMPARE, question, 1.6, battle.used.clone(), CHANGED));
    }
    if battle.fighters().count() > 0 {
        return None;
    }
    let told = Told { message, battle };
    let mut used = battle.used.clone();
    if let Some(reading) = cost(message, battle, before.question.attacker()) {
        return Some(reading);
    }
    let mut matchup = before.question.clone();
    let percent = told.percent().or_else(|| super::super::counts::of_times(&told));
    let many = (0..message.tokens.len()).any(|at| message.any(at, &["how"]) && message.any(at + 1, &["many"]));
    if many
        && (percent.is_some()
            || (0..message.tokens.len()).any(|at| message.any(at, &["need", "needed", "take", "takes"])))
    {
        let chance = percent.map_or(0.9, |(at, len, chance)| {
            mark(&mut used, at, at + len);
            chance
        });
        unset(&mut matchup, "/attacker/models");
        let question = json!({"matchup": matchup, "want": {"destroyed": chance}, "most": 50});
        return Some(Reading::asks(&NEEDED, question, 1.4, used, CHANGED));
    }
    let turns = told.turns();
    if volleys::duel_cues(&told) > 2.0 || turns.is_some() && message.has(Class::Duel) {
        let mut question = json!({"pack": matchup.pack(), "a": matchup.attacker(), "b": matchup.target()});
        if let Some(range) = matchup.situation().range().said() {
            set(&mut question, "/situation", json!({"range": range}));
        }
        if let Some((at, turns)) = turns {
            set(&mut question, "/turns", json!(turns));
            mark(&mut used, at, at + 2);
        }
        return Some(Reading::asks(&DUEL, question, 1.4, used, CHANGED));
    }
    if message.has(Class::Luck) && message.has(Class::Happened) {
        let amount = battle.amounts.iter().find(|amount| amount.says == Says::Lost)?;
        mark(&mut used, amount.from, amount.to);
        let armoured =
            matchup.target().unit_id().and_then(|id| message.index.unit(id)).is_some_and(|unit| unit.armoured);
        let result = if armoured { json!({"structure": amount.value}) } else { json!({"models": amount.value}) };
        return Some(Reading::asks(&LUCK, json!({"matchup": matchup, "result": result}), 1.4, used, CHANGED));
    }
    None
}

/// How much a message without a word of going on says besides what it changes.
pub fn unspoken(message: &ParsedMessage<'_>, used: &[bool]) -> f64 {
    const SILENT: &[Class] = &[Class::Small, Class::Again, Class::Wh, Class::YesNo, Class::Cond];
    let says = |at: &usize| {
        !used.get(*at).copied().unwrap_or(false)
            && !message.word(*at).is_empty()
            && !SILENT.iter().any(|class| message.is(*at, *class))
    };
    (0..message.tokens.len()).filter(says).map(|_| 0.3).sum()
}

/// What the attackers of the question before cost.
fn cost(message: &ParsedMessage<'_>, battle: &Battle, attacker: &Json) -> Option<Reading> {
    let word = (0..message.tokens.len()).any(|at| message.any(at, &["cost", "costs", "points", "pts", "price"]));
    if !word
        || !message.has(Class::Points)
        || !battle.table.is_empty()
        || message.has(Class::Needed) && message.has(Class::Kill)
    {
        return None;
    }
    let index = message.index;
    let mut side = super::apply::stand_in(attacker.unit_id()?);
    let unit = index.unit(side.unit()?)?;
    let each = if unit.is_counted_whole() { u64::from(unit.least.max(1)) } else { 1 };
    side.count = attacker.models().map(|models| models.div_ceil(each));
    for option in attacker.part("options").texts() {
        let (times, id) = match option.split_once(' ') {
            Some((times, id)) => (times.parse().ok(), id),
            None => (None, option),
        };
        side.options.push(super::super::sides::Extra { id: id.to_owned(), times });
    }
    let told = Told { message, battle };
    let args = vec![arg("list", typing::Value::Text(super::super::lists::line(&told, &side)))];
    let command = &crate::commands::points::POINTS;
    Some(Reading::args(command, args, 1.4, battle.used.clone(), CHANGED))
}

/// A question about a rule goes on: `and hide?`
pub(super) fn of_rule(message: &ParsedMessage<'_>, before: &Link) -> Option<Reading> {
    let ask = before.question.ask()?;
    // `and against eel spears?`: another unit takes the place of the one that was asked about.
    let old = ParsedMessage::of(ask, message.index);
    let new = message.named(Sort::Unit).max_by_key(|one| one.len).and_then(|one| {
        let (first, last) = (message.tokens.get(one.at)?, message.tokens.get(one.at + one.len - 1)?);
        message.text.get(first.span.start..last.span.end)
    });
    let last = old
        .named(Sort::Unit)
        .max_by_key(|one| (one.at, one.len))
        .and_then(|one| Some(old.tokens.get(one.at)?.span.start..old.tokens.get(one.at + one.len - 1)?.span.end));
    let text = match (new, last) {
        (Some(new), Some(last)) => format!("{}{new}{}", &ask[..last.start], &ask[last.end..]),
        _ => format!("{} {}", ask.trim_end_matches(['?', ' ']), message.text.trim()),
    };
    let words = message.tokens.iter().filter(|token| !token.word.is_empty()).count();
    let known = message.mentions.iter().any(|one| one.sort != Sort::Check);
    (words <= 9 && known && cued(message)).then(|| {
        let args = vec![arg("about", typing::Value::Text(text))];
        Reading::args(&rule::RULE, args, 0.6, vec![true; message.tokens.len()], &[])
    })
}

/// A change of a question in plain numbers, by the options of its command.
pub(super) fn of_numbers(
    message: &ParsedMessage<'_>,
    battle: &Battle,
    before: &Link,
    command: &'static Command,
) -> Option<Reading> {
    if battle.fighters().count() > 0 && before.path != "/v1/arc" {
        return None;
    }
    // `average of 3d6` asks for no chance, and nothing of the one before.
    if before.path == "/v1/check" && (0..message.tokens.len()).any(|at| message.any(at, &["average", "mean"])) {
        return None;
    }
    let told = Told { message, battle };
    // `lose the mast, what is it at then`
    if before.path == "/v1/list-points"
        && let Some(one) = message.named(Sort::Option).next()
        && (0..one.at).any(|at| {
            message.any(at, &["lose", "drop", "remove", "without", "minus", "leave", "scrap", "ditch", "forget", "no"])
        })
        && let Some(lines) = before.question.part("lines").as_array()
    {
        let index = message.index;
        let named = one.ids.iter().filter_map(|(id, owner)| {
            let unit = index.unit(owner.as_deref()?)?;
            unit.options.iter().find(|option| option.id == *id).map(|option| option.name.to_lowercase())
        });
        let names: Vec<String> = named.collect();
        let without = |line: &Json| {
            let mut parts = line.as_str().unwrap_or_default().split(" + ");
            let head = parts.next().unwrap_or_default().to_owned();
            let kept: Vec<&str> = parts
                .filter(|part| !names.iter().any(|name| part.trim().to_lowercase().ends_with(name.as_str())))
                .collect();
            json!(std::iter::once(head.as_str()).chain(kept).collect::<Vec<_>>().join(" + "))
        };
        let mut question = before.question.clone();
        set(&mut question, "/lines", lines.iter().map(without).collect());
        if question != before.question {
            let mut used = vec![false; message.tokens.len()];
            mark(&mut used, one.at.saturating_sub(2), one.at + one.len);
            return Some(Reading::asks(command, question, 1.4, used, CHANGED));
        }
    }
    if before.path == "/v1/list-points" {
        let limit =
            (0..message.tokens.len()).find_map(|at| Some((at, message.number(at).filter(|number| *number >= 50)?)))?;
        let mut question = before.question.clone();
        set(&mut question, "/limit", json!(limit.1));
        let mut used = vec![false; message.tokens.len()];
        mark(&mut used, limit.0, limit.0 + 1);
        return Some(Reading::asks(command, question, 0.8, used, CHANGED));
    }
    if before.path == "/v1/check" {
        let mut used = vec![false; message.tokens.len()];
        let roll = dice::roll(&told, &mut used).unwrap_or_default();
        let mut question = before.question.clone();
        let die = message.index.die();
        let mut changes = 0;
        for (key, value) in roll.json(message.index).as_object()? {
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
            message.number(*at).is_some()
                && (message.any(at + 1, &["added", "more"])
                    || at.checked_sub(1).is_some_and(|at| message.any(at, &["add", "plus", "adding"])))
        });
        if let Some((at, number)) = added.and_then(|at| Some((at, message.number(at)?))) {
            set(&mut question, "/modifier", json!(number));
            used[at] = true;
            changes += 1;
        }
        if changes > 0 || repeats(message) {
            return Some(Reading::asks(command, question, 0.3 * f64::from(changes.min(3)), used, CHANGED));
        }
    }
    // `on 6 and not 5`: the number of before is taken back, and says nothing else.
    let denied: Vec<usize> = (1..message.tokens.len())
        .filter(|at| {
            message.any(at - 1, &["not"])
                && !matches!(message.tokens[*at].kind, typing::TokenKind::Word(_) | typing::TokenKind::Break)
        })
        .collect();
    let mut said = typing::tokens(message.text, Some(message.index));
    said.tokens.retain(|token| !denied.iter().any(|at| message.tokens[*at].span == token.span));
    let about = command.about().find(|about| before.question.get(about.request()).is_some());
    let mut read = match about {
        Some(_) => typing::assign::assign_about(message.text, &said, command, about, Some(message.index)),
        None => typing::assign::assign(message.text, &said, command, Some(message.index)),
    };
    read.args.retain(|arg| !matches!(arg.value, typing::Value::Text(_)));
    read.corrected.clear();
    if read.args.is_empty() && !repeats(message) {
        return None;
    }
    let taken = |at: usize| {
        let span = &message.tokens[at].span;
        !read.unread.iter().any(|unread| unread.start < span.end && span.start < unread.end)
    };
    let used: Vec<bool> = (0..message.tokens.len()).map(taken).collect();
    let mut reading = Reading::args(command, Vec::new(), 0.3, used, CHANGED);
    reading.act = Act::Args(read);
    reading.before = Some(before.question.clone());
    Some(reading)
}

/// `6 fowlers instead of the bows`, `not the bows but fowlers`: who comes, and in whose place of those who are known.
pub fn replaced<'a>(message: &ParsedMessage<'_>, battle: &'a Battle, known: &[&str]) -> Option<(&'a Side, &'a Side)> {
    let fighters: Vec<&Side> = battle.fighters().collect();
    let [new, old] = fighters.as_slice() else { return None };
    let is = |side: &Side| side.ids.iter().any(|id| known.contains(&id.as_str()));
    let between = |words: &[&str]| (new.end()..old.start).any(|at| message.any(at, words));
    (between(&["instead", "rather"]) && between(&["of", "than"]) || between(&["instead"])).then_some(())?;
    (is(old) && !is(new)).then_some((*new, *old))
}
