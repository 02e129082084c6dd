//! Changes that a unit may be put through: each number of its own one better, cover, arcs, options, a point off its price.
use crate::odds::dice::Dice;
use crate::odds::repair::Mend;
use crate::odds::roll::{Aim, Needs};
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use crate::rules::model::stat::{StatValue, Value};
use crate::rules::model::unit::{Unit, Weapon};
use crate::rules::standing;
use std::sync::Arc;

/// A change of the unit or of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// A stat of the unit is one better.
    UnitStat(usize),
    /// A stat of its weapons is one better.
    WeaponStat(usize),
    /// It takes an option.
    Option(usize),
    /// It has so many models.
    Models(u32),
    /// It stands behind this cover.
    Cover(usize),
    /// It is attacked from this arc.
    Arc(usize),
    /// A rule of its own does not act.
    Without(usize),
    /// Its repair is one easier.
    Repair,
    /// It costs one point less.
    Cheaper,
}

/// The changes that a unit may be put through.
pub fn changes(pack: &Pack, subject: &UnitInstance) -> Vec<Change> {
    let unit = &pack.units[subject.unit];
    let (profile, rules) = standing::profile(pack, subject);
    let carried = standing::carried(pack, subject);
    let stats = (0..profile.len()).filter(|at| profile[*at].as_ref().is_some_and(|value| better(value).is_some()));
    let of_weapons = (0..pack.stats.weapon.len()).filter(|at| {
        let values = carried.iter().filter_map(|(weapon, _)| pack.weapons[*weapon].profile.get(*at)?.as_ref());
        values.into_iter().any(|value| better(value).is_some())
    });
    let taken = |option: usize| subject.options.iter().any(|(taken, _)| *taken == option);
    let options = (0..unit.options.len()).filter(|at| {
        let option = &unit.options[*at];
        !taken(*at)
            && option.inside.is_none_or(taken)
            && option.requires.iter().all(|needed| taken(*needed))
            && !option.excludes.iter().any(|barred| taken(*barred))
            && option.most.of(subject.models) > 0
    });
    let usual = pack.situations.usual;
    let mut all: Vec<Change> = stats.map(Change::UnitStat).chain(of_weapons.map(Change::WeaponStat)).collect();
    all.extend(options.map(Change::Option));
    if unit.models.1 > subject.models {
        all.push(Change::Models(unit.models.1.min(60)));
    }
    all.extend((0..pack.situations.covers.len()).filter(|cover| *cover != usual.2).map(Change::Cover));
    all.extend((0..pack.situations.arcs.len()).filter(|arc| *arc != usual.0).map(Change::Arc));
    all.extend(rules.into_iter().map(Change::Without));
    if standing::repair(pack, subject, &[], &[]).is_some() {
        all.push(Change::Repair);
    }
    all.push(Change::Cheaper);
    all
}

/// A unit and its table with a change.
pub(super) struct Changed {
    /// The pack; where numbers of the unit change, with another unit in it.
    pub(super) pack: Arc<Pack>,
    /// The unit.
    pub(super) unit: UnitInstance,
    /// The arc that is attacked, in place of the usual one.
    pub(super) arc: Option<usize>,
    /// What it stands behind.
    pub(super) cover: Option<usize>,
    /// A rule that does not act.
    pub(super) without: Vec<usize>,
    /// Its repair is one easier.
    pub(super) mends_better: bool,
    /// What it costs less.
    pub(super) off: u64,
}

impl Changed {
    /// A unit with a change; nothing where there is nothing to change.
    pub(super) fn new(pack: &Arc<Pack>, unit: &UnitInstance, change: &Change) -> Option<Self> {
        let mut changed = Self {
            pack: pack.clone(),
            unit: unit.clone(),
            arc: None,
            cover: None,
            without: Vec::new(),
            mends_better: false,
            off: 0,
        };
        match change {
            Change::UnitStat(stat) => changed.unit_stat(*stat)?,
            Change::WeaponStat(stat) => changed.weapon_stat(*stat)?,
            Change::Option(option) => changed.unit.options.push((*option, 1)),
            Change::Models(models) => changed.unit.models = *models,
            Change::Cover(cover) => changed.cover = Some(*cover),
            Change::Arc(arc) => changed.arc = Some(*arc),
            Change::Without(rule) => changed.without.push(*rule),
            Change::Repair => changed.mends_better = true,
            Change::Cheaper => changed.off = 1,
        }
        Some(changed)
    }

