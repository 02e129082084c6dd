//! An attack in plain numbers: `20 shots, 3s 4s 5s`.
use super::dice::{Roll, rerolls};
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::reading::{Reading, Told, mark};
use crate::commands::odds::ODDS;
use crate::draft::{Draft, set};
use crate::typing::token::TokenKind;
use serde_json::{Value as Json, json};

const ROLLED: &[Class] = &[
    Class::Odds,
    Class::Attack,
    Class::Wh,
    Class::YesNo,
    Class::Needed,
    Class::Through,
    Class::Check,
    Class::Suffer,
    Class::Happened,
    Class::Kill,
];

/// An attack in plain numbers.
pub fn odds(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    // `8 attack`, `12 shot`: so many of them are plain numbers as well.
    let counted = (1..message.tokens.len())
        .any(|at| message.any(at, &["attack", "shot", "attacks", "shots"]) && message.number(at - 1).is_some());
    if told.fighters() > 0 || !(message.has(Class::Odds) || counted) {
        return None;
    }
    let mut used = told.battle.used.clone();
    let places: Vec<usize> = (0..used.len()).filter(|at| !used[*at]).collect();
    let attacks = places.iter().copied().find_map(|at| {
        let dice = match &message.tokens[at].kind {
            TokenKind::Number(_) => json!(message.number(at)?),
            TokenKind::Dice(dice) => json!(dice),
            TokenKind::Times(times) => json!(times),
            _ => return None,
        };
        let sided = usize::from(message.any(at + 2, &["sided"])) * 2;
        let named = (at + 1..at + 4 + sided).find(|at| {
            message.any(*at, &["shots", "shot", "attacks", "attack", "dice", "swings", "blows", "hits", "rolls"])
        })?;
        Some((at, named + 1, dice))
    });
    let needs = needs(message, &used);
    let named = needs.iter().filter(|need| need.name.is_some()).count();
    if needs.is_empty() {
        return None;
    }
    let score = 1.0
        + 1.2 * f64::from(u8::from(attacks.is_some()))
        + f64::from(u8::from(named > 0))
        + 0.8 * f64::from(u8::from(needs.len() > 1));
    let Some((from, to, attacks)) = attacks else {
        return (named > 1 || needs.len() > 1).then(|| {
            Reading::lacks(
                &ODDS,
                Some("attacks"),
                "How many attacks are there? Say it like 20 shots.",
                score,
                used,
                ROLLED,
            )
        });
    };
    mark(&mut used, from, to);
    let attackers = attackers(message, from, to, &mut used);
    let mut sided = (0..used.len())
        .find(|at| message.any(*at, &["sided", "sider", "siders"]))
        .and_then(|at| message.number(at.checked_sub(1)?));
    // `all of it on ten-sided dice`, `ten-sided also`
    for at in (1..used.len()).filter(|at| message.any(*at, &["sided", "sider", "siders"])).collect::<Vec<_>>() {
        mark(&mut used, at - 1, at + 1);
        for before in at.saturating_sub(5)..at {
            used[before] |= message.any(before, &["all", "each", "every", "it", "of", "on"]);
        }
    }
    // `all d10`: one die is what each roll is made with; several are a total.
    let mut total = None;
    for at in 0..used.len() {
        let TokenKind::Dice(dice) = &message.tokens[at].kind else { continue };
        if used[at] {
            continue;
        }
        match dice.strip_prefix('1').unwrap_or(dice).strip_prefix('d').and_then(|faces| faces.parse::<u64>().ok()) {
            Some(faces) if sided.is_none() => sided = Some(faces),
            Some(_) => continue,
            None if total.is_none() => total = Some(dice.clone()),
            None => continue,
        }
        used[at] = true;
        if at > 0 && message.any(at - 1, &["all", "each", "every"]) {
            used[at - 1] = true;
        }
    }
    // `each on 2 dice`
    let usual_die = told.index().die();
    for at in 0..used.len() {
        let several =
            message.number(at).filter(|count| (2..=5).contains(count) && !used[at] && message.any(at + 1, &["dice"]));
        let led = at > 0 && message.any(at - 1, &["on", "with", "rolls", "rolling", "throws", "throwing"]);
        if let Some(count) = several.filter(|_| led && total.is_none()) {
            total = Some(format!("{count}d{usual_die}"));
            mark(&mut used, at - 1, at + 2);
            for before in at.saturating_sub(3)..at {
                used[before] |= message.any(before, &["each", "every", "all"]);
            }
        }
    }
    let usual = told.index().die();
    let die = sided.unwrap_or_else(|| u64::from(usual));
    const ORDER: [&str; 3] = ["hit", "wound", "save"];
    let mut steps: Vec<Json> = Vec::new();
    let mut next = 0;
    for need in &needs {
        let name = need.name.or_else(|| ORDER.get(next).copied())?;
        next = ORDER.iter().position(|known| *known == name).map_or(next, |at| at + 1);
        let mut step = json!({"name": name, "needs": need.needs});
        match &total {
            // A total is what the first roll is made with.
            Some(dice) if steps.is_empty() => set(&mut step, "/dice", json!(dice)),
            _ if die != 6 => set(&mut step, "/die", json!(die)),
            _ => {}
        }
        if name == "save" {
            set(&mut step, "/by", json!("defender"));
        }
        if steps.iter().any(|known| known.name() == step.name()) {
            return None;
        }
        steps.push(step);
        mark(&mut used, need.from, need.to);
    }
    // `and then there is some save that I can't find`: a save that nobody knows is asked for.
    let unknown = (1..used.len()).any(|at| {
        message.any(at, &["save", "saves", "armour", "armor"])
            && !used[at]
            && (at.saturating_sub(2)..at).any(|at| message.any(at, &["some", "a", "his", "their", "the", "any"]))
    });
    if unknown && !steps.iter().any(|step| step.name() == Some("save")) {
        let question = "What is the save? Say it like save 5+, or no save.";
        return Some(Reading::lacks(&ODDS, Some("save"), question, score, used, ROLLED));
    }
    steps.sort_by_key(|step| ORDER.iter().position(|name| step.name() == Some(*name)));
    let mut beside = Roll::default();
    rerolls(message, &mut used, &mut beside);
    if let Some(reroll) = beside.reroll {
        let which = (0..used.len())
            .find(|at| message.word(*at).starts_with("reroll"))
            .map_or(0, |at| needs.iter().filter(|need| need.to <= at).count().saturating_sub(1));
        let which = if which + 1 == steps.len() { 0 } else { which };
        set(&mut steps[which], "/reroll", json!(reroll));
    }
    // `6s 2 wound`
    for at in 1..used.len() {
        let need = matches!(message.tokens[at - 1].kind, TokenKind::Needs(_) | TokenKind::Faces(_));
        used[at] |= need && message.number(at) == Some(2) && message.any(at + 1, &["hit", "wound", "save", "hurt"])
            || sided.is_some() && message.any(at, &["dice", "die"]);
    }
    for at in 0..used.len() {
        if message.any(at, NONE) && message.any(at + 1, &["save", "saves", "armour", "armor"]) {
            let whatever = usize::from(message.any(at + 2, &["whatever", "whatsoever"]));
            mark(&mut used, at, at + 2 + whatever);
        }
    }
    // `+1 to hit`, `with plus one on each`: of the step that is named last before it, or else right behind.
    for at in 0..used.len() {
        let said = match &message.tokens[at].kind {
            TokenKind::Signed(modifier) if !used[at] => Some((*modifier, at, at + 1)),
            TokenKind::Number(_) if at > 0 && !used[at] && message.any(at - 1, &["plus", "minus"]) => message
                .number(at)
                .and_then(|number| i64::try_from(number).ok())
                .map(|number| (if message.any(at - 1, &["minus"]) { -number } else { number }, at - 1, at + 1)),
            _ => None,
        };
        let Some((modifier, from, to)) = said else { continue };
        let led = needs.iter().rposition(|need| need.to <= from);
        let named = (to..to + 2).find_map(|at| match message.word(at) {
            "hit" | "hitting" => Some("hit"),
            "wound" | "wounding" => Some("wound"),
            "save" | "saves" => Some("save"),
            _ => None,
        });
        let place = match named {
            Some(name) => steps.iter().position(|step| step.name() == Some(name)),
            None => led.filter(|at| *at < steps.len() && steps.len() == needs.len()),
        };
        let Some(place) = place.filter(|place| steps[*place].modifier().is_none()) else { continue };
        set(&mut steps[place], "/modifier", json!(modifier));
        mark(&mut used, from, to + usize::from(named.is_some()));
        for word in to..used.len().min(to + 3) {
            used[word] |= message.any(word, &["on", "each", "to", "it", "the", "roll", "rolls"]);
        }
    }
    // `all 4s` may mean each of several steps.
    if let [only] = needs.as_slice()
        && only.name.is_none()
        && (only.from.saturating_sub(2)..=only.from).any(|at| {
            let said = message.text.get(message.tokens[at].span.clone()).unwrap_or_default();
            ["all", "everything", "every"].iter().any(|word| said.to_lowercase().starts_with(word))
        })
    {
        let question = format!("What needs {}? Say it like hit {0}, wound {0}.", only.needs);
        return Some(Reading::lacks(&ODDS, None, question, score + 1.5, used, ROLLED));
    }
    let mut question = json!({"attacks": attacks, "steps": steps});
    if let Some(attackers) = attackers {
        set(&mut question, "/attackers", json!(attackers));
    }
    if let Some(damage) = damage(message, &mut used) {
        set(&mut question, "/damage", damage);
    }
    if let Some((models, health)) = target(message, &mut used) {
        if let Some(models) = models {
            set(&mut question, "/target/models", json!(models));
        }
        if let Some(health) = health.filter(|health| *health > 1) {
            set(&mut question, "/target/health", json!(health));
        }
    }
    Some(Reading::asks(&ODDS, question, score, used, ROLLED))
}

