//! The sides, the table and the roles of a message together, and the requests that they make.
use super::amounts::{Amount, Says, amounts};
use super::carried::{carried, carriers};
use super::elliptic::elliptic;
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;
use super::roles::{Roles, roles};
use super::sides::{Side, sides};
use super::table::{Range, Table, table};
use crate::client::index::PackIndex;
use crate::draft::set;
use pipwright_shared::wire::packs::UnitHead;
use serde_json::{Value as Json, json};

/// All that a message says of units and the table.
#[derive(Clone, Debug)]
pub struct Battle {
    /// The units.
    pub sides: Vec<Side>,
    /// The table.
    pub table: Table,
    /// Who attacks whom.
    pub roles: Roles,
    /// Numbers that say what is lost and left.
    pub amounts: Vec<Amount>,
    /// Which words are explained by all this.
    pub used: Vec<bool>,
    /// Units that were said not to be meant.
    pub denied: Vec<String>,
}

impl Battle {
    /// Reads a message.
    pub fn of(message: &ParsedMessage<'_>) -> Self {
        let mut used = vec![false; message.tokens.len()];
        let table = table(message, &mut used);
        let mut sides = sides(message, &mut used);
        told_again(message, &mut sides, &mut used);
        stand_ins(message, &mut sides, &mut used);
        carried(message, &mut sides, &mut used);
        elliptic(message, &mut sides, &mut used);
        let denied = deny(message, &mut sides, &mut used);
        // Of two whole lists each may hold the same unit.
        if super::wholes::who_whom(message).is_none() {
            merge(&mut sides);
        }
        let mut roles = roles(message, &sides, &mut used);
        let amounts = amounts(message, &sides, &used);
        // `heron on its last point, 10 rifles`: who is hurt is attacked, where nothing else says who is.
        let hurt = |at: usize| {
            let side: &Side = &sides[at];
            let armoured = side.unit().and_then(|id| message.index.unit(id)).is_some_and(|unit| unit.armoured);
            let told = |amount: &Amount| {
                (side.end()..amount.from).all(|at| message.is(at, Class::Small) && !message.any(at, &["took", "takes"]))
            };
            armoured
                && amounts.iter().any(|one| !one.killed && one.side == Some(at) && one.from >= side.end() && told(one))
        };
        if let ([one], [other]) = (roles.attackers.as_slice(), roles.targets.as_slice())
            && !roles.sure
            && hurt(*one)
            && !hurt(*other)
        {
            (roles.attackers, roles.targets) = (vec![*other], vec![*one]);
        }
        Self { sides, table, roles, amounts, used, denied }
    }

    /// The units that fight, without those that only stand by.
    pub fn fighters(&self) -> impl Iterator<Item = &Side> {
        self.sides.iter().filter(|side| !side.helper)
    }

    /// Puts the numbers of what is lost and left where they belong, and marks their words.
    pub fn resolve_amounts(&mut self, index: &PackIndex) {
        for amount in std::mem::take(&mut self.amounts) {
            let target = self.roles.targets.first().copied();
            let Some(at) = amount.side.or(target) else {
                self.amounts.push(amount);
                continue;
            };
            if amount.killed {
                // `the chance to kill 3`: the answer says it of each number.
                self.used[amount.from..amount.to].fill(true);
                self.amounts.push(amount);
                continue;
            }
            let side = &mut self.sides[at];
            let armoured = side.unit().and_then(|id| index.unit(id)).is_some_and(|unit| unit.armoured);
            let unit = side.unit().and_then(|id| index.unit(id));
            let crew = unit.filter(|unit| unit.is_counted_whole()).map(|unit| u64::from(unit.least));
            let free = side.left.is_none() && side.lost.is_none();
            let resolved = match (armoured, amount.says, side.count) {
                _ if !free => false,
                (true, Says::Left, _) => {
                    side.left = Some(amount.value);
                    true
                }
                (true, Says::Lost, _) => {
                    side.lost = Some(amount.value);
                    true
                }
                (false, says, _) if side.unit().and_then(|id| index.unit(id)).is_some_and(|unit| unit.most <= 1) => {
                    if says == Says::Left {
                        side.left = Some(amount.value);
                    } else {
                        side.lost = Some(amount.value);
                    }
                    true
                }
                // `swivel crew, 1 left`: of a crew that is counted whole, its people.
                (false, Says::Left, count) if crew.is_some_and(|each| amount.value < each * count.unwrap_or(1)) => {
                    side.left = Some(amount.value);
                    true
                }
                (false, Says::Left, _) => {
                    side.count = Some(amount.value);
                    side.left = None;
                    true
                }
                (false, Says::Lost, Some(count)) if count > amount.value => {
                    side.count = Some(count - amount.value);
                    true
                }
                (false, Says::Lost, None) if amount.of.is_some_and(|of| of > amount.value) => {
                    side.count = amount.of.map(|of| of - amount.value);
                    true
                }
                _ => false,
            };
            if resolved {
                self.used[amount.from..amount.to].fill(true);
            } else {
                self.amounts.push(amount);
            }
        }
    }
}

