//! How unusual a result was: of an attack, of rolls, of a repair.
use super::amounts::Says;
use super::battle;
use super::dice;
use super::lexicon::Class;
use super::reading::{Reading, Told, mark};
use super::volleys::pair;
use crate::commands::luck::LUCK;
use serde_json::{Value as Json, json};

const LUCKY: &[Class] = &[
    Class::Luck,
    Class::Happened,
    Class::Attack,
    Class::Kill,
    Class::Suffer,
    Class::Lost,
    Class::Wh,
    Class::YesNo,
    Class::Odds,
    Class::Check,
    Class::Repair,
    Class::Neg,
];

/// How unusual a result was.
pub fn luck(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let strong = message.spans(Class::Luck).any(|(at, len)| {
        len > 1 || !message.any(at, &["fair", "normal", "typical", "common", "special", "expected", "loaded"])
    });
    let weak = message.has(Class::Luck);
    let past = message.has(Class::Happened);
    if !weak && !past {
        return None;
    }
    let cue = if strong {
        2.6
    } else if weak {
        1.8
    } else {
        0.0
    };
    let mut used = told.battle.used.clone();
    if told.fighters() >= 2
        && let Some((attacker, target)) = pair(told)
    {
        let index = told.index();
        let result = result(told, target, &mut used);
        let score = 1.4
            + cue
            + if result.is_some() && past { 1.4 } else { 0.0 }
            + if result.is_some() && strong { 0.8 } else { 0.0 };
        let Some(result) = result.filter(|_| past || weak) else {
            return (strong && past).then(|| {
                Reading::lacks(&LUCK, Some("lost"), "What happened? Say it like lost 4.", score, used, LUCKY)
            });
        };
        if cue <= 0.0
            && !(message.any(0, &["i", "he", "they", "we", "my", "his", "a", "the"]) || message.number(0).is_some())
        {
            return None;
        }
        let question = json!({"matchup": battle::matchup(index, told.battle, attacker, target), "result": result});
        return Some(Reading::asks(&LUCK, question, score, used, LUCKY));
    }
    if let Some(reading) = mended(told, cue).or_else(|| of_check(told, cue)) {
        return Some(reading);
    }
    let no_hits = none_passed(message);
    if told.fighters() <= 1 && (cue > 0.0 || !message.has(Class::Odds) || past && !told.asks()) {
        let mut rolled = used.clone();
        if let Some(mut roll) = dice::roll(told, &mut rolled)
            .map(|mut roll| {
                if let Some((from, to)) = no_hits.filter(|_| roll.passes.is_none()) {
                    mark(&mut rolled, from, to);
                    roll.passes = Some(0);
                    // `none of 3`
                    if message.any(to, &["of"])
                        && let Some(tries) = message.number(to + 1)
                    {
                        mark(&mut rolled, to, to + 2);
                        roll.tries = roll.tries.or(Some(tries));
                    }
                }
                // `three 6s in a row`: as many were rolled.
                let row = (0..rolled.len()).find(|at| in_a_row(message, *at));
                if let Some(at) = row.filter(|_| roll.passes.is_some_and(|passes| passes > 1)) {
                    mark(&mut rolled, at, at + 3);
                    roll.tries = roll.tries.or(roll.passes);
                }
                roll
            })
            .filter(|roll| !roll.needs.is_empty() && roll.passes.is_some() && (past || weak))
        {
            let passes = roll.passes.take().unwrap_or_default();
            // `my six archers got five hits on 5s`: so many rolled as shoot.
            if roll.tries.is_none() {
                roll.tries = told.battle.fighters().next().and_then(|side| side.count).or(roll.count.take());
            }
            let die = told.index().die();
            // `eleven d10, one passed`: each of them is a roll.
            if roll.tries.is_none() && !roll.sums() {
                roll.part_dice();
            }
            // `10+ on two dice three times out of four`: a total that one die can't show.
            if !roll.fits(die)
                && let Some(count) = roll.count.take_if(|count| *count > 1)
            {
                roll.dice = Some(format!("{count}d{die}"));
            }
            let score = 1.6 + cue + 1.2;
            if !roll.fits(die) {
                let question = "Which dice are rolled? Say them like 2d6.";
                return Some(Reading::lacks(&LUCK, None, question, score, rolled, LUCKY));
            }
            if roll.tries.is_none_or(|tries| tries < passes) {
                return Some(Reading::lacks(
                    &LUCK,
                    None,
                    "Out of how many dice? Say it like 3 of 5.",
                    score,
                    rolled,
                    LUCKY,
                ));
            }
            let question = json!({"check": roll.json(told.index()), "result": {"passes": passes}});
            return Some(Reading::asks(&LUCK, question, score, rolled, LUCKY));
        }
    }
    strong.then(|| {
        let question =
            "Luck at what? Say what was rolled and what came, or which unit attacked which and what was lost.";
        used.iter_mut().for_each(|used| *used |= false);
        Reading::lacks(&LUCK, None, question, cue.min(2.0), used, LUCKY)
    })
}

