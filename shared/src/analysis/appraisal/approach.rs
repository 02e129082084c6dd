//! A game under each attacker of the board while it comes on as the pack says.
use super::{Approach, Subject, pair};
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;

/// With everything that the unit has, and without each of `rules` that changes something.
pub(super) fn approach(
    evaluator: &Evaluator<'_>,
    subject: &Subject,
    rules: &[usize],
) -> Result<Vec<Approach>, Cancelled> {
    let mut rows = Vec::new();
    for (attacker, instance) in subject.attackers.iter().enumerate() {
        let pair = pair(instance, &subject.unit);
        let Some(places) = evaluator.approach(&pair)? else { continue };
        let Some(whole) = evaluator.game_along(&pair, &places, None) else { continue };
        let mut games = vec![(None, whole)];
        for rule in rules {
            let bare = evaluator.game_along(&Pair { without: &[*rule], ..pair }, &places, None);
            games.extend(bare.filter(|bare| *bare != games[0].1).map(|bare| (Some(*rule), bare)));
        }
        for (without, game) in games {
            let outcome = evaluator.outcome(&game)?;
            let (turns, standing) = (outcome.survival(), outcome.standing);
            rows.push(Approach { attacker, places: places.clone(), without, game, turns, standing });
        }
    }
    Ok(rows)
}