/// `2 Rack Crews (6 models)`: how many models so many whole units are says nothing new where it is right.
fn told_again(message: &ParsedMessage<'_>, sides: &mut [Side], used: &mut [bool]) {
    for side in sides {
        let at = side.end();
        let (Some(id), Some(models), Some(said)) = (side.unit(), side.models(message.index), message.number(at)) else {
            continue;
        };
        let count = side.count.unwrap_or(1);
        let unit = message.index.unit(id);
        let own: Vec<&str> =
            ["model", "models"].iter().filter_map(|word| message.index.labels.get(*word)).map(String::as_str).collect();
        let named = message.any(at + 1, &["model", "models"]) || message.any(at + 1, &own);
        // `1 Tar Gang (4 bodies)`: how many models those units are together.
        let sized = unit.is_some_and(|unit| unit.is_counted_whole() && may_have(unit, said));
        if named && (said == models && said != count || sized && count == 1) {
            (side.count, side.whole) = if said == models { (side.count, side.whole) } else { (Some(said), false) };
            side.len += 2;
            used[at..at + 2].fill(true);
        }
    }
}

/// Whether a verb of attack, or `v`, stands between a weapon and a unit behind it.
pub(super) fn acts_on(message: &ParsedMessage<'_>, from: usize, to: usize) -> bool {
    (from..to).any(|at| message.is(at, Class::Attack) || message.is(at, Class::Vs))
        && !(from..to).any(|at| message.is_end(at) || message.is(at, Class::Cond))
}

/// Weapons that stand where a unit does: `can a swivel gun hurt a heron`.
fn stand_ins(message: &ParsedMessage<'_>, found: &mut Vec<Side>, used: &mut [bool]) {
    for mention in message.named(Sort::Weapon) {
        let (at, len) = (mention.at, mention.len);
        let free = used[at..at + len].iter().all(|used| !used);
        let [(weapon, _)] = mention.ids.as_slice() else { continue };
        // `can a swivel gun hurt a heron`: a weapon that acts on who has one too is not its own.
        let carried = found.iter().filter(|side| !acts_on(message, at + len, side.start)).any(|side| {
            side.unit().and_then(|id| message.index.unit(id)).is_some_and(|unit| {
                unit.weapons.contains(weapon) || unit.options.iter().any(|option| option.weapons.contains(weapon))
            })
        });
        let led = at > 0 && message.any(at - 1, &["with", "w", "and", "their", "only", "its"]);
        if !free || led || carried || found.iter().any(|side| side.at <= at && side.end() > at) {
            continue;
        }
        let owned = at == 0
            || message.any(at - 1, &["a", "an", "the", "my", "his", "her", "can", "does", "do", "will"])
            || message.number(at - 1).is_some()
            || message.is_end(at - 1);
        let carriers = carriers(message.index, weapon);
        if !owned || carriers.is_empty() || carriers.len() > 3 {
            continue;
        }
        let count = at.checked_sub(1).and_then(|at| message.number(at)).filter(|_| !used[at - 1]);
        if count.is_some() {
            used[at - 1] = true;
        }
        used[at..at + len].fill(true);
        let start = at - usize::from(count.is_some());
        // `the siege mortar on ten rifles`: of one unit that carries others too, that weapon alone.
        // Who is called after it is its crew, and acts as a whole.
        let first = |name: &str| name.split([' ', '-']).next().unwrap_or_default().to_lowercase();
        let alone = matches!(carriers.as_slice(), [unit] if unit.weapons.len() > 1 && first(&unit.name) != first(weapon))
            && count.is_none();
        found.push(Side {
            ids: carriers.iter().map(|unit| unit.id.clone()).collect(),
            at,
            len,
            start,
            count,
            whole: false,
            options: Vec::new(),
            weapons: if alone { vec![weapon.clone()] } else { Vec::new() },
            near: Vec::new(),
            statuses: Vec::new(),
            left: None,
            lost: None,
            whose: None,
            fit: super::names::Fit::Part,
            helper: false,
        });
    }
    found.sort_by_key(|side| side.at);
}

/// `not the wardens, the rifles`.
fn deny(message: &ParsedMessage<'_>, sides: &mut Vec<Side>, used: &mut [bool]) -> Vec<String> {
    let mut denied = Vec::new();
    if sides.len() < 2 {
        return denied;
    }
    // `the walker, no wait, the heron`
    const MEND: &[&str] = &["no", "wait", "mean", "meant", "sorry", "rather", "correction", "actually", "oops", "nope"];
    for at in (1..sides.len()).rev() {
        let between = sides[at - 1].end()..sides[at].start;
        let mends = between.clone().filter(|place| message.any(*place, MEND)).count();
        let clean = between
            .clone()
            .all(|place| message.is_end(place) || message.any(place, MEND) || message.is(place, Class::Small));
        let strong =
            mends > 1 || between.clone().any(|place| message.any(place, &["mean", "meant", "sorry", "wait", "oops"]));
        if clean && strong && !sides[at].helper && between.len() <= 7 {
            used[between].fill(true);
            let old = sides.remove(at - 1);
            denied.push(old.ids[0].clone());
            let side = &mut sides[at - 1];
            side.count = side.count.or(old.count);
        }
    }
    sides.retain(|side| {
        let before = (0..side.start).rev().find(|&at| !message.any(at, &["the", "a", "an", "my", "his"]));
        let not = before.filter(|&at| {
            message.any(at, &["not"]) && !message.any(at.wrapping_sub(1), &["do", "does", "if", "why", "can"])
        });
        if let Some(at) = not {
            used[at] = true;
            denied.push(side.ids[0].clone());
        }
        not.is_none()
    });
    denied
}

