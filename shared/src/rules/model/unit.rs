//! Unit books: weapons, units and their options.
use super::{Named, stat::Profile, sum::Sum};
use crate::odds::dice::Dice;
use crate::report::counting::{Counted, Counting};

/// A weapon.
#[derive(Clone, Debug, PartialEq)]
pub struct Weapon {
    /// What it is called.
    pub named: Named,
    /// Its stats.
    pub profile: Profile,
    /// Its rules, by index.
    pub rules: Vec<usize>,
    /// How near and how far it can be used.
    pub reach: (u32, Option<u32>),
    /// The template it lays, if it does.
    pub template: Option<TemplatePlan>,
}

/// The template of a weapon.
#[derive(Clone, Debug, PartialEq)]
pub struct TemplatePlan {
    /// Its diameter in millimetres.
    pub diameter_mm: u32,
    /// How it drifts.
    pub scatter: Option<ScatterPlan>,
    /// Which bases count as caught.
    pub counts: Catch,
}

/// How a template drifts.
#[derive(Clone, Debug, PartialEq)]
pub struct ScatterPlan {
    /// The dice of the distance.
    pub dice: Dice,
    /// Taken off them.
    pub reduce: Sum,
    /// A point of them in tenths of a millimetre.
    pub unit_tenths_mm: u32,
    /// The chance of no drift at all: a fraction.
    pub on_target: (u32, u32),
}

/// Which bases a template catches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Catch {
    /// Those it touches.
    #[default]
    Touched,
    /// Those whose centre it covers.
    Centre,
    /// Those that it covers whole.
    Whole,
}

/// How models stand, and the size of a hull, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Formation {
    /// Diameter of a base.
    pub base_mm: u32,
    /// Gap from edge to edge.
    pub gap_mm: u32,
    /// Models side by side.
    pub files: u32,
    /// Length and width of a hull.
    pub hull_mm: (u32, u32),
}

/// A unit.
#[derive(Clone, Debug)]
pub struct Unit {
    /// What it is called.
    pub named: Named,
    /// The names of one and of several of what is counted.
    pub forms: (String, String),
    /// What people count of it.
    pub counted: Counted,
    /// Its kind, by index.
    pub kind: usize,
    /// Its role, by index.
    pub role: usize,
    /// Its stats.
    pub profile: Profile,
    /// Its rules, by index.
    pub rules: Vec<usize>,
    /// How few and how many models it may have.
    pub models: (u32, u32),
    /// What it costs with its least models.
    pub points: u32,
    /// What each further model costs.
    pub each_more: u32,
    /// How many such units share a slot of the role.
    pub per_slot: u32,
    /// How many of them a list may hold.
    pub most: Option<u32>,
    /// Units of which a list must hold one, by index.
    pub needs_unit: Vec<usize>,
    /// Units that a list may not hold beside it, by index.
    pub bars_unit: Vec<usize>,
    /// Its weapons.
    pub weapons: Vec<WeaponCount>,
    /// Its options; those within others come after them.
    pub options: Vec<UnitOption>,
    /// Models unlike the others, in the order in which they are lost: after all others.
    pub groups: Vec<ModelGroup>,
    /// Its own way of standing.
    pub formation: Formation,
    /// How options are found.
    pub find: super::super::names::Names,
}

/// Models of a unit that are unlike the others: they have numbers of their own, and are lost last.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelGroup {
    /// What they are called.
    pub named: Named,
    /// How many there are in each unit.
    pub models: u32,
    /// The stats that they have of their own, by the stat's index.
    pub sets: Vec<(usize, super::stat::StatValue)>,
}

/// A weapon that a unit carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WeaponCount {
    /// Which, by index.
    pub weapon: usize,
    /// How many each model has.
    pub per_model: u32,
    /// How many the unit has besides.
    pub per_unit: u32,
}

/// Something that a unit may take.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitOption {
    /// What it is called.
    pub named: Named,
    /// The option it is part of, by index.
    pub inside: Option<usize>,
    /// What one costs.
    pub points: u32,
    /// What that is paid for.
    pub per: Per,
    /// How often it may be taken.
    pub most: Most,
    /// Weapons it brings.
    pub weapons: Vec<WeaponCount>,
    /// Weapons that go for it, by index.
    pub replaces: Vec<usize>,
    /// Rules it brings, by index.
    pub rules: Vec<usize>,
    /// Stats it sets: by the stat's index.
    pub sets: Vec<(usize, super::stat::StatValue)>,
    /// Models unlike the others that it brings, of those that there are.
    pub groups: Vec<ModelGroup>,
    /// Options of the same unit that must be taken too, by index.
    pub requires: Vec<usize>,
    /// Options of the same unit that may not be taken too, by index.
    pub excludes: Vec<usize>,
}

/// What an option is paid for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Per {
    /// Once.
    #[default]
    Unit,
    /// For each model of the unit.
    Model,
    /// For each weapon that is taken.
    Weapon,
}

/// How often an option may be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Most {
    /// So often.
    Times(u32),
    /// Once for so many models.
    PerModels(u32),
}

impl Most {
    /// The number for a unit of so many models.
    pub fn of(self, models: u32) -> u32 {
        match self {
            Self::Times(times) => times,
            Self::PerModels(share) => models / share.max(1),
        }
    }
}

impl Unit {
    /// How many units so many models make up: more than one unit may have are several, each as large as can be.
    pub fn units_of(&self, models: u32) -> u32 {
        models.div_ceil(self.models.1).max(1)
    }

    /// How it is counted aloud, in the words of its pack.
    pub fn counting<'a>(&'a self, pack: &'a super::Pack) -> Counting<'a> {
        Counting {
            singular: &self.forms.0,
            plural: &self.forms.1,
            counted: self.counted,
            models: self.models,
            words: (pack.word("model"), pack.word("models")),
        }
    }

    /// The most models of it that a list may hold, over all its units; none where nothing limits them.
    pub fn list_most(&self, pack: &super::Pack) -> Option<u32> {
        let alike = self.most.or(pack.limits.most_alike);
        let slots = pack.roles[self.role].most.map(|slots| slots.saturating_mul(self.per_slot.max(1)));
        let units = [alike, slots, pack.limits.most_units].into_iter().flatten().min()?;
        Some(units.saturating_mul(self.models.1))
    }

    /// What it costs with so many models, without options.
    pub fn cost(&self, models: u32) -> u64 {
        u64::from(self.points) + u64::from(self.each_more) * u64::from(models.saturating_sub(self.models.0))
    }
}
