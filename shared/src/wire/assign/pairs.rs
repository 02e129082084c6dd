//! The situation of every pair: the request's, with what a pair says of itself laid over it.
use super::super::matchup::{SituationForm, Stated, resolve_situation, resolve_table};
use super::super::mistake::{Mistake, Mistakes};
use super::{AssignPair, AssignRequest};
use crate::rules::compile::CompileError;
use crate::rules::matchup::Situation;
use crate::rules::model::Pack;

/// For each attacker and each target, the situation; nothing where the attack cannot be made.
pub(super) fn situations(
    request: &AssignRequest,
    pack: &Pack,
    defaults: &mut Vec<Stated>,
    mistakes: &mut Mistakes,
) -> Option<Vec<Vec<Option<Situation>>>> {
    let usual = resolve_table(request.situation.as_ref(), pack, defaults, mistakes);
    let (attackers, targets) = (request.attackers.len(), request.targets.len());
    let mut all = vec![vec![usual.clone(); targets]; attackers];
    let mut said = vec![vec![false; targets]; attackers];
    for (at, pair) in request.pairs.iter().flatten().enumerate() {
        let mut found = Mistakes::default();
        for (name, place, count) in [("attacker", pair.attacker, attackers), ("target", pair.target, targets)] {
            if place >= count {
                found.push(Mistake::value(format!("/{name}"), no_such(name, place, count)));
            }
        }
        if found.0.is_empty() && std::mem::replace(&mut said[pair.attacker][pair.target], true) {
            found.push(Mistake::value("", "this pair was said before: say all of it in one place"));
        }
        let cell = resolve(request, pair, pack, &mut found);
        if found.0.is_empty()
            && let Some(cell) = cell
        {
            all[pair.attacker][pair.target] = cell;
        }
        found.0.into_iter().for_each(|mistake| mistakes.push(mistake.below(&format!("/pairs/{at}"))));
    }
    usual.map(|_| all)
}

/// A place that there is not.
pub(super) fn no_such(name: &str, place: usize, count: usize) -> String {
    match count {
        0 => format!("there are no {name}s"),
        1 => format!("there is one {name}, with the number 0, and none with the number {place}"),
        _ => format!("there is no {name} with the number {place}: they count from 0 to {}", count - 1),
    }
}

/// What one pair comes to.
fn resolve(
    request: &AssignRequest,
    pair: &AssignPair,
    pack: &Pack,
    mistakes: &mut Mistakes,
) -> Option<Option<Situation>> {
    match (pair.cannot.unwrap_or(false), &pair.situation) {
        (true, Some(_)) => {
            let detail = "an attack that cannot be made has no situation: say one of the two";
            mistakes.push(Mistake::value("/cannot", detail));
            None
        }
        (true, None) => Some(None),
        (false, None) => None,
        (false, Some(own)) => {
            // Mistakes of the request's own situation are told with that.
            resolve_situation(own, pack, mistakes)?;
            let whole = laid_over(request.situation.as_ref(), own);
            Some(Some(resolve_situation(&whole, pack, &mut Mistakes::default())?))
        }
    }
}

/// One situation laid over another, key by key.
fn laid_over(under: Option<&SituationForm>, over: &SituationForm) -> SituationForm {
    let Some(under) = under else { return over.clone() };
    let mut flags = under.flags.clone();
    // What is said to be nothing says nothing.
    let there = over.flags.iter().filter(|(_, value)| !value.is_null());
    flags.extend(there.map(|(key, value)| (key.clone(), value.clone())));
    SituationForm {
        arc: over.arc.clone().or_else(|| under.arc.clone()),
        range: over.range.clone().or_else(|| under.range.clone()),
        cover: over.cover.clone().or_else(|| under.cover.clone()),
        moved: over.moved.or(under.moved),
        flags,
    }
}

/// Pairs whose numbers make no chain: each attacker is named once.
pub(super) fn wrong(wrong: &[(usize, usize, CompileError)]) -> Vec<Mistake> {
    let mut mistakes = Mistakes::default();
    let mut said: Vec<String> = Vec::new();
    for (attacker, _, error) in wrong {
        let text = error.to_string();
        if !said.contains(&text) {
            mistakes.push(Mistake::value(format!("/attackers/{attacker}"), text.clone()));
            said.push(text);
        }
    }
    mistakes.0
}
