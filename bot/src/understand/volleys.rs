//! One attack, and a fight turn by turn.
use super::battle;
use super::lexicon::Class;
use super::names::Sort;
use super::reading::{Act, Reading, Told, mark};
use super::sides::Side;
use crate::commands::duel::DUEL;
use crate::commands::matchup::MATCHUP;
use crate::draft::set;
use crate::typing::token::TokenKind;
use serde_json::json;

const ATTACK: &[Class] = &[
    Class::Attack,
    Class::Kill,
    Class::Suffer,
    Class::Wh,
    Class::YesNo,
    Class::Unit,
    Class::Through,
    Class::Run,
    Class::Needed,
    Class::Check,
    Class::Rule,
    Class::Vs,
];
const FIGHT: &[Class] =
    &[Class::Vs, Class::Attack, Class::Kill, Class::Suffer, Class::Duel, Class::Turn, Class::Wh, Class::YesNo];

/// Who attacks and who is attacked, where it is one each.
pub fn pair<'a>(told: &'a Told<'_>) -> Option<(&'a Side, &'a Side)> {
    let roles = &told.battle.roles;
    match (roles.attackers.as_slice(), roles.targets.as_slice()) {
        ([attacker], [target]) => Some((&told.battle.sides[*attacker], &told.battle.sides[*target])),
        _ => None,
    }
}

/// The unit is unclear: which of them?
pub fn unclear(told: &Told<'_>) -> Option<(String, Vec<String>)> {
    let side = told.battle.fighters().find(|side| side.ids.len() > 1)?;
    Some(which(told, side.ids.iter()))
}

/// The question which of these units is meant, and their names.
fn which<'a>(told: &Told<'_>, ids: impl Iterator<Item = &'a String>) -> (String, Vec<String>) {
    let names: Vec<String> = ids.take(4).filter_map(|id| told.index().unit(id)).map(|unit| unit.name.clone()).collect();
    (format!("Which unit do you mean: {}?", names.join(" or ")), names)
}

