//! A penetration roll.
use super::super::model::attack::PenetratePlan;
use super::super::model::stat::Scope;
use super::super::model::sum::{Source, Sum, Term};
use super::super::reason::Spot;
use super::active_changes::ActiveChange;
use super::base;
use super::context::{self, RuleContext};
use super::log::Log;
use super::roll::{Place, amount, on};
use crate::odds::chain::{Chart, ChartRow, Counts, Penetrate, PenetrateReroll, Repeated};
use crate::odds::dice::Dice;

/// Compiles a penetrate step.
pub(super) fn compile(
    context: &RuleContext<'_>,
    plan: &PenetratePlan,
    place: Place<'_>,
    changes: &[ActiveChange<'_>],
    log: &mut Log,
) -> Penetrate {
    let mut dice = plan.dice;
    let mut add = context.number(&plan.add);
    let mut against = context.number(&plan.against);
    explain(context, "add", &plan.add, add, place.spot, place.name, log);
    explain(context, "against", &plan.against, against, place.spot, place.name, log);
    let mut reroll = plan.reroll;
    let mut bonus = plan.critical.clone();
    let mut chart = plan.chart;
    let mut chart_plus = 0;
    for (by, effects) in on(changes, place.id) {
        if let Some(other) = effects.dice.filter(|other| *other != dice) {
            log.changed(place.spot, by, place.name, format!("dice {dice} → {other}"));
            dice = other;
        }
        if effects.reroll.is_some() {
            let other =
                if effects.reroll_grazes { PenetrateReroll::FailuresAndGrazes } else { PenetrateReroll::Failures };
            let rank = |reroll| {
                matches!(reroll, PenetrateReroll::FailuresAndGrazes) as u8 + (reroll != PenetrateReroll::None) as u8
            };
            if rank(other) > rank(reroll) {
                let effect = match reroll {
                    PenetrateReroll::None => format!("re-roll {}", words(other)),
                    _ => format!("re-roll {} → {}", words(reroll), words(other)),
                };
                log.changed(place.spot, by, place.name, effect);
                reroll = other;
            }
        }
        if let Some(more) = &effects.critical {
            let dice = more.add.as_ref().map(|sum| context.dice(sum).to_string()).unwrap_or_default();
            let on = more.on.unwrap_or(dice_top(plan.dice));
            log.changed(place.spot, by, place.name, format!("+{dice} on a {on}"));
            bonus = Some(more.clone());
        }
        if let Some(other) = effects.chart.filter(|other| Some(*other) != chart) {
            log.changed(place.spot, by, place.name, format!("breach by {}", context.pack.breaches[other].named.label));
            chart = Some(other);
        }
    }
    for (by, effects) in on(changes, place.id) {
        let mut more = |sum: &Option<Sum>, number: &mut i32, name: &str| {
            let Some(amount) = sum.as_ref().map(|sum| context.number(sum)).filter(|amount| *amount != 0) else {
                return;
            };
            let before = *number;
            *number = before.saturating_add(amount);
            log.changed(place.spot, by, place.name, format!("{name} {before} → {number}"));
        };
        more(&effects.add, &mut add, "add");
        more(&effects.against, &mut against, "against");
        more(&effects.chart_modifier, &mut chart_plus, "breach chart");
    }
    // What rules put on the stat that it is against counts wherever that stat is read.
    let raised = match plan.against.0.as_slice() {
        [Term { minus: false, source: Source::Stat(Scope::Target, stat) }] => {
            Some((*stat, against.saturating_sub(context.number(&plan.against)))).filter(|(_, by)| *by != 0)
        }
        _ => None,
    };
    let context = &RuleContext { raised, ..*context };
    let (mut graze, mut breach) = (context.dice(&plan.graze), context.dice(&plan.breach));
    for (by, effects) in on(changes, place.id) {
        let mut structure = |sum: &Option<Sum>, dice: &mut Dice, name: &str| {
            let Some(sum) = sum else { return };
            let before = *dice;
            *dice = context::add(before, context.number(sum));
            log.changed(place.spot, by, place.name, format!("structure of a {name} {before} → {dice}"));
        };
        structure(&effects.graze, &mut graze, "graze");
        structure(&effects.breach, &mut breach, "breach");
    }
    let critical = bonus.and_then(|bonus| {
        let add = bonus.add.as_ref().map(|sum| context.dice(sum))?;
        Some((bonus.on.unwrap_or(dice_top(dice)), amount(add)))
    });
    Penetrate {
        dice,
        add,
        against: against.clamp(0, 10_000).unsigned_abs(),
        reroll,
        critical,
        equal_breaches: plan.equal_breaches,
        graze: amount(graze),
        breach: amount(breach),
        graze_counts: Counts::new(),
        breach_counts: Counts::new(),
        chart: chart.map(|at| chart_of(context, at, chart_plus)),
    }
}

fn dice_top(dice: Dice) -> u32 {
    dice.sides()
}

fn explain(context: &RuleContext<'_>, what: &str, sum: &Sum, number: i32, spot: Spot, name: &str, log: &mut Log) {
    // What adds nothing needs no reason.
    if sum.as_number().is_some() || (what == "add" && number == 0) {
        return;
    }
    // A chart among the terms says what it was looked up by.
    let charts: Vec<String> = (sum.0.iter())
        .filter_map(|term| match &term.source {
            Source::Chart(at) => {
                let chart = &context.pack.charts[*at];
                Some(format!("{} by {}", chart.named.label, context.spell_chart(chart)))
            }
            _ => None,
        })
        .collect();
    let text = charts.join("; ");
    let what = if what == "add" { format!("{number:+}") } else { format!("{what} {number}") };
    log.from(spot, base(name, text, format!("{what}: {}", context.spell(sum))));
}

fn words(reroll: PenetrateReroll) -> &'static str {
    match reroll {
        PenetrateReroll::None => "none",
        PenetrateReroll::Failures => "failures",
        PenetrateReroll::FailuresAndGrazes => "failures and grazes",
    }
}

fn chart_of(context: &RuleContext<'_>, at: usize, plus: i32) -> Chart {
    let plan = &context.pack.breaches[at];
    let row = |row: &super::super::model::attack::BreachRow| ChartRow {
        at_least: i64::from(row.at_least),
        structure: amount(row.structure),
        status: row.status.clone(),
        wrecked: row.wrecked,
        counts: Counts::new(),
        repeated: row.repeated.map(|(structure, wrecked)| Repeated { structure: amount(structure), wrecked }),
    };
    let modifier = context.number(&plan.modifier).saturating_add(plus);
    Chart { dice: plan.dice, modifier, rows: plan.rows.iter().map(row).collect() }
}
