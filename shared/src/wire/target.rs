//! The target of a chain as JSON, to and from the domain.
use super::amount::NeedsForm;
use super::change::{ChangeForm, resolve_then, then_form};
use super::counters::{self, CounterForm, ThresholdForm};
use super::mistake::{Mistake, Mistakes, pointer};
use super::notes::{Label, Notes};
use super::roll::{self, some_unless};
use crate::odds::chain::{Armoured, Group, Ignore, Soldiers, Target};
use crate::odds::roll::{Aim, Needs, Pool, Roll};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// What is attacked: soldiers (with `models` or `groups`) or armour (with `structure`).
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TargetForm {
    /// Soldiers: how many models.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub models: Option<u32>,
    /// Soldiers: health of each; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub health: Option<u32>,
    /// Soldiers: a last roll against damage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ignore: Option<IgnoreForm>,
    /// Soldiers: unlike models in place of `models`, lost in the order listed.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 20)]
    pub groups: Option<Vec<GroupForm>>,
    /// Soldiers: what is left of a packet goes on to the next model.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spill: Option<bool>,
    /// Points that the first model or unit misses at the start.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 999)]
    pub hurt: Option<u32>,
    /// Armour: structure of each unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub structure: Option<u32>,
    /// Armour: how many units; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 100)]
    pub units: Option<u32>,
    /// Armour: where attacks go after a wreck; default `next`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub overflow: Option<Overflow>,
    /// Armour: marks that the first unit has at the start.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub statuses: Option<Vec<String>>,
    /// Numbers that hits leave on it, such as pins or fires: added to by `counts`, read by `thresholds` and `by_counter`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 4)]
    pub counters: Option<Vec<CounterForm>>,
    /// What its counters bring.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub thresholds: Option<Vec<ThresholdForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// Where the attacks of a volley go after a wreck.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Overflow {
    /// To the next unit.
    Next,
    /// Nowhere.
    Wasted,
}

/// A last roll against damage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct IgnoreForm {
    /// What it needs.
    pub needs: NeedsForm,
    /// Sides of its die; default 6.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 2, maximum = 100)]
    pub die: Option<u32>,
    /// Added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// Once for each `point` (default) or once for the whole `packet`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub per: Option<Per>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// How often an ignore roll is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Per {
    /// For each point of damage.
    Point,
    /// For the whole packet.
    Packet,
}

/// Models that are alike.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct GroupForm {
    /// How many.
    #[schema(minimum = 1, maximum = 1000)]
    pub models: u32,
    /// Health of each; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub health: Option<u32>,
    /// A last roll against damage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ignore: Option<IgnoreForm>,
    /// Replaced numbers of the steps while this group is hit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub then: Option<BTreeMap<String, ChangeForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// A plain roll of one die with a modifier.
pub(super) fn plain_roll(
    needs: Needs,
    die: Option<u32>,
    modifier: i32,
    at: &str,
    mistakes: &mut Mistakes,
) -> Option<Roll> {
    Some(Roll { modifier, ..Roll::plain(roll::resolve_die(die, at, mistakes)?, needs) })
}

impl IgnoreForm {
    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Ignore> {
        let roll = plain_roll(self.needs.0, self.die, self.modifier.unwrap_or(0), at, mistakes)?;
        Some(Ignore { roll, per_packet: self.per == Some(Per::Packet) })
    }

    pub(super) fn of(ignore: &Ignore) -> Self {
        let needs = match ignore.roll.aim {
            Aim::Needs(needs) => needs,
            Aim::Versus(_) => Needs::Never,
        };
        let die = match &ignore.roll.pool {
            Pool::Dice { dice, .. } => Some(dice.sides()),
            Pool::Given(_) => None,
        };
        Self {
            needs: NeedsForm(needs),
            die,
            modifier: some_unless(ignore.roll.modifier, 0),
            per: ignore.per_packet.then_some(Per::Packet),
            because: None,
            label: None,
        }
    }
}

