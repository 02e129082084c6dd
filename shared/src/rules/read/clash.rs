//! Names that could be taken for two things, and changes that a roll can't take.
use super::super::model::attack::{Form, StepPlan};
use super::super::model::change::Rule;
use super::super::model::roll::{AimPlan, GainPlan};
use super::ids::Section;
use super::node::Fields;
use std::collections::HashMap;

/// Refuses ids that conditions could take for two things: one name, one thing.
pub(super) fn ids(named: &[(&'static str, &Section<'_>)]) {
    let mut first: HashMap<&str, &str> = HashMap::new();
    for (what, section) in named {
        for (id, fields) in section.ids.order.iter().zip(&section.tables).filter(|(id, _)| !id.is_empty()) {
            match first.get(id.as_str()) {
                Some(other) if other != what => {
                    fields.wrong(format!("{id:?} is a {other} and a {what}: give one of them another id"));
                }
                _ => drop(first.insert(id, what)),
            }
        }
    }
}

/// Refuses needs of rolls that both sides make among the numbers that a success changes.
pub(super) fn opposed(
    step_tables: &Section<'_>,
    steps: &[Option<StepPlan>],
    rule_tables: &Section<'_>,
    rules: &[Rule],
) {
    let versus = |step: usize| match steps.get(step).and_then(Option::as_ref).map(|plan| &plan.form) {
        Some(Form::Roll(roll)) => matches!(roll.aim, AimPlan::Versus(_)),
        _ => false,
    };
    let refuse = |fields: &Fields<'_>, gain: &GainPlan| {
        for (step, _) in gain.then.iter().filter(|(step, then)| versus(*step) && then.needs.is_some()) {
            let id = &step_tables.ids.order[*step];
            fields.wrong(format!("both sides roll for {id:?}: a success can change only its modifier"));
        }
    };
    for (fields, plan) in step_tables.tables.iter().zip(steps) {
        if let Some(Form::Roll(roll)) = plan.as_ref().map(|plan| &plan.form) {
            roll.critical.iter().for_each(|critical| refuse(fields, &critical.gain));
            roll.margins.iter().for_each(|(_, gain)| refuse(fields, gain));
        }
    }
    for (fields, rule) in rule_tables.tables.iter().zip(rules) {
        let criticals = rule.changes.iter().filter_map(|change| change.effects.critical.as_ref());
        criticals.for_each(|critical| refuse(fields, &critical.gain));
    }
}
