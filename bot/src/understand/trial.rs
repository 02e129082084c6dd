//! The checks that a pack names, as a unit takes them.
use super::lexicon::Class;
use super::names::Sort;
use super::reading::{Reading, Told, arg, mark, name, side_value, unit_name};
use super::sides::Side;
use crate::commands::check::CHECK;
use crate::typing::Value;
use crate::typing::token::TokenKind;

const TRIED: &[Class] = &[
    Class::Check,
    Class::CheckMove,
    Class::CheckHazard,
    Class::CheckMorale,
    Class::CheckArrival,
    Class::CheckFirst,
    Class::CheckWatch,
    Class::Wh,
    Class::YesNo,
    Class::Contact,
    Class::Charged,
    Class::Attack,
    Class::Run,
    Class::Suffer,
    Class::Needed,
    Class::Duel,
];

/// Which check of the pack is spoken of: where its words stand, how many they are, its id, and its name where that was said.
pub fn which<'a>(told: &'a Told<'_>) -> Option<(usize, usize, String, Option<&'a super::message::Mention>)> {
    let message = told.message;
    let mention = message.named(Sort::Check).filter(|one| one.ids.len() == 1).max_by_key(|one| one.len);
    let classes = [
        (Class::CheckHazard, &["hazard"][..]),
        (Class::CheckMorale, &["morale", "nerve"][..]),
        (Class::CheckArrival, &["arrival", "reserves"][..]),
        (Class::CheckFirst, &["first turn", "roll off", "roll-off", "who goes first"][..]),
        (Class::CheckWatch, &["watch", "night"][..]),
        (Class::CheckMove, &["charge", "rush", "dash"][..]),
    ];
    let of_class = |class: Class, words: &[&str]| {
        // A roll that the pack makes afterwards under that name is none of its checks.
        let afterwards = |(at, len): &(usize, usize)| {
            let words: Vec<&str> = (*at..at + len).map(|at| message.word(at)).collect();
            super::ruled::names_afterwards(told, &words)
        };
        let place = message.spans(class).find(|place| !afterwards(place))?;
        let check = told.index().checks.iter().find(|check| {
            words.iter().any(|word| {
                check.id == *word || check.name.eq_ignore_ascii_case(word) || check.also.iter().any(|also| also == word)
            })
        })?;
        Some((place, check.id.clone(), class))
    };
    let by_class = classes.iter().find_map(|(class, words)| of_class(*class, words));
    match (mention, by_class) {
        (Some(mention), _) => Some((mention.at, mention.len, mention.ids[0].0.clone(), Some(mention))),
        (None, Some(((at, len), id, _))) => Some((at, len, id, None)),
        _ => None,
    }
}

