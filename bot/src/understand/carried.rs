//! What a side carries, who stands by it, and which marks it bears.
use super::helpers::helpers;
use super::lexicon::Class;
use super::names::Sort;
use super::scene::Scene;
use super::sides::{Extra, Side};
use crate::client::index::{PackIndex, UnitName, name_words};
use crate::typing::fillers::singular;
use crate::typing::piece::What;

mod arms;
use arms::{led_only, only, weapon, words_fit};

/// What one item of `with a mast and two claws` is.
enum Item {
    /// Something that the unit may take.
    Option(Extra),
    /// Something that it has anyway.
    Own(Option<u64>),
}

/// Reads what stands around the units.
pub fn carried(scene: &Scene<'_>, sides: &mut [Side], used: &mut [bool]) {
    helpers(scene, sides, used);
    for mention in scene.named(Sort::Status) {
        let next = sides
            .iter()
            .position(|side| !side.helper && side.start >= mention.at && side.start <= mention.at + mention.len);
        if let Some(next) = next {
            sides[next].statuses.push(mention.ids[0].0.clone());
            used[mention.at..mention.at + mention.len].fill(true);
        }
    }
    for at in 0..sides.len() {
        if sides[at].helper {
            continue;
        }
        let next = sides.iter().filter(|side| !side.helper && side.at > sides[at].at).map(|side| side.start).min();
        let region = sides[at].end()..next.unwrap_or(scene.tokens.len());
        led_only(scene, &mut sides[at], used);
        only(scene, &mut sides[at], region.clone(), used);
        items(scene, &mut sides[at], region.clone(), used);
        statuses(scene, &mut sides[at], region, used);
    }
    // What the nearest unit can't have belongs to another that can.
    for at in 0..sides.len() {
        if !sides[at].helper {
            only(scene, &mut sides[at], 0..scene.tokens.len(), used);
            owned(scene, &mut sides[at], used);
        }
    }
    // A weapon that a unit has anyway: of several, the one that is named is meant.
    for mention in scene.named(Sort::Weapon) {
        if denied(scene, mention.at) || used[mention.at] {
            continue;
        }
        let owned = |side: &Side| {
            if super::battle::acts_on(scene, mention.at + mention.len, side.start) {
                return None;
            }
            let unit = side.unit().and_then(|id| scene.index.unit(id))?;
            let (id, _) = mention.ids.iter().find(|(id, _)| unit.weapons.contains(id))?;
            Some((id.clone(), unit.weapons.len() > 1))
        };
        let owner = sides
            .iter()
            .rposition(|side| !side.helper && side.at <= mention.at && owned(side).is_some())
            .or_else(|| sides.iter().position(|side| owned(side).is_some()));
        let Some(at) = owner else { continue };
        if let Some((id, several)) = owned(&sides[at]) {
            // `lobs the siege mortar`, `my bittern shoots the culverin`: what it is done with.
            const INSTRUMENT: &[&str] = &[
                "lob", "lobs", "lobbing", "shoots", "shooting", "fires", "firing", "uses", "using", "looses",
                "launches", "throws", "swings", "with",
            ];
            let before =
                mention.at - usize::from(mention.at > 0 && scene.any(mention.at - 1, &["the", "its", "his", "their"]));
            let led = scene.any(before.wrapping_sub(1), INSTRUMENT);
            let nearest = sides.iter().rposition(|side| !side.helper && side.at <= mention.at) == Some(at);
            let attacker =
                sides.iter().position(|side| !side.helper) == Some(at) || !scene.any(before.wrapping_sub(1), &["with"]);
            if several
                && led
                && nearest
                && attacker
                && mention.fit != super::names::Fit::Part
                && !sides[at].weapons.contains(&id)
            {
                sides[at].weapons.push(id);
            }
            used[mention.at..mention.at + mention.len].fill(true);
        }
    }
    // `throws its pots`: the last word of a weapon that the unit has anyway.
    let own: Vec<String> = sides
        .iter()
        .filter_map(|side| side.unit().and_then(|id| scene.index.unit(id)))
        .flat_map(|unit| &unit.weapons)
        .filter_map(|id| id.rsplit('-').next().map(str::to_owned))
        .collect();
    for at in 1..scene.tokens.len() {
        let owned = scene.any(at - 1, &["its", "his", "their", "my", "our", "with", "the"]) && !denied(scene, at);
        if owned
            && !used[at]
            && own.iter().any(|last| last == singular(scene.word(at)))
            && scene.named_at(Sort::Unit, at).is_none()
        {
            used[at] = true;
        }
    }
    // What stands before the first unit is its own as well: `with hooks, 10 dyke hands`, `hook armed hands`.
    if let Some(first) = sides.iter().position(|side| !side.helper) {
        let region = 0..sides[first].start;
        items(scene, &mut sides[first], region, used);
    }
}

