//! A unit with its options worked in.
use super::super::matchup::{Neighbour, UnitInstance};
use super::super::model::Pack;
use super::super::model::condition::Trait;
use super::super::model::stat::Profile;
use super::super::model::unit::{ModelGroup, Per, Unit, WeaponCount};
use std::borrow::Cow;

/// Models of a unit that are alike.
#[derive(Debug)]
pub(crate) struct Part<'a> {
    pub(crate) models: u32,
    /// What sets them apart; nothing for the unit's plain models.
    pub(crate) group: Option<&'a ModelGroup>,
    /// The whole unit with the numbers of these.
    pub(crate) loadout: Loadout<'a>,
}

/// A unit as it stands on the table, options worked in.
#[derive(Clone, Debug)]
pub(crate) struct Loadout<'a> {
    pub(crate) pack: &'a Pack,
    pub(crate) unit: &'a Unit,
    pub(crate) at: usize,
    pub(crate) models: u32,
    pub(crate) profile: Cow<'a, Profile>,
    /// The rules that it carries, each once.
    pub(crate) rules: Cow<'a, [usize]>,
    /// Its weapons and how many of each.
    pub(crate) weapons: Vec<(usize, u32)>,
    pub(crate) near: &'a [Neighbour],
    pub(crate) hurt: u32,
    pub(crate) statuses: &'a [String],
    /// Models unlike the others, and how many there are, in the order in which they are lost.
    model_groups: Vec<(u32, &'a ModelGroup)>,
}

impl<'a> Loadout<'a> {
    pub(crate) fn new(pack: &'a Pack, instance: &'a UnitInstance) -> Self {
        let unit = &pack.units[instance.unit];
        let models = instance.models;
        let units = unit.units_of(models);
        let mut profile = Cow::Borrowed(&unit.profile);
        let mut rules = Cow::Borrowed(unit.rules.as_slice());
        for (option, _) in &instance.options {
            let option = &unit.options[*option];
            for (stat, value) in &option.sets {
                profile.to_mut()[*stat] = Some(value.clone());
            }
            for rule in option.rules.iter().filter(|rule| !unit.rules.contains(rule)) {
                if !rules.contains(rule) {
                    rules.to_mut().push(*rule);
                }
            }
        }
        let weapons = weapons(unit, instance, models, units);
        let taken = instance.options.iter().flat_map(|(option, _)| &unit.options[*option].groups);
        let model_groups =
            unit.groups.iter().chain(taken).map(|group| (group.models.saturating_mul(units), group)).collect();
        Self {
            pack,
            unit,
            at: instance.unit,
            models,
            profile,
            rules,
            weapons,
            near: &instance.near,
            hurt: instance.hurt,
            statuses: &instance.statuses,
            model_groups,
        }
    }

    /// The unit as its several sorts of models, in the order in which they are lost: how many, which, and with what
    /// numbers. There is at least one; where fewer stand than the unlike ones are, those that are lost first are gone.
    pub(crate) fn parts(self) -> Vec<Part<'a>> {
        let mut left = self.models;
        let mut parts = Vec::with_capacity(self.model_groups.len() + 1);
        for (models, group) in self.model_groups.iter().rev() {
            let models = left.min(*models);
            left -= models;
            if models > 0 {
                let mut loadout = self.clone();
                for (stat, value) in &group.sets {
                    loadout.profile.to_mut()[*stat] = Some(value.clone());
                }
                parts.push(Part { models, group: Some(group), loadout });
            }
        }
        if left > 0 || parts.is_empty() {
            parts.push(Part { models: left, group: None, loadout: self });
        }
        parts.reverse();
        parts
    }

    /// Whether it goes by a word.
    pub(crate) fn is(&self, word: Trait) -> bool {
        match word {
            Trait::Rule(rule) => self.rules.contains(&rule),
            Trait::Role(role) => self.unit.role == role,
            Trait::Kind(kind) => self.unit.kind == kind,
            Trait::Unit(unit) => self.at == unit,
            Trait::Weapon(weapon) => self.weapons.iter().any(|(carried, _)| *carried == weapon),
        }
    }

    /// Whether a unit near it goes by a word.
    pub(crate) fn is_near(&self, word: Trait) -> bool {
        self.near.iter().any(|near| {
            let unit = &self.pack.units[near.unit];
            match word {
                Trait::Rule(rule) => near.rules(self.pack).any(|other| other == rule),
                Trait::Role(role) => unit.role == role,
                Trait::Kind(kind) => unit.kind == kind,
                Trait::Unit(at) => at == near.unit,
                Trait::Weapon(weapon) => unit.weapons.iter().any(|carried| carried.weapon == weapon),
            }
        })
    }
}

/// All weapons after replacements, in the unit's order, then in that of the options.
fn weapons(unit: &Unit, instance: &UnitInstance, models: u32, units: u32) -> Vec<(usize, u32)> {
    let mut weapons: Vec<(usize, u32)> = Vec::with_capacity(unit.weapons.len());
    let add = |weapons: &mut Vec<(usize, u32)>, carried: &WeaponCount, times: u32| {
        let count = (carried.per_model * models + carried.per_unit * units) * times;
        match weapons.iter_mut().find(|(weapon, _)| *weapon == carried.weapon) {
            Some((_, sum)) => *sum += count,
            None => weapons.push((carried.weapon, count)),
        }
    };
    unit.weapons.iter().for_each(|carried| add(&mut weapons, carried, 1));
    for (option, times) in &instance.options {
        let option = &unit.options[*option];
        for (weapon, count) in &mut weapons {
            if option.replaces.contains(weapon) {
                let gone = if option.per == Per::Weapon { times * units } else { *count };
                *count = count.saturating_sub(gone);
            }
        }
        let times = if option.per == Per::Weapon { *times } else { 1 };
        option.weapons.iter().for_each(|carried| add(&mut weapons, carried, times));
    }
    weapons.retain(|(_, count)| *count > 0);
    weapons
}
