//! Numbers of a later step that a success, or the group that is hit, changes: in place of its own, or added to it.
use super::amount::NeedsForm;
use super::notes::{Label, Notes};
use crate::odds::chain::{Change, GateChange, Plus};
use crate::odds::roll::Needs;
use serde::de::{self, MapAccess, Visitor, value::MapAccessDeserializer};
use serde::{Deserialize, Deserializer, Serialize};
use std::collections::BTreeMap;
use std::fmt;
use utoipa::ToSchema;

/// Changed numbers of one step.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ChangeForm {
    /// In place of what it needs, or added to its number; not of a roll that both sides make.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needs: Option<ChangedNeeds>,
    /// In place of its modifier, or added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<ChangedNumber>,
    /// Penetrate: in place of what is added, or added to that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub add: Option<ChangedNumber>,
    /// Penetrate: in place of the armour, or added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub against: Option<ChangedNumber>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// Something added: `{"plus": 2}`. All that is added adds up, in whatever order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PlusForm {
    /// How much, below 0 to take off.
    #[schema(minimum = -10000, maximum = 10000)]
    pub plus: i32,
}

/// Another need, or so much more.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum ChangedNeeds {
    /// In place of its own.
    Needs(NeedsForm),
    /// Added to its number.
    Plus(PlusForm),
}

/// Another number, or so much more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum ChangedNumber {
    /// In place of its own.
    Number(i32),
    /// Added to it.
    Plus(PlusForm),
}

impl<'de> Deserialize<'de> for ChangedNeeds {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = ChangedNeeds;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("what the roll needs, such as \"3+\", or {\"plus\": 1}")
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<ChangedNeeds, E> {
                text.parse().map(|needs| ChangedNeeds::Needs(NeedsForm(needs))).map_err(E::custom)
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<ChangedNeeds, A::Error> {
                PlusForm::deserialize(MapAccessDeserializer::new(map)).map(ChangedNeeds::Plus)
            }
        }
        deserializer.deserialize_any(Either)
    }
}

impl<'de> Deserialize<'de> for ChangedNumber {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = ChangedNumber;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a whole number, or {\"plus\": 1}")
            }

            fn visit_i64<E: de::Error>(self, number: i64) -> Result<ChangedNumber, E> {
                let number = i32::try_from(number).map_err(|_| E::custom("a whole number from -1000 to 10000"))?;
                Ok(ChangedNumber::Number(number))
            }

            fn visit_u64<E: de::Error>(self, number: u64) -> Result<ChangedNumber, E> {
                self.visit_i64(i64::try_from(number).unwrap_or(i64::MAX))
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<ChangedNumber, A::Error> {
                PlusForm::deserialize(MapAccessDeserializer::new(map)).map(ChangedNumber::Plus)
            }
        }
        deserializer.deserialize_any(Either)
    }
}

/// A need with its number moved, as far as one can be written.
fn moved(needs: Needs, by: i32) -> Needs {
    let add = |total: u32| total.saturating_add_signed(by).clamp(1, 10_000);
    match needs {
        Needs::AtLeast(total) => Needs::AtLeast(add(total)),
        Needs::AtMost(total) => Needs::AtMost(add(total)),
        Needs::Auto | Needs::Never => needs,
    }
}

/// What stands in place of a number, and what is added to it.
fn parted(form: Option<ChangedNumber>) -> (Option<i32>, i32) {
    match form {
        None => (None, 0),
        Some(ChangedNumber::Number(number)) => (Some(number), 0),
        Some(ChangedNumber::Plus(plus)) => (None, plus.plus),
    }
}

/// The changed numbers of later steps, in the order of their names.
pub(super) fn resolve_then(then: Option<BTreeMap<String, ChangeForm>>) -> Vec<Change> {
    let change = |(step, form): (String, ChangeForm)| {
        let said = form.needs.is_some() || form.modifier.is_some() || form.add.is_some() || form.against.is_some();
        let (needs, more) = match form.needs {
            None => (None, 0),
            Some(ChangedNeeds::Needs(needs)) => (Some(needs.0), 0),
            Some(ChangedNeeds::Plus(plus)) => (None, plus.plus),
        };
        let ((modifier, by), (add, by_add)) = (parted(form.modifier), parted(form.add));
        let (against, by_against) = parted(form.against);
        // Less than no armour is refused with its place where the chain is held together.
        let against = against.map(|against| u32::try_from(against).unwrap_or(u32::MAX));
        let plus = Plus { needs: more, modifier: by, add: by_add, against: by_against };
        let change = Change { step, needs, modifier, add, against, plus };
        // Nothing added is nothing changed, and no mistake.
        (!said || !change.is_empty()).then_some(change)
    };
    then.into_iter().flatten().filter_map(change).collect()
}

/// The form of changed numbers of a gate.
pub(super) fn gate_form(gate: &GateChange) -> ChangeForm {
    let plus = Plus { needs: gate.plus_needs, modifier: gate.plus_modifier, ..Plus::default() };
    let change = Change { needs: gate.needs, modifier: gate.modifier, plus, ..Change::default() };
    then_form(&[change]).into_iter().flat_map(BTreeMap::into_values).next().unwrap_or_default()
}

/// The form of changed numbers. Where one is replaced and added to, the sum stands in place of it.
pub(super) fn then_form(changes: &[Change]) -> Option<BTreeMap<String, ChangeForm>> {
    let number = |own: Option<i32>, plus: i32| match (own, plus) {
        (Some(own), plus) => Some(ChangedNumber::Number(own.saturating_add(plus))),
        (None, 0) => None,
        (None, plus) => Some(ChangedNumber::Plus(PlusForm { plus })),
    };
    let form = |change: &Change| {
        let plus = change.plus;
        let needs = match (change.needs, plus.needs) {
            (Some(needs), by) => Some(ChangedNeeds::Needs(NeedsForm(moved(needs, by)))),
            (None, 0) => None,
            (None, plus) => Some(ChangedNeeds::Plus(PlusForm { plus })),
        };
        let against = change.against.map(|against| i32::try_from(against).unwrap_or(i32::MAX));
        let form = ChangeForm {
            needs,
            modifier: number(change.modifier, plus.modifier),
            add: number(change.add, plus.add),
            against: number(against, plus.against),
            ..ChangeForm::default()
        };
        (change.step.clone(), form)
    };
    (!changes.is_empty()).then(|| changes.iter().map(form).collect())
}
