//! One variant brought together with one target.
use super::super::mistake::{Mistake, Mistakes};
use super::super::subject::{AttackQuery, one_of};
use super::{BoardTarget, Count, Pair, Variant};
use crate::rules::PackCatalog;

/// The pair, with every mistake at the place where the request has the part.
pub(super) fn pair(
    variant: &Variant,
    index: usize,
    target: Option<(usize, &BoardTarget)>,
    catalog: &PackCatalog,
    mistakes: &mut Mistakes,
) -> Option<Pair> {
    let at = format!("/variants/{index}");
    let mut found = Mistakes::default();
    let there = [("chain", variant.chain.is_some()), ("matchup", variant.matchup.is_some())];
    if !one_of(&there, &mut found) {
        found.0.drain(..).for_each(|mistake| mistakes.push(mistake.below(&at)));
        return None;
    }
    let query = match (&variant.chain, &variant.matchup) {
        (Some(chain), _) => {
            let on = plain_target(chain.target.as_ref(), target, &at, mistakes)?;
            AttackQuery::plain(chain.on(on), "/chain", &mut found)
        }
        (None, Some(matchup)) => {
            if variant.points.is_some() {
                mistakes.push(Mistake::value(format!("{at}/points"), "the pack knows what a matchup's units cost"));
            }
            let on = unit_target(matchup.target.as_ref(), target, &at, mistakes)?;
            let situation = target.and_then(|(_, target)| target.situation.clone());
            AttackQuery::units(matchup.on(on, situation), catalog, "/matchup", &mut found)
        }
        (None, None) => None,
    };
    found.0.into_iter().for_each(|mistake| mistakes.push(placed(mistake, &at, target)));
    let query = query?;
    let (attacker, attacked, cost) = match &query {
        AttackQuery::Plain(_) => (None, None, variant.points),
        AttackQuery::Units(prepared) => {
            let matchup = prepared.matchup();
            let label = |unit: usize| Some(matchup.pack.units[unit].named.label.clone());
            (label(matchup.attacker.unit), label(matchup.target.unit), Some(prepared.cost()))
        }
    };
    let place = target.map_or(index, |(place, _)| place);
    let given = target.and_then(|(_, target)| target.label.clone());
    Some(Pair {
        variant: variant.label.clone().or(attacker).unwrap_or_else(|| format!("variant {}", index + 1)),
        target: given.or(attacked).unwrap_or_else(|| format!("target {}", place + 1)),
        query,
        points: cost,
        count: Count::Said,
    })
}

fn plain_target(
    own: Option<&super::super::target::TargetForm>,
    board: Option<(usize, &BoardTarget)>,
    at: &str,
    mistakes: &mut Mistakes,
) -> Option<super::super::target::TargetForm> {
    let Some((place, target)) = board else {
        return kept(own, || Mistake::missing(format!("{at}/chain/target"), "say what is attacked"), mistakes);
    };
    doubled(own.is_some(), &format!("{at}/chain/target"), mistakes);
    for (field, there) in [("unit", target.unit.is_some()), ("situation", target.situation.is_some())] {
        if there {
            let detail = "a chain meets targets from plain numbers; units are for matchups";
            mistakes.push(Mistake::value(format!("/targets/{place}/{field}"), detail));
        }
    }
    kept(
        target.target.as_ref(),
        || Mistake::missing(format!("/targets/{place}/target"), "a chain needs a target from plain numbers"),
        mistakes,
    )
}

fn unit_target(
    own: Option<&super::super::matchup::SideForm>,
    board: Option<(usize, &BoardTarget)>,
    at: &str,
    mistakes: &mut Mistakes,
) -> Option<super::super::matchup::SideForm> {
    let Some((place, target)) = board else {
        return kept(own, || Mistake::missing(format!("{at}/matchup/target"), "say who is attacked"), mistakes);
    };
    doubled(own.is_some(), &format!("{at}/matchup/target"), mistakes);
    if target.target.is_some() {
        let detail = "a matchup meets units; plain numbers are for chains";
        mistakes.push(Mistake::value(format!("/targets/{place}/target"), detail));
    }
    kept(
        target.unit.as_ref(),
        || Mistake::missing(format!("/targets/{place}/unit"), "a matchup needs a unit as target"),
        mistakes,
    )
}

fn kept<T: Clone>(there: Option<&T>, missing: impl Fn() -> Mistake, mistakes: &mut Mistakes) -> Option<T> {
    if there.is_none() {
        mistakes.push(missing());
    }
    there.cloned()
}

fn doubled(there: bool, at: &str, mistakes: &mut Mistakes) {
    if there {
        mistakes.push(Mistake::value(at, "the board gives the targets: leave this out, or the board"));
    }
}

/// Mistakes of a target on the board are named there, all others in the variant.
fn placed(mut mistake: Mistake, at: &str, target: Option<(usize, &BoardTarget)>) -> Mistake {
    let Some((place, target)) = target else { return mistake.below(at) };
    let parts = [("/chain/target", "target"), ("/matchup/target", "unit"), ("/matchup/situation", "situation")];
    for (part, field) in parts {
        let on_board = field != "situation" || target.situation.is_some();
        if let Some(rest) = mistake.pointer.strip_prefix(part).filter(|rest| rest.is_empty() || rest.starts_with('/'))
            && on_board
        {
            mistake.pointer = format!("/targets/{place}/{field}{rest}");
            return mistake;
        }
    }
    mistake.below(at)
}