    fn unit_stat(&mut self, stat: usize) -> Option<()> {
        let value = better(standing::profile(&self.pack, &self.unit).0[stat].as_ref()?)?;
        let options: Vec<usize> = self.unit.options.iter().map(|(option, _)| *option).collect();
        let unit = twin(&mut self.pack, &mut self.unit);
        unit.profile[stat] = Some(value.clone());
        // An option that sets the same stat would set it back.
        for option in options {
            let sets = unit.options[option].sets.iter_mut();
            sets.filter(|(set, _)| *set == stat).for_each(|set| set.1 = value.clone());
        }
        Some(())
    }

    fn weapon_stat(&mut self, stat: usize) -> Option<()> {
        twin(&mut self.pack, &mut self.unit);
        let mut found = None;
        for (weapon, _) in standing::carried(&self.pack, &self.unit) {
            let weapon = &mut Arc::make_mut(&mut self.pack).weapons[weapon];
            if let Some(value) = weapon.profile[stat].as_ref().and_then(better) {
                weapon.profile[stat] = Some(value);
                found = Some(());
            }
        }
        found
    }

    /// A repair as it is with the change.
    pub(super) fn mend(&self, mend: Mend) -> Mend {
        match mend.roll.aim {
            Aim::Needs(needs) if self.mends_better => {
                let mut mend = mend;
                mend.roll.aim = Aim::Needs(easier(needs));
                mend
            }
            _ => mend,
        }
    }
}

/// Puts a copy of the unit, with weapons of its own, into the pack, so that what changes in it changes in nobody else.
fn twin<'a>(pack: &'a mut Arc<Pack>, own: &mut UnitInstance) -> &'a mut Unit {
    let pack = Arc::make_mut(pack);
    let mut unit = pack.units[own.unit].clone();
    let first = pack.weapons.len();
    let mut copies: Vec<usize> = Vec::new();
    let mut copied = |weapon: &mut usize| {
        let known = copies.iter().position(|copy| copy == weapon);
        let at = known.unwrap_or_else(|| {
            copies.push(*weapon);
            copies.len() - 1
        });
        *weapon = first + at;
    };
    unit.weapons.iter_mut().for_each(|carried| copied(&mut carried.weapon));
    for option in &mut unit.options {
        option.weapons.iter_mut().for_each(|carried| copied(&mut carried.weapon));
        option.replaces.iter_mut().for_each(&mut copied);
    }
    own.weapons.iter_mut().for_each(&mut copied);
    let copies: Vec<Weapon> = copies.into_iter().map(|at| pack.weapons[at].clone()).collect();
    pack.weapons.extend(copies);
    pack.units.push(unit);
    own.unit = pack.units.len() - 1;
    &mut pack.units[own.unit]
}

/// A value one better; nothing where it has no better one.
fn better(value: &StatValue) -> Option<StatValue> {
    let one = |value: &Value| match *value {
        Value::Number(number) => Some(Value::Number(number + 1)),
        Value::Needs(needs) => Some(easier(needs)).filter(|eased| *eased != needs).map(Value::Needs),
        Value::Dice(dice) => match dice.as_constant() {
            Some(number) => Dice::constant(number + 1),
            None => Dice::new(dice.count(), dice.sides(), dice.plus() + 1),
        }
        .ok()
        .map(Value::Dice),
        Value::Word(_) => None,
    };
    match value {
        StatValue::One(value) => one(value).map(StatValue::One),
        StatValue::Each(values) => values.iter().map(one).collect::<Option<_>>().map(StatValue::Each),
    }
}

fn easier(needs: Needs) -> Needs {
    match needs {
        Needs::AtLeast(total) if total > 2 => Needs::AtLeast(total - 1),
        Needs::AtMost(total) => Needs::AtMost(total + 1),
        other => other,
    }
}
