//! Who carries what: how many of a weapon are used while fewer of a unit stand.
//!
//! A book says how many of each weapon a unit has, not who carries them. They are handed out so that whoever carries what
//! only some carry falls last: such weapons go to the last models, one each, from the back.
use super::super::matchup::UnitInstance;
use super::super::model::Pack;
use super::super::model::unit::{Per, WeaponCount};

/// The weapons of each model, first to fall first.
pub(super) struct Hands {
    models: Vec<Vec<usize>>,
    /// How many weapons of the whole unit have been handed out.
    given: usize,
}

impl Hands {
    /// Hands out all weapons of a unit with its options: to all that it had, those who have fallen since among them.
    pub(super) fn of(pack: &Pack, instance: &UnitInstance) -> Self {
        let unit = &pack.units[instance.unit];
        let models = instance.models.max(instance.whole).max(1);
        let units = unit.units_of(models);
        let mut hands = Self { models: vec![Vec::new(); models as usize], given: 0 };
        unit.weapons.iter().for_each(|carried| hands.hand_out(carried, units, &[]));
        for (option, times) in &instance.options {
            let option = &unit.options[*option];
            let of_weapons = option.per == Per::Weapon;
            let mut takers = Vec::new();
            for weapon in &option.replaces {
                let most = if of_weapons { (times * units) as usize } else { usize::MAX };
                hands.take(*weapon, most, &mut takers);
            }
            // Whoever gave up what only some carried takes what comes in its place; where all gave, the unit's last do.
            if !of_weapons && takers.len() >= hands.models.len() {
                takers.clear();
            }
            for _ in 0..if of_weapons { *times } else { 1 } {
                option.weapons.iter().for_each(|carried| hands.hand_out(carried, units, &takers));
                takers.drain(..takers.len().min(units as usize));
            }
        }
        hands
    }

    /// Each model's own, then those of the unit: to `takers` where there are any, else from the back.
    fn hand_out(&mut self, carried: &WeaponCount, units: u32, takers: &[usize]) {
        for model in &mut self.models {
            model.extend(std::iter::repeat_n(carried.weapon, carried.per_model as usize));
        }
        for at in 0..(carried.per_unit * units) as usize {
            let model = takers.get(at).copied().unwrap_or_else(|| {
                let count = self.models.len();
                self.given += 1;
                count - 1 - (self.given - 1) % count
            });
            self.models[model].push(carried.weapon);
        }
    }

    /// Takes a weapon away up to so many times, from the back; `takers` are those who gave one.
    fn take(&mut self, weapon: usize, most: usize, takers: &mut Vec<usize>) {
        let mut left = most;
        for (at, model) in self.models.iter_mut().enumerate().rev() {
            while left > 0
                && let Some(found) = model.iter().position(|other| *other == weapon)
            {
                model.remove(found);
                takers.push(at);
                left -= 1;
            }
        }
    }

    /// How many of a weapon each model that stands uses; where that is not the same for all, how many are used while 1,
    /// 2, … stand instead, the last number going on.
    pub(super) fn attackers_by_survivors(&self, weapon: usize) -> (u32, Vec<u32>) {
        let of = |model: &Vec<usize>| model.iter().filter(|other| **other == weapon).count() as u32;
        let each: Vec<u32> = self.models.iter().map(of).collect();
        if each.windows(2).all(|pair| pair[0] == pair[1]) {
            return (each[0], Vec::new());
        }
        let mut sum = 0;
        let mut standing: Vec<u32> = Vec::with_capacity(each.len());
        for count in each.iter().rev() {
            sum += count;
            standing.push(sum);
        }
        while standing.len() > 1 && standing[standing.len() - 1] == standing[standing.len() - 2] {
            standing.pop();
        }
        (sum, standing)
    }
}
