//! What a side of a duel takes off its counters, to and from the domain.
use super::super::amount::{AmountForm, NeedsForm};
use super::super::mistake::{Mistake, Mistakes, pointer};
use super::super::notes::{Label, Notes};
use super::super::roll::some_unless;
use super::super::target::plain_roll;
use crate::odds::chain::Counters;
use crate::odds::duel::Shed;
use crate::odds::roll::{Aim, Needs, Pool};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// What a side takes off one of its counters at the start of each of its turns (with `together` and `order` of the turn),
/// while something of it is left, whether or not anything is left of the other side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShedForm {
    /// The counter of its own target.
    #[schema(min_length = 1, max_length = 64, example = "pins")]
    pub name: String,
    /// How much, never below 0; or `all`.
    pub amount: ShedAmount,
    /// The roll that does it; default `auto`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needs: Option<NeedsForm>,
    /// Sides of its die; default 6.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 2, maximum = 100)]
    pub die: Option<u32>,
    /// Added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
}

/// How much is taken off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "dice, a number, a distribution, or \"all\"")]
pub enum ShedAmount {
    /// All of it.
    All(ShedAll),
    /// So much.
    Amount(AmountForm),
}

/// The word for all of a counter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShedAll {
    /// All of it.
    All,
}

/// One, or several, in order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "what is shed, or a list of such")]
pub enum ShedsForm {
    /// One.
    One(Box<ShedForm>),
    /// Several, in order.
    Several(Vec<ShedForm>),
}

impl ShedsForm {
    pub(super) fn resolve(self, counters: &Counters, at: &str, mistakes: &mut Mistakes) -> Option<Vec<Shed>> {
        let forms = match self {
            Self::One(form) => vec![(at.to_owned(), *form)],
            Self::Several(forms) => {
                if forms.len() > 10 {
                    mistakes.push(Mistake::value(at, "a side sheds at most 10 times a turn"));
                    return None;
                }
                let placed = forms.into_iter().enumerate();
                placed.map(|(index, form)| (format!("{at}/{index}"), form)).collect()
            }
        };
        let mut whole = Some(Vec::new());
        for (at, form) in forms {
            match form.resolve(counters, &at, mistakes) {
                Some(shed) => whole.iter_mut().for_each(|all| all.push(shed.clone())),
                None => whole = None,
            }
        }
        whole
    }

    pub(super) fn of(sheds: &[Shed]) -> Option<Self> {
        let form = |shed: &Shed| ShedForm {
            name: shed.counter.clone(),
            amount: shed
                .amount
                .as_ref()
                .map_or(ShedAmount::All(ShedAll::All), |amount| ShedAmount::Amount(AmountForm(amount.clone()))),
            needs: match shed.roll.aim {
                Aim::Needs(needs) => some_unless(needs, Needs::Auto).map(NeedsForm),
                Aim::Versus(_) => None,
            },
            die: match &shed.roll.pool {
                Pool::Dice { dice, .. } => some_unless(dice.sides(), 6),
                Pool::Given(_) => None,
            },
            modifier: some_unless(shed.roll.modifier, 0),
            label: None,
            because: None,
        };
        (!sheds.is_empty()).then(|| Self::Several(sheds.iter().map(form).collect()))
    }
}

impl ShedForm {
    fn resolve(self, counters: &Counters, at: &str, mistakes: &mut Mistakes) -> Option<Shed> {
        let mut whole = true;
        if counters.all.iter().all(|counter| counter.name != self.name) {
            let detail = format!("the side has no counter called {:?}", self.name);
            mistakes.push(Mistake::value(pointer(at, "name"), detail));
            whole = false;
        }
        if self.modifier.is_some_and(|modifier| modifier.unsigned_abs() > 1_000) {
            mistakes.push(Mistake::value(pointer(at, "modifier"), "a modifier is a number from -1000 to 1000"));
            whole = false;
        }
        let needs = self.needs.map_or(Needs::Auto, |needs| needs.0);
        let roll = plain_roll(needs, self.die, self.modifier.unwrap_or(0), at, mistakes)?;
        let amount = match self.amount {
            ShedAmount::All(ShedAll::All) => None,
            ShedAmount::Amount(amount) => Some(amount.0),
        };
        whole.then_some(Shed { counter: self.name, amount, roll })
    }
}
