//! Requests about units as the table understands them: every name an id, nothing left to be guessed.
use super::fight::{Encounter, First};
use super::{Company, Muster, Neighbour, Setting};
use pipwright_shared::rules::model::Named;
use pipwright_shared::rules::model::Pack;
use serde_json::Value;

fn find<'a>(mut all: impl Iterator<Item = &'a Named>, id: &str) -> Option<usize> {
    all.position(|named| named.id == id)
}

fn number(of: &Value) -> Option<u32> {
    of.as_u64().and_then(|number| u32::try_from(number).ok())
}

fn texts(of: &Value) -> Option<Vec<&str>> {
    match of {
        Value::Null => Some(Vec::new()),
        Value::Array(all) => all.iter().map(Value::as_str).collect(),
        _ => None,
    }
}

/// A unit, from a side of a request. Nothing where it is not said plainly.
pub fn side(pack: &Pack, of: &Value) -> Option<Muster> {
    let unit = find(pack.units.iter().map(|unit| &unit.named), of["unit"].as_str()?)?;
    let book = &pack.units[unit];
    let option = |text: &str| -> Option<(usize, u32)> {
        let (times, id) = text.split_once(' ').map_or(Some((1, text)), |(n, id)| Some((n.parse().ok()?, id)))?;
        Some((find(book.options.iter().map(|option| &option.named), id)?, times))
    };
    let neighbour = |text: &str| -> Option<Neighbour> {
        let mut ids = text.split(" + ");
        let unit = find(pack.units.iter().map(|unit| &unit.named), ids.next()?)?;
        let options = ids.map(|id| find(pack.units[unit].options.iter().map(|option| &option.named), id));
        Some(Neighbour { unit, options: options.collect::<Option<_>>()? })
    };
    let weapons =
        texts(&of["weapons"])?.into_iter().map(|id| find(pack.weapons.iter().map(|weapon| &weapon.named), id));
    let mut muster = Muster {
        unit,
        models: if of["models"].is_null() { book.models.0 } else { number(&of["models"])? },
        left: None,
        hurt: number(&of["hurt"]).unwrap_or(0),
        options: texts(&of["options"])?.into_iter().map(option).collect::<Option<_>>()?,
        weapons: weapons.collect::<Option<_>>()?,
        near: texts(&of["near"])?.into_iter().map(neighbour).collect::<Option<_>>()?,
        statuses: texts(&of["statuses"])?.into_iter().map(str::to_owned).collect(),
        again: 0,
    };
    if let Some(left) = number(&of["left"]) {
        let company = Company::muster(pack, &muster);
        if company.frame.armoured || muster.models == 1 && book.models.1 == 1 {
            let whole = company.frame.capacity(company.began().standing);
            muster.hurt = u32::try_from(whole).ok()?.checked_sub(left)?;
        } else {
            muster.models = muster.models.max(left);
            muster.left = Some(left);
        }
    }
    Some(muster)
}

/// What the table adds, laid over what is known of it already.
pub fn setting(pack: &Pack, of: &Value, under: &Setting) -> Option<Setting> {
    let words = &pack.situations;
    let mut setting = under.clone();
    for (key, value) in of.as_object().into_iter().flatten() {
        match key.as_str() {
            "arc" => setting.arc = find(words.arcs.iter().map(|arc| &arc.named), value.as_str()?)?,
            "cover" => setting.cover = find(words.covers.iter().map(|cover| &cover.named), value.as_str()?)?,
            "moved" => setting.moved = value.as_bool()?,
            "range" => match number(value) {
                Some(distance) => {
                    let within = |to: Option<u32>| to.is_none_or(|to| distance <= to);
                    setting.range = words.ranges.iter().position(|band| within(band.to))?;
                    setting.distance = Some(distance);
                }
                None => {
                    setting.range = find(words.ranges.iter().map(|band| &band.word.named), value.as_str()?)?;
                    setting.distance = None;
                }
            },
            flag => setting.flags[find(words.flags.iter(), flag)?] = value.as_bool()?,
        }
    }
    Some(setting)
}

/// The rules that a request leaves out.
fn start(pack: &Pack, request: &Value) -> Option<Setting> {
    let without = texts(&request["without"])?.into_iter().map(|id| find(pack.rules.iter().map(|rule| &rule.named), id));
    Some(Setting { without: without.collect::<Option<_>>()?, ..Setting::usual(pack) })
}

/// A matchup.
pub fn matchup<'a>(pack: &'a Pack, request: &Value) -> Option<Encounter<'a>> {
    let setting = setting(pack, &request["situation"], &start(pack, request)?)?;
    let sides = [side(pack, &request["attacker"])?, side(pack, &request["target"])?];
    Some(Encounter {
        pack,
        sides,
        settings: [vec![setting.clone()], vec![setting]],
        first: First::A,
        unanswered: false,
        laid_on: None,
    })
}

/// One key of a situation in a turn: lists go on with their last entry.
fn in_turn(of: &Value, turn: usize) -> Value {
    let Some(fields) = of.as_object() else { return Value::Null };
    let one = |value: &Value| match value {
        Value::Array(all) => all.get(turn).or(all.last()).cloned().unwrap_or_default(),
        other => other.clone(),
    };
    fields.iter().map(|(key, value)| (key.clone(), one(value))).collect()
}

/// A duel of units.
pub fn duel<'a>(pack: &'a Pack, request: &Value) -> Option<Encounter<'a>> {
    let usual = start(pack, request)?;
    let turns = if request["turns"].is_null() { 6 } else { number(&request["turns"])? };
    let sides = [side(pack, &request["a"])?, side(pack, &request["b"])?];
    let stands = |side: &str, turn: usize| {
        let both = setting(pack, &in_turn(&request["situation"], turn), &usual)?;
        setting(pack, &in_turn(&request[side]["situation"], turn), &both)
    };
    // A side attacks the arc and the cover that the other one shows.
    let attack = |own: &str, other: &str| -> Option<Vec<Setting>> {
        let each = (0..turns as usize).map(|turn| {
            let (own, other) = (stands(own, turn)?, stands(other, turn)?);
            Some(Setting { arc: other.arc, cover: other.cover, ..own })
        });
        each.collect()
    };
    let first = match request["first"].as_str().unwrap_or("a") {
        "a" => First::A,
        "b" => First::B,
        "roll" => First::Roll,
        "together" => First::Together,
        _ => return None,
    };
    Some(Encounter {
        pack,
        sides,
        settings: [attack("a", "b")?, attack("b", "a")?],
        first,
        unanswered: false,
        laid_on: None,
    })
}
