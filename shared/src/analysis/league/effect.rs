//! What one unit does to another that does not answer.
use super::super::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;
use crate::odds::duel::Duel;

/// A supply counts as endless where it runs out less often than this.
const ENDLESS: f64 = 1e-12;

/// What one unit does to another.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Effect {
    /// The share of the target that a turn removes where there is always more of it to hit, at the range that is best for
    /// that; above 1 where it removes more than all of it.
    pub removed: f64,
    /// The share of the target that is gone at the end of a game, for each turn in which it was attacked.
    pub lost: f64,
}

/// What an attacker does to a target.
///
/// # Errors
/// [`Cancelled`] where the token was called meanwhile.
pub fn effect(evaluator: &Evaluator<'_>, pair: &Pair<'_>) -> Result<Effect, Cancelled> {
    let mut games: Vec<Duel> = Vec::new();
    for range in evaluator.ranges() {
        let game = evaluator.game(pair, &evaluator.situation(None, Some(range), None));
        games.extend(game.filter(|game| !games.contains(game)));
    }
    let (mut removed, mut worst) = (0.0_f64, None::<(f64, &Duel)>);
    for game in &games {
        let once = game.one_attack_of_b();
        removed = removed.max(of_a_supply(evaluator, &once)?);
        let taken = if games.len() > 1 { evaluator.outcome(&once)?.lost } else { 0.0 };
        if worst.is_none_or(|(most, _)| taken > most + 1e-12) {
            worst = Some((taken, game));
        }
    }
    let Some((_, game)) = worst else { return Ok(Effect::default()) };
    let capacity = game.a().target.capacity() as f64;
    let outcome = evaluator.outcome(game)?;
    Ok(Effect { removed: removed / capacity, lost: outcome.lost / capacity / outcome.turns_attacked() })
}

/// Points that one attack removes from as many as it never gets through, or from the most that a target may have.
fn of_a_supply(evaluator: &Evaluator<'_>, once: &Duel) -> Result<f64, Cancelled> {
    let most = once.most_more_of_a();
    let mut more = 0;
    loop {
        let outcome = evaluator.outcome(&once.with_more_of_a(more))?;
        let destroyed = 1.0 - outcome.survival();
        if destroyed < ENDLESS || more >= most {
            return Ok(outcome.lost);
        }
        more = (more * 2 + 1).min(most);
    }
}
