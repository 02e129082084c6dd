//! Penetrate steps and their charts as JSON, to and from the domain.
use super::amount::{AmountForm, DiceForm};
use super::amount::{amount, amount_form};
use super::counters::{counts_form, resolve_counts};
use super::mistake::{Mistake, Mistakes, pointer};
use super::notes::{Label, Notes};
use super::roll::{RerollForm, some_unless};
use super::step::{CriticalForm, KindForm, StepForm};
use crate::odds::chain::{Chart, ChartRow, Penetrate, PenetrateReroll, Repeated};
use crate::odds::dice::{Amount, Dice};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// What a total equal to the armour is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum EqualForm {
    /// A graze.
    Graze,
    /// A breach, as a total above it.
    Breach,
}

/// What a graze does.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct GrazeForm {
    /// Structure lost; default 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<AmountForm>,
    /// Added to the target's counters, each by its name, where it takes effect.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, AmountForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// What a breach does.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BreachForm {
    /// Structure lost; default 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<AmountForm>,
    /// One roll on a table of effects.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chart: Option<ChartForm>,
    /// Added to the target's counters, each by its name, where it takes effect.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, AmountForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// A table of effects: the last row that the roll reaches counts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ChartForm {
    /// The dice.
    pub dice: DiceForm,
    /// Added to them.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// Ascending.
    #[schema(min_items = 1, max_items = 100)]
    pub rows: Vec<ChartRowForm>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// One row of a table of effects.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ChartRowForm {
    /// The result from which it counts.
    #[schema(minimum = -1000, maximum = 20000)]
    pub at_least: i64,
    /// More structure lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<AmountForm>,
    /// A lasting mark on the unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 64)]
    pub status: Option<String>,
    /// The unit is wrecked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrecked: Option<bool>,
    /// In place of all this, where the unit has the status already.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repeated: Option<RepeatedForm>,
    /// Added to the target's counters, each by its name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, AmountForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// What a status does that is there already.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RepeatedForm {
    /// Structure lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<AmountForm>,
    /// The unit is wrecked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrecked: Option<bool>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

pub(super) fn resolve(form: StepForm, at: &str, mistakes: &mut Mistakes) -> Option<Penetrate> {
    let strays = [
        ("die", form.die.is_some(), "a penetrate step takes dice, such as \"1d6\""),
        ("keep", form.keep.is_some(), "a penetrate step sums all its dice"),
        ("needs", form.needs.is_some(), "a penetrate step is against the armour: give against"),
        ("versus", form.versus.is_some(), "a penetrate step is against the armour: give against"),
        ("ties", form.ties.is_some(), "a penetrate step has equal in place of ties"),
        ("modifier", form.modifier.is_some(), "a penetrate step takes add in place of a modifier"),
        ("low_fails", form.low_fails.is_some(), "a penetrate step has no natural failures"),
        ("high_succeeds", form.high_succeeds.is_some(), "a penetrate step has no natural successes"),
        ("rows", form.rows.is_some(), "rows belong to a table, a penetrate step has a chart under breach"),
        ("margin", form.margin.is_some(), "a penetrate step has no margin"),
        ("backfire", form.backfire.is_some(), "a penetrate step does not backfire"),
    ];
    for (field, _, detail) in strays.iter().filter(|(_, there, _)| *there) {
        mistakes.push(Mistake::value(pointer(at, field), *detail));
    }
    let reroll = match form.reroll {
        None | Some(RerollForm::None) => Some(PenetrateReroll::None),
        Some(RerollForm::Failures) => Some(PenetrateReroll::Failures),
        Some(RerollForm::FailuresAndGrazes) => Some(PenetrateReroll::FailuresAndGrazes),
        Some(_) => {
            let detail = "a penetrate step re-rolls failures or failures_and_grazes";
            mistakes.push(Mistake::value(pointer(at, "reroll"), detail));
            None
        }
    };
    let against = form.against.or_else(|| {
        mistakes.push(Mistake::missing(pointer(at, "against"), "say which armour the penetrate step is against"));
        None
    });
    let dice = match form.dice.map(|dice| dice.0) {
        None => Dice::one(6).ok(),
        Some(Amount::Dice(dice)) => Some(dice),
        Some(Amount::Given(_)) => {
            mistakes.push(Mistake::value(pointer(at, "dice"), "a penetrate step rolls dice, not a distribution"));
            None
        }
    };
    let equal_breaches = form.equal == Some(EqualForm::Breach);
    if equal_breaches && form.graze.is_some() {
        let detail = "there is no graze where an equal total is a breach";
        mistakes.push(Mistake::value(pointer(at, "graze"), detail));
    }
    let critical = form.critical.map(|critical| resolve_critical(critical, at, mistakes));
    let (graze, breach) = (form.graze.unwrap_or_default(), form.breach.unwrap_or_default());
    let chart = breach.chart.map(resolve_chart);
    Some(Penetrate {
        dice: dice?,
        add: form.add.unwrap_or(0),
        against: against?,
        reroll: reroll?,
        critical,
        equal_breaches,
        graze: amount(graze.structure, 0),
        breach: amount(breach.structure, 0),
        graze_counts: resolve_counts(graze.counts),
        breach_counts: resolve_counts(breach.counts),
        chart,
    })
}

