//! What a side carries, who stands by it, and which marks it bears.
use super::helpers::helpers;
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;
use super::sides::{Extra, Side};
use crate::client::index::name_words;
use crate::typing::fillers::singular;
use crate::typing::token::TokenKind;
use pipwright_shared::wire::packs::UnitHead;

mod arms;
pub use arms::carriers;
use arms::{last_words, led_only, only, weapon, words_fit};

/// What one item of `with a mast and two claws` is.
enum Item {
    /// Something that the unit may take.
    Option(Extra),
    /// Something that it has anyway, and how many have it.
    Own(String, Option<u64>),
}

/// Reads what stands around the units.
pub fn carried(message: &ParsedMessage<'_>, sides: &mut [Side], used: &mut [bool]) {
    helpers(message, sides, used);
    for mention in message.named(Sort::Status) {
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
        let region = sides[at].end()..next.unwrap_or(message.tokens.len());
        led_only(message, &mut sides[at], used);
        only(message, &mut sides[at], region.clone(), used);
        // `into the lighter with the beak`: what whoever was named before attacks with is nothing of the other's.
        let armed: Vec<String> = sides[..at]
            .iter()
            .filter_map(|side| side.unit().and_then(|id| message.index.unit(id)))
            .flat_map(|unit| &unit.weapons)
            .filter_map(|id| id.rsplit('-').next().map(str::to_owned))
            .collect();
        items(message, &mut sides[at], region.clone(), &armed, used);
        statuses(message, &mut sides[at], region, used);
    }
    // What the nearest unit can't have belongs to another that can.
    for at in 0..sides.len() {
        if !sides[at].helper {
            only(message, &mut sides[at], 0..message.tokens.len(), used);
            owned(message, &mut sides[at], used);
        }
    }
    // A weapon that a unit has anyway: of several, the one that is named is meant.
    for mention in message.named(Sort::Weapon) {
        if denied(message, mention.at) || used[mention.at] {
            continue;
        }
        let owned = |side: &Side| {
            if super::battle::acts_on(message, mention.at + mention.len, side.start) {
                return None;
            }
            let unit = side.unit().and_then(|id| message.index.unit(id))?;
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
            let before = mention.at
                - usize::from(mention.at > 0 && message.any(mention.at - 1, &["the", "its", "his", "their"]));
            let led = message.any(before.wrapping_sub(1), INSTRUMENT);
            let nearest = sides.iter().rposition(|side| !side.helper && side.at <= mention.at) == Some(at);
            let attacker = sides.iter().position(|side| !side.helper) == Some(at)
                || !message.any(before.wrapping_sub(1), &["with"]);
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
    last_words(message, sides, used);
    // What stands before the first unit is its own as well: `with hooks, 10 dyke hands`, `hook armed hands`.
    if let Some(first) = sides.iter().position(|side| !side.helper) {
        let region = 0..sides[first].start;
        items(message, &mut sides[first], region, &[], used);
    }
}

/// Items behind `with`, behind `+`, and right behind the unit.
fn items(
    message: &ParsedMessage<'_>,
    side: &mut Side,
    region: std::ops::Range<usize>,
    armed: &[String],
    used: &mut [bool],
) {
    let Some(unit) = side.unit().and_then(|id| message.index.unit(id)).cloned() else { return };
    let mut at = region.start;
    while at < region.end {
        if used[at] {
            at += 1;
            continue;
        }
        let led = message.begins(Class::With, at).or_else(|| (message.tokens[at].kind == TokenKind::Plus).then_some(1));
        let swapped = led.is_some() && at > 0 && message.is(at - 1, Class::Neg);
        if let Some(lead) = led.filter(|_| !swapped) {
            let mut place = at + lead;
            let mut taken_any = false;
            while let Some((start, taken, item)) = item(message, &unit, place, used) {
                let item = match item {
                    // `two of them with torches`
                    Item::Option(extra)
                        if extra.times.is_none()
                            && at >= 3
                            && message.any(at - 1, &["them", "em", "whom", "which"])
                            && message.any(at - 2, &["of"])
                            && message.number(at - 3).is_some()
                            && !used[at - 3] =>
                    {
                        used[at - 3..at].fill(true);
                        Item::Option(Extra { times: message.number(at - 3), ..extra })
                    }
                    // `8 rifles, two w walrus rifles`
                    Item::Option(extra)
                        if extra.times.is_none()
                            && at >= 1
                            && at > region.start
                            && message.number(at - 1).is_some()
                            && message.word(at - 1).is_empty()
                            && !used[at - 1] =>
                    {
                        used[at - 1] = true;
                        Item::Option(Extra { times: message.number(at - 1), ..extra })
                    }
                    item => item,
                };
                let shown = message.any(start.wrapping_sub(1), &["the", "its", "his", "her", "their"]);
                let others = shown && taken == 1 && armed.iter().any(|word| word == singular(message.word(start)));
                // `with its claw`: of several that it has, what it attacks with.
                if let Item::Own(id, None) = &item
                    && shown
                    && unit.weapons.len() > 1
                    && !others
                {
                    side.weapons.push(id.clone());
                }
                if !others {
                    apply(side, item);
                }
                used[place.min(start)..start + taken].fill(true);
                taken_any = true;
                place = start + taken;
                let more = message.any(place, &["and", "n", "plus", "also"])
                    || matches!(message.tokens.get(place).map(|token| &token.kind), Some(TokenKind::Plus))
                    || message.text.get(message.tokens.get(place).map_or(0..0, |token| token.span.clone()))
                        == Some(",");
                if !more || place + 1 >= region.end || item_is_unit(message, place + 1) {
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
        if let Some(mention) = message.named_at(Sort::Option, at)
            && let Some((id, _)) =
                mention.ids.iter().find(|(_, owner)| owner.as_ref().is_none_or(|owner| *owner == unit.id))
            && !denied(message, at)
        {
            let times = at
                .checked_sub(1)
                .filter(|before| !used[*before])
                .and_then(|before| Some((before, message.number(before)?)));
            if let Some((before, _)) = times {
                used[before] = true;
            }
            apply(side, Item::Option(Extra { id: id.clone(), times: times.map(|(_, times)| times) }));
            used[at..at + mention.len].fill(true);
            at += mention.len;
            continue;
        }
        // `sappers, 5 blunderbuss`: so many of those who have it anyway.
        if let Some(mention) = message.named_at(Sort::Weapon, at).filter(|_| at > region.start)
            && side.count.is_none()
            && mention.ids.iter().any(|(id, _)| unit.weapons.contains(id))
            && let Some(number) = message.number(at - 1).filter(|_| !used[at - 1])
        {
            side.count = Some(number);
            used[at - 1..at + mention.len].fill(true);
        }
        at += 1;
    }
}

fn denied(message: &ParsedMessage<'_>, at: usize) -> bool {
    (1..=2).any(|back| at.checked_sub(back).is_some_and(|at| message.is(at, Class::Without)))
}

fn item_is_unit(message: &ParsedMessage<'_>, at: usize) -> bool {
    (at..at + 2).any(|at| message.named_at(Sort::Unit, at).is_some())
}

fn apply(side: &mut Side, item: Item) {
    match item {
        Item::Option(extra) => {
            if !side.options.iter().any(|known| known.id == extra.id) {
                side.options.push(extra);
            }
        }
        Item::Own(_, Some(number)) if side.count.is_none() && number > 2 => side.count = Some(number),
        Item::Own(..) => {}
    }
}

/// One item: where its name begins, how many words it has, and what it is.
fn item(message: &ParsedMessage<'_>, unit: &UnitHead, from: usize, used: &[bool]) -> Option<(usize, usize, Item)> {
    let mut times = None;
    for at in from..(from + 4).min(message.tokens.len()) {
        if used[at] || message.is_end(at) {
            return None;
        }
        let own = |owner: &Option<String>| owner.as_ref().is_none_or(|owner| *owner == unit.id);
        // `with its claw`: what it has anyway, before a second one that it may take.
        if times.is_none()
            && let Some((len, id)) = weapon(message, unit, at).filter(|(_, id)| unit.weapons.contains(id))
            && message.named_at(Sort::Option, at).is_none_or(|mention| mention.fit == super::names::Fit::Part)
        {
            return Some((at, len, of_weapon(unit, &id, times)));
        }
        if let Some(mention) = message.named_at(Sort::Option, at)
            && let Some((id, _)) = mention.ids.iter().find(|(_, owner)| own(owner))
        {
            return Some((at, mention.len, option(unit, id, times)));
        }
        if let Some((len, id)) = weapon(message, unit, at) {
            return Some((at, len, of_weapon(unit, &id, times)));
        }
        let part = unit.options.iter().find_map(|option| Some((words_fit(message, at, &option.name)?, option)));
        if let Some((len, found)) = part.filter(|_| message.named_at(Sort::Unit, at).is_none()) {
            return Some((at, len, option(unit, &found.id, times)));
        }
        if let Some(number) = message.number(at) {
            times = Some(number);
        } else if !message.is(at, Class::Small) || message.named_at(Sort::Unit, at).is_some() {
            return None;
        }
    }
    None
}

/// An option, with its number where it is taken in numbers.
fn option(unit: &UnitHead, id: &str, times: Option<u64>) -> Item {
    let counted = unit.options.iter().any(|option| option.id == id && option.counted);
    Item::Option(Extra { id: id.to_owned(), times: times.filter(|times| counted && *times > 1) })
}

/// What brings a weapon: an option, or the unit itself.
fn of_weapon(unit: &UnitHead, id: &str, times: Option<u64>) -> Item {
    let bringing = unit.options.iter().find(|option| option.weapons.iter().any(|weapon| weapon == id));
    let own = unit.weapons.iter().any(|weapon| weapon == id);
    match bringing {
        // `two claws`, where one is there anyway.
        Some(found) if !own || times == Some(2) => option(unit, &found.id, times.filter(|_| !own)),
        _ => Item::Own(id.to_owned(), times),
    }
}

fn statuses(message: &ParsedMessage<'_>, side: &mut Side, region: std::ops::Range<usize>, used: &mut [bool]) {
    // `steering's gone`, `lost its gun already`: the first word of a mark that says something is gone.
    for status in message.index.statuses.iter().filter(|status| status.contains(' ')) {
        let words = name_words(status);
        let gone = words.iter().any(|word| {
            matches!(word.as_str(), "gone" | "dismounted" | "bent" | "burst" | "cracked" | "jammed" | "lost" | "out")
        });
        for at in region.clone() {
            let near = (at.saturating_sub(3)..at + 4).any(|at| {
                message.any(at, &["gone", "lost", "dismounted", "jammed", "bust", "busted", "out", "shot", "broken"])
            });
            if gone
                && near
                && !used[at]
                && message.word(at).len() >= 3
                && words.first().is_some_and(|word| singular(word) == singular(message.word(at)))
                && message.named_at(Sort::Status, at).is_none()
            {
                side.statuses.push(status.clone());
                let from = (at.saturating_sub(3)..at).find(|at| message.any(*at, &["lost"])).unwrap_or(at);
                let to = (at..at + 4)
                    .filter(|at| message.any(*at, &["gone", "dismounted", "jammed", "out", "already"]))
                    .max()
                    .unwrap_or(at);
                let to = (to + 1).min(used.len());
                used[from..to].fill(true);
            }
        }
    }
    for mention in message.named(Sort::Status).filter(|mention| region.contains(&mention.at)) {
        if used[mention.at..mention.at + mention.len].iter().any(|used| *used) {
            continue;
        }
        side.statuses.push(mention.ids[0].0.clone());
        used[mention.at..mention.at + mention.len].fill(true);
    }
}

/// What a unit of the question before is said to carry, use or bear.
pub fn unattached(message: &ParsedMessage<'_>, side: &mut Side, used: &mut [bool], marked: bool) {
    let region = 0..message.tokens.len();
    only(message, side, region.clone(), used);
    items(message, side, region.clone(), &[], used);
    owned(message, side, used);
    if marked {
        statuses(message, side, region, used);
    }
}

/// Options by their full names, wherever they stand, with what belongs to them.
fn owned(message: &ParsedMessage<'_>, side: &mut Side, used: &mut [bool]) {
    let Some(unit) = side.unit().and_then(|id| message.index.unit(id)).cloned() else { return };
    for mention in message.named(Sort::Option) {
        let own = mention.ids.iter().find(|(_, owner)| owner.as_deref() == Some(unit.id.as_str()));
        let free = used[mention.at..mention.at + mention.len].iter().all(|used| !used);
        // `walrus rifles v musk drovers`: whoever carries them attacks, and is not who stands behind the word.
        let others = mention.at < side.start && super::battle::acts_on(message, mention.at + mention.len, side.start);
        let Some((id, _)) = own.filter(|_| free && !others && !denied(message, mention.at)) else { continue };
        apply(side, Item::Option(Extra { id: id.clone(), times: None }));
        used[mention.at..mention.at + mention.len].fill(true);
    }
    // `an Elder`: the last word of what the unit may take.
    for option in &unit.options {
        let Some(last) = name_words(&option.name).pop().filter(|_| option.name.contains(' ')) else { continue };
        for at in 0..message.tokens.len() {
            let said = singular(message.word(at)) == singular(&last) && last.len() >= 4;
            let named = message
                .mentions
                .iter()
                .any(|one| one.at <= at && at < one.at + one.len && !matches!(one.sort, Sort::Weapon | Sort::Rule));
            let led = at > 0
                && (message.is(at - 1, Class::With)
                    || message.any(at - 1, &["an", "a", "their", "the", "his", "got", "and"])
                    || message.tokens[at].owns);
            // `the claw is out`: it has one anyway.
            let has = unit.weapons.iter().any(|id| id.rsplit('-').next() == Some(singular(message.word(at))));
            if said && !has && !used[at] && !named && led && !denied(message, at) {
                apply(side, Item::Option(Extra { id: option.id.clone(), times: None }));
                used[at] = true;
            }
        }
    }
}
