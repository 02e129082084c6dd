//! How much there is to work out, before any of it is.
use super::neighbours::{MOST_HELPED, MOST_NEAR, helpers, own_ways};
use super::options::{MOST_OPTIONS, open};
use super::{Subject, changes, comparators, largest, protections};
use crate::analysis::evaluator::Evaluator;
use crate::odds::price::{self, Work};
use crate::rules::compile::compile;
use crate::rules::matchup::UnitInstance;

/// From one matchup and one duel of each pair, and how many like them there may be.
pub fn appraising(evaluator: &Evaluator<'_>, subject: &Subject) -> Work {
    let Subject { unit, targets, attackers } = subject;
    let (pack, usual) = (evaluator.pack, evaluator.situation(None, None, None));
    let situations = &pack.situations;
    let (ranges, arcs) = (Work::from(situations.ranges.len()), Work::from(situations.arcs.len()));
    let full = largest(pack, unit);
    let changes = Work::from(changes(pack, unit).len()) + 1;
    let rules = Work::from(protections::rules(evaluator, unit).len()) + 1;
    let options = Work::from(open(pack, unit).len().min(MOST_OPTIONS));
    let near = Work::from(helpers(pack, unit).len().min(MOST_NEAR));
    let mut sum = Work::new(10_000);
    for target in targets {
        for attacker in std::iter::once(unit).chain(&full) {
            let matchup = evaluator.matchup(&super::pair(attacker, target), &usual);
            let once = compile(&matchup).map_or(Work::new(1_000), |one| price::chain(&one.chain, false, false) + 2_000);
            sum += once * ranges * (arcs + 1);
        }
        sum += against(evaluator, unit, target) * (changes + options * 2 + near * 2);
    }
    for attacker in attackers {
        // Attackers that come on use each weapon in several ways.
        sum += under(evaluator, attacker, unit) * (changes + arcs * rules + rules * 3 + options * 2 + near * 2);
    }
    let each = |unit: &UnitInstance| measuring(evaluator, &Subject { unit: unit.clone(), ..subject.clone() });
    for other in comparators::chosen(pack, unit) {
        sum += each(&other);
    }
    let ways = Work::from(own_ways(pack, unit).len());
    if ways != Work::NONE {
        for other in (0..pack.units.len()).filter(|other| *other != unit.unit).take(MOST_HELPED) {
            let other = UnitInstance { unit: other, models: pack.units[other].models.0, ..UnitInstance::default() };
            sum += each(&other) * (ways + 1);
        }
    }
    sum
}

/// A game of a unit against each target, and of each attacker against it.
pub fn measuring(evaluator: &Evaluator<'_>, subject: &Subject) -> Work {
    let dealt = subject.targets.iter().map(|target| against(evaluator, &subject.unit, target) * 2);
    let borne = subject.attackers.iter().map(|attacker| under(evaluator, attacker, &subject.unit));
    dealt.chain(borne).fold(Work::NONE, |sum, one| sum + one)
}

/// A game of the unit against a target.
fn against(evaluator: &Evaluator<'_>, unit: &UnitInstance, target: &UnitInstance) -> Work {
    let game = evaluator.game(&super::pair(unit, target), &evaluator.situation(None, None, None));
    game.map_or(Work::new(1_000), |game| price::duel(&game, false))
}

/// A game under an attacker, where it stays or as it comes on, whichever is more.
fn under(evaluator: &Evaluator<'_>, attacker: &UnitInstance, unit: &UnitInstance) -> Work {
    let stays = against(evaluator, attacker, unit);
    match evaluator.game_along(&super::pair(attacker, unit), &evaluator.stated_approach(), None) {
        Some(game) => price::duel(&game, false).max(stays),
        None => stays,
    }
}
