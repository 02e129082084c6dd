//! Each option of the unit: what changes with it, and whether it gives more for its points.
use super::measured::{Measured, measured};
use super::{Subject, Worth};
use crate::analysis::evaluator::Evaluator;
use crate::odds::cancellation::Cancelled;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;

/// What an option is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct OptionWorth {
    /// Which, by index.
    pub option: usize,
    /// Options that were taken in both cases since this one needs them, by index.
    pub needs: Vec<usize>,
    /// The unit without it.
    pub without: Measured,
    /// The unit with it.
    pub with: Measured,
    /// By how much of itself the worth changes; nothing where it was none before.
    pub moved: Option<f64>,
}

/// More options than this are not weighed.
pub const MOST_OPTIONS: usize = 24;

/// The options that the unit may still take, in its order.
pub(super) fn open(pack: &Pack, instance: &UnitInstance) -> Vec<(usize, Vec<usize>)> {
    let unit = &pack.units[instance.unit];
    let taken = |option: usize| instance.options.iter().any(|(known, _)| *known == option);
    let mut found = Vec::new();
    for (at, option) in unit.options.iter().enumerate() {
        if taken(at) || option.most.of(instance.models) == 0 {
            continue;
        }
        let mut needs: Vec<usize> = Vec::new();
        let mut asked: Vec<usize> = option.requires.iter().copied().chain(option.inside).collect();
        while let Some(needed) = asked.pop() {
            if !taken(needed) && !needs.contains(&needed) && needed != at {
                needs.push(needed);
                let more = &unit.options[needed];
                asked.extend(more.requires.iter().copied().chain(more.inside));
            }
        }
        needs.sort_unstable();
        let here = |option: usize| option == at || taken(option) || needs.contains(&option);
        let all = unit.options.iter().enumerate().filter(|(option, _)| here(*option));
        let clash = all.into_iter().any(|(_, option)| option.excludes.iter().any(|barred| here(*barred)));
        if !clash {
            found.push((at, needs));
        }
    }
    found
}

/// Weighs each of them.
pub(super) fn weighed(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Vec<OptionWorth>, Cancelled> {
    let with = |options: &[usize]| {
        let mut changed = subject.clone();
        changed.unit.options.extend(options.iter().map(|option| (*option, 1)));
        measured(evaluator, &changed)
    };
    let mut rows = Vec::new();
    for (option, needs) in open(evaluator.pack, &subject.unit).into_iter().take(MOST_OPTIONS) {
        let without = with(&needs)?;
        let taken: Vec<usize> = needs.iter().copied().chain([option]).collect();
        let with = with(&taken)?;
        let moved = moved(&without.worth, &with.worth);
        rows.push(OptionWorth { option, needs, without, with, moved });
    }
    Ok(rows)
}

/// By how much of itself a worth changes; nothing where it was none before.
pub(super) fn moved(before: &Worth, after: &Worth) -> Option<f64> {
    (before.value() > 0.0).then(|| after.value() / before.value() - 1.0)
}