fn resolve_critical(critical: CriticalForm, at: &str, mistakes: &mut Mistakes) -> (u32, Amount) {
    let strays = [
        ("always", critical.always.is_some()),
        ("extra", critical.extra.is_some()),
        ("then", critical.then.is_some()),
        ("damage", critical.damage.is_some()),
    ];
    for (field, _) in strays.iter().filter(|(_, there)| *there) {
        let detail = "the critical of a penetrate step has only on and add";
        mistakes.push(Mistake::value(format!("{at}/critical/{field}"), detail));
    }
    (critical.on, amount(critical.add, 0))
}

fn resolve_chart(chart: ChartForm) -> Chart {
    let row = |row: ChartRowForm| ChartRow {
        at_least: row.at_least,
        structure: amount(row.structure, 0),
        status: row.status,
        wrecked: row.wrecked.unwrap_or(false),
        counts: resolve_counts(row.counts),
        repeated: row.repeated.map(|repeated| Repeated {
            structure: amount(repeated.structure, 0),
            wrecked: repeated.wrecked.unwrap_or(false),
        }),
    };
    Chart { dice: chart.dice.0, modifier: chart.modifier.unwrap_or(0), rows: chart.rows.into_iter().map(row).collect() }
}

/// The form of a penetrate step, on what every step has.
pub(super) fn form(step: &Penetrate, base: StepForm) -> StepForm {
    let reroll = match step.reroll {
        PenetrateReroll::None => None,
        PenetrateReroll::Failures => Some(RerollForm::Failures),
        PenetrateReroll::FailuresAndGrazes => Some(RerollForm::FailuresAndGrazes),
    };
    let critical = step.critical.as_ref().map(|(on, add)| CriticalForm {
        on: *on,
        add: Some(AmountForm(add.clone())),
        ..CriticalForm::default()
    });
    let chart = step.chart.as_ref().map(chart_form);
    let graze = GrazeForm {
        structure: amount_form(&step.graze, 0),
        counts: counts_form(&step.graze_counts),
        ..GrazeForm::default()
    };
    StepForm {
        kind: Some(KindForm::Penetrate),
        dice: Some(AmountForm(step.dice.into())),
        add: some_unless(step.add, 0),
        against: Some(step.against),
        reroll,
        critical,
        equal: step.equal_breaches.then_some(EqualForm::Breach),
        graze: some_unless(graze, GrazeForm::default()),
        breach: Some(BreachForm {
            structure: amount_form(&step.breach, 0),
            counts: counts_form(&step.breach_counts),
            chart,
            ..BreachForm::default()
        }),
        ..base
    }
}

fn chart_form(chart: &Chart) -> ChartForm {
    let row = |row: &ChartRow| ChartRowForm {
        at_least: row.at_least,
        structure: amount_form(&row.structure, 0),
        status: row.status.clone(),
        wrecked: some_unless(row.wrecked, false),
        counts: counts_form(&row.counts),
        repeated: row.repeated.as_ref().map(|repeated| RepeatedForm {
            structure: amount_form(&repeated.structure, 0),
            wrecked: some_unless(repeated.wrecked, false),
            ..RepeatedForm::default()
        }),
        ..ChartRowForm::default()
    };
    ChartForm {
        dice: DiceForm(chart.dice),
        modifier: some_unless(chart.modifier, 0),
        rows: chart.rows.iter().map(row).collect(),
        because: None,
        label: None,
    }
}
