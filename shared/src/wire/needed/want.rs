//! What is wanted, and how likely.
use super::super::mistake::{Mistake, Mistakes};
use crate::odds::chain::{Chain, Goal, Target};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// `destroyed` with its chance, or one of the others with `chance` beside it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WantForm {
    /// The wanted chance that nothing is left.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1, example = 0.9)]
    pub destroyed: Option<f64>,
    /// At least so many models removed.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1)]
    pub models: Option<u32>,
    /// At least so many points of health lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1)]
    pub health_lost: Option<u32>,
    /// At least so many points of structure lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1)]
    pub structure: Option<u32>,
    /// At least so many units wrecked.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1)]
    pub wrecked: Option<u32>,
    /// Of a check: at least so many tries that pass.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 10000)]
    pub passes: Option<u32>,
    /// The wanted chance; beside all but `destroyed`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1)]
    pub chance: Option<f64>,
}

/// What is wanted, with its chance.
#[derive(Clone, Copy, Debug)]
pub(in crate::wire) struct Want {
    what: &'static str,
    number: u32,
    /// How likely.
    pub(in crate::wire) chance: f64,
}

impl WantForm {
    /// What is wanted; mistakes are named where the request has them.
    pub(in crate::wire) fn resolve(self, mistakes: &mut Mistakes) -> Option<Want> {
        let numbers = [
            ("models", self.models),
            ("health_lost", self.health_lost),
            ("structure", self.structure),
            ("wrecked", self.wrecked),
            ("passes", self.passes),
        ];
        let mut given: Vec<_> = numbers.into_iter().filter_map(|(what, number)| Some((what, number?))).collect();
        given.extend(self.destroyed.map(|_| ("destroyed", 1)));
        let (what, number) = match given[..] {
            [one] => one,
            [] => {
                mistakes.push(Mistake::missing("/want", "say what is wanted, such as {\"destroyed\": 0.9}"));
                return None;
            }
            [_, (second, _), ..] => {
                mistakes.push(Mistake::value(format!("/want/{second}"), "one thing is wanted at a time"));
                return None;
            }
        };
        let field = if self.destroyed.is_some() { "destroyed" } else { "chance" };
        let chance = match (self.destroyed, self.chance) {
            (Some(_), Some(_)) => {
                mistakes.push(Mistake::value("/want/chance", "destroyed has its chance already"));
                return None;
            }
            (Some(chance), None) | (None, Some(chance)) => chance,
            (None, None) => {
                mistakes.push(Mistake::missing("/want/chance", "say how likely, from 0 to 1"));
                return None;
            }
        };
        if !(0.0..=1.0).contains(&chance) {
            let detail = "a chance is from 0 to 1: write 0.9 for nine times in ten";
            mistakes.push(Mistake::value(format!("/want/{field}"), detail));
            return None;
        }
        if number == 0 {
            mistakes.push(Mistake::value(format!("/want/{what}"), "at least 1 is wanted"));
            return None;
        }
        Some(Want { what, number, chance })
    }
}

impl Want {
    fn misplaced(self, names: &str, mistakes: &mut Mistakes) {
        let detail = format!("this has no {}: {names}", self.what);
        mistakes.push(Mistake::value(format!("/want/{}", self.what), detail));
    }

    /// Of a check.
    pub(super) fn passes(self, mistakes: &mut Mistakes) -> Option<u32> {
        if self.what != "passes" {
            self.misplaced("of a check, passes can be wanted", mistakes);
            return None;
        }
        if self.number > 10_000 {
            mistakes.push(Mistake::value("/want/passes", "at most 10000"));
            return None;
        }
        Some(self.number)
    }

    /// Of an attack.
    pub(in crate::wire) fn goal(self, chain: &Chain, mistakes: &mut Mistakes) -> Option<Goal> {
        match (self.what, chain.target()) {
            ("destroyed", _) => Some(Goal::Destroyed),
            ("models", Target::Soldiers(_)) | ("wrecked", Target::Armoured(_)) => Some(Goal::Removed(self.number)),
            ("health_lost", Target::Soldiers(_)) | ("structure", Target::Armoured(_)) => Some(Goal::Lost(self.number)),
            (_, Target::Soldiers(_)) => {
                self.misplaced("of soldiers, destroyed, models or health_lost can be wanted", mistakes);
                None
            }
            (_, Target::Armoured(_)) => {
                self.misplaced("of armour, destroyed, wrecked or structure can be wanted", mistakes);
                None
            }
        }
    }
}

/// A goal in the cache's key.
pub(in crate::wire) trait Goals {
    /// Its name and number.
    fn key(&self) -> (&'static str, u32);
}

impl Goals for Goal {
    fn key(&self) -> (&'static str, u32) {
        match self {
            Self::Destroyed => ("destroyed", 1),
            Self::Removed(number) => ("removed", *number),
            Self::Lost(number) => ("lost", *number),
        }
    }
}
