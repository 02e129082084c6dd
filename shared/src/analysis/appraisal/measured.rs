//! A unit measured against its board: points destroyed in a game, turns survived under attackers that come on.
use super::damage::gone;
use super::{Subject, Worth, pair};
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;
use crate::points::instance_cost;
use crate::rules::matchup::UnitInstance;

/// What a unit comes to, target by target and attacker by attacker.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// What it costs.
    pub points: u64,
    /// Points destroyed in a game, for each target; nothing where it can use no weapon on it.
    pub damage: Vec<Option<f64>>,
    /// Turns survived while the attacker comes on, for each attacker; nothing where that can use no weapon.
    pub turns: Vec<Option<f64>>,
    /// What it comes to.
    pub worth: Worth,
}

/// Measures a unit.
///
/// # Errors
/// [`Cancelled`] where the token was called meanwhile.
pub fn measured(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Measured, Cancelled> {
    measured_beside(evaluator, subject, (true, true), None)
}

/// Measures a unit; where it is known that its attacks, or the attacks on it, are those of a measured one, they are taken
/// from there.
pub(super) fn measured_beside(
    evaluator: &Evaluator<'_>,
    subject: &Subject,
    (attacks, is_attacked): (bool, bool),
    known: Option<&Measured>,
) -> Result<Measured, Cancelled> {
    let damage = match known.filter(|_| !attacks) {
        Some(known) => known.damage.clone(),
        None => subject
            .targets
            .iter()
            .map(|target| destroyed(evaluator, &subject.unit, target))
            .collect::<Result<_, _>>()?,
    };
    let turns = match known.filter(|_| !is_attacked) {
        Some(known) => known.turns.clone(),
        None => {
            let survived = |attacker| survived(evaluator, &pair(attacker, &subject.unit));
            subject.attackers.iter().map(survived).collect::<Result<_, _>>()?
        }
    };
    let points = instance_cost(evaluator.pack, &subject.unit);
    let worth = worth(evaluator, subject, points, &damage, &turns);
    Ok(Measured { points, damage, turns, worth })
}

/// Points destroyed in a game at the range at which one turn removes most.
fn destroyed(evaluator: &Evaluator<'_>, unit: &UnitInstance, target: &UnitInstance) -> Result<Option<f64>, Cancelled> {
    evaluator.known.figure(format!("destroys {unit:?} {target:?}"), || {
        let game = evaluator.worst_game(&pair(unit, target), None)?;
        let Some((_, game)) = game else { return Ok(None) };
        Ok(Some(gone(evaluator, target, evaluator.outcome(&game)?.left)))
    })
}

/// Turns survived under an attacker that comes on.
fn survived(evaluator: &Evaluator<'_>, pair: &Pair<'_>) -> Result<Option<f64>, Cancelled> {
    evaluator.known.figure(format!("under {:?} {:?}", pair.attacker, pair.target), || {
        let Some(places) = evaluator.approach(pair)? else { return Ok(None) };
        let Some(game) = evaluator.game_along(pair, &places, None) else { return Ok(None) };
        Ok(Some(evaluator.outcome(&game)?.survival()))
    })
}

/// The worth of what was measured.
fn worth(
    evaluator: &Evaluator<'_>,
    subject: &Subject,
    points: u64,
    damage: &[Option<f64>],
    turns: &[Option<f64>],
) -> Worth {
    let damage: Vec<f64> = damage.iter().flatten().copied().collect();
    let shares: Vec<f64> = turns.iter().flatten().map(|turns| turns / f64::from(evaluator.turns)).collect();
    Worth::of(points, &damage, &shares, subject)
}
