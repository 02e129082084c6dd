//! Whether a pack's numbers go by what a unit has lost.
use super::model::Pack;
use super::model::attack::Form;
use super::model::change::{Change, Rule};
use super::model::chart::Rows;
use super::model::condition::Condition;
use super::model::roll::{AimPlan, RollPlan};
use super::model::sum::{NeedsFrom, Source, Sum};

/// Whether a rule, a chart or a roll of the pack reads how many models stand, points missing or marks.
pub fn reads_losses(pack: &Pack) -> bool {
    let charts = pack.charts.iter().any(|chart| match &chart.rows {
        Rows::Table { .. } => false,
        Rows::Difference(sum, _) => of_sum(sum),
        Rows::Ratio(over, under, _) => of_sum(over) || of_sum(under),
    });
    let steps = pack.steps.iter().any(|step| match &step.form {
        Form::Roll(roll) => of_roll(roll),
        Form::Penetrate(plan) => [&plan.add, &plan.against, &plan.graze, &plan.breach].into_iter().any(of_sum),
    });
    let procedures = pack
        .procedures
        .iter()
        .any(|procedure| of_condition(&procedure.when) || of_sum(&procedure.attacks) || of_sum(&procedure.damage));
    charts || steps || procedures || pack.rules.iter().any(of_rule)
}

/// The marks that decide something later: those that a rule asks for, and those that a chart may repeat, each once.
pub fn marks_that_matter(pack: &Pack) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut add = |name: &String| {
        if !all.contains(name) {
            all.push(name.clone());
        }
    };
    let rows = pack.breaches.iter().flat_map(|breach| &breach.rows);
    rows.filter(|row| row.repeated.is_some()).filter_map(|row| row.status.as_ref()).for_each(&mut add);
    let of_rules = pack
        .rules
        .iter()
        .flat_map(|rule| std::iter::once(&rule.when).chain(rule.changes.iter().map(|change| &change.when)));
    for when in of_rules.chain(pack.procedures.iter().map(|procedure| &procedure.when)) {
        marks_of(when, &mut add);
    }
    all
}

fn marks_of(condition: &Condition, add: &mut impl FnMut(&String)) {
    match condition {
        Condition::All(parts) | Condition::Any(parts) => parts.iter().for_each(|part| marks_of(part, add)),
        Condition::Not(inner) => marks_of(inner, add),
        Condition::Status(names) => names.iter().for_each(add),
        _ => {}
    }
}

fn of_rule(rule: &Rule) -> bool {
    of_condition(&rule.when) || rule.changes.iter().any(of_change)
}

fn of_change(change: &Change) -> bool {
    let effects = &change.effects;
    let sums = [
        &effects.harder,
        &effects.modifier,
        &effects.add,
        &effects.against,
        &effects.chart_modifier,
        &effects.graze,
        &effects.breach,
        &effects.attacks,
        &effects.set_damage,
        &effects.damage,
        &effects.restores,
    ];
    of_condition(&change.when) || sums.into_iter().flatten().any(of_sum) || effects.needs.as_ref().is_some_and(of_needs)
}

fn of_roll(roll: &RollPlan) -> bool {
    let aim = match &roll.aim {
        AimPlan::Needs(needs) => of_needs(needs),
        AimPlan::Choose(choices) => choices.iter().any(|one| of_needs(&one.needs) || of_sum(&one.modifier)),
        AimPlan::Versus(versus) => of_sum(&versus.modifier),
    };
    aim || of_sum(&roll.modifier)
}

fn of_needs(needs: &NeedsFrom) -> bool {
    match needs {
        NeedsFrom::AtLeast(sum) | NeedsFrom::AtMost(sum) => of_sum(sum),
        NeedsFrom::Fixed(_) | NeedsFrom::Stat(..) | NeedsFrom::Chart(_) => false,
    }
}

fn of_condition(condition: &Condition) -> bool {
    match condition {
        Condition::All(parts) | Condition::Any(parts) => parts.iter().any(of_condition),
        Condition::Not(inner) => of_condition(inner),
        Condition::Compare(sum, ..) => of_sum(sum),
        Condition::Status(_) => true,
        _ => false,
    }
}

fn of_sum(sum: &Sum) -> bool {
    sum.0.iter().any(|term| matches!(term.source, Source::Models(_) | Source::Hurt))
}
