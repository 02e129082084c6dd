//! How many it takes.
use super::amounts::Says;
use super::battle;
use super::dice;
use super::lexicon::Class;
use super::reading::{Reading, Told, mark};
use super::volleys::pair;
use crate::commands::needed::NEEDED;
use serde_json::json;

const NEED: &[Class] = &[
    Class::Needed,
    Class::Attack,
    Class::Kill,
    Class::Suffer,
    Class::Wh,
    Class::YesNo,
    Class::Check,
    Class::Odds,
    Class::Repair,
    Class::Points,
];
/// How sure people want to be where they do not say.
const USUAL: f64 = 0.9;
/// Nobody fields more of a unit than this.
const FIELDED: u64 = 50;

/// How many it takes.
pub fn needed(told: &Told<'_>) -> Option<Reading> {
    let (message, battle) = (told.message, told.battle);
    if told.fighters() >= 2 && message.spans(Class::Turn).any(|(at, _)| super::volleys::asks_turns(message, at)) {
        return None;
    }
    let fewest = message
        .spans(Class::Needed)
        .any(|(at, len)| message.any(at, &["fewest"]) || len == 2 && message.any(at, &["smallest", "least", "lowest"]));
    let many = fewest
        || message.spans(Class::Needed).any(|(at, len)| len == 2 && message.any(at, &["how"]))
        || (0..message.tokens.len()).any(|at| message.any(at, &["how"]) && message.any(at + 1, &["many", "much"]));
    let word = message
        .spans(Class::Needed)
        .any(|(at, len)| !(len == 2 && message.any(at, &["how"])) && !message.any(at, &["minimum"]));
    let percent = told.percent().or_else(|| of_times(told).filter(|_| many));
    // `how many bodies ought we to take away` asks for the result.
    let outcome = (0..message.tokens.len()).any(|at| {
        message.any(at, &["many", "much"])
            && (super::amounts::is_structure(message, at + 1)
                || message.any(
                    at + 1,
                    &["bodies", "models", "men", "casualties", "losses", "of", "figures", "will", "die", "damage"],
                ))
    });
    let purpose = many
        && !outcome
        && (0..message.tokens.len()).any(|at| {
            // `how many am I to expect to remove` asks what comes of it.
            message.any(at, &["to"])
                && !message
                    .any(at.wrapping_sub(1), &["expect", "expected", "am", "are", "likely", "going", "about", "is"])
                && (message.is(at + 1, Class::Kill)
                    || message.is(at + 2, Class::Kill)
                    || message.any(at + 1, &["knock", "take"]))
        });
    if let Some(reading) = of_check(told, many || word) {
        return Some(reading);
    }
    if !(many && (word || percent.is_some() || purpose)) && !(word && percent.is_some()) {
        return None;
    }
    let score = 1.0
        + f64::from(u8::from(many))
        + 1.6 * f64::from(u8::from(word))
        + 1.6 * f64::from(u8::from(percent.is_some()))
        + 1.4 * f64::from(u8::from(purpose));
    let mut used = battle.used.clone();
    let mut notes = Vec::new();
    let chance = match percent {
        Some((at, len, chance)) => {
            mark(&mut used, at, at + len);
            chance
        }
        None => match of_times(told) {
            Some((at, len, chance)) => {
                mark(&mut used, at, at + len);
                chance
            }
            None => {
                notes.push("90% sure".to_owned());
                USUAL
            }
        },
    };
    if told.fighters() == 0 {
        let mut roll = dice::roll(told, &mut used).unwrap_or_default();
        if roll.needs.is_empty() {
            let question = "How many of what, against what? Say who attacks which unit, or what a roll needs.";
            return Some(Reading::lacks(&NEEDED, Some("about"), question, score, used, NEED));
        }
        let passes = roll.count.take().or(roll.passes.take()).unwrap_or(1);
        roll.tries = None;
        let question = json!({"check": roll.json(told.index()), "want": {"passes": passes, "chance": chance}});
        let mut reading = Reading::asks(&NEEDED, question, score, used, NEED);
        reading.notes = notes;
        return Some(reading);
    }
    let all: Vec<&super::sides::Side> = battle.fighters().collect();
    // `how many rifles …`: those are who attacks.
    let counted =
        all.iter().copied().find(|side| side.start.checked_sub(1).is_some_and(|at| message.any(at, &["many", "much"])));
    let forced = match (counted, all.as_slice()) {
        (Some(one), [a, b]) => Some((one, if a.at == one.at { *b } else { *a })),
        _ => pair(told),
    };
    let Some((attacker, target)) = forced else {
        let question = match told.fighters() {
            1 if battle.roles.targets.is_empty() => "How many against what? Say which unit is the target.",
            1 => "How many of what? Say which unit attacks.",
            _ => "Which unit attacks which?",
        };
        let option = if battle.roles.targets.is_empty() { "target" } else { "attacker" };
        return Some(Reading::lacks(&NEEDED, Some(option), question, score, used, NEED));
    };
    let index = told.index();
    let armoured = target.unit().and_then(|id| index.unit(id)).is_some_and(|unit| unit.armoured);
    let mut target = target.clone();
    let mut wanted = None;
    // `at least two skate runners go down`
    let least = target.start.checked_sub(1).filter(|at| message.any(*at, &["least", "atleast"]));
    if let Some(at) = least {
        wanted = target.count.take();
        mark(&mut used, at.saturating_sub(1), at + 1);
    }
    for amount in &battle.amounts {
        if amount.says == Says::Lost || amount.killed {
            wanted = wanted.or(Some(amount.value));
            mark(&mut used, amount.from, amount.to);
        }
    }
    // `to put one dog down`, `removing at least two of three wardens`
    let single = target.start < target.at && message.any(target.start, &["one"]);
    if wanted.is_none() && single && !armoured {
        wanted = target.count.take();
    }
    if let Some(of) = target.start.checked_sub(1).filter(|at| message.any(*at, &["of"]))
        && let Some(part) = of.checked_sub(1).and_then(|at| message.number(at))
        && wanted.is_none()
    {
        wanted = Some(part);
        mark(&mut used, of - 1, of + 1);
    }
    // `minimum 3`, `at least 3`
    for at in 1..used.len() {
        if wanted.is_none() && !used[at] && message.any(at - 1, &["minimum", "least"]) && message.number(at).is_some() {
            wanted = message.number(at);
            mark(&mut used, at, at + 1);
        }
    }
    // `how many bows 2 wipe 4 snipes`
    for at in 0..used.len() {
        if !used[at] && message.number(at) == Some(2) && message.is(at + 1, Class::Kill) {
            used[at] = true;
        }
    }
    // `knock 2 off a walker`
    for at in 0..used.len() {
        let off = message.any(at + 1, &["off"]) || message.any(at + 2, &["off", "from"]);
        if wanted.is_none() && !used[at] && off && message.number(at).is_some() {
            wanted = message.number(at);
            mark(&mut used, at, at + 1);
        }
    }
    let want = match wanted {
        Some(points) if armoured => json!({"structure": points, "chance": chance}),
        Some(models) => json!({"models": models, "chance": chance}),
        None => json!({"destroyed": chance}),
    };
    let mut attacker = attacker.clone();
    attacker.count = None;
    let matchup = battle::matchup(index, battle, &attacker, &target);
    let mut reading =
        Reading::asks(&NEEDED, json!({"matchup": matchup, "want": want, "most": FIELDED}), score, used, NEED);
    reading.notes = notes;
    Some(reading)
}