/// A matchup.
pub fn matchup(told: &Told<'_>) -> Option<Reading> {
    let battle = told.battle;
    let attack = told.has(Class::Attack).max(told.has(Class::Charged)).max(told.has(Class::Suffer));
    let vs = told.has(Class::Vs);
    let table = f64::from(u8::from(!battle.table.is_empty()));
    let fighters = told.fighters();
    let mut used = battle.used.clone();
    // `how many would the mortar's template catch`: bases under a template, and no attack by whoever stands there.
    let caught = told.has(Class::Blast) > 0.0
        && (0..used.len()).any(|at| told.message.any(at, &["template", "templates", "plate", "marker"]))
        && (0..used.len()).any(|at| told.message.any(at, &["catch", "catches", "caught", "under", "cover", "covers"]));
    if fighters >= 2 && !caught {
        // Two names beside each other say nothing of an attack.
        let all: Vec<&Side> = battle.fighters().collect();
        let and =
            all.windows(2).any(|two| (two[0].end()..two[1].start).any(|at| told.message.any(at, &["and", "n", "or"])));
        let counted = battle.fighters().any(|side| side.count.is_some()) && !and;
        let joined =
            battle.roles.sure && (told.asks() || attack > 0.0) || vs > 0.0 || attack > 0.0 || counted || table > 0.0;
        let score = 2.0 + 0.8 * f64::from(u8::from(battle.roles.sure)) + 0.4 * table + 0.3 * attack
            - if joined { 0.0 } else { 0.9 };
        let Some((mut attacker, mut target)): Option<(&Side, &Side)> = pair(told) else {
            let question = "Who attacks whom? Name one unit on each side.";
            return Some(Reading::lacks(&MATCHUP, None, question, score - 1.2, used, ATTACK));
        };
        // `one bow is dead, only nine bows then`: the same unit twice, and nothing that sets one against the other.
        let apart = vs > 0.0
            || attack > 0.0 && told.has(Class::Lost) <= 0.0
            || attacker.whose.is_some() && attacker.whose != target.whose;
        if attacker.unit() == target.unit() && !apart {
            return None;
        }
        // `the chance that two oxen kill at least 5 leech gatherers`: five are wished, and no unit of five.
        let least = target.start.checked_sub(1).filter(|at| told.message.any(*at, &["least", "atleast"]));
        let mut wished = None;
        let mut reduced = target.clone();
        if let Some(at) = least.filter(|_| target.count.is_some()) {
            wished = reduced.count.take();
            mark(&mut used, at.saturating_sub(1), at + 1);
            target = &reduced;
        }
        // `heron v bittern, swap sides`; but `shoots back` beside two names only says who attacks.
        let turned = ["swap", "exchange", "switch", "trade", "change", "reverse", "reversed"];
        let spans: Vec<_> = told.message.spans(Class::Swap).filter(|(at, _)| told.message.any(*at, &turned)).collect();
        if !spans.is_empty() {
            std::mem::swap(&mut attacker, &mut target);
            spans.into_iter().for_each(|(at, len)| mark(&mut used, at, at + len));
        }
        // `what do I have to roll`, `hit rolls`: words about the working.
        for at in 0..used.len() {
            let why = told.message.has(Class::Why)
                && (matches!(
                    told.message.tokens[at].kind,
                    TokenKind::Needs(_) | TokenKind::Number(_) | TokenKind::Faces(_)
                ) || told.message.any(at, &["not"]));
            // `P(≥1 structure)`: the answer says it of each number.
            let least = matches!(told.message.tokens[at].kind, TokenKind::Needs(_))
                && told.message.text[told.message.tokens[at].span.clone()].starts_with(['\u{2265}', '>']);
            if matches!(told.message.tokens[at].kind, TokenKind::Versus) || why || least {
                used[at] = true;
            }
        }
        let question = battle::matchup(told.index(), battle, attacker, target);
        let mut reading = Reading::asks(&MATCHUP, question, score, used, ATTACK);
        let killed = battle.amounts.iter().find(|amount| amount.killed && amount.value > 0).map(|amount| amount.value);
        if let Some(wished) = wished.or(killed) {
            reading.beside.args.push(super::reading::arg("wish", crate::typing::Value::Number(wished)));
        }
        return Some(reading);
    }
    let told_of = battle.fighters().any(|side| side.left.is_some() || side.lost.is_some());
    let score = 0.5
        + 0.9 * attack.max(vs)
        + 0.5 * table
        + 0.4 * f64::from(u8::from(told_of))
        + 0.4 * f64::from(u8::from(told.asks()));
    if fighters == 1 {
        // `do dogs get twice the attacks if they moved`: what a rule does, and no attack.
        let effect = told.begins(Class::YesNo)
            && (0..told.message.tokens.len()).any(|at| {
                told.message.any(at, &["double", "sooner", "work", "works", "apply"])
                    || matches!(told.message.tokens[at].kind, TokenKind::Times(2)) && told.message.word(at) != "both"
            });
        let score = if super::ruled::may_act(told) || effect { score - 1.5 } else { score };
        let (option, question) = if battle.roles.targets.is_empty() {
            ("target", "Who is attacked? Say which unit.")
        } else {
            ("attacker", "Who attacks? Say it like 3 and the unit's name.")
        };
        // `crew v skiff`: a word that several names share stands on the other side.
        let vague = told.message.named(Sort::Unit).find(|one| one.ids.len() > 1 && !used[one.at]);
        if let Some(one) = vague.filter(|_| attack.max(vs) > 0.0) {
            mark(&mut used, one.at, one.at + one.len);
            let (question, choices) = which(told, one.ids.iter().map(|(id, _)| id));
            let mut reading = Reading::lacks(&MATCHUP, None, &question, score, used, ATTACK);
            reading.act = Act::Lacks { option: None, question, choices };
            return Some(reading);
        }
        return Some(Reading::lacks(&MATCHUP, Some(option), question, score, used, ATTACK));
    }
    let about = told.has(Class::Attack) > 0.0 && told.asks();
    about.then(|| {
        let question = "Who attacks, and who is attacked? Say which unit of each side, like 3 of one v another.";
        Reading::lacks(&MATCHUP, None, question, 1.3 + 0.3 * table, used, ATTACK)
    })
}

/// `how many turns`, `how many rounds`, with the word for turns at this place.
pub fn asks_turns(message: &super::message::ParsedMessage<'_>, at: usize) -> bool {
    at > 1 && message.any(at, &["turns", "rounds"]) && message.any(at - 1, &["many"]) && message.any(at - 2, &["how"])
}

