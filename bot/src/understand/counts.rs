//! How many it takes, and how unusual a result was: questions about an attack.
use super::amounts::Says;
use super::battle;
use super::dice;
use super::lexicon::Class;
use super::reading::{Reading, Told, mark};
use super::volleys::pair;
use crate::commands::luck::LUCK;
use crate::commands::needed::NEEDED;
use serde_json::{Value as Json, json};

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

/// How sure people want to be where they do not say.
const USUAL: f64 = 0.9;
/// Nobody fields more of a unit than this.
const FIELDED: u64 = 50;

/// How many it takes.
pub fn needed(told: &Told<'_>) -> Option<Reading> {
    let (scene, battle) = (told.scene, told.battle);
    let many = scene.spans(Class::Needed).any(|(at, len)| len == 2 && scene.any(at, &["how"]))
        || (0..scene.tokens.len()).any(|at| scene.any(at, &["how"]) && scene.any(at + 1, &["many", "much"]));
    let word = scene
        .spans(Class::Needed)
        .any(|(at, len)| !(len == 2 && scene.any(at, &["how"])) && !scene.any(at, &["minimum"]));
    let percent = told.percent();
    let purpose = many
        && (0..scene.tokens.len()).any(|at| {
            scene.any(at, &["to"])
                && (scene.is(at + 1, Class::Kill)
                    || scene.is(at + 2, Class::Kill)
                    || scene.any(at + 1, &["knock", "take"]))
        });
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
        all.iter().copied().find(|side| side.start.checked_sub(1).is_some_and(|at| scene.any(at, &["many", "much"])));
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
    let least = target.start.checked_sub(1).filter(|at| scene.any(*at, &["least", "atleast"]));
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
    let single = target.start < target.at && scene.any(target.start, &["one"]);
    if wanted.is_none() && single && !armoured {
        wanted = target.count.take();
    }
    if let Some(of) = target.start.checked_sub(1).filter(|at| scene.any(*at, &["of"]))
        && let Some(part) = of.checked_sub(1).and_then(|at| scene.number(at))
        && wanted.is_none()
    {
        wanted = Some(part);
        mark(&mut used, of - 1, of + 1);
    }
    // `minimum 3`, `at least 3`
    for at in 1..used.len() {
        if wanted.is_none() && !used[at] && scene.any(at - 1, &["minimum", "least"]) && scene.number(at).is_some() {
            wanted = scene.number(at);
            mark(&mut used, at, at + 1);
        }
    }
    // `how many bows 2 wipe 4 snipes`
    for at in 0..used.len() {
        if !used[at] && scene.number(at) == Some(2) && scene.is(at + 1, Class::Kill) {
            used[at] = true;
        }
    }
    // `knock 2 off a walker`
    for at in 0..used.len() {
        let off = scene.any(at + 1, &["off"]) || scene.any(at + 2, &["off", "from"]);
        if wanted.is_none() && !used[at] && off && scene.number(at).is_some() {
            wanted = scene.number(at);
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

/// `3 times out of 4`, `9 in 10`.
fn of_times(told: &Told<'_>) -> Option<(usize, usize, f64)> {
    let scene = told.scene;
    (0..scene.tokens.len()).find_map(|at| {
        let part = match scene.tokens[at].what {
            crate::typing::piece::What::Times(times) => times,
            _ => scene.number(at)?,
        };
        let times = usize::from(scene.any(at + 1, &["times", "time"]));
        let of = at + 1 + times;
        let (whole, end) = if scene.any(of, &["outta", "in"]) {
            (scene.number(of + 1)?, of + 2)
        } else if scene.any(of, &["out"]) && scene.any(of + 1, &["of"]) {
            (scene.number(of + 2)?, of + 3)
        } else {
            return None;
        };
        let chance = f64::from(u32::try_from(part).ok()?) / f64::from(u32::try_from(whole).ok()?);
        (part < whole && chance > 0.0).then_some((at, end - at, chance))
    })
}

/// How unusual a result was.
pub fn luck(told: &Told<'_>) -> Option<Reading> {
    let scene = told.scene;
    let strong = scene.spans(Class::Luck).any(|(at, len)| {
        len > 1 || !scene.any(at, &["fair", "normal", "typical", "common", "special", "expected", "loaded"])
    });
    let weak = scene.has(Class::Luck);
    let past = scene.has(Class::Happened);
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
        if cue <= 0.0 && !scene.any(0, &["i", "he", "they", "we", "my", "his", "a", "the"]) {
            return None;
        }
        let question = json!({"matchup": battle::matchup(index, told.battle, attacker, target), "result": result});
        return Some(Reading::asks(&LUCK, question, score, used, LUCKY));
    }
    if let Some(reading) = mended(told, cue) {
        return Some(reading);
    }
    if told.fighters() <= 1 {
        let mut rolled = used.clone();
        if let Some(mut roll) = dice::roll(told, &mut rolled)
            .filter(|roll| !roll.needs.is_empty() && roll.passes.is_some() && (past || weak))
        {
            let passes = roll.passes.take().unwrap_or_default();
            // `my six archers got five hits on 5s`: so many rolled as shoot.
            if roll.tries.is_none() {
                roll.tries = told.battle.fighters().next().and_then(|side| side.count).or(roll.count.take());
            }
            let score = 1.6 + cue + 1.2;
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

/// What happened to the target.
fn result(told: &Told<'_>, target: &super::sides::Side, used: &mut [bool]) -> Option<Json> {
    let scene = told.scene;
    let armoured = target.unit().and_then(|id| told.index().unit(id)).is_some_and(|unit| unit.armoured);
    let key = if armoured { "structure" } else { "models" };
    let backfire = (0..scene.tokens.len()).find(|at| {
        scene.any(*at, &["backfire", "backfires", "backfired", "hung", "misfired"])
            || scene.any(*at, &["went"]) && scene.any(*at + 1, &["off"])
    });
    if let Some(at) = backfire {
        let number =
            (0..used.len()).find_map(|at| (!used[at]).then(|| scene.number(at)).flatten().map(|number| (at, number)));
        let both = (0..used.len()).find(|at| scene.any(*at, &["both"]));
        let (place, number) = number.or(both.map(|at| (at, 2))).unwrap_or((at, 1));
        mark(used, place, place + 1);
        mark(used, at, at + 2);
        return Some(json!({"backfires": number}));
    }
    let not_one =
        (0..used.len()).find(|at| scene.any(*at, &["not"]) && scene.any(*at + 1, &["one", "a", "once", "single"]));
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
            && scene.any(
                at - 1,
                &[
                    "off", "out", "down", "only", "just", "all", "caused", "did", "scored", "removed", "dropped",
                    "took", "killed", "got",
                ],
            );
        let off = (1..=3).any(|more| scene.any(at + more, &["off", "out"]));
        if let Some(number) = scene.number(at).filter(|_| before || off) {
            mark(used, at, at + 1);
            return Some(json!({ key: number }));
        }
    }
    let all = (0..used.len()).find(|at| {
        scene.any(*at, &["all", "lot"])
            || scene.any(*at, &["wiped", "wiping"])
            || scene.any(*at, &["whole"]) && scene.any(*at + 1, &["unit", "lot"])
    });
    if let Some(at) = all
        && let Some(count) = target.count.filter(|_| !armoured)
    {
        mark(used, at, at + 1);
        return Some(json!({ key: count }));
    }
    let none = (0..used.len()).find(|at| {
        scene.any(*at, &["nothing", "none", "nobody"])
            || scene.any(*at, &["no"]) && scene.any(*at + 1, &["damage", "kills", "hits"])
    });
    if let Some(at) = none.or_else(|| (0..used.len()).find(|at| scene.any(*at, &["missed"]))) {
        mark(used, at, at + 1);
        return Some(json!({ key: 0 }));
    }
    None
}

/// `his bittern was 2 down and fixed both in two turns`.
fn mended(told: &Told<'_>, cue: f64) -> Option<Reading> {
    let scene = told.scene;
    let verb = scene
        .spans(Class::Repair)
        .map(|(at, _)| at)
        .find(|at| scene.word(*at).ends_with("ed") || scene.any(*at, &["mended", "got", "back"]))?;
    let side = told.battle.fighters().next()?;
    let lost = told.battle.amounts.iter().find(|amount| amount.says == Says::Lost)?;
    let mut used = told.battle.used.clone();
    mark(&mut used, lost.from, lost.to);
    let (at, turns) = told.turns()?;
    mark(&mut used, at, at + 2);
    let restored = (verb + 1..(verb + 4).min(scene.tokens.len())).find_map(|at| {
        if scene.any(at, &["both"]) {
            Some((at, 2))
        } else if scene.any(at, &["all"]) {
            Some((at, lost.value))
        } else {
            scene.number(at).filter(|_| !used[at] && !scene.is(at + 1, Class::Turn)).map(|number| (at, number))
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