/// `9 guys with 2 attacks each`, `two attacks each from 5 guys`: how many make so many attacks.
fn attackers(message: &ParsedMessage<'_>, from: usize, to: usize, used: &mut [bool]) -> Option<u64> {
    const PEOPLE: &[&str] = &[
        "guys", "men", "man", "people", "models", "bodies", "figures", "blokes", "lads", "troops", "dudes", "soldiers",
    ];
    let each = message.any(to, &["each", "apiece"]);
    let before = (from.saturating_sub(4)..from).find(|at| message.number(*at).is_some() && message.any(at + 1, PEOPLE));
    let linked = before.filter(|at| {
        (at + 2..from).all(|at| {
            message
                .any(at, &["with", "have", "having", "make", "making", "get", "getting", "throw", "who", "at", "each"])
        })
    });
    let behind = (to..to + 4).find(|at| message.number(*at).is_some() && message.any(at + 1, PEOPLE));
    let behind = behind.filter(|at| (to..*at).any(|at| message.any(at, &["from", "by", "for"])));
    let at = linked.or(behind.filter(|_| each))?;
    mark(used, at, at + 2);
    mark(used, to, to + usize::from(each));
    for word in at..used.len().min(at + 5) {
        used[word] |=
            message.any(word, &["with", "have", "having", "make", "making", "get", "getting", "throw", "who"]);
    }
    message.number(at)
}

