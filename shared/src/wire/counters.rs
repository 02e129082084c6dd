//! Counters of a target as JSON: what adds to them, what they bring and what they change.
use super::amount::{AmountForm, amount};
use super::change::{ChangeForm, ChangedNeeds, ChangedNumber, resolve_then, then_form};
use super::mistake::{Mistake, Mistakes};
use super::notes::{Label, Notes};
use super::roll::some_unless;
use crate::odds::chain::{ByCounter, Counter, Counters, Counts, GateChange, Threshold};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// A number that hits leave on a target, such as pins or fires. It belongs to the whole target and outlives a wreck; while
/// nothing of the target is left it does not change.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CounterForm {
    /// What players call it; unique on its target.
    #[schema(min_length = 1, max_length = 64, example = "pins")]
    pub name: String,
    /// It goes no higher; default 20.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub most: Option<u32>,
    /// At the start; default 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1000)]
    pub start: Option<u32>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// What holds while a counter has come so far. An effect holds where any of its rows does.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ThresholdForm {
    /// The counter.
    #[schema(min_length = 1, max_length = 64, example = "pins")]
    pub name: String,
    /// From this value on.
    #[schema(minimum = 0, maximum = 1000)]
    pub at_least: u32,
    /// Its name in the answer.
    #[schema(min_length = 1, max_length = 64, example = "pinned")]
    pub effect: String,
    /// It holds even where nothing of the target is left; default false.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub even_destroyed: Option<bool>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// Numbers that change with a counter. Of the rows of one counter the highest that is reached acts; rows of different
/// counters all act, in the order listed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ByCounterForm {
    /// The counter.
    #[schema(min_length = 1, max_length = 64, example = "pins")]
    pub name: String,
    /// Whose counter: of the `target` (default), read when an attack starts; or in a duel the `own` side's, read when the
    /// volley starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of: Option<Whose>,
    /// From this value on.
    #[schema(minimum = 0, maximum = 1000)]
    pub at_least: u32,
    /// Changed numbers of the steps, by name; by a counter of the own side also of the `gate`, its `needs` or `modifier`.
    pub then: BTreeMap<String, ChangeForm>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// Whose counter is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Whose {
    /// What is attacked.
    Target,
    /// The side that attacks.
    Own,
}

/// What is added to counters, each by its name.
pub(super) type CountsForm = BTreeMap<String, AmountForm>;

pub(super) fn resolve_counts(counts: Option<CountsForm>) -> Counts {
    counts.into_iter().flatten().map(|(name, dice)| (name, amount(Some(dice), 0))).collect()
}

pub(super) fn counts_form(counts: &Counts) -> Option<CountsForm> {
    let form = |(name, amount): &(String, _)| (name.clone(), AmountForm(Clone::clone(amount)));
    (!counts.is_empty()).then(|| counts.iter().map(form).collect())
}

pub(super) fn resolve(counters: Option<Vec<CounterForm>>, thresholds: Option<Vec<ThresholdForm>>) -> Counters {
    let counter =
        |form: CounterForm| Counter { name: form.name, most: form.most.unwrap_or(20), start: form.start.unwrap_or(0) };
    let threshold = |form: ThresholdForm| Threshold {
        counter: form.name,
        at_least: form.at_least,
        effect: form.effect,
        even_destroyed: form.even_destroyed.unwrap_or(false),
    };
    Counters {
        all: counters.into_iter().flatten().map(counter).collect(),
        thresholds: thresholds.into_iter().flatten().map(threshold).collect(),
    }
}

/// The forms of counters and thresholds.
pub(super) fn forms(counters: &Counters) -> (Option<Vec<CounterForm>>, Option<Vec<ThresholdForm>>) {
    let counter = |of: &Counter| CounterForm {
        name: of.name.clone(),
        most: some_unless(of.most, 20),
        start: some_unless(of.start, 0),
        ..CounterForm::default()
    };
    let threshold = |of: &Threshold| ThresholdForm {
        name: of.counter.clone(),
        at_least: of.at_least,
        effect: of.effect.clone(),
        even_destroyed: some_unless(of.even_destroyed, false),
        ..ThresholdForm::default()
    };
    let all: Vec<_> = counters.all.iter().map(counter).collect();
    let thresholds: Vec<_> = counters.thresholds.iter().map(threshold).collect();
    (some_unless(all, Vec::new()), some_unless(thresholds, Vec::new()))
}

/// The rows of a volley that read counters; `own` counters are read in a duel only.
pub(super) fn resolve_rows(
    rows: Option<Vec<ByCounterForm>>,
    (gated, in_duel): (bool, bool),
    at: &str,
    mistakes: &mut Mistakes,
) -> Vec<ByCounter> {
    let mut resolved = Vec::new();
    for (index, form) in rows.into_iter().flatten().enumerate() {
        let own = form.of == Some(Whose::Own);
        if own && !in_duel {
            let detail = "a counter of the own side is read in a duel only: leave of out for the target's";
            mistakes.push(Mistake::value(format!("{at}/by_counter/{index}/of"), detail));
        }
        let mut then = form.then;
        let gate = if own && gated { then.remove("gate") } else { None };
        let gate = gate.map(|change| {
            for (field, _) in [("add", change.add.is_some()), ("against", change.against.is_some())]
                .iter()
                .filter(|(_, there)| *there)
            {
                let detail = "of a gate its needs or its modifier change";
                mistakes.push(Mistake::value(format!("{at}/by_counter/{index}/then/gate/{field}"), detail));
            }
            gate_change(&change)
        });
        let row = ByCounter { counter: form.name, own, at_least: form.at_least, then: resolve_then(Some(then)), gate };
        resolved.push(row);
    }
    resolved
}

fn gate_change(form: &ChangeForm) -> GateChange {
    let mut change = GateChange::default();
    match form.needs {
        Some(ChangedNeeds::Needs(needs)) => change.needs = Some(needs.0),
        Some(ChangedNeeds::Plus(plus)) => change.plus_needs = plus.plus,
        None => {}
    }
    match form.modifier {
        Some(ChangedNumber::Number(number)) => change.modifier = Some(number),
        Some(ChangedNumber::Plus(plus)) => change.plus_modifier = plus.plus,
        None => {}
    }
    change
}

pub(super) fn row_forms(rows: &[ByCounter]) -> Option<Vec<ByCounterForm>> {
    let form = |row: &ByCounter| {
        let mut then = then_form(&row.then).unwrap_or_default();
        if let Some(gate) = &row.gate {
            then.insert("gate".to_owned(), super::change::gate_form(gate));
        }
        ByCounterForm {
            name: row.counter.clone(),
            of: row.own.then_some(Whose::Own),
            at_least: row.at_least,
            then,
            ..ByCounterForm::default()
        }
    };
    (!rows.is_empty()).then(|| rows.iter().map(form).collect())
}
