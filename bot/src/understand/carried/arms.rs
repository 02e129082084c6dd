//! Weapons by their names, and those that alone are used.
use super::super::lexicon::Class;
use super::super::message::ParsedMessage;
use super::super::names::Sort;
use super::super::sides::Side;
use crate::client::index::{PackIndex, name_words};
use crate::typing::fillers::singular;
use pipwright_shared::wire::packs::UnitHead;

/// `just the heron's long culverin`: the unit stands between the word and its weapon.
pub(super) fn led_only(message: &ParsedMessage<'_>, side: &mut Side, used: &mut [bool]) {
    let Some(unit) = side.unit().and_then(|id| message.index.unit(id)) else { return };
    let lead = (side.start.saturating_sub(2)..side.start).find(|at| {
        message.any(*at, &["just", "only"]) && (at + 1..side.start).all(|at| message.is(at, Class::Small)) && !used[*at]
    });
    let Some(lead) = lead else { return };
    let start = side.end();
    if let Some((len, id)) = weapon(message, unit, start).filter(|_| used.get(start).is_some_and(|used| !used)) {
        used[lead] = true;
        used[start..start + len].fill(true);
        side.weapons.push(id);
        // `and nothing else`
        for (at, len) in message.spans(Class::Only).filter(|(at, len)| *len > 1 && *at >= start) {
            used[at..at + len].fill(true);
        }
    }
}

/// `stakes only`, `only the prow`.
pub(super) fn only(message: &ParsedMessage<'_>, side: &mut Side, region: std::ops::Range<usize>, used: &mut [bool]) {
    let Some(unit) = side.unit().and_then(|id| message.index.unit(id)) else { return };
    for (at, len) in message.spans(Class::Only).filter(|(at, _)| region.contains(at)).collect::<Vec<_>>() {
        if used[at] {
            continue;
        }
        let before = (1..=3usize).rev().filter(|_| !message.any(at, &["just"])).find_map(|back| {
            let start = at.checked_sub(back).filter(|start| *start >= region.start && !used[*start])?;
            weapon(message, unit, start).filter(|(taken, _)| start + taken == at).map(|(_, id)| (start, at + len, id))
        });
        let behind = (0..=2usize).find_map(|more| {
            let start = at + len + more;
            let small = (at + len..start).all(|at| {
                message.any(
                    at,
                    &[
                        "the", "its", "with", "their", "his", "my", "using", "uses", "use", "used", "fires", "firing",
                        "shoots",
                    ],
                )
            });
            let free = used.get(start).is_some_and(|used| !used);
            let (taken, id) =
                weapon(message, unit, start).filter(|_| free && small && message.any(at, &["only", "just"]))?;
            Some((at, start + taken, id))
        });
        if let Some((start, end, id)) = before.or(behind) {
            let end = end.min(used.len());
            used[start..end].fill(true);
            side.weapons.push(id);
        }
    }
}

/// A weapon of the unit, or of its options, by its name or a word of it: how many words, and its id.
pub(super) fn weapon(message: &ParsedMessage<'_>, unit: &UnitHead, at: usize) -> Option<(usize, String)> {
    let ids = unit.weapons.iter().chain(unit.options.iter().flat_map(|option| &option.weapons));
    let ids: Vec<&String> = ids.collect();
    if let Some(mention) = message.named_at(Sort::Weapon, at)
        && let Some((id, _)) = mention.ids.iter().find(|(id, _)| ids.contains(&id))
    {
        return Some((mention.len, id.clone()));
    }
    ids.into_iter().find_map(|id| {
        let named = message.index.weapons.iter().find(|weapon| weapon.id == *id)?;
        words_fit(message, at, &named.name).map(|len| (len, id.clone()))
    })
}

/// How many words from here on are words of a name, in its order.
pub(super) fn words_fit(message: &ParsedMessage<'_>, at: usize, name: &str) -> Option<usize> {
    let words = name_words(name);
    let mut from = 0;
    let mut len = 0;
    while let Some(word) =
        message.tokens.get(at + len).map(|token| singular(&token.word)).filter(|word| word.len() >= 3)
    {
        let Some(place) = words[from..].iter().position(|known| {
            singular(known) == word
                || known.starts_with(word) && word.len() >= 4
                || word.starts_with(singular(known)) && word.len() <= known.len() + 2 && known.len() >= 4
        }) else {
            break;
        };
        from += place + 1;
        len += 1;
    }
    (len > 0).then_some(len)
}

/// The units that carry a weapon from the beginning, those named after it first.
pub fn carriers<'a>(index: &'a PackIndex, weapon: &str) -> Vec<&'a UnitHead> {
    let name = index
        .weapons
        .iter()
        .find(|known| known.id == weapon)
        .map_or_else(|| weapon.to_owned(), |known| known.name.clone());
    let words = name_words(&name);
    let mut units: Vec<&UnitHead> =
        index.units.iter().filter(|unit| unit.weapons.iter().any(|known| known == weapon)).collect();
    let alike = |unit: &&UnitHead| {
        name_words(&unit.name).iter().any(|word| words.iter().any(|known| singular(known) == singular(word)))
    };
    if units.iter().any(alike) {
        units.retain(alike);
    }
    units
}

/// `throws its pots`, `dents the tower with its claw`: the last word of a weapon that a unit has anyway.
pub(super) fn last_words(message: &ParsedMessage<'_>, sides: &mut [Side], used: &mut [bool]) {
    for at in 1..message.tokens.len() {
        let word = singular(message.word(at)).to_owned();
        let owned =
            message.any(at - 1, &["its", "his", "their", "my", "our", "with", "the"]) && !super::denied(message, at);
        if !owned || used[at] || message.named_at(Sort::Unit, at).is_some() {
            continue;
        }
        let arms = |side: &Side| -> Vec<String> {
            let unit = side.unit().and_then(|id| message.index.unit(id));
            let named = |id: &&String| id.rsplit('-').next() == Some(word.as_str());
            unit.map_or_else(Vec::new, |unit| unit.weapons.iter().filter(named).cloned().collect())
        };
        let several =
            |side: &Side| side.unit().and_then(|id| message.index.unit(id)).is_some_and(|unit| unit.weapons.len() > 1);
        let mut armed = sides.iter().enumerate().filter(|(_, side)| !side.helper && !arms(side).is_empty());
        let (Some((owner, _)), None) = (armed.next(), armed.next()) else {
            used[at] |= sides.iter().any(|side| !arms(side).is_empty());
            continue;
        };
        used[at] = true;
        let led = message.any(at - 1, &["with"]) || at > 1 && message.any(at - 2, &["with", "using", "uses", "swings"]);
        if let ([id], true, true) = (arms(&sides[owner]).as_slice(), led, several(&sides[owner]))
            && sides[owner].weapons.is_empty()
        {
            sides[owner].weapons.push(id.clone());
        }
    }
}