/// A check that the pack names, as a unit takes it.
pub fn named_check(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let battle = told.battle;
    let mut used = battle.used.clone();
    let (at, len, id, mention) = which(told)?;
    // `goes over the new ice`: ground by a word of a unit's name.
    for one in message.named(Sort::Unit).filter(|one| one.fit == super::names::Fit::Part && !battle.used[one.at]) {
        let ground = (one.at.saturating_sub(4)..one.at)
            .any(|at| message.any(at, &["over", "across", "crosses", "crossing", "through", "cross"]));
        if ground {
            mark(&mut used, one.at, one.at + one.len);
        }
    }
    let fighters: Vec<&Side> = battle.fighters().collect();
    let check = told.index().checks.iter().find(|check| check.id == id)?;
    // `I am late, begin without me`: an ordinary word, and nothing of the game beside it.
    let ordinary = len == 1 && pipwright_shared::english::is_word(message.word(at));
    let rolled = |at: usize| {
        matches!(
            message.tokens[at].kind,
            TokenKind::Dice(_)
                | TokenKind::Needs(_)
                | TokenKind::Faces(_)
                | TokenKind::Share { .. }
                | TokenKind::Times(_)
        )
    };
    let about = message.has(Class::Check)
        || !fighters.is_empty()
        || !battle.table.is_empty()
        || told.turns().is_some()
        || message.has(Class::Wh)
        || (0..used.len()).any(rolled);
    if ordinary && !about && message.tokens.len() > 5 {
        return None;
    }
    if super::ruled::may_be(told) && (mention.is_none() || super::ruled::must(told)) {
        return None;
    }
    // `which has more of it, these or those` takes no test.
    let either = fighters.windows(2).any(|two| (two[0].end()..two[1].start).any(|at| message.any(at, &["or", "than"])));
    if either && !message.spans(Class::Check).any(|(from, len)| !(from..from + len).contains(&at)) {
        return None;
    }
    if fighters.len() >= 2 && told.turns().is_some() {
        return None;
    }
    let moving =
        ["charge", "rush", "dash"].iter().any(|word| check.id == *word || check.also.iter().any(|also| also == word));
    let mut args = vec![arg("check", Value::Name(name(&check.id, &check.name)))];
    let distance = match &battle.table.range {
        Some(super::table::Range::Inches(inches)) => Some(*inches),
        _ => distance(told, &mut used),
    };
    mark(&mut used, at, at + len);
    // A charge of one unit at another is an attack; a charge over a distance is a roll.
    if moving
        && distance.is_none()
        && !(mention.is_some() && fighters.len() == 1 && told.has(Class::Check) > 0.0 && !message.is(at, Class::Attack))
    {
        return None;
    }
    // `can my riders reach his rifles, 9 inches away`: whether it gets there is a roll.
    let reaching = moving && distance.is_some() && fighters.len() == 2 && battle.roles.attackers.len() == 1;
    if moving && fighters.len() > 1 && !reaching {
        return None;
    }
    let reaches = (0..used.len()).any(|at| {
        message.any(at, &["reach", "reaches", "make", "makes", "distance", "enough", "there", "fail", "succeed", "get"])
    });
    let contest = !moving
        && mention.is_some_and(|one| one.fit != super::names::Fit::Part)
        && fighters.len() == 2
        && battle.roles.attackers.len() == 1
        && !fighters.iter().any(|side| side.count.is_some_and(|count| count > 1 && side.at > fighters[0].at));
    let score = 1.6
        + 0.9 * f64::from(u8::from(mention.is_some()))
        + 0.5 * told.has(Class::Check)
        + 0.4 * f64::from(u8::from(told.asks()))
        + if moving && distance.is_some() { 1.4 } else { 0.0 };
    if let Some(inches) = distance.filter(|_| moving) {
        args.push(arg("distance", Value::Number(whole(inches)?)));
        // The reader of the table took the same word for a charge into contact.
    }
    // What a roll is told besides: how often, again, more or less.
    let mut again = used.clone();
    let extra = super::dice::roll(told, &mut again).unwrap_or_default();
    for at in 0..used.len() {
        let usual = matches!(&message.tokens[at].kind, TokenKind::Dice(_))
            || message.any(at, &["dice"]) && at > 0 && message.number(at - 1).is_some();
        used[at] |= usual;
    }
    if extra.needs.is_empty() && extra.passes.is_none() {
        used = again;
        if let Some(reroll) = extra.reroll {
            args.push(arg("reroll", Value::Reroll(reroll)));
        }
        if let Some(modifier) = extra.modifier {
            args.push(arg("modifier", Value::Modifier(modifier)));
        }
    }
    let machines = fighters
        .first()
        .filter(|side| side.unit().and_then(|id| told.index().unit(id)).is_some_and(|unit| unit.armoured));
    let count = machines.and_then(|side| side.count).filter(|count| *count > 1);
    if let Some(tries) = tries(told, &mut used).or(extra.tries).or(count) {
        args.push(arg("tries", Value::Number(tries)));
    }
    // `whose Pluck is a mere three`: it is known anyway.
    for at in 0..used.len() {
        let stated = message.number(at).is_some()
            && message.named(Sort::Stat).any(|stat| {
                stat.at < at
                    && (stat.at..at).any(|at| message.any(at, &["is", "are", "of"]))
                    && message.tokens[stat.at].sentence == message.tokens[at].sentence
            });
        if stated && !used[at] {
            used[at] = true;
            for stat in message.named(Sort::Stat) {
                mark(&mut used, stat.at, stat.at + stat.len);
            }
        }
    }
    let first = ["first", "lot", "away"].iter().any(|word| check.id.contains(word))
        || check.also.iter().any(|also| also.contains("first"));
    match fighters.as_slice() {
        [_, _]
            if reaching
                || contest
                    && !battle.sides.iter().any(|side| side.helper)
                    && !(fighters[0].end()..fighters[1].start)
                        .any(|at| message.is(at, Class::Near) || message.any(at, &["with", "w", "by", "beside"])) =>
        {
            let side = &battle.sides[battle.roles.attackers[0]];
            args.push(arg("unit", side_value(told.index(), side)));
            let score = if reaching && !reaches && !told.begins(Class::YesNo) { 2.9 } else { score + 1.6 };
            return Some(Reading::args(&CHECK, args, score, used, TRIED));
        }
        [] if moving => {
            return Some(Reading::lacks(&CHECK, Some("unit"), "Which unit charges? Say who.", score, used, TRIED));
        }
        [] => {}
        [side] => args.push(arg("unit", side_value(told.index(), side))),
        [first, .., last] if !moving => {
            // `who stand beside the Drum Ox`
            let led = (first.end()..last.start)
                .any(|at| message.is(at, Class::Near) || message.any(at, &["with", "w", "by", "beside"]));
            if !led {
                return None;
            }
            let mut side = (*first).clone();
            side.near.extend(last.ids.first().cloned());
            if fighters.len() > 2 || battle.roles.sure {
                return None;
            }
            args.push(arg("unit", side_value(told.index(), &side)));
            for (at, len) in message.spans(Class::Near) {
                mark(&mut used, at, at + len);
            }
        }
        _ => return None,
    }
    if first && fighters.is_empty() {
        // Ties and dice belong to the check itself.
        for at in 0..used.len() {
            if message.any(at, &["tie", "ties", "win", "lose"]) {
                used[at] = true;
            }
        }
    }
    // `close to the night bell`: what one unit alone may take, and who has it stands near.
    // `cold watch with the night bell`: the same, where nobody is named who might carry it himself.
    let beside = message.named(Sort::Option).find_map(|one| {
        let [(id, Some(owner))] = one.ids.as_slice() else { return None };
        let others = fighters.iter().all(|side| side.unit().is_some_and(|unit| unit != owner));
        let free = one.fit != super::names::Fit::Part && !used[one.at] && fighters.len() <= 1 && others;
        let near = message.spans(Class::Near).any(|(from, len)| {
            (one.at.saturating_sub(3)..one.at).contains(&(from + len - 1))
                || (one.at + one.len..one.at + one.len + 3).contains(&from)
        });
        let with = (one.at.saturating_sub(2)..one.at).find(|at| message.any(*at, &["with", "w"]));
        (free && (near || with.is_some())).then(|| (one.at, one.len, with, format!("{owner} + {id}")))
    });
    if let Some((from, words, with, id)) = beside {
        mark(&mut used, with.unwrap_or(from), from + words);
        for (at, len) in message.spans(Class::Near) {
            mark(&mut used, at, at + len);
        }
        args.push(arg("near", Value::Name(name(&id, message.word(from)))));
    }
    let helpers: Vec<_> = battle.sides.iter().filter(|side| side.helper).collect();
    if let (Some(helper), true) = (helpers.first(), fighters.is_empty()) {
        args.push(arg("near", Value::Name(unit_name(told.index(), &helper.ids[0]))));
        for (at, len) in message.spans(Class::Near) {
            mark(&mut used, at, at + len);
        }
    }
    Some(Reading::args(&CHECK, args, score, used, TRIED))
}