/// How loudly the words speak of a fight turn by turn.
pub fn duel_cues(told: &Told<'_>) -> f64 {
    let weak = ["fight", "fights", "fighting", "fought", "win", "wins", "winner", "first"];
    let mut best = 0.0_f64;
    let mut weaker = 0.0_f64;
    for (at, len) in told.message.spans(Class::Duel) {
        if len == 1 && weak.contains(&told.message.word(at)) {
            weaker += 1.1;
        } else {
            best = best.max(2.6);
        }
    }
    // `doors start`, `he begins`: who goes first matters in a fight alone.
    // `how many turns to kill a heron with 3 barges`
    if told.message.spans(Class::Turn).any(|(at, _)| asks_turns(told.message, at)) {
        best = best.max(3.0);
    }
    let starts = (1..told.message.tokens.len()).any(|at| {
        told.message.any(at, &["start", "starts", "begin", "begins"])
            && told.message.is_end(at + 1)
            && (told.message.any(at - 1, &["i", "he", "we", "they", "she"])
                || told.battle.fighters().any(|side| side.at < at && at <= side.end())
                || told.message.named(Sort::Unit).any(|one| one.at + one.len == at))
    });
    if starts {
        best = best.max(2.6);
    }
    best + weaker.min(2.2)
}

/// A duel.
pub fn duel(told: &Told<'_>) -> Option<Reading> {
    let cues = duel_cues(told);
    let turns = told.turns();
    let fighters = told.fighters();
    let against = told.message.has(Class::Vs) || told.message.has(Class::Attack);
    if cues <= 0.0 && !(fighters >= 2 && turns.is_some() && against && !told.message.has(Class::Repair)) {
        return None;
    }
    let score = cues + if turns.is_some() { 1.4 } else { 0.0 } + if fighters >= 2 { 1.2 } else { 0.0 };
    let battle = told.battle;
    let mut used = battle.used.clone();
    let all: Vec<&Side> = battle.fighters().collect();
    let [first, second] = all.as_slice() else {
        let (option, question) = match all.len() {
            0 => ("unit", "Who fights whom? Say which two units."),
            1 => ("against", "Against whom? Say which unit."),
            _ => ("unit", "Which two units fight?"),
        };
        return Some(Reading::lacks(&DUEL, Some(option), question, score.min(2.4), used, FIGHT));
    };
    // `how many turns to kill a heron with 3 barges`: who attacks is the one side, wherever it stands.
    let asked = told.message.spans(Class::Turn).find(|(at, _)| asks_turns(told.message, *at)).map(|(at, _)| at);
    let (first, second) = match (asked, pair(told)) {
        (Some(at), Some((attacker, target))) => {
            mark(&mut used, at - 2, at + 1);
            (attacker, target)
        }
        _ => (*first, *second),
    };
    let index = told.index();
    let mut question = json!({"pack": index.id, "a": battle::side_json(index, first, true), "b": battle::side_json(index, second, true)});
    for seat in ["a", "b"] {
        if let Some(form) = question[seat].as_object_mut() {
            form.remove("statuses");
        }
    }
    if let Some(mut situation) = battle::situation(&battle.table)
        && let Some(table) = situation.as_object_mut()
    {
        let own: Vec<(&str, serde_json::Value)> =
            ["arc", "cover"].into_iter().filter_map(|key| Some((key, table.remove(key)?))).collect();
        table.remove("moved");
        // `everybody showing broadside`
        let both = (0..used.len()).any(|at| told.message.any(at, &["everybody", "everyone", "both"]));
        for (key, value) in own {
            if both && key == "arc" {
                set(&mut question, "/a/situation/arc", value.clone());
            }
            set(&mut question, &format!("/b/situation/{key}"), value);
        }
        if !table.is_empty() {
            set(&mut question, "/situation", situation);
        }
    }
    if let Some((at, turns)) = turns {
        set(&mut question, "/turns", json!(turns));
        mark(&mut used, at, at + 2);
    }
    if let Some(first) = who_first(told, first, second, &mut used) {
        set(&mut question, "/first", json!(first));
    }
    for (key, rules) in [("with", &battle.table.with), ("without", &battle.table.without)] {
        if !rules.is_empty() {
            question[key] = json!(rules);
        }
    }
    Some(Reading::asks(&DUEL, question, score, used, FIGHT))
}

/// Whether a unit is named again where this word stands.
fn again(message: &super::message::ParsedMessage<'_>, id: &str, at: usize) -> bool {
    message
        .named(super::names::Sort::Unit)
        .any(|one| one.at <= at && at < one.at + one.len && one.ids.iter().any(|(known, _)| known == id))
}