/// Items behind `with`, behind `+`, and right behind the unit.
fn items(scene: &Scene<'_>, side: &mut Side, region: std::ops::Range<usize>, used: &mut [bool]) {
    let Some(unit) = side.unit().and_then(|id| scene.index.unit(id)).cloned() else { return };
    let mut at = region.start;
    while at < region.end {
        if used[at] {
            at += 1;
            continue;
        }
        let led = scene.begins(Class::With, at).or_else(|| (scene.tokens[at].what == What::Plus).then_some(1));
        let swapped = led.is_some() && at > 0 && scene.is(at - 1, Class::Neg);
        if let Some(lead) = led.filter(|_| !swapped) {
            let mut place = at + lead;
            let mut taken_any = false;
            while let Some((start, taken, item)) = item(scene, &unit, place, used) {
                let item = match item {
                    // `two of them with torches`
                    Item::Option(extra)
                        if extra.times.is_none()
                            && at >= 3
                            && scene.any(at - 1, &["them", "em", "whom", "which"])
                            && scene.any(at - 2, &["of"])
                            && scene.number(at - 3).is_some()
                            && !used[at - 3] =>
                    {
                        used[at - 3..at].fill(true);
                        Item::Option(Extra { times: scene.number(at - 3), ..extra })
                    }
                    // `8 rifles, two w walrus rifles`
                    Item::Option(extra)
                        if extra.times.is_none()
                            && at >= 1
                            && at > region.start
                            && scene.number(at - 1).is_some()
                            && scene.word(at - 1).is_empty()
                            && !used[at - 1] =>
                    {
                        used[at - 1] = true;
                        Item::Option(Extra { times: scene.number(at - 1), ..extra })
                    }
                    item => item,
                };
                apply(side, item);
                used[place.min(start)..start + taken].fill(true);
                taken_any = true;
                place = start + taken;
                let more = scene.any(place, &["and", "n", "plus", "also"])
                    || matches!(scene.tokens.get(place).map(|token| &token.what), Some(What::Plus))
                    || scene.text.get(scene.tokens.get(place).map_or(0..0, |token| token.span.clone())) == Some(",");
                if !more || place + 1 >= region.end || item_is_unit(scene, place + 1) {
                    break;
                }
                place += 1;
            }
            if taken_any {
                used[at..at + lead].fill(true);
                at = place.max(at + 1);
                continue;
            }
        }
        // Without a word before it only what the unit may take, by a full name.
        if let Some(mention) = scene.named_at(Sort::Option, at)
            && let Some((id, _)) =
                mention.ids.iter().find(|(_, owner)| owner.as_ref().is_none_or(|owner| *owner == unit.id))
            && !denied(scene, at)
        {
            let times = at
                .checked_sub(1)
                .filter(|before| !used[*before])
                .and_then(|before| Some((before, scene.number(before)?)));
            if let Some((before, _)) = times {
                used[before] = true;
            }
            apply(side, Item::Option(Extra { id: id.clone(), times: times.map(|(_, times)| times) }));
            used[at..at + mention.len].fill(true);
            at += mention.len;
            continue;
        }
        // `sappers, 5 blunderbuss`: so many of those who have it anyway.
        if let Some(mention) = scene.named_at(Sort::Weapon, at).filter(|_| at > region.start)
            && side.count.is_none()
            && mention.ids.iter().any(|(id, _)| unit.weapons.contains(id))
            && let Some(number) = scene.number(at - 1).filter(|_| !used[at - 1])
        {
            side.count = Some(number);
            used[at - 1..at + mention.len].fill(true);
        }
        at += 1;
    }
}

