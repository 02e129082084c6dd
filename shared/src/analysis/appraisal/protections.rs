//! How long the unit survives, and what each of its protections and its repair adds to that where it does most.
use super::{Protected, Protection, Subject, Survival, pair};
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;
use crate::odds::duel::Duel;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::limits::Place;
use crate::rules::standing;

/// The rules that the unit carries, and the one that grants its repair.
pub(super) fn rules(evaluator: &Evaluator<'_>, unit: &UnitInstance) -> Vec<usize> {
    let (_, mut rules) = standing::profile(evaluator.pack, unit);
    let repair = standing::repair(evaluator.pack, unit, &[], &[]).map(|repair| repair.rule);
    rules.extend(repair.filter(|rule| !rules.contains(rule)));
    rules
}

/// A game under each attacker from each arc that makes a difference, at the range that is best from there: with
/// everything that the unit has, and at the same range without each of its rules that changes something, and without
/// its repair.
pub(super) fn survival(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Vec<Survival>, Cancelled> {
    let rules = rules(evaluator, &subject.unit);
    let mut rows = Vec::new();
    for (index, attacker) in subject.attackers.iter().enumerate() {
        let pair = pair(attacker, &subject.unit);
        let arcs = evaluator.arcs(&pair);
        for arc in &arcs {
            let Some((range, game)) = evaluator.worst_game(&pair, Some(*arc))? else { continue };
            let situation = evaluator.situation(Some(*arc), Some(range), None);
            let row = |without: Option<usize>, game| -> Result<Survival, Cancelled> {
                let outcome = evaluator.outcome(&game)?;
                let turns = outcome.survival();
                let arc = (arcs.len() > 1).then_some(*arc);
                Ok(Survival { attacker: index, arc, range, without, game, turns, standing: outcome.standing })
            };
            let whole = row(None, game)?;
            let mut bare_rows = Vec::new();
            for rule in &rules {
                let bare = evaluator.game(&Pair { without: &[*rule], ..pair }, &situation);
                let Some(bare) = bare.filter(|bare| *bare != whole.game) else { continue };
                bare_rows.push(row(Some(*rule), bare)?);
            }
            rows.push(whole);
            rows.append(&mut bare_rows);
        }
    }
    Ok(rows)
}

/// What each rule adds under each attacker, at the arc and the range where it does most; the best rule first.
pub(super) fn protections(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Vec<Protection>, Cancelled> {
    let rules = rules(evaluator, &subject.unit);
    let mut found: Vec<(usize, Vec<Protected>)> = rules.iter().map(|rule| (*rule, Vec::new())).collect();
    for (attacker, instance) in subject.attackers.iter().enumerate() {
        let pair = pair(instance, &subject.unit);
        let places = everywhere(evaluator, &pair);
        for (rule, under) in &mut found {
            under.extend(protected(evaluator, attacker, &Pair { without: &[*rule], ..pair }, &places)?);
        }
    }
    let mut rows = Vec::new();
    for (rule, under) in found {
        // The first of equals, as the board has them.
        let most = under.iter().map(|one| one.gained().abs()).fold(0.0, f64::max);
        let best = under.iter().position(|one| one.gained().abs() >= most - 1e-12);
        rows.extend(best.map(|best| Protection { rule, best, under }));
    }
    rows.sort_by(|a, b| b.gained().total_cmp(&a.gained()));
    Ok(rows)
}

/// The games of a pair at every arc and range, the usual ones first; nothing where no weapon can be used.
fn everywhere(evaluator: &Evaluator<'_>, pair: &Pair<'_>) -> Vec<(Place, Duel)> {
    let usual = evaluator.pack.situations.usual.0;
    let arcs = std::iter::once(usual).chain((0..evaluator.pack.situations.arcs.len()).filter(|arc| *arc != usual));
    let places = arcs.flat_map(|arc| evaluator.ranges().map(move |range| Place { range, arc }));
    let game = |place: Place| {
        let situation = evaluator.situation(Some(place.arc), Some(place.range), None);
        Some((place, evaluator.game(pair, &situation)?))
    };
    places.filter_map(game).collect()
}

/// A rule under one attacker: at the place at which it changes most of what one turn removes, a whole game with it and
/// without it. Nothing where it acts nowhere. What mends changes nothing of one turn's attack: then it is the place where
/// most is removed.
fn protected(
    evaluator: &Evaluator<'_>,
    attacker: usize,
    bare: &Pair<'_>,
    places: &[(Place, Duel)],
) -> Result<Option<Protected>, Cancelled> {
    let mut best: Option<(f64, Place, &Duel, Duel)> = None;
    for (place, with) in places {
        let situation = evaluator.situation(Some(place.arc), Some(place.range), None);
        let Some(without) = evaluator.game(bare, &situation).filter(|without| without != with) else { continue };
        let removed = evaluator.removed(with)?;
        let mends = with.a().repair != without.a().repair;
        let told = if mends { removed } else { (evaluator.removed(&without)? - removed).abs() };
        if best.as_ref().is_none_or(|(most, ..)| told > most + 1e-12) {
            best = Some((told, *place, with, without));
        }
    }
    let Some((_, place, with, without)) = best else { return Ok(None) };
    let turns = [evaluator.outcome(with)?.survival(), evaluator.outcome(&without)?.survival()];
    Ok(Some(Protected { attacker, place, with: (with.clone(), turns[0]), without: (without, turns[1]) }))
}

impl Protected {
    /// Turns that it adds here.
    pub fn gained(&self) -> f64 {
        self.with.1 - self.without.1
    }
}

impl Protection {
    /// Where it does most.
    pub fn at_best(&self) -> &Protected {
        &self.under[self.best]
    }

    /// Turns that it adds where it does most.
    pub fn gained(&self) -> f64 {
        self.at_best().gained()
    }
}
