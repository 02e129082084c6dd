//! What a league is made from: for each unit, what it takes in a turn and how long it lasts, over the whole board.
use super::super::appraisal::Bench;
use super::super::matchup::MatchupReady;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::{Chain, Lost, Target};
use crate::rules::matchup::Fielded;
use crate::rules::model::Pack;
use crate::rules::standing;
use std::sync::Arc;

/// A supply counts as endless where it runs out less often than this.
const ENDLESS: f64 = 1e-6;
/// The most models or units that stand for an endless supply.
const MOST: u32 = 960;

/// The measures of one unit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Measured {
    /// Points that it takes in a turn, the mean of the board.
    pub(super) pace: f64,
    /// The share of itself that it loses in a turn, the mean of the board.
    pub(super) worn: f64,
}

pub(super) fn bench<'a>(pack: &'a Arc<Pack>, turns: u32, token: &'a CancellationToken) -> Bench<'a> {
    Bench { pack, named: None, turns, token }
}

/// Measures every unit. Who faces whom, and in which order, is the same for all, so that copies come out alike.
pub(super) fn measured(
    pack: &Arc<Pack>,
    units: &[Fielded],
    board: &[Fielded],
    turns: u32,
    token: &CancellationToken,
) -> Result<Vec<Measured>, Cancelled> {
    let bench = bench(pack, turns, token);
    token.expect(units.len() as u64 * board.len() as u64);
    let mut all = Vec::with_capacity(units.len());
    for unit in units {
        let mut own = Measured::default();
        for other in board {
            let points = super::super::lookup::cost(pack, other) as f64;
            own.pace += points * wear(&bench, unit, other)?;
            own.worn += wear(&bench, other, unit)?;
            token.step();
        }
        let size = board.len().max(1) as f64;
        all.push(Measured { pace: own.pace / size, worn: own.worn / size });
    }
    Ok(all)
}

/// The share of the target's health or structure that the attacker removes in a turn where there is always more of it to
/// hit; above 1 where it removes more than all of it. At the range that is best for the attacker. What the target mends
/// in a game is taken off in the proportion in which fewer of it fall.
fn wear(bench: &Bench<'_>, attacker: &Fielded, target: &Fielded) -> Result<f64, Cancelled> {
    let mut best: Option<(MatchupReady, u32, f64)> = None;
    for range in 0..bench.pack.situations.ranges.len() {
        let situation = bench.situation(None, Some(range), None);
        let Some(ready) = bench.matchup(attacker, target, &situation) else { continue };
        let Some((there, removed)) = removed(bench, &ready)? else { continue };
        if best.as_ref().is_none_or(|(.., most)| removed > most + 1e-12) {
            best = Some((ready, there, removed));
        }
    }
    let Some((ready, there, removed)) = best.filter(|(.., removed)| *removed > 0.0) else { return Ok(0.0) };
    let kept = match standing::repair(bench.pack, target, &[], &[]) {
        None => 1.0,
        Some(_) => mended(bench, &ready, there)?,
    };
    let one = Fielded { models: 1, ..target.clone() };
    Ok(removed * kept / f64::from(standing::capacity(bench.pack, &one)) / f64::from(target.models.max(1)))
}

/// Points of health or structure that one turn removes from as many as it never gets through, and how many that is.
fn removed(bench: &Bench<'_>, ready: &MatchupReady) -> Result<Option<(u32, f64)>, Cancelled> {
    let chain = &ready.compiled().chain;
    let mut there = supply(chain.target());
    loop {
        let Ok(more) = Chain::new(chain.volleys().to_vec(), so_many(chain.target(), there), Vec::new()) else {
            return Ok(None);
        };
        let answer = more.evaluate::<f64>(false, bench.token)?;
        if answer.destroyed < ENDLESS || there >= MOST {
            let removed = match &answer.lost {
                Lost::Soldiers { health, .. } => health.expected(),
                Lost::Armoured { structure, .. } => structure.expected(),
            };
            return Ok(Some((there, removed)));
        }
        there = there.saturating_mul(2).min(MOST);
    }
}

/// The part of what falls in a game that falls in spite of the repair.
fn mended(bench: &Bench<'_>, ready: &MatchupReady, there: u32) -> Result<f64, Cancelled> {
    let there = there.saturating_mul(bench.turns).min(MOST);
    let target = so_many(ready.compiled().chain.target(), there);
    let fallen = |mends: bool| -> Result<f64, Cancelled> {
        let duel = bench.game_on(ready, target.clone(), mends);
        duel.map_or(Ok(0.0), |duel| Ok(f64::from(there) - bench.outcome(&duel)?.left))
    };
    let bare = fallen(false)?;
    Ok(if bare > 0.0 { (fallen(true)? / bare).min(1.0) } else { 1.0 })
}

/// How many models or units a target has.
pub(super) fn supply(target: &Target) -> u32 {
    match target {
        Target::Soldiers(soldiers) => soldiers.groups.iter().map(|group| group.models).sum(),
        Target::Armoured(armoured) => armoured.units,
    }
}

/// The target with so many models or units, its last ones being more of the same.
pub(super) fn so_many(target: &Target, there: u32) -> Target {
    let mut target = target.clone();
    let more = there.saturating_sub(supply(&target));
    match &mut target {
        Target::Soldiers(soldiers) => {
            if let Some(last) = soldiers.groups.last_mut() {
                last.models += more;
            }
        }
        Target::Armoured(armoured) => armoured.units += more,
    }
    target
}