impl TargetForm {
    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Target> {
        let soldiers = [
            ("models", self.models.is_some()),
            ("health", self.health.is_some()),
            ("ignore", self.ignore.is_some()),
            ("groups", self.groups.is_some()),
            ("spill", self.spill.is_some()),
        ];
        let armoured = [
            ("units", self.units.is_some()),
            ("overflow", self.overflow.is_some()),
            ("statuses", self.statuses.is_some()),
        ];
        let mut strays = |fields: &[(&str, bool)], why: &str| {
            for (field, _) in fields.iter().filter(|(_, there)| *there) {
                mistakes.push(Mistake::value(pointer(at, field), why));
            }
        };
        let counters = counters::resolve(self.counters, self.thresholds);
        if let Some(structure) = self.structure {
            strays(&soldiers, "a target with structure is armoured: it has no models and no health");
            return Some(Target::Armoured(Armoured {
                structure,
                units: self.units.unwrap_or(1),
                overflow_wasted: self.overflow == Some(Overflow::Wasted),
                hurt: self.hurt.unwrap_or(0),
                statuses: self.statuses.unwrap_or_default(),
                counters,
            }));
        }
        strays(&armoured, "this belongs to an armoured target, one with structure");
        let grouped = self.groups.is_some();
        let groups = match (self.groups, self.models) {
            (Some(groups), None) => {
                let apart = [("health", self.health.is_some()), ("ignore", self.ignore.is_some())];
                strays(&apart, "with groups, each group has its own");
                groups
            }
            (None, Some(models)) => {
                vec![GroupForm { models, health: self.health, ignore: self.ignore, ..GroupForm::default() }]
            }
            (Some(_), Some(_)) => {
                mistakes.push(Mistake::value(pointer(at, "groups"), "a target has models or groups, not both"));
                return None;
            }
            (None, None) => {
                let detail = "say what is attacked: models (soldiers) or structure (armour)";
                mistakes.push(Mistake::missing(pointer(at, "models"), detail));
                return None;
            }
        };
        let mut resolved = Vec::with_capacity(groups.len());
        for (index, group) in groups.into_iter().enumerate() {
            let at = if grouped { format!("{at}/groups/{index}/ignore") } else { format!("{at}/ignore") };
            let ignore = match group.ignore {
                None => None,
                Some(ignore) => Some(ignore.resolve(&at, mistakes)?),
            };
            let then = resolve_then(group.then);
            resolved.push(Group { models: group.models, health: group.health.unwrap_or(1), ignore, then });
        }
        let (spill, hurt) = (self.spill.unwrap_or(false), self.hurt.unwrap_or(0));
        Some(Target::Soldiers(Soldiers { groups: resolved, spill, hurt, counters }))
    }
}

impl From<&Target> for TargetForm {
    fn from(target: &Target) -> Self {
        let (counters, thresholds) = counters::forms(target.counters());
        let base = Self { counters, thresholds, ..Self::default() };
        match target {
            Target::Armoured(armoured) => Self {
                structure: Some(armoured.structure),
                units: some_unless(armoured.units, 1),
                overflow: armoured.overflow_wasted.then_some(Overflow::Wasted),
                hurt: some_unless(armoured.hurt, 0),
                statuses: some_unless(armoured.statuses.clone(), Vec::new()),
                ..base
            },
            Target::Soldiers(soldiers) => {
                let base =
                    Self { spill: some_unless(soldiers.spill, false), hurt: some_unless(soldiers.hurt, 0), ..base };
                match soldiers.groups.as_slice() {
                    [only] if only.then.is_empty() => Self {
                        models: Some(only.models),
                        health: Some(only.health),
                        ignore: only.ignore.as_ref().map(IgnoreForm::of),
                        ..base
                    },
                    groups => Self { groups: Some(groups.iter().map(GroupForm::from).collect()), ..base },
                }
            }
        }
    }
}

impl From<&Group> for GroupForm {
    fn from(group: &Group) -> Self {
        Self {
            models: group.models,
            health: Some(group.health),
            ignore: group.ignore.as_ref().map(IgnoreForm::of),
            then: then_form(&group.then),
            ..Self::default()
        }
    }
}
