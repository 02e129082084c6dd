//! What is attacked: soldiers or armour.
use super::{Change, Counters};
use crate::odds::roll::Roll;

/// What is attacked.
#[derive(Clone, Debug, PartialEq)]
pub enum Target {
    /// Models with health.
    Soldiers(Soldiers),
    /// Units with structure behind armour.
    Armoured(Armoured),
}

impl Target {
    /// The most models that a target of soldiers has.
    pub const MOST_MODELS: u32 = 1_000;
    /// The most units that an armoured target has.
    pub const MOST_UNITS: u32 = 100;

    /// The most models or units that a target of this one's kind has.
    pub fn most_of_kind(&self) -> u32 {
        match self {
            Self::Soldiers(_) => Self::MOST_MODELS,
            Self::Armoured(_) => Self::MOST_UNITS,
        }
    }

    /// Its models or units.
    pub fn count(&self) -> u32 {
        match self {
            Self::Soldiers(soldiers) => soldiers.groups.iter().map(|group| group.models).fold(0, u32::saturating_add),
            Self::Armoured(armoured) => armoured.units,
        }
    }

    /// Its counters, and what they bring.
    pub fn counters(&self) -> &Counters {
        match self {
            Self::Soldiers(soldiers) => &soldiers.counters,
            Self::Armoured(armoured) => &armoured.counters,
        }
    }

    /// Points that its first model or unit misses at the start.
    pub fn hurt(&self) -> u32 {
        match self {
            Self::Soldiers(soldiers) => soldiers.hurt,
            Self::Armoured(armoured) => armoured.hurt,
        }
    }

    /// All its points of health or structure, those that are missing counted in.
    pub fn capacity(&self) -> u64 {
        match self {
            Self::Soldiers(soldiers) => {
                let points = |group: &Group| u64::from(group.models).saturating_mul(u64::from(group.health));
                soldiers.groups.iter().map(points).fold(0, u64::saturating_add)
            }
            Self::Armoured(armoured) => u64::from(armoured.structure).saturating_mul(u64::from(armoured.units)),
        }
    }
}

/// Models, lost in the order listed.
#[derive(Clone, Debug, PartialEq)]
pub struct Soldiers {
    /// Alike within a group.
    pub groups: Vec<Group>,
    /// What is left of a packet goes on to the next model.
    pub spill: bool,
    /// Points of health that the first model misses at the start.
    pub hurt: u32,
    /// What hits leave on them.
    pub counters: Counters,
}

/// Models that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// How many.
    pub models: u32,
    /// Health of each.
    pub health: u32,
    /// A last roll against damage.
    pub ignore: Option<Ignore>,
    /// Replaced numbers of the steps while this group is hit.
    pub then: Vec<Change>,
}

/// A roll that takes damage away.
#[derive(Clone, Debug, PartialEq)]
pub struct Ignore {
    /// Its die, need and modifier.
    pub roll: Roll,
    /// Once for the whole packet instead of for each of its points.
    pub per_packet: bool,
}

/// Units of structure, lost one after another.
#[derive(Clone, Debug, PartialEq)]
pub struct Armoured {
    /// Structure of each.
    pub structure: u32,
    /// How many.
    pub units: u32,
    /// Attacks of a volley after a wreck are lost instead of going to the next unit.
    pub overflow_wasted: bool,
    /// Structure that the first unit misses at the start.
    pub hurt: u32,
    /// Marks that the first unit has at the start.
    pub statuses: Vec<String>,
    /// What hits leave on them.
    pub counters: Counters,
}