/// `no hits at all`, `hit none`, `not once`: where it is said that none passed.
fn none_passed(message: &super::message::ParsedMessage<'_>) -> Option<(usize, usize)> {
    const CAME: &[&str] = &["hits", "hit", "passes", "successes", "saves", "sixes"];
    (0..message.tokens.len()).find_map(|at| {
        let end = if message.any(at, &["no", "zero"]) && message.any(at + 1, CAME) {
            at + 2 + 2 * usize::from(message.any(at + 2, &["at"]) && message.any(at + 3, &["all"]))
        } else if message.any(at, &["not"]) && message.any(at + 1, &["once", "one", "a"])
            || message.any(at, &["hit", "passed", "made", "rolled", "got"])
                && message.any(at + 1, &["none", "nothing", "nobody"])
        {
            at + 2
        } else if message.any(at, &["none", "nothing"])
            && (message.is_end(at + 1) || message.any(at + 1, &["of"]) && message.number(at + 2).is_some())
        {
            at + 1
        } else {
            return None;
        };
        Some((at, end))
    })
}

/// `in a row`, `on the trot`, `one after another`.
fn in_a_row(message: &super::message::ParsedMessage<'_>, at: usize) -> bool {
    message.any(at, &["in"]) && message.any(at + 1, &["a"]) && message.any(at + 2, &["row"])
        || message.any(at, &["on"]) && message.any(at + 1, &["the"]) && message.any(at + 2, &["trot", "bounce"])
}

/// `failed 3 of 4 ice tests`: a check that the pack names.
fn of_check(told: &Told<'_>, cue: f64) -> Option<Reading> {
    use super::reading::{arg, name, side_value};
    use crate::typing::Value;
    let message = told.message;
    let (at, len, id, _) = super::trial::which(told)?;
    let check = told.index().checks.iter().find(|check| check.id == id)?;
    let mut used = told.battle.used.clone();
    mark(&mut used, at, at + len);
    let mut roll = dice::roll(told, &mut used)?;
    // `passed five tests`: all of them.
    if roll.passes.is_none() && (0..message.tokens.len()).any(|at| message.any(at, &["passed", "made"])) {
        roll.passes = roll.tries;
    }
    // `and not once did it come up`
    let never = (0..message.tokens.len()).find(|at| {
        message.any(*at, &["not"]) && message.any(*at + 1, &["once", "one", "a"])
            || message.any(*at, &["never", "none", "nothing", "neither"])
    });
    if let Some(at) = never {
        mark(&mut used, at, at + 2);
        roll.passes = Some(0);
    }
    if let Some(at) = (0..used.len()).find(|at| in_a_row(message, *at)) {
        mark(&mut used, at, at + 3);
    }
    let (mut passes, tries) = (roll.passes?, roll.tries.or(roll.count).unwrap_or(1));
    // `lost 7 of 8 rolls`: those were failed.
    if (0..used.len()).any(|at| message.any(at, &["lost", "blew", "fluffed"]) && message.number(at + 1).is_some()) {
        passes = tries.checked_sub(passes)?;
    }
    // What is told and not asked is told for its luck; and so is what came, with `what are the odds` behind it.
    const CHANCES: &[&str] = &["odds", "chance", "chances", "likely", "likelihood", "probability"];
    let rare = |at: usize| message.any(at, CHANCES) && (0..at).any(|at| message.is(at, Class::Happened));
    let told_only = message.has(Class::Happened) && (!told.asks() || (0..used.len()).any(rare));
    for at in 0..used.len() {
        used[at] |= message.any(at, CHANCES);
    }
    if passes > tries || cue <= 0.0 && !told_only {
        return None;
    }
    let mut args = vec![
        arg("check", Value::Name(name(&check.id, &check.name))),
        arg("tries", Value::Number(tries)),
        arg("passed", Value::Number(passes)),
    ];
    // `passed 5 of 5 pluck tests on 4 or less`: what it needed is said, so that no unit need be.
    if let Some(needs) = roll.needs.first() {
        args.push(arg("needs", Value::Needs(needs.clone())));
    }
    let fighters: Vec<_> = told.battle.fighters().collect();
    match fighters.as_slice() {
        [] => {}
        [side] => args.push(arg("unit", side_value(told.index(), side))),
        _ => return None,
    }
    let mut reading = Reading::args(&LUCK, args, 2.8 + cue + if told_only { 0.6 } else { 0.0 }, used, LUCKY);
    if let super::reading::Act::Args(read) = &mut reading.act {
        read.about = Some(&crate::commands::check::CHECK);
    }
    Some(reading)
}

