//! Numbers that stand without their unit: `the skiff hits my 8`, `snipes v fowlers, 5 each`.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::sides::Side;

/// `how many rifles do I lose if the skiff hits my 8`: a number without a unit is of the unit that has none.
pub fn elliptic(message: &ParsedMessage<'_>, sides: &mut [Side], used: &mut [bool]) {
    for at in 0..message.tokens.len() {
        let of = message.any(at + 1, &["of"])
            && message.any(at + 2, &["them", "em", "those", "these"])
            && !message.any(at + 3, &["with", "w", "have", "got"]);
        let Some(number) = message.number(at).filter(|_| of && !used[at]) else { continue };
        let fits = |side: &Side| {
            side.unit()
                .and_then(|id| message.index.unit(id))
                .is_some_and(|unit| unit.armoured || u64::from(unit.most) >= number)
        };
        if let Some(side) =
            sides.iter_mut().find(|side| !side.helper && side.count.is_none() && side.end() <= at && fits(side))
        {
            side.count = Some(number);
            used[at..at + 3].fill(true);
        }
    }
    // `snipes v fowlers, 5 each`
    for at in 0..message.tokens.len() {
        let each = message.any(at + 1, &["each", "apiece", "aside"])
            || message.any(at + 1, &["a"]) && message.any(at + 2, &["side"]);
        let Some(number) = message.number(at).filter(|_| each && !used[at] && !message.is(at + 2, Class::Points))
        else {
            continue;
        };
        let both: Vec<usize> = (0..sides.len()).filter(|at| !sides[*at].helper && sides[*at].count.is_none()).collect();
        let many = |at: &usize| {
            sides[*at]
                .unit()
                .and_then(|id| message.index.unit(id))
                .is_some_and(|unit| u64::from(unit.most) >= number && !unit.armoured)
        };
        if both.len() == 2 && both.iter().all(many) && !message.has(Class::Points) {
            both.iter().for_each(|at| sides[*at].count = Some(number));
            used[at..at + 2].fill(true);
        }
    }
    // `killed 6 doors of 8`: so many there were, and so many of them it was.
    for side in sides.iter_mut().filter(|side| !side.helper && side.start < side.at) {
        let out = usize::from(message.any(side.end(), &["out"]));
        let whole = message.number(side.end() + out + 1).filter(|_| message.any(side.end() + out, &["of"]));
        let place = side.end() + out + 1;
        if let (Some(part), Some(whole)) = (side.count, whole)
            && part <= whole
            && !used[place]
            && side
                .unit()
                .and_then(|id| message.index.unit(id))
                .is_some_and(|unit| !unit.armoured && u64::from(unit.most) >= whole)
            && message.number(side.start) == Some(part)
        {
            side.count = Some(whole);
            used[side.end()..=place].fill(true);
            used[side.start] = false;
        }
    }
    // `how many riders does a mortar kill out of 10`
    for at in 2..message.tokens.len() {
        let out = message.any(at - 1, &["of"]) && message.any(at - 2, &["out"]) && message.is_end(at + 1);
        let Some(number) = message.number(at).filter(|_| out && !used[at]) else { continue };
        let many = |side: &Side| {
            side.unit()
                .and_then(|id| message.index.unit(id))
                .is_some_and(|unit| unit.most > 1 && unit.least != unit.most)
        };
        if let Some(side) = sides.iter_mut().find(|side| !side.helper && side.count.is_none() && many(side)) {
            side.count = Some(number);
            used[at - 2..=at].fill(true);
        }
    }
    for at in 1..message.tokens.len() {
        if used[at]
            || message.number(at).is_none()
            || !message.any(at - 1, &["my", "his", "their", "our", "your", "all", "the"])
        {
            continue;
        }
        let next = at + 1;
        let ends = message.is_end(next)
            || used.get(next).is_some_and(|used| *used)
            || message.any(next, &["out", "in", "from", "at", "of"]);
        let many = |side: &Side| side.unit().and_then(|id| message.index.unit(id)).is_some_and(|unit| unit.most > 1);
        let before: Vec<usize> = (0..sides.len())
            .filter(|place| {
                sides[*place].end() <= at
                    && sides[*place].count.is_none()
                    && !sides[*place].helper
                    && many(&sides[*place])
            })
            .collect();
        if let [one] = before.as_slice()
            && ends
            && !message.is(next, Class::Turn)
        {
            sides[*one].count = message.number(at);
            used[at] = true;
        }
    }
}
