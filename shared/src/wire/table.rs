//! Tables among the steps as JSON, to and from the domain.
use super::amount::{AmountForm, amount, amount_form};
use super::change::{ChangeForm, resolve_then, then_form};
use super::counters::{counts_form, resolve_counts};
use super::mistake::{Mistake, Mistakes, pointer};
use super::notes::{Label, Notes};
use super::roll::{self, RerollForm, some_unless};
use super::step::{KindForm, StepForm};
use crate::odds::chain::{Gain, Table, TableRow};
use crate::odds::dice::{Amount, Dice};
use crate::odds::roll::{Needs, Reroll, Roll};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// What a total of a table gives.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TableRowForm {
    /// The total from which it counts.
    #[schema(minimum = -1000, maximum = 20000)]
    pub at_least: i64,
    /// Changed numbers of later steps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub then: Option<BTreeMap<String, ChangeForm>>,
    /// Further, ordinary successes that go on with nothing of the row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub extra: Option<AmountForm>,
    /// Added to the damage of this success.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<AmountForm>,
    /// The attack ends here; default false.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ends: Option<bool>,
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

pub(super) fn resolve(form: StepForm, at: &str, mistakes: &mut Mistakes) -> Option<Table> {
    let rolls = "a table has neither success nor failure: it has rows";
    let strays = [
        ("by", form.by.is_some(), "nobody succeeds on a table, so it does not matter who rolls it"),
        ("die", form.die.is_some(), "a table takes dice, such as \"1d6\""),
        ("needs", form.needs.is_some(), rolls),
        ("versus", form.versus.is_some(), rolls),
        ("ties", form.ties.is_some(), rolls),
        ("low_fails", form.low_fails.is_some(), rolls),
        ("high_succeeds", form.high_succeeds.is_some(), rolls),
        ("critical", form.critical.is_some(), rolls),
        ("margin", form.margin.is_some(), rolls),
        ("backfire", form.backfire.is_some(), "a table does not backfire"),
        ("add", form.add.is_some(), "a table takes a modifier in place of add"),
        ("against", form.against.is_some(), rolls),
        ("equal", form.equal.is_some(), rolls),
        ("graze", form.graze.is_some(), rolls),
        ("breach", form.breach.is_some(), rolls),
    ];
    for (field, _, detail) in strays.iter().filter(|(_, there, _)| *there) {
        mistakes.push(Mistake::value(pointer(at, field), *detail));
    }
    let reroll = match form.reroll {
        None | Some(RerollForm::None) => Some(Reroll::None),
        Some(RerollForm::Worst) => Some(Reroll::Worst),
        Some(_) => {
            mistakes.push(Mistake::value(pointer(at, "reroll"), "a table re-rolls none or worst"));
            None
        }
    };
    let dice = form.dice.or_else(|| Dice::one(6).ok().map(|die| AmountForm(Amount::Dice(die))))?;
    let pool = mistakes.keep(roll::resolve_pool(dice, form.keep, at));
    let rows = form.rows.or_else(|| {
        mistakes.push(Mistake::missing(pointer(at, "rows"), "say what the totals of the table give: its rows"));
        None
    });
    let row = |row: TableRowForm| TableRow {
        at_least: row.at_least,
        gain: Gain { extra: amount(row.extra, 0), then: resolve_then(row.then), damage: amount(row.damage, 0) },
        ends: row.ends.unwrap_or(false),
        counts: resolve_counts(row.counts),
    };
    let plain = Roll::plain(Dice::NONE, Needs::AtLeast(1));
    let roll = Roll { pool: pool?, modifier: form.modifier.unwrap_or(0), reroll: reroll?, ..plain };
    Some(Table { roll, rows: rows?.into_iter().map(row).collect() })
}

/// The form of a table, on what every step has.
pub(super) fn form(table: &Table, base: StepForm) -> StepForm {
    let (dice, keep) = roll::pool_form(&table.roll.pool);
    let row = |row: &TableRow| TableRowForm {
        at_least: row.at_least,
        then: then_form(&row.gain.then),
        extra: amount_form(&row.gain.extra, 0),
        damage: amount_form(&row.gain.damage, 0),
        ends: some_unless(row.ends, false),
        counts: counts_form(&row.counts),
        because: None,
        label: None,
    };
    StepForm {
        kind: Some(KindForm::Table),
        dice: Some(dice),
        keep,
        modifier: some_unless(table.roll.modifier, 0),
        reroll: roll::reroll_form(table.roll.reroll),
        rows: Some(table.rows.iter().map(row).collect()),
        ..base
    }
}