fn whole(number: f64) -> Option<u64> {
    crate::typing::token::whole(number.round())
}

/// A distance that the table has not read: `9 inch charge`, `charge 9`.
fn distance(told: &Told<'_>, used: &mut [bool]) -> Option<f64> {
    let message = told.message;
    for at in 0..used.len() {
        let number = match message.tokens[at].kind {
            TokenKind::Inches(inches) => u32::try_from(inches).ok().map(f64::from),
            TokenKind::Number(number) if !used[at] => Some(number),
            _ => None,
        };
        let Some(number) = number else { continue };
        let inches =
            matches!(message.tokens[at].kind, TokenKind::Inches(_)) || message.any(at + 1, &["inch", "inches", "in"]);
        // `charge 9`, `a charge of 9 for the riders`
        let verb = if at > 1 && message.any(at - 1, &["of"]) { at - 2 } else { at.saturating_sub(1) };
        let after = at > 0
            && message.is(verb, Class::CheckMove)
            && (message.is_end(at + 1) || message.is(at + 1, Class::Small));
        let before = message.is(at + 1, Class::CheckMove);
        if inches || after || before {
            mark(used, at, at + if inches && message.any(at + 1, &["inch", "inches", "in"]) { 2 } else { 1 });
            return Some(number);
        }
    }
    None
}

/// How often it is rolled: `by the end of turn 4` for what comes from the second turn on; `3 tries`.
fn tries(told: &Told<'_>, used: &mut [bool]) -> Option<u64> {
    let message = told.message;
    let at = (0..used.len())
        .find(|at| message.any(*at + 1, &["tries", "times", "attempts", "rolls"]) && message.number(*at).is_some())?;
    mark(used, at, at + 2);
    message.number(at)
}
