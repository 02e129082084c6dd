//! What the table adds to a duel of units: each thing once for all turns, or turn by turn.
use super::super::matchup::{RangeForm, SituationForm};
use super::super::mistake::{Mistake, Mistakes, pointer};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// A situation over several turns; the pack's own flags stand beside these by their ids.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TurnsForm {
    /// The arc that is shown to the other side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arc: Option<EachTurn<String>>,
    /// A range band by its name, or a distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub range: Option<EachTurn<RangeForm>>,
    /// What is stood behind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cover: Option<EachTurn<String>>,
    /// Whether who attacks has moved.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved: Option<EachTurn<bool>>,
    /// The pack's own flags: whether each is so.
    #[serde(flatten)]
    #[schema(value_type = BTreeMap<String, EachTurn<bool>>)]
    pub flags: BTreeMap<String, Value>,
}

/// The same in all turns, or a list: one for each turn, the last one going on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "one value for all turns, or a list with one for each turn")]
pub enum EachTurn<T> {
    /// In all turns.
    Always(T),
    /// Turn by turn.
    Turns(Vec<T>),
}

impl<T: Clone> EachTurn<T> {
    /// What holds in a turn, and where the request says so.
    fn at(&self, turn: u32, place: &str) -> Option<(T, String)> {
        match self {
            Self::Always(value) => Some((value.clone(), place.to_owned())),
            Self::Turns(values) => {
                let index = (turn as usize - 1).min(values.len().checked_sub(1)?);
                values.get(index).map(|value| (value.clone(), pointer(place, index)))
            }
        }
    }

    fn length(&self) -> Option<usize> {
        match self {
            Self::Always(_) => None,
            Self::Turns(values) => Some(values.len()),
        }
    }
}

/// The situation of one side's attack in one turn, and where the request says each part of it.
#[derive(Clone, Debug, Default)]
pub(super) struct OneTurn {
    pub(super) form: SituationForm,
    /// From the field of a situation to its place in the request.
    pub(super) places: BTreeMap<String, String>,
}

/// Who says something about a turn, and where that stands.
pub(super) struct Said<'a> {
    pub(super) form: Option<&'a TurnsForm>,
    pub(super) at: &'static str,
}

impl TurnsForm {
    /// Refuses lists without an entry and lists with more entries than there are turns.
    pub(super) fn check(&self, turns: u32, at: &str, mistakes: &mut Mistakes) {
        let lists = [
            ("arc", self.arc.as_ref().and_then(EachTurn::length)),
            ("range", self.range.as_ref().and_then(EachTurn::length)),
            ("cover", self.cover.as_ref().and_then(EachTurn::length)),
            ("moved", self.moved.as_ref().and_then(EachTurn::length)),
        ];
        let flags = self.flags.iter().map(|(name, value)| (name.as_str(), value.as_array().map(Vec::len)));
        for (name, length) in lists.into_iter().chain(flags) {
            let Some(length) = length else { continue };
            if length == 0 {
                mistakes.push(Mistake::value(pointer(at, name), "a list names at least one turn"));
            } else if length > turns as usize {
                let detail = format!("the list names {length} turns and the duel has {turns}: say turns too");
                mistakes.push(Mistake::value(pointer(at, name), detail));
            }
        }
    }
}

impl OneTurn {
    /// Puts together what holds in a turn: of each part, what the first of `said` that speaks of it says.
    pub(super) fn of(turn: u32, shown: &[Said<'_>], attacking: &[Said<'_>], both: &Said<'_>) -> Self {
        let mut this = Self::default();
        let pick = |said: &[Said<'_>], field: &str| -> Option<(Value, String)> {
            said.iter().find_map(|said| part(said.form?, field)?.at(turn, &pointer(said.at, field)))
        };
        let mut put = |field: &str, found: Option<(Value, String)>| {
            let (value, place) = found?;
            this.places.insert(field.to_owned(), place);
            Some(value)
        };
        let text = |value: Value| value.as_str().map(str::to_owned);
        this.form.arc = put("arc", pick(shown, "arc")).and_then(text);
        this.form.cover = put("cover", pick(shown, "cover")).and_then(text);
        this.form.moved = put("moved", pick(attacking, "moved")).and_then(|value| value.as_bool());
        let range =
            both.form.and_then(|form| form.range.as_ref()).and_then(|range| range.at(turn, &pointer(both.at, "range")));
        if let Some((range, place)) = range {
            this.places.insert("range".to_owned(), place);
            this.form.range = Some(range);
        }
        for said in attacking {
            for name in said.form.iter().flat_map(|form| form.flags.keys()) {
                if let Some((value, place)) = pick(attacking, name) {
                    this.places.insert(name.clone(), place);
                    this.form.flags.insert(name.clone(), value);
                }
            }
        }
        this
    }
}

/// A part of a form, as plain values.
fn part(form: &TurnsForm, field: &str) -> Option<EachTurn<Value>> {
    fn plain<T: Clone + Into<Value>>(each: &EachTurn<T>) -> EachTurn<Value> {
        match each {
            EachTurn::Always(value) => EachTurn::Always(value.clone().into()),
            EachTurn::Turns(values) => EachTurn::Turns(values.iter().cloned().map(Into::into).collect()),
        }
    }
    match field {
        "arc" => form.arc.as_ref().map(plain),
        "cover" => form.cover.as_ref().map(plain),
        "moved" => form.moved.as_ref().map(plain),
        flag => form.flags.get(flag).map(|value| match value {
            Value::Array(values) => EachTurn::Turns(values.clone()),
            value => EachTurn::Always(value.clone()),
        }),
    }
}
