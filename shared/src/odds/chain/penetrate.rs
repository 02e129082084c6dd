//! Penetration rolls and the effects of what came through, as chances.
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::{Change, Chart, Penetrate, PenetrateReroll};

/// The chances of failing (`None`), grazing (`Some(false)`) and breaching (`Some(true)`).
pub(crate) fn score<N: Number>(step: &Penetrate, change: &Change) -> [(Option<bool>, N); 3] {
    let add = i64::from(change.add.unwrap_or(step.add)) + i64::from(change.plus.add);
    let total = total::<N>(step).shifted(add);
    let against = i64::from(change.against.unwrap_or(step.against)) + i64::from(change.plus.against);
    let once = if step.equal_breaches {
        [total.at_most(against - 1), N::zero(), total.at_least(against)]
    } else {
        [total.at_most(against - 1), total.chance(against), total.at_least(against + 1)]
    };
    let mut again = N::zero();
    if step.reroll != PenetrateReroll::None {
        again.add(&once[0]);
    }
    if step.reroll == PenetrateReroll::FailuresAndGrazes {
        again.add(&once[1]);
    }
    let [fails, grazes, breaches] = once.clone().map(|chance| again.times(&chance));
    let stands = |first: &N, mut second: N, rerolled: bool| {
        if !rerolled {
            second.add(first);
        }
        second
    };
    [
        (None, stands(&once[0], fails, step.reroll != PenetrateReroll::None)),
        (Some(false), stands(&once[1], grazes, step.reroll == PenetrateReroll::FailuresAndGrazes)),
        (Some(true), stands(&once[2], breaches, false)),
    ]
}

/// The dice with their constant, never below 0, and the bonus once when any of them is critical.
///
/// # Formula
/// Two sums grow die by die: of rolls without a critical face so far, and of rolls with one.
fn total<N: Number>(step: &Penetrate) -> Distribution<N> {
    let Some((on, bonus)) = &step.critical else { return step.dice.distribution() };
    let sides = step.dice.sides();
    let face = N::ratio(1, u64::from(sides));
    let length = (step.dice.count() * sides) as usize + 1;
    let (mut without, mut with) = (vec![N::zero(); length], vec![N::zero(); length]);
    without[0] = N::one();
    for _ in 0..step.dice.count() {
        let (mut next_without, mut next_with) = (vec![N::zero(); length], vec![N::zero(); length]);
        for shown in 1..=sides as usize {
            let onto = if shown >= *on as usize { &mut next_with } else { &mut next_without };
            N::add_scaled(&mut onto[shown..], &face, &without[..length - shown]);
            N::add_scaled(&mut next_with[shown..], &face, &with[..length - shown]);
        }
        (without, with) = (next_without, next_with);
    }
    let floored = |chances: Vec<N>| {
        let plus = i64::from(step.dice.plus());
        Distribution::new(0, chances).map(|sum| sum.map(|total| (total + plus).max(0)))
    };
    let (plain, critical) = (floored(without), floored(with).map(|sum| sum.convolve(&bonus.distribution())));
    let parts = [plain, critical];
    // Both are parts of one distribution already: they are put together, not weighed.
    Distribution::mix(parts.iter().flatten().map(|part| (N::one(), part))).unwrap_or_else(|| Distribution::certain(0))
}

/// What a roll on a chart gives: the index of its row or nothing, with the chance.
pub(crate) fn rows<N: Number>(chart: &Chart) -> Vec<(Option<usize>, N)> {
    let result = chart.dice.distribution::<N>().shifted(i64::from(chart.modifier));
    let mut found: Vec<(Option<usize>, N)> = Vec::new();
    for (value, chance) in result.iter() {
        let row = chart.rows.iter().rposition(|row| row.at_least <= value);
        match found.iter_mut().find(|(known, _)| *known == row) {
            Some((_, sum)) => sum.add(chance),
            None => found.push((row, chance.clone())),
        }
    }
    found
}