/// A unit that is named again is the same, where there are others.
fn merge(sides: &mut Vec<Side>) {
    let mut at = 0;
    while at < sides.len() {
        let fighters = sides.iter().filter(|side| !side.helper).count();
        let again = (0..at).find(|&before| {
            !sides[before].helper
                && !sides[at].helper
                && sides[before].ids == sides[at].ids
                && (sides[at].count.is_none()
                    || sides[before].count == sides[at].count
                    || sides[before].count.is_none())
        });
        match again {
            Some(before) if fighters > 2 => {
                let later = sides.remove(at);
                let side = &mut sides[before];
                side.count = side.count.or(later.count);
                side.options.extend(later.options);
                side.near.extend(later.near);
                side.statuses.extend(later.statuses);
                side.weapons.extend(later.weapons);
            }
            _ => at += 1,
        }
    }
}

/// Whether one unit of the book may have so many models.
fn may_have(unit: &UnitHead, models: u64) -> bool {
    (u64::from(unit.least)..=u64::from(unit.most)).contains(&models)
}

/// How many models a number of a unit is: crews are counted by the crew, unless the number is a size that one crew may have.
pub fn models(index: &PackIndex, unit: &str, count: u64) -> u64 {
    match index.unit(unit) {
        Some(unit) if unit.least < unit.most && may_have(unit, count) => count,
        Some(unit) if unit.is_counted_whole() => count * u64::from(unit.least),
        _ => count,
    }
}

/// A side as requests have it.
pub fn side_json(index: &PackIndex, side: &Side, target: bool) -> Json {
    let id = side.ids.first().cloned().unwrap_or_default();
    let mut form = json!({"unit": id});
    if let Some(models) = side.models(index) {
        set(&mut form, "/models", json!(models));
    }
    if !side.options.is_empty() {
        set(&mut form, "/options", side.options.iter().map(option_text).collect());
    }
    if !side.weapons.is_empty() {
        set(&mut form, "/weapons", json!(side.weapons));
    }
    if !side.near.is_empty() {
        set(&mut form, "/near", json!(side.near));
    }
    if !side.statuses.is_empty() && target {
        set(&mut form, "/statuses", json!(side.statuses));
    }
    if let Some(left) = side.left {
        set(&mut form, "/left", json!(left));
    }
    if let Some(lost) = side.lost {
        set(&mut form, "/hurt", json!(lost));
    }
    form
}

/// `3 torches`.
pub fn option_text(extra: &super::sides::Extra) -> Json {
    match extra.times {
        Some(times) => json!(format!("{times} {}", extra.id)),
        None => json!(extra.id),
    }
}

/// The table as requests have it; nothing where nothing was said.
pub fn situation(table: &Table) -> Option<Json> {
    let mut form = json!({});
    if let Some(arc) = table.arcs.last() {
        set(&mut form, "/arc", json!(arc));
    }
    match &table.range {
        Some(Range::Band(band)) => set(&mut form, "/range", json!(band)),
        Some(Range::Inches(inches)) => set(&mut form, "/range", number(*inches)),
        None => {}
    }
    if let Some(cover) = &table.cover {
        set(&mut form, "/cover", json!(cover));
    }
    if let Some(moved) = table.moved {
        set(&mut form, "/moved", json!(moved));
    }
    for flag in &table.flags {
        form[flag.as_str()] = json!(true);
    }
    for flag in &table.no_flags {
        form[flag.as_str()] = json!(false);
    }
    form.as_object().is_some_and(|form| !form.is_empty()).then_some(form)
}

/// 20 rather than 20.0: a link shows it.
pub fn number(value: f64) -> Json {
    serde_json::from_str(&value.to_string()).unwrap_or_else(|_| json!(value))
}

/// A matchup as requests have it.
pub fn matchup(index: &PackIndex, battle: &Battle, attacker: &Side, target: &Side) -> Json {
    let mut question = json!({"pack": index.id, "attacker": side_json(index, attacker, false), "target": side_json(index, target, true)});
    if let Some(situation) = situation(&battle.table) {
        set(&mut question, "/situation", situation);
    }
    for (key, rules) in [("with", &battle.table.with), ("without", &battle.table.without)] {
        if !rules.is_empty() {
            question[key] = json!(rules);
        }
    }
    question
}
