//! Units that only stand by others: `near the captain`, `captain next to em`.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;
use super::sides::Side;

/// Units that only stand by: `near the captain`, `captain next to em`, `with the captain`.
pub fn helpers(message: &ParsedMessage<'_>, sides: &mut [Side], used: &mut [bool]) {
    let spans: Vec<(usize, usize)> = message.spans(Class::Near).collect();
    for (at, len) in spans {
        if used[at] {
            continue;
        }
        // `no drum anywhere near`: who does not stand there changes nothing.
        let none =
            (at.saturating_sub(5)..at).rev().find(|at| message.any(*at, &["no", "nobody", "without", "nothing"]));
        let clean = |from: usize| {
            (from..at).all(|at| !message.is_end(at) && !sides.iter().any(|side| side.at <= at && at < side.end()))
        };
        if let Some(from) = none.filter(|from| clean(*from)) {
            used[from..at + len].fill(true);
            continue;
        }
        let behind = sides.iter().position(|side| {
            !side.helper && side.start >= at + len && side.start <= at + len + 1 && gap(message, at + len, side.start)
        });
        let before =
            sides.iter().rposition(|side| !side.helper && side.end() <= at && near_gap(message, side.end(), at, used));
        let single = |side: &Side| {
            side.unit()
                .and_then(|id| message.index.unit(id))
                .is_some_and(|unit| unit.least <= 1 && unit.most <= 1 && !unit.armoured)
        };
        let pointed =
            len > 1 && message.is(at + len - 1, Class::Small) && !message.any(at + len - 1, &["to", "of", "by"]);
        let helper = match (before, behind) {
            _ if message.is(at, Class::ContactBand) => None,
            (Some(before), Some(behind))
                if single(&sides[before]) && !single(&sides[behind]) && sides[before].count.is_none() =>
            {
                Some(before)
            }
            (_, Some(behind)) if sides[behind].count.is_none_or(|count| count == 1) => Some(behind),
            (Some(before), None)
                if (sides[before].start.saturating_sub(1)..sides[before].start)
                    .any(|at| message.any(at, &["with", "w"])) =>
            {
                Some(before)
            }
            (Some(before), None)
                if pointed
                    || message.is_end(at + len)
                    || message.is(at + len, Class::Vs)
                    || pronoun(message, at + len)
                    || single(&sides[before]) =>
            {
                Some(before)
            }
            _ => None,
        };
        let Some(helper) = helper else { continue };
        if sides.iter().filter(|side| !side.helper).count() < 2 && helper_alone(sides, helper) {
            continue;
        }
        // `the ice pilot is near to my rifles`, `… next to MY boys`: who is named behind, or whose they are.
        let beside = behind.filter(|behind| before == Some(helper) && *behind != helper).or_else(|| {
            let mine = (at + len..at + len + 2).any(|at| message.any(at, &["my", "our", "mine", "ours"]));
            let first = sides.iter().position(|side| !side.helper && side.count.is_some());
            first.filter(|_| mine && behind.is_none() && message.named(Sort::Unit).all(|one| one.at < at + len))
        });
        attach(sides, helper, beside);
        used[at..at + len].fill(true);
        if pronoun(message, at + len) {
            used[at + len] = true;
        }
    }
    // A single leader behind `with` or beside `and`: `8 rifles with the captain`.
    for at in 0..sides.len() {
        let lead =
            (sides[at].start.saturating_sub(2)..sides[at].start).find(|at| message.any(*at, &["with", "w", "plus"]));
        let leader = sides[at]
            .unit()
            .and_then(|id| message.index.unit(id))
            .is_some_and(|unit| unit.most <= 1 && unit.least <= 1 && !unit.armoured);
        let after = sides[..at].iter().any(|side| !side.helper && (side.end()..sides[at].start).len() <= 4);
        if leader
            && after
            && !sides[at].helper
            && sides[at].count.is_none()
            && let Some(lead) = lead
        {
            attach(sides, at, None);
            used[lead] = true;
        }
    }
}

/// Whether the helper is the only unit there is.
fn helper_alone(sides: &[Side], helper: usize) -> bool {
    sides.iter().enumerate().all(|(at, side)| at == helper || side.helper)
}

fn pronoun(message: &ParsedMessage<'_>, at: usize) -> bool {
    message.any(at, &["them", "em", "it", "him", "her", "us", "me"])
}

fn gap(message: &ParsedMessage<'_>, from: usize, to: usize) -> bool {
    (from..to).all(|at| message.is(at, Class::Small))
}

/// Between a unit and `near`: only small words, and words of standing.
fn near_gap(message: &ParsedMessage<'_>, from: usize, to: usize, used: &[bool]) -> bool {
    // `the captain with his banner is near`
    let carried = |at: usize| {
        let led = (at.saturating_sub(3).max(from)..at).any(|at| message.any(at, &["with", "w", "and", "has"]));
        led || message.mentions.iter().any(|one| {
            matches!(one.sort, Sort::Option | Sort::Weapon | Sort::Rule) && one.at <= at && at < one.at + one.len
        })
    };
    to - from <= 7
        && (from..to).all(|at| (message.is(at, Class::Small) || used[at] || carried(at)) && !message.is_end(at))
        && (to - from <= 4 || (from..to).any(carried))
}

/// Gives the helper to the unit that it stands by: the one before it, or else the one behind.
fn attach(sides: &mut [Side], helper: usize, beside: Option<usize>) {
    sides[helper].helper = true;
    let ids = sides[helper].ids.clone();
    let place = sides[helper].at;
    let before = sides.iter().rposition(|side| !side.helper && side.at < place);
    let behind = sides.iter().position(|side| !side.helper && side.at > place);
    // `put the reeve next to my bows`
    let to = match (beside, before, behind) {
        (Some(beside), ..) => Some(beside),
        (_, Some(before), _) => Some(before),
        (_, None, behind) => behind,
    };
    if let (Some(to), Some(id)) = (to, ids.into_iter().next()) {
        sides[to].near.push(id);
    }
}