fn denied(scene: &Scene<'_>, at: usize) -> bool {
    (1..=2).any(|back| at.checked_sub(back).is_some_and(|at| scene.is(at, Class::Without)))
}

fn item_is_unit(scene: &Scene<'_>, at: usize) -> bool {
    (at..at + 2).any(|at| scene.named_at(Sort::Unit, at).is_some())
}

fn apply(side: &mut Side, item: Item) {
    match item {
        Item::Option(extra) => {
            if !side.options.iter().any(|known| known.id == extra.id) {
                side.options.push(extra);
            }
        }
        Item::Own(Some(number)) if side.count.is_none() && number > 2 => side.count = Some(number),
        Item::Own(..) => {}
    }
}

/// One item: where its name begins, how many words it has, and what it is.
fn item(scene: &Scene<'_>, unit: &UnitName, from: usize, used: &[bool]) -> Option<(usize, usize, Item)> {
    let mut times = None;
    for at in from..(from + 4).min(scene.tokens.len()) {
        if used[at] || scene.is_end(at) {
            return None;
        }
        let own = |owner: &Option<String>| owner.as_ref().is_none_or(|owner| *owner == unit.id);
        if let Some(mention) = scene.named_at(Sort::Option, at)
            && let Some((id, _)) = mention.ids.iter().find(|(_, owner)| own(owner))
        {
            return Some((at, mention.len, option(unit, id, times)));
        }
        if let Some((len, id)) = weapon(scene, unit, at) {
            return Some((at, len, of_weapon(unit, &id, times)));
        }
        let part = unit.options.iter().find_map(|option| Some((words_fit(scene, at, &option.name)?, option)));
        if let Some((len, found)) = part.filter(|_| scene.named_at(Sort::Unit, at).is_none()) {
            return Some((at, len, option(unit, &found.id, times)));
        }
        if let Some(number) = scene.number(at) {
            times = Some(number);
        } else if !scene.is(at, Class::Small) || scene.named_at(Sort::Unit, at).is_some() {
            return None;
        }
    }
    None
}

/// An option, with its number where it is taken in numbers.
fn option(unit: &UnitName, id: &str, times: Option<u64>) -> Item {
    let counted = unit.options.iter().any(|option| option.id == id && option.counted);
    Item::Option(Extra { id: id.to_owned(), times: times.filter(|times| counted && *times > 1) })
}

/// What brings a weapon: an option, or the unit itself.
fn of_weapon(unit: &UnitName, id: &str, times: Option<u64>) -> Item {
    let bringing = unit.options.iter().find(|option| option.weapons.iter().any(|weapon| weapon == id));
    let own = unit.weapons.iter().any(|weapon| weapon == id);
    match bringing {
        // `two claws`, where one is there anyway.
        Some(found) if !own || times == Some(2) => option(unit, &found.id, times.filter(|_| !own)),
        _ => Item::Own(times),
    }
}