/// `each one does 2 damage`, `d three damage`, `takes two points`: what a success does.
fn damage(message: &ParsedMessage<'_>, used: &mut [bool]) -> Option<Json> {
    const DOES: &[&str] = &["does", "do", "doing", "deals", "makes", "takes", "causes", "inflicts", "damage"];
    (0..used.len()).find_map(|at| {
        let value = match &message.tokens[at].kind {
            TokenKind::Number(_) => json!(message.number(at)?),
            TokenKind::Dice(dice) => json!(dice),
            _ => return None,
        };
        let behind = at + 1 + usize::from(message.any(at + 1, &["of", "points", "point"]));
        let named = message.any(behind, &["damage"]);
        let led = at > 0 && message.any(at - 1, DOES);
        let alone = led && (message.any(at + 1, &["points", "point", "each", "apiece"]) || message.is_end(at + 1));
        (!used[at] && (named || alone)).then(|| {
            mark(used, at, if named { behind + 1 } else { at + 1 });
            for word in at.saturating_sub(3)..used.len().min(behind + 3) {
                let said = message.any(word, &["each", "one", "apiece", "hit", "wound", "points", "point", "success"]);
                used[word] |= said || message.any(word, DOES);
            }
            value
        })
    })
}

/// `6 people with 1 health`, `guys with three health`: who is attacked, and what each of them can take.
fn target(message: &ParsedMessage<'_>, used: &mut [bool]) -> Option<(Option<u64>, Option<u64>)> {
    const PEOPLE: &[&str] =
        &["guys", "men", "people", "models", "bodies", "enemies", "figures", "blokes", "lads", "targets", "troops"];
    const HEALTH: &[&str] = &["health", "hp", "wounds", "wound", "lives", "life", "hits"];
    let people = (0..used.len()).find(|at| message.any(*at, PEOPLE) && !used[*at])?;
    let models = people.checked_sub(1).filter(|at| !used[*at]).and_then(|at| Some((at, message.number(at)?)));
    let led = (people + 1..people + 3).find(|at| message.any(*at, &["with", "of", "at", "have", "having", "on"]));
    let health = led.and_then(|led| {
        let at = (led + 1..led + 3).find(|at| message.number(*at).is_some() && !used[*at])?;
        message.any(at + 1, HEALTH).then_some((at, message.number(at)?))
    });
    if models.is_none() && health.is_none() {
        return None;
    }
    mark(used, people, people + 1);
    if let Some((at, _)) = models {
        mark(used, at, people + 1);
    }
    if let Some((at, _)) = health {
        mark(used, people, at + 2);
        for word in at + 2..used.len().min(at + 4) {
            used[word] |= message.any(word, &["each", "apiece"]);
        }
    }
    Some((models.map(|(_, models)| models), health.map(|(_, health)| health)))
}

