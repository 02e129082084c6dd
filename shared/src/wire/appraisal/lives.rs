//! How long the unit lives, and what each of its protections and its repair adds to that.
use super::answer::{KeepRow, LifeRow};
use super::asks;
use super::bench::{Bench, Outcome};
use crate::odds::cancellation::Cancelled;
use crate::odds::duel::Duel;
use crate::rules::matchup::Fielded;
use crate::rules::standing;

/// A game under each attacker at the range given for it, from each arc that makes a difference: with everything that
/// the unit has, and without each of its rules that changes something, and without its repair.
pub(super) fn lives(
    bench: &Bench<'_>,
    subject: &Fielded,
    attackers: &[(Fielded, Option<usize>)],
) -> Result<(Vec<LifeRow>, Vec<KeepRow>), Cancelled> {
    let (_, rules) = standing::profile(bench.pack, subject);
    let repair = standing::repair(bench.pack, subject, &[], &[]).map(|repair| repair.rule);
    let mut rows = Vec::new();
    // By rule: turns stood with it and without it, and how often it acts.
    let mut keeps: Vec<(usize, f64, f64, u32)> = Vec::new();
    for (attacker, range) in attackers {
        let Some(range) = *range else { continue };
        let arcs = bench.arcs(attacker, subject, &[]);
        for arc in &arcs {
            let situation = bench.situation(Some(*arc), Some(range), None);
            let Some(ready) = bench.matchup(attacker, subject, &situation) else { continue };
            let Some(duel) = bench.game(&ready, true) else { continue };
            let outcome = bench.outcome(&duel)?;
            let row = |duel: &Duel, outcome: &Outcome, without: Option<usize>| LifeRow {
                attacker: bench.label(attacker),
                attacker_models: attacker.models,
                arc: (arcs.len() > 1).then(|| bench.arc(*arc)),
                range: bench.range(range),
                without: without.map(|rule| bench.pack.rules[rule].named.label.clone()),
                standing: outcome.standing.clone(),
                stood: outcome.stood(),
                ask: asks::duel(duel),
            };
            rows.push(row(&duel, &outcome, None));
            for rule in rules.iter().copied().chain(repair.filter(|rule| !rules.contains(rule))) {
                let mends = repair != Some(rule);
                let bare = bench.matchup_without(attacker, subject, &situation, &[rule]);
                let Some(bare) = bare else { continue };
                let acts = bare.compiled().chain != ready.compiled().chain || !mends;
                let Some(duel) = bench.game(&bare, mends).filter(|_| acts) else { continue };
                let without = bench.outcome(&duel)?;
                rows.push(row(&duel, &without, Some(rule)));
                let sums = match keeps.iter_mut().find(|(known, ..)| *known == rule) {
                    Some(sums) => sums,
                    None => {
                        keeps.push((rule, 0.0, 0.0, 0));
                        let last = keeps.len() - 1;
                        &mut keeps[last]
                    }
                };
                *sums = (rule, sums.1 + outcome.stood(), sums.2 + without.stood(), sums.3 + 1);
            }
        }
    }
    let keep = |(rule, with, without, acts): (usize, f64, f64, u32)| {
        let named = &bench.pack.rules[rule].named;
        let (with, without) = (with / f64::from(acts), without / f64::from(acts));
        KeepRow { rule: named.label.clone(), text: named.text.clone(), with, without, gained: with - without, acts }
    };
    let mut keeps: Vec<KeepRow> = keeps.into_iter().map(keep).collect();
    keeps.sort_by(|a, b| b.gained.total_cmp(&a.gained));
    Ok((rows, keeps))
}
