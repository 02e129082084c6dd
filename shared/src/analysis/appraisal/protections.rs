//! How long the unit survives, and what each of its protections and its repair adds to that.
use super::{Protection, Subject, Survival, pair};
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;
use crate::rules::standing;

/// A game under each attacker from each arc that makes a difference, at the range that is best from there: with
/// everything that the unit has, and at the same range without each of its rules that changes something, and without
/// its repair.
pub(super) fn games(
    evaluator: &Evaluator<'_>,
    subject: &Subject,
) -> Result<(Vec<Survival>, Vec<Protection>), Cancelled> {
    let (_, mut rules) = standing::profile(evaluator.pack, &subject.unit);
    let repair = standing::repair(evaluator.pack, &subject.unit, &[], &[]).map(|repair| repair.rule);
    rules.extend(repair.filter(|rule| !rules.contains(rule)));
    let (mut rows, mut sums) = (Vec::new(), Vec::new());
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
                let bare = row(Some(*rule), bare)?;
                add(&mut sums, *rule, whole.turns, bare.turns);
                bare_rows.push(bare);
            }
            rows.push(whole);
            rows.append(&mut bare_rows);
        }
    }
    for protection in &mut sums {
        protection.with /= f64::from(protection.acts);
        protection.without /= f64::from(protection.acts);
    }
    sums.sort_by(|a, b| b.gained().total_cmp(&a.gained()));
    Ok((rows, sums))
}

fn add(sums: &mut Vec<Protection>, rule: usize, with: f64, without: f64) {
    match sums.iter_mut().find(|known| known.rule == rule) {
        Some(sum) => (sum.with, sum.without, sum.acts) = (sum.with + with, sum.without + without, sum.acts + 1),
        None => sums.push(Protection { rule, with, without, acts: 1 }),
    }
}

impl Protection {
    /// Turns that it adds.
    pub fn gained(&self) -> f64 {
        self.with - self.without
    }
}
