//! What counters must keep to: their own limits, and the names that other parts give them.
use super::super::dice::Amount;
use super::super::roll::Aim;
use super::check::{Found, check_change, check_name};
use super::fault::ChainFault;
use super::{Counters, Counts, Kind, Target, Volley};
use std::fmt;

/// The most counters of a target.
pub(crate) const MOST_COUNTERS: usize = 4;
/// The most that a counter goes up to.
pub(crate) const MOST_VALUE: u32 = 1_000;
/// The most rows that read counters.
const MOST_ROWS: usize = 40;

/// The counters of a target themselves.
pub(super) fn check_target(found: &mut Found, target: &Target) {
    let counters = target.counters();
    found.unless(counters.all.len() <= MOST_COUNTERS, "target/counters", ChainFault::Counters);
    for (index, counter) in counters.all.iter().enumerate() {
        let at = format_args!("target/counters/{index}");
        check_name(found, format_args!("{at}/name"), &counter.name);
        if counters.all[..index].iter().any(|earlier| earlier.name == counter.name) {
            found.add(format_args!("{at}/name"), ChainFault::SameCounter);
        }
        let most = (1..=MOST_VALUE).contains(&counter.most);
        found.unless(most, format_args!("{at}/most"), ChainFault::CounterMost);
        found.unless(!most || counter.start <= counter.most, format_args!("{at}/start"), ChainFault::CounterStart);
    }
    found.unless(counters.thresholds.len() <= MOST_ROWS, "target/thresholds", ChainFault::CounterRows);
    for (index, row) in counters.thresholds.iter().enumerate() {
        let at = format_args!("target/thresholds/{index}");
        check_known(found, format_args!("{at}/name"), counters, &row.counter);
        check_name(found, format_args!("{at}/effect"), &row.effect);
        found.unless(row.at_least <= MOST_VALUE, format_args!("{at}/at_least"), ChainFault::CounterValue);
    }
}

/// What a volley adds to the counters of its target and reads of them.
pub(super) fn check_volley(found: &mut Found, volley: &Volley, counters: &Counters) {
    check_counts(found, format_args!("counts"), &volley.counts, counters);
    for (index, step) in volley.steps.iter().enumerate() {
        let at = format_args!("steps/{index}");
        check_counts(found, format_args!("{at}/counts"), &step.counts, counters);
        match &step.kind {
            Kind::Roll(_) => {}
            Kind::Table(table) => {
                for (row, of) in table.rows.iter().enumerate() {
                    check_counts(found, format_args!("{at}/rows/{row}/counts"), &of.counts, counters);
                }
            }
            Kind::Penetrate(penetrate) => {
                check_counts(found, format_args!("{at}/graze/counts"), &penetrate.graze_counts, counters);
                check_counts(found, format_args!("{at}/breach/counts"), &penetrate.breach_counts, counters);
                for (row, of) in penetrate.chart.iter().flat_map(|chart| &chart.rows).enumerate() {
                    check_counts(found, format_args!("{at}/breach/chart/rows/{row}/counts"), &of.counts, counters);
                }
            }
        }
    }
    found.unless(volley.by_counter.len() <= MOST_ROWS, "by_counter", ChainFault::CounterRows);
    for (index, row) in volley.by_counter.iter().enumerate() {
        let at = format_args!("by_counter/{index}");
        // Whether the own side has a counter is seen where both sides are known.
        if !row.own {
            check_known(found, format_args!("{at}/name"), counters, &row.counter);
        }
        found.unless(row.at_least <= MOST_VALUE, format_args!("{at}/at_least"), ChainFault::CounterValue);
        let earlier = &volley.by_counter[..index];
        let alike = |other: &super::ByCounter| {
            (other.own, &other.counter, other.at_least) == (row.own, &row.counter, row.at_least)
        };
        found.unless(!earlier.iter().any(alike), format_args!("{at}/at_least"), ChainFault::SameRow);
        for change in &row.then {
            let at = format_args!("{at}/then/{}", change.step);
            match volley.steps.iter().find(|step| step.name == change.step) {
                Some(step) => check_change(found, at, change, step),
                None => found.add(at, ChainFault::NoStep(change.step.clone())),
            }
        }
        if let Some(gate) = &row.gate {
            let at = format_args!("{at}/then/gate");
            let within = |number: i32| number.unsigned_abs() <= 1_000;
            let modifiers = within(gate.modifier.unwrap_or(0)) && within(gate.plus_modifier);
            found.unless(modifiers, format_args!("{at}/modifier"), ChainFault::Modifier);
            found.unless(within(gate.plus_needs), format_args!("{at}/needs"), ChainFault::Modifier);
            let opposed = volley.gate.as_ref().is_some_and(|of| matches!(of.roll.aim, Aim::Versus(_)));
            let changed = gate.needs.is_some() || gate.plus_needs != 0;
            found.unless(
                !(opposed && changed),
                format_args!("{at}/needs"),
                ChainFault::OpposedChange("gate".to_owned()),
            );
        }
    }
}

fn check_counts(found: &mut Found, path: fmt::Arguments<'_>, counts: &Counts, counters: &Counters) {
    for (name, amount) in counts {
        check_known(found, format_args!("{path}/{name}"), counters, name);
        check_amount(found, format_args!("{path}/{name}"), amount);
    }
}

fn check_amount(found: &mut Found, path: fmt::Arguments<'_>, amount: &Amount) {
    found.unless(amount.highest() <= 10_000, path, ChainFault::Amount);
}

fn check_known(found: &mut Found, path: fmt::Arguments<'_>, counters: &Counters, name: &str) {
    if counters.position(name).is_none() {
        found.add(path, ChainFault::NoCounter(name.to_owned()));
    }
}