/// What says that there is no save: `no save`, `nothing saves it`.
const NONE: &[&str] = &["no", "without", "nothing", "nobody", "none"];

/// What a step needs.
struct Need {
    name: Option<&'static str>,
    needs: String,
    from: usize,
    to: usize,
}

/// The needs of an attack, each with the step beside it.
fn needs(message: &ParsedMessage<'_>, used: &[bool]) -> Vec<Need> {
    let step = |at: usize| match message.word(at) {
        _ if at > 0 && message.any(at - 1, NONE) => None,
        "hit" | "hits" | "hitting" | "hittin" => Some("hit"),
        "wound" | "wounds" | "wounding" | "hurt" => Some("wound"),
        "save" | "saves" | "saving" | "saved" | "armour" | "armor" => Some("save"),
        _ => None,
    };
    // `hit 4+ wound 5+`: where a step is named before the first number, each is named before its own.
    let numbered = |at: usize| matches!(message.tokens[at].kind, TokenKind::Needs(_) | TokenKind::Faces(_));
    let leads = (0..message.tokens.len())
        .find(|at| step(*at).is_some() || numbered(*at))
        .is_some_and(|at| step(at).is_some() && !message.any(at.wrapping_sub(1), &["to"]));
    let mut found: Vec<Need> = Vec::new();
    for at in 0..message.tokens.len() {
        if used[at] {
            continue;
        }
        let rolled = |from: usize| (from.saturating_sub(2)..from).any(|at| step(at).is_some());
        let on = at > 0
            && (message.any(at - 1, &["on", "needing", "needs", "need"])
                || message.any(at - 1, &["with", "of", "at"]) && rolled(at - 1)
                || message.any(at - 1, &["a", "an"])
                    && message.any(at.wrapping_sub(2), &["on", "need", "needs", "needing"]));
        let needs = match &message.tokens[at].kind {
            TokenKind::Needs(needs) => needs.clone(),
            TokenKind::Faces(face)
                if !(at.saturating_sub(2)..at)
                    .any(|at| message.word(at).starts_with("reroll") || message.word(at).starts_with("repeat"))
                    && !message.any(at + 1, &["again"]) =>
            {
                format!("{face}+")
            }
            // `a five plus save`
            TokenKind::Number(_) if message.any(at + 1, &["plus"]) => match message.number(at) {
                Some(number) => format!("{number}+"),
                None => continue,
            },
            TokenKind::Number(_) if on && !message.any(at + 1, &["dice", "models", "sided", "sider"]) => {
                match message.number(at) {
                    Some(number) => format!("{number}+"),
                    None => continue,
                }
            }
            _ => continue,
        };
        let near = |places: Vec<usize>| {
            places.into_iter().take_while(|at| !message.is_end(*at)).find_map(|at| step(at).map(|name| (at, name)))
        };
        let behind = near((at + 1..(at + 4).min(message.tokens.len())).collect());
        let before = near((at.saturating_sub(4)..at).rev().collect());
        let taken = |name: &str| found.iter().any(|need| need.name == Some(name));
        // `4s to hit` and `hit on 4s`
        let to = message.any(at + 1, &["to"]);
        let name = match (before, behind) {
            (Some((place, name)), _) if (on || leads && place + 2 >= at) && !taken(name) => Some(name),
            (_, Some((_, name)))
                if (to
                    || behind
                        .is_some_and(|(place, _)| place == at + 1 + usize::from(message.any(at + 1, &["plus"]))))
                    && !taken(name) =>
            {
                Some(name)
            }
            (Some((_, name)), _) if !taken(name) => Some(name),
            (_, Some((_, name))) if !taken(name) => Some(name),
            _ => None,
        };
        let from = if on { at - 1 } else { at };
        let more = message.any(at + 1, &["or", "and"])
            && message.any(at + 2, &["more", "better", "higher", "above", "up", "over", "upwards"]);
        let plus = message.any(at + 1, &["plus"]);
        let words = if more { 3 } else { 1 + usize::from(plus) };
        found.push(Need { name, needs, from, to: at + words });
    }
    found
}