/// Who goes first.
pub fn who_first(told: &Told<'_>, a: &Side, b: &Side, used: &mut [bool]) -> Option<&'static str> {
    let message = told.message;
    for at in 0..message.tokens.len() {
        let rolled = message.any(at, &["roll", "rolls", "rolling"]) && message.any(at + 1, &["off", "for"])
            || message.any(at, &["dice"]) && message.any(at + 1, &["off"]);
        if rolled {
            mark(used, at, at + 2);
            return Some("roll");
        }
        if message.any(at, &["simultaneously", "together"])
            || message.any(at, &["same"]) && message.any(at + 1, &["time", "moment", "instant"])
            || message.any(at, &["at"]) && message.any(at + 1, &["once"])
        {
            mark(used, at, at + 2);
            for before in at.saturating_sub(4)..at {
                if message.any(before, &["both"]) {
                    mark(used, before, before + 2);
                }
            }
            return Some("together");
        }
        // `its a dice roll who goes first`
        let thrown = |at: usize| message.any(at, &["roll", "random", "toss", "coin", "dice", "50"]);
        if message.any(at, &["who"])
            && (at + 1..at + 4).any(|at| message.any(at, &["first", "starts", "begins"]))
            && ((at.saturating_sub(4)..at).any(thrown) || (at + 3..at + 7).any(thrown))
        {
            mark(used, at.saturating_sub(2), at + 3);
            return Some("roll");
        }
        // `riders first`
        let named_first = message.any(at, &["first"]) && message.is_end(at + 1) && at > 0;
        if named_first && (b.at..b.end()).contains(&(at - 1))
            || named_first && b.unit().is_some_and(|id| again(message, id, at - 1))
        {
            mark(used, at, at + 1);
            return Some("b");
        }
        if named_first && ((a.at..a.end()).contains(&(at - 1)) || a.unit().is_some_and(|id| again(message, id, at - 1)))
        {
            mark(used, at, at + 1);
            return Some("a");
        }
        let goes = message.any(
            at,
            &[
                "go",
                "goes",
                "going",
                "opens",
                "begins",
                "starts",
                "shoots",
                "fires",
                "strikes",
                "hits",
                "start",
                "begin",
                "beginning",
                "starting",
                "shoot",
                "fire",
                "strike",
                "hit",
                "attack",
                "attacks",
                "moves",
                "move",
                "striking",
                "shooting",
                "firing",
                "hitting",
                "attacking",
                "moving",
                "going",
            ],
        ) && (message.any(at + 1, &["first", "second"])
            || message.any(at, &["begins", "starts"])
            || message.any(at, &["opens"]) && message.is_end(at + 1)
            || message.any(at, &["beginning", "starting", "start", "begin"]) && message.is_end(at + 1))
            || message.any(at, &["won", "wins", "win"])
                && (at + 1..at + 4).any(|at| message.any(at, &["roll", "toss"]))
                && message.is_end(at + 3);
        if !goes || message.any(at.wrapping_sub(1), &["who", "who's"]) {
            continue;
        }
        let second = message.any(at + 1, &["second"]);
        mark(used, at, at + 2);
        // `the runners have moved and they go first`: whoever was named just before.
        let and_they = at > 1 && message.any(at - 1, &["they"]) && message.any(at - 2, &["and"]);
        let named_before = (at.saturating_sub(9)..at).rev().filter(|_| and_they).find_map(|place| {
            let one = message.named(Sort::Unit).find(|one| one.at <= place && place < one.at + one.len)?;
            let is = |side: &Side| one.ids.iter().any(|(id, _)| side.ids.contains(id));
            if is(a) { Some("a") } else { is(b).then_some("b") }
        });
        let subject = named_before.or_else(|| {
            (at.saturating_sub(4)..at).rev().find_map(|place| {
                if a.at <= place && place < a.end() {
                    Some("a")
                } else if b.at <= place && place < b.end() {
                    Some("b")
                } else if message.any(place, &["i", "we", "me"]) {
                    Some("a")
                } else if message.any(place, &["he", "they", "she"]) {
                    Some("b")
                } else {
                    // The unit may be named again.
                    let named = message.named(Sort::Unit).find(|one| one.at <= place && place < one.at + one.len)?;
                    let id = &named.ids.first()?.0;
                    if a.ids.contains(id) {
                        Some("a")
                    } else if b.ids.contains(id) {
                        Some("b")
                    } else {
                        None
                    }
                }
            })
        });
        let subject = subject.unwrap_or("a");
        return Some(match (subject, second) {
            ("a", false) | ("b", true) => "a",
            _ => "b",
        });
    }
    None
}
