//! What is rolled after the volleys as JSON, to and from the domain.
use super::amount::{DiceForm, NeedsForm};
use super::chain::ChainForm;
use super::mistake::{Mistake, Mistakes, pointer};
use super::notes::{Label, Notes};
use super::roll::{resolve_aim, some_unless};
use crate::odds::chain::{Aftermath, When};
use crate::odds::dice::Dice;
use crate::odds::roll::{Aim, Needs, Pool, Roll};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A roll made after the volleys while something of the target is left; its success brings the effect.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AftermathForm {
    /// What is counted, and how much of it makes them roll.
    pub when: WhenForm,
    /// The dice; default 1d6.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dice: Option<DiceForm>,
    /// What brings the effect; where it is left out the effect follows for certain.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needs: Option<NeedsForm>,
    /// Added to the dice.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// Added to the modifier for each one counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub per_point: Option<i32>,
    /// Its name in the answer.
    #[schema(min_length = 1, max_length = 64)]
    pub effect: String,
    /// It happens even where nothing of the target is left; default false, and true where wrecks are counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub even_destroyed: Option<bool>,
    /// Read in duels: the effect takes all that is left of the target out of the fight; default false.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ends: Option<bool>,
    /// An attack on a target of its own, such as passengers, that comes with the effect: its whole answer stands under the
    /// effect, by itself and given that it happens. It happens once, however many were wrecked.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(no_recursion)]
    pub attack: Option<Box<ChainForm>>,
    /// In a duel: the first and the last turn in which it is rolled; default every turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turns: Option<[u32; 2]>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// What makes an aftermath roll: one of the four counts, and how much of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WhenForm {
    /// `true`: models removed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub models: Option<bool>,
    /// `true`: points of health lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub health_lost: Option<bool>,
    /// `true`: units of armour wrecked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrecked: Option<bool>,
    /// Successes past a step, saved or not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub passed: Option<PassedForm>,
    /// The smallest count that makes them roll; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0)]
    pub at_least: Option<u32>,
}

/// Successes past a step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PassedForm {
    /// The step's name.
    pub step: String,
}

impl AftermathForm {
    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Aftermath> {
        let said = |what: Option<bool>| what == Some(true);
        let when = [
            said(self.when.models).then_some(When::Models),
            said(self.when.health_lost).then_some(When::HealthLost),
            said(self.when.wrecked).then_some(When::Wrecked),
            self.when.passed.map(|passed| When::Passed(passed.step)),
        ];
        let mut said: Vec<When> = when.into_iter().flatten().collect();
        let when = match said.len() {
            1 => said.pop(),
            _ => {
                let detail = "count one thing: models, health_lost, wrecked or passed with a step";
                mistakes.push(Mistake::value(pointer(at, "when"), detail));
                None
            }
        };
        if self.turns.is_some() {
            mistakes.push(Mistake::value(pointer(at, "turns"), "turns belong to a duel"));
        }
        let attack = match self.attack {
            None => None,
            Some(attack) => Some(Box::new(attack.resolve(&pointer(at, "attack"), mistakes)?)),
        };
        let needs = self.needs.unwrap_or(NeedsForm(Needs::Auto));
        let aim = resolve_aim(Some(needs), None, None, at, mistakes)?;
        let dice = self.dice.map_or_else(|| Dice::one(6).ok(), |dice| Some(dice.0))?;
        let modifier = self.modifier.unwrap_or(0);
        let roll = Roll { aim, modifier, ..Roll::plain(dice, Needs::Never) };
        let (per_point, effect, ends) = (self.per_point.unwrap_or(0), self.effect, self.ends.unwrap_or(false));
        let (when, at_least) = (when?, self.when.at_least.unwrap_or(1));
        let even_destroyed = self.even_destroyed.unwrap_or(when == When::Wrecked);
        Some(Aftermath { when, at_least, roll, per_point, effect, ends, even_destroyed, attack })
    }
}

impl From<&Aftermath> for AftermathForm {
    fn from(after: &Aftermath) -> Self {
        let at_least = Some(after.at_least);
        let when = match &after.when {
            When::Models => WhenForm { models: Some(true), at_least, ..WhenForm::default() },
            When::HealthLost => WhenForm { health_lost: Some(true), at_least, ..WhenForm::default() },
            When::Wrecked => WhenForm { wrecked: Some(true), at_least, ..WhenForm::default() },
            When::Passed(step) => {
                WhenForm { passed: Some(PassedForm { step: step.clone() }), at_least, ..WhenForm::default() }
            }
        };
        let dice = match &after.roll.pool {
            Pool::Dice { dice, .. } => Some(DiceForm(*dice)),
            Pool::Given(_) => None,
        };
        let needs = match after.roll.aim {
            Aim::Needs(needs) => needs,
            Aim::Versus(_) => Needs::Never,
        };
        Self {
            when,
            dice,
            needs: some_unless(needs, Needs::Auto).map(NeedsForm),
            modifier: some_unless(after.roll.modifier, 0),
            per_point: some_unless(after.per_point, 0),
            effect: after.effect.clone(),
            ends: some_unless(after.ends, false),
            even_destroyed: some_unless(after.even_destroyed, after.when == When::Wrecked),
            attack: after.attack.as_ref().map(|chain| Box::new(ChainForm::of(chain, &Vec::new()))),
            turns: None,
            because: None,
            label: None,
        }
    }
}