fn statuses(scene: &Scene<'_>, side: &mut Side, region: std::ops::Range<usize>, used: &mut [bool]) {
    // `steering's gone`, `lost its gun already`: the first word of a mark that says something is gone.
    for status in scene.index.statuses.iter().filter(|status| status.contains(' ')) {
        let words = name_words(status);
        let gone = words.iter().any(|word| {
            matches!(word.as_str(), "gone" | "dismounted" | "bent" | "burst" | "cracked" | "jammed" | "lost" | "out")
        });
        for at in region.clone() {
            let near = (at.saturating_sub(3)..at + 4).any(|at| {
                scene.any(at, &["gone", "lost", "dismounted", "jammed", "bust", "busted", "out", "shot", "broken"])
            });
            if gone
                && near
                && !used[at]
                && scene.word(at).len() >= 3
                && words.first().is_some_and(|word| singular(word) == singular(scene.word(at)))
                && scene.named_at(Sort::Status, at).is_none()
            {
                side.statuses.push(status.clone());
                let from = (at.saturating_sub(3)..at).find(|at| scene.any(*at, &["lost"])).unwrap_or(at);
                let to = (at..at + 4)
                    .filter(|at| scene.any(*at, &["gone", "dismounted", "jammed", "out", "already"]))
                    .max()
                    .unwrap_or(at);
                let to = (to + 1).min(used.len());
                used[from..to].fill(true);
            }
        }
    }
    for mention in scene.named(Sort::Status).filter(|mention| region.contains(&mention.at)) {
        if used[mention.at..mention.at + mention.len].iter().any(|used| *used) {
            continue;
        }
        side.statuses.push(mention.ids[0].0.clone());
        used[mention.at..mention.at + mention.len].fill(true);
    }
}

/// The units that carry a weapon from the beginning, those named after it first.
pub fn carriers<'a>(index: &'a PackIndex, weapon: &str) -> Vec<&'a UnitName> {
    let name = index
        .weapons
        .iter()
        .find(|known| known.id == weapon)
        .map_or_else(|| weapon.to_owned(), |known| known.name.clone());
    let words = name_words(&name);
    let mut units: Vec<&UnitName> =
        index.units.iter().filter(|unit| unit.weapons.iter().any(|known| known == weapon)).collect();
    let alike = |unit: &&UnitName| {
        name_words(&unit.name).iter().any(|word| words.iter().any(|known| singular(known) == singular(word)))
    };
    if units.iter().any(alike) {
        units.retain(alike);
    }
    units
}

/// What a unit of the question before is said to carry, use or bear.
pub fn unattached(scene: &Scene<'_>, side: &mut Side, used: &mut [bool], marked: bool) {
    let region = 0..scene.tokens.len();
    only(scene, side, region.clone(), used);
    items(scene, side, region.clone(), used);
    owned(scene, side, used);
    if marked {
        statuses(scene, side, region, used);
    }
}

/// Options by their full names, wherever they stand, with what belongs to them.
fn owned(scene: &Scene<'_>, side: &mut Side, used: &mut [bool]) {
    let Some(unit) = side.unit().and_then(|id| scene.index.unit(id)).cloned() else { return };
    for mention in scene.named(Sort::Option) {
        let own = mention.ids.iter().find(|(_, owner)| owner.as_deref() == Some(unit.id.as_str()));
        let free = used[mention.at..mention.at + mention.len].iter().all(|used| !used);
        // `walrus rifles v musk drovers`: whoever carries them attacks, and is not who stands behind the word.
        let others = mention.at < side.start && super::battle::acts_on(scene, mention.at + mention.len, side.start);
        let Some((id, _)) = own.filter(|_| free && !others && !denied(scene, mention.at)) else { continue };
        apply(side, Item::Option(Extra { id: id.clone(), times: None }));
        used[mention.at..mention.at + mention.len].fill(true);
    }
    // `an Elder`: the last word of what the unit may take.
    for option in &unit.options {
        let Some(last) = name_words(&option.name).pop().filter(|_| option.name.contains(' ')) else { continue };
        for at in 0..scene.tokens.len() {
            let said = singular(scene.word(at)) == singular(&last) && last.len() >= 4;
            let named = scene
                .mentions
                .iter()
                .any(|one| one.at <= at && at < one.at + one.len && !matches!(one.sort, Sort::Weapon | Sort::Rule));
            let led = at > 0
                && (scene.is(at - 1, Class::With)
                    || scene.any(at - 1, &["an", "a", "their", "the", "his", "got", "and"])
                    || scene.tokens[at].owns);
            if said && !used[at] && !named && led && !denied(scene, at) {
                apply(side, Item::Option(Extra { id: option.id.clone(), times: None }));
                used[at] = true;
            }
        }
    }
}
