//! A unit with its options worked in.
use super::super::matchup::Fielded;
use super::super::model::Pack;
use super::super::model::condition::Trait;
use super::super::model::stat::Profile;
use super::super::model::unit::{Carried, Per, Unit};
use std::borrow::Cow;

/// A unit as it stands on the table, options worked in.
#[derive(Debug)]
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
    carries: Vec<(usize, Carry)>,
    pub(crate) near: &'a [usize],
    pub(crate) hurt: u32,
    pub(crate) statuses: &'a [String],
}

impl<'a> Loadout<'a> {
    pub(crate) fn new(pack: &'a Pack, fielded: &'a Fielded) -> Self {
        let unit = &pack.units[fielded.unit];
        let models = fielded.models;
        let units = models.div_ceil(unit.models.1).max(1);
        let mut profile = Cow::Borrowed(&unit.profile);
        let mut rules = Cow::Borrowed(unit.rules.as_slice());
        for (option, _) in &fielded.options {
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
        let carries = weapons(unit, fielded, models, units);
        let weapons = carries.iter().map(|(weapon, carry)| (*weapon, carry.count(models))).collect();
        Self {
            pack,
            unit,
            at: fielded.unit,
            models,
            profile,
            rules,
            weapons,
            carries,
            near: &fielded.near,
            hurt: fielded.hurt,
            statuses: &fielded.statuses,
        }
    }

    /// How many of a weapon each model that stands uses; where that is not the same for all, also how many are used while
    /// 1, 2, … stand.
    pub(crate) fn served(&self, weapon: usize) -> (u32, Vec<u32>) {
        let carry =
            self.carries.iter().find(|(known, _)| *known == weapon).map(|(_, carry)| *carry).unwrap_or_default();
        let mut all: Vec<u32> = (1..=self.models).map(|standing| carry.standing(self.models, standing)).collect();
        let one = all.first().copied().unwrap_or(0);
        if all.iter().zip(1..).all(|(count, standing)| *count == one * standing) {
            return (one, Vec::new());
        }
        while all.len() > 1 && all[all.len() - 1] == all[all.len() - 2] {
            all.pop();
        }
        (carry.count(self.models), all)
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
            let unit = &self.pack.units[*near];
            match word {
                Trait::Rule(rule) => unit.rules.contains(&rule),
                Trait::Role(role) => unit.role == role,
                Trait::Kind(kind) => unit.kind == kind,
                Trait::Unit(at) => at == *near,
                Trait::Weapon(weapon) => unit.weapons.iter().any(|carried| carried.weapon == weapon),
            }
        })
    }
}

/// How many of a weapon a unit has.
#[derive(Clone, Copy, Debug, Default)]
struct Carry {
    /// Of each model.
    each: u32,
    /// Of models, by how many fewer have it.
    without: u32,
    /// Of the unit besides.
    fixed: u32,
}

impl Carry {
    fn count(self, models: u32) -> u32 {
        (self.each * models).saturating_sub(self.without) + self.fixed
    }

    /// How many are used when so many of the models stand: who has what only some have falls last.
    fn standing(self, models: u32, standing: u32) -> u32 {
        let hands = self.fixed.div_ceil(models.max(1));
        (self.each * standing).saturating_sub(self.without) + self.fixed.min(hands * standing)
    }
}

/// All weapons after replacements, in the unit's order, then in that of the options.
fn weapons(unit: &Unit, fielded: &Fielded, models: u32, units: u32) -> Vec<(usize, Carry)> {
    let mut weapons: Vec<(usize, Carry)> = Vec::with_capacity(unit.weapons.len());
    let add = |weapons: &mut Vec<(usize, Carry)>, carried: &Carried, times: u32| {
        let at = weapons.iter().position(|(weapon, _)| *weapon == carried.weapon).unwrap_or_else(|| {
            weapons.push((carried.weapon, Carry::default()));
            weapons.len() - 1
        });
        weapons[at].1.each += carried.per_model * times;
        weapons[at].1.fixed += carried.per_unit * units * times;
    };
    unit.weapons.iter().for_each(|carried| add(&mut weapons, carried, 1));
    for (option, times) in &fielded.options {
        let option = &unit.options[*option];
        for (weapon, carry) in &mut weapons {
            if option.replaces.contains(weapon) {
                if option.per == Per::Weapon {
                    let of_models = (carry.each * models).saturating_sub(carry.without);
                    let gone = times * units;
                    carry.without += gone.min(of_models);
                    carry.fixed = carry.fixed.saturating_sub(gone.saturating_sub(of_models));
                } else {
                    *carry = Carry::default();
                }
            }
        }
        let times = if option.per == Per::Weapon { *times } else { 1 };
        option.weapons.iter().for_each(|carried| add(&mut weapons, carried, times));
    }
    weapons.retain(|(_, carry)| carry.count(models) > 0);
    weapons
}