/// `how many tries to pass a cold watch with 95%`, `bog steps for two peat cutters to get across, 90%`: a check of the pack.
fn of_check(told: &Told<'_>, asked: bool) -> Option<Reading> {
    let message = told.message;
    let (at, len, id, mention) = super::trial::which(told)?;
    mention?;
    let check = told.index().checks.iter().find(|check| check.id == id)?;
    let fighters: Vec<&super::sides::Side> = told.battle.fighters().collect();
    let passing = (0..message.tokens.len())
        .any(|at| message.any(at, &["pass", "passes", "passed", "across", "succeed", "tries", "times"]));
    if fighters.len() > 1 || !passing || message.has(Class::Vs) || message.has(Class::Kill) {
        return None;
    }
    let mut used = told.battle.used.clone();
    mark(&mut used, at, at + len);
    let chance = told.percent().or_else(|| of_times(told)).map(|(at, len, chance)| {
        mark(&mut used, at, at + len);
        chance
    });
    let wanted = (0..used.len()).find_map(|at| {
        let number = message.number(at).filter(|_| !used[at])?;
        let pass = message.any(at + 1, &["to", "times", "pass", "passes", "of", "successes"]);
        let end = (at + 1..used.len()).find(|at| message.is_end(*at)).unwrap_or(used.len());
        pass.then_some((at, if message.any(at + 1, &["times"]) { at + 2 } else { end }, number))
    });
    let twice = (0..used.len()).find_map(|at| match message.tokens[at].kind {
        crate::typing::token::TokenKind::Times(times) if !used[at] => Some((at, at + 1, times)),
        _ => None,
    });
    let passes = wanted.or(twice).map(|(from, to, number)| {
        mark(&mut used, from, to);
        number
    });
    if !asked && chance.is_none() && passes.is_none() {
        return None;
    }
    use super::reading::{arg, name, side_value};
    use crate::typing::Value;
    let mut args = vec![arg("check", Value::Name(name(&check.id, &check.name)))];
    args.extend(passes.map(|passes| arg("want", Value::Number(passes))));
    args.extend(chance.map(|chance| arg("chance", Value::Chance(chance))));
    // So many of them are to pass: how many there are is what is asked.
    let mut side = fighters.first().map(|side| (*side).clone());
    if let Some(side) = &mut side {
        let count = side.count.take();
        if passes.is_none() {
            args.extend(count.map(|count| arg("want", Value::Number(count))));
        }
        args.push(arg("unit", side_value(told.index(), side)));
    }
    for at in 0..used.len() {
        used[at] |= message.any(at, &["pass", "passes", "across", "get", "gets", "succeed", "tries", "times"]);
    }
    // Without a word that asks how many, a roll by itself is likelier.
    let score = if asked { 4.2 } else { 0.6 };
    let mut reading = Reading::args(&NEEDED, args, score, used, NEED);
    if let super::reading::Act::Args(read) = &mut reading.act {
        read.about = Some(&crate::commands::check::CHECK);
    }
    Some(reading)
}

/// `3 times out of 4`, `9 in 10`.
pub fn of_times(told: &Told<'_>) -> Option<(usize, usize, f64)> {
    let message = told.message;
    (0..message.tokens.len()).find_map(|at| {
        let part = match message.tokens[at].kind {
            crate::typing::token::TokenKind::Times(times) => times,
            _ => message.number(at)?,
        };
        let times = usize::from(message.any(at + 1, &["times", "time"]));
        let of = at + 1 + times;
        let (whole, end) = if message.any(of, &["outta", "in"]) {
            (message.number(of + 1)?, of + 2)
        } else if message.any(of, &["out"]) && message.any(of + 1, &["of"]) {
            (message.number(of + 2)?, of + 3)
        } else {
            return None;
        };
        let chance = f64::from(u32::try_from(part).ok()?) / f64::from(u32::try_from(whole).ok()?);
        (part < whole && chance > 0.0).then_some((at, end - at, chance))
    })
}