/// What happened to the target.
fn result(told: &Told<'_>, target: &super::sides::Side, used: &mut [bool]) -> Option<Json> {
    let message = told.message;
    let armoured = target.unit().and_then(|id| told.index().unit(id)).is_some_and(|unit| unit.armoured);
    let key = if armoured { "structure" } else { "models" };
    let backfire = (0..message.tokens.len()).find(|at| {
        message.any(*at, &["backfire", "backfires", "backfired", "hung", "misfired"])
            || message.any(*at, &["went"]) && message.any(*at + 1, &["off"])
    });
    if let Some(at) = backfire {
        let number =
            (0..used.len()).find_map(|at| (!used[at]).then(|| message.number(at)).flatten().map(|number| (at, number)));
        let both = (0..used.len()).find(|at| message.any(*at, &["both"]));
        let (place, number) = number.or(both.map(|at| (at, 2))).unwrap_or((at, 1));
        mark(used, place, place + 1);
        mark(used, at, at + 2);
        return Some(json!({"backfires": number}));
    }
    let not_one =
        (0..used.len()).find(|at| message.any(*at, &["not"]) && message.any(*at + 1, &["one", "a", "once", "single"]));
    if let Some(at) = not_one {
        mark(used, at, at + 3);
        return Some(json!({ key: 0 }));
    }
    if let Some(amount) = told.battle.amounts.iter().find(|amount| amount.says == Says::Lost) {
        mark(used, amount.from, amount.to);
        return Some(json!({ key: amount.value }));
    }
    // `took off eight of them`, `took 3 spars off my whaleback`, `killed the lot`
    for at in 0..used.len() {
        if used[at] {
            continue;
        }
        let before = at > 0
            && message.any(
                at - 1,
                &[
                    "off", "out", "down", "only", "just", "all", "caused", "did", "scored", "removed", "dropped",
                    "took", "killed", "got", "away", "lost", "to",
                ],
            );
        let off = (1..=3).any(|more| message.any(at + more, &["off", "out"]));
        if let Some(number) = message.number(at).filter(|_| before || off) {
            mark(used, at, at + 1);
            return Some(json!({ key: number }));
        }
    }
    let all = (0..used.len()).find(|at| {
        message.any(*at, &["all", "lot"])
            || message.any(*at, &["wiped", "wiping"])
            || message.any(*at, &["whole"]) && message.any(*at + 1, &["unit", "lot"])
            || message.any(*at, &["every"]) && message.any(*at + 1, &["one", "single", "last", "man"])
    });
    if let Some(at) = all
        && let Some(count) = target.count.filter(|_| !armoured)
    {
        mark(used, at, at + 1);
        return Some(json!({ key: count }));
    }
    // `it just wrecked a barge`, `killed my barge with one shot`
    let gone = (0..used.len()).find(|at| {
        message.any(*at, &["wrecked", "sank", "sunk", "destroyed", "exploded", "killed", "died", "popped", "scrapped"])
            && !(0..*at).any(|before| message.is(before, Class::Neg))
    });
    if armoured && gone.is_some() {
        return Some(json!({"wrecked": target.count.unwrap_or(1)}));
    }
    let none = (0..used.len()).find(|at| {
        message.any(*at, &["nothing", "none", "nobody"])
            || message.any(*at, &["no"]) && message.any(*at + 1, &["damage", "kills", "hits"])
    });
    if let Some(at) = none.or_else(|| (0..used.len()).find(|at| message.any(*at, &["missed"]))) {
        mark(used, at, at + 1);
        return Some(json!({ key: 0 }));
    }
    None
}

/// `his bittern was 2 down and fixed both in two turns`.
fn mended(told: &Told<'_>, cue: f64) -> Option<Reading> {
    let message = told.message;
    let verb = message
        .spans(Class::Repair)
        .map(|(at, _)| at)
        .find(|at| message.word(*at).ends_with("ed") || message.any(*at, &["mended", "got", "back"]))?;
    let side = told.battle.fighters().next()?;
    let lost = told.battle.amounts.iter().find(|amount| amount.says == Says::Lost)?;
    let mut used = told.battle.used.clone();
    mark(&mut used, lost.from, lost.to);
    let (at, turns) = told.turns()?;
    mark(&mut used, at, at + 2);
    let restored = (verb + 1..(verb + 4).min(message.tokens.len())).find_map(|at| {
        if message.any(at, &["both"]) {
            Some((at, 2))
        } else if message.any(at, &["all"]) {
            Some((at, lost.value))
        } else {
            message.number(at).filter(|_| !used[at] && !message.is(at + 1, Class::Turn)).map(|number| (at, number))
        }
    });
    let (place, restored) = restored?;
    mark(&mut used, place, place + 1);
    use super::reading::{arg, side_value};
    use crate::typing::Value;
    let args = vec![
        arg("unit", side_value(told.index(), side)),
        arg("missing", Value::Number(lost.value)),
        arg("turns", Value::Number(turns)),
        arg("mended", Value::Number(restored)),
    ];
    let mut reading = Reading::args(&LUCK, args, 2.6 + cue, used, LUCKY);
    if let super::reading::Act::Args(read) = &mut reading.act {
        read.about = Some(&crate::commands::repair::REPAIR);
    }
    Some(reading)
}
