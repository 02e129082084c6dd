//! How far a weapon reaches: `how far does a long rifle shoot`.
use super::carried::carriers;
use super::lexicon::Class;
use super::names::Sort;
use super::reading::{Reading, Told, arg, mark, unit_name};
use super::sides::Side;
use crate::commands::unit::UNIT;
use crate::typing::Value;

const LOOKED: &[Class] = &[Class::Unit, Class::Wh, Class::YesNo, Class::Attack, Class::CheckMove, Class::FarBand];

/// `how far does a long rifle shoot`, `range of the deck gun`: how far a weapon reaches.
pub fn reach(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    const SHOOTS: &[&str] =
        &["shoot", "shoots", "reach", "reaches", "fire", "fires", "throw", "throws", "go", "goes", "carry", "carries"];
    let asked = (0..message.tokens.len()).find(|at| {
        let far = message.any(*at, &["how"]) && message.any(at + 1, &["far"]);
        let of = message.any(*at, &["range", "reach"]) && message.any(at + 1, &["of", "has", "have"]);
        of || far && (at + 2..message.tokens.len()).any(|at| message.any(at, SHOOTS))
    })?;
    if message.tokens.len() > 9 || !told.battle.amounts.is_empty() || message.has(Class::Vs) {
        return None;
    }
    let mention = message.named(Sort::Weapon).max_by_key(|one| (one.len, one.fit)).filter(|one| one.ids.len() == 1);
    let weapon = mention.map(|one| one.ids[0].0.clone()).unwrap_or_default();
    let fighters: Vec<&Side> = told.battle.fighters().collect();
    let unit = match fighters.as_slice() {
        [side] => side.unit()?.to_owned(),
        [] => carriers(told.index(), &weapon).first()?.id.clone(),
        _ => return None,
    };
    let mut used = told.battle.used.clone();
    mark(&mut used, asked, asked + 2);
    if let Some(mention) = mention {
        mark(&mut used, mention.at, mention.at + mention.len);
    }
    for at in 0..used.len() {
        used[at] |= message.any(at, SHOOTS) || message.any(at, &["does", "do", "can", "a", "the", "of", "is"]);
    }
    let args = vec![arg("unit", Value::Name(unit_name(told.index(), &unit))), arg("reach", Value::Text(weapon))];
    Some(Reading::args(&UNIT, args, 4.6, used, LOOKED))
}
