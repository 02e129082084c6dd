//! Units: their profiles, options, repair and checks.
use super::super::amount::{AmountForm, NeedsForm};
use super::super::check::CheckRequest;
use super::super::lookup;
use super::super::mistake::{Mistake, Mistakes};
use super::super::notes::Because;
use super::super::repair::{RollsForm, RollsName};
use super::super::roll::{reroll_form, some_unless};
use super::unit_head;
use crate::odds::check::Check;
use crate::odds::repair::Rolls;
use crate::odds::roll::{Aim, Needs, Pool};
use crate::points::instance_cost;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use crate::rules::model::attack::Body;
use crate::rules::model::stat::{Axis, Profile, Stat, StatValue};
use crate::rules::model::unit::{ModelGroup, Most, Per, WeaponCount};
use crate::rules::standing;

pub use super::unit_form::*;

/// The units that a text finds; all of them for an empty one.
pub fn units(pack: &Pack, text: &str) -> UnitsAnswer {
    UnitsAnswer { units: pack.find.units.search(text).into_iter().map(|at| unit_head(pack, at)).collect() }
}

/// A unit.
///
/// # Errors
/// Every name that is not known, with the closest ones.
pub fn unit(pack: &Pack, name: &str, query: &UnitQuery) -> Result<UnitAnswer, Vec<Mistake>> {
    let mut mistakes = Mistakes::default();
    let instance = mistakes.keep(lookup::unit(pack, name, "")).and_then(|at| {
        let list = |text: &Option<String>, signs: &[char]| -> Option<Vec<String>> {
            let parts = text.as_ref()?.split(signs).map(str::trim).filter(|part| !part.is_empty());
            Some(parts.map(str::to_owned).collect())
        };
        let book = &pack.units[at];
        let models = query.models.unwrap_or(book.models.0);
        if !(1..=1_000).contains(&models) {
            mistakes.push(Mistake::value("/models", "1 to 1000 models, please"));
            return None;
        }
        if query.asked.is_some_and(|asked| !(-1_000..=1_000).contains(&asked)) {
            mistakes.push(Mistake::value("/asked", "a check asks for -1000 to 1000"));
            return None;
        }
        let options =
            lookup::options(book, list(&query.options, &[',', '+', ';']).as_deref(), "/options", &mut mistakes);
        // `wharf captain + signal mast` is one unit with what it has.
        let near = lookup::near(pack, list(&query.near, &[',', ';']).as_deref(), "/near", &mut mistakes);
        Some(UnitInstance { unit: at, models, options, near, ..UnitInstance::default() })
    });
    mistakes.or(instance.map(|instance| answer(pack, &instance, query.asked)))
}

fn answer(pack: &Pack, instance: &UnitInstance, asked: Option<i32>) -> UnitAnswer {
    let unit = &pack.units[instance.unit];
    let (profile, rules) = standing::profile(pack, instance);
    UnitAnswer {
        id: unit.named.id.clone(),
        name: unit.named.label.clone(),
        text: unit.named.text.clone(),
        role: pack.roles[unit.role].named.label.clone(),
        kind: pack.kinds[unit.kind].named.label.clone(),
        armoured: matches!(pack.kinds[unit.kind].body, Body::Armoured { .. }),
        points: instance_cost(pack, instance),
        each_more: unit.each_more,
        models: ModelsForm { least: unit.models.0, most: unit.models.1, now: instance.models },
        per_slot: unit.per_slot,
        most: unit.most.or(pack.limits.most_alike),
        capacity: standing::capacity(pack, instance),
        profile: stats(pack, &pack.stats.unit, &profile),
        weapons: standing::carried(pack, instance).iter().map(|(at, count)| weapon(pack, *at, *count)).collect(),
        rules: rules.iter().map(|at| rule_head(pack, *at)).collect(),
        options: unit.options.iter().map(|option| option_form(pack, instance, option)).collect(),
        groups: groups(pack, instance),
        repair: mends(pack, instance, &[]).map(|repair| repair_form(pack, &repair)),
        checks: (0..pack.checks.len())
            .filter_map(|at| standing::check(pack, instance, at, asked, &[], &[]))
            .filter_map(|check| check_form(pack, check))
            .collect(),
        hash: pack.hash.clone(),
    }
}

pub(in super::super) fn rule_head(pack: &Pack, at: usize) -> RuleHead {
    let named = &pack.rules[at].named;
    RuleHead { id: named.id.clone(), name: named.label.clone(), text: named.text.clone() }
}

pub(in super::super) fn stats(pack: &Pack, stats: &[Stat], profile: &Profile) -> Vec<StatForm> {
    let words = &pack.situations;
    let axis = |axis: Axis| -> Vec<&str> {
        match axis {
            Axis::Arc => words.arcs.iter().map(|word| word.named.label.as_str()).collect(),
            Axis::Range => words.ranges.iter().map(|band| band.word.named.label.as_str()).collect(),
            Axis::Cover => words.covers.iter().map(|word| word.named.label.as_str()).collect(),
        }
    };
    let form = |(stat, value): (&Stat, &Option<StatValue>)| {
        let (value, each) = match value.as_ref()? {
            StatValue::One(value) => (stat.write(*value), None),
            StatValue::Each(values) => {
                let words = stat.per.map_or_else(Vec::new, axis);
                let pairs: Vec<(&str, String)> =
                    words.into_iter().zip(values.iter().map(|value| stat.write(*value))).collect();
                let text: Vec<String> = pairs.iter().map(|(word, value)| format!("{word} {value}")).collect();
                (text.join(", "), Some(pairs.into_iter().map(|(word, value)| (word.to_owned(), value)).collect()))
            }
        };
        Some(StatForm { id: stat.id.clone(), name: stat.label.clone(), value, each })
    };
    stats.iter().zip(profile).filter_map(form).collect()
}

pub(in super::super) fn weapon(pack: &Pack, at: usize, count: u32) -> WeaponForm {
    let weapon = &pack.weapons[at];
    WeaponForm {
        id: weapon.named.id.clone(),
        name: weapon.named.label.clone(),
        count,
        profile: stats(pack, &pack.stats.weapon, &weapon.profile),
        least_reach: weapon.reach.0,
        reach: weapon.reach.1,
        template_mm: weapon.template.as_ref().map(|template| template.diameter_mm),
        rules: weapon.rules.iter().map(|at| rule_head(pack, *at)).collect(),
    }
}

/// Models unlike the others, with what is their own.
fn groups(pack: &Pack, instance: &UnitInstance) -> Vec<ModelGroupForm> {
    let form = |(models, group): (u32, &ModelGroup)| {
        let mut profile: Profile = vec![None; pack.stats.unit.len()];
        for (stat, value) in &group.sets {
            profile[*stat] = Some(value.clone());
        }
        let (id, name) = (group.named.id.clone(), group.named.label.clone());
        ModelGroupForm { id, name, models, profile: stats(pack, &pack.stats.unit, &profile) }
    };
    standing::model_groups(pack, instance).into_iter().map(form).collect()
}

fn option_form(pack: &Pack, instance: &UnitInstance, option: &crate::rules::model::unit::UnitOption) -> OptionForm {
    let unit = &pack.units[instance.unit];
    let options = |list: &[usize]| list.iter().map(|at| unit.options[*at].named.label.clone()).collect();
    let weapon = |at: usize| pack.weapons[at].named.label.clone();
    OptionForm {
        id: option.named.id.clone(),
        name: option.named.label.clone(),
        points: option.points,
        per: match option.per {
            Per::Unit => "unit",
            Per::Model => "model",
            Per::Weapon => "weapon",
        }
        .to_owned(),
        most: match option.most {
            Most::Times(times) => times,
            Most::PerModels(_) => option.most.of(instance.models),
        },
        inside: option.inside.map(|at| unit.options[at].named.label.clone()),
        weapons: option.weapons.iter().map(|carried: &WeaponCount| weapon(carried.weapon)).collect(),
        replaces: option.replaces.iter().map(|at| weapon(*at)).collect(),
        rules: option.rules.iter().map(|at| pack.rules[*at].named.label.clone()).collect(),
        requires: options(&option.requires),
        excludes: options(&option.excludes),
    }
}

/// A unit's repair, where anything can come back: models of one point each have fallen once they are hurt.
fn mends(pack: &Pack, unit: &UnitInstance, without: &[usize]) -> Option<standing::UnitRepair> {
    standing::repair(pack, unit, &[], without).filter(|repair| repair.mendable > 1)
}

fn repair_form(pack: &Pack, repair: &standing::UnitRepair) -> RepairForm {
    let mend = &repair.mend;
    let needs = match mend.roll.aim {
        Aim::Needs(needs) => needs,
        Aim::Versus(_) => Needs::Never,
    };
    let die = match &mend.roll.pool {
        Pool::Dice { dice, .. } => dice.sides(),
        Pool::Given(_) => 6,
    };
    RepairForm {
        capacity: repair.capacity,
        missing: 1.min(repair.capacity),
        needs: NeedsForm(needs),
        die,
        modifier: some_unless(mend.roll.modifier, 0),
        reroll: reroll_form(mend.roll.reroll),
        rolls: match mend.rolls {
            Rolls::EachMissing => RollsForm::Named(RollsName::EachMissing),
            Rolls::Number(1) => RollsForm::Named(RollsName::One),
            Rolls::Number(number) => RollsForm::Number(number),
        },
        restores: AmountForm(mend.restores.clone()),
        label: pack.rules[repair.rule].named.label.clone(),
        because: repair.because.iter().map(Because::from).collect(),
    }
}

fn check_form(pack: &Pack, check: standing::UnitCheck) -> Option<CheckForm> {
    let plan = &pack.checks[check.check];
    let request = CheckRequest::of(&Check::new(check.roll, Vec::new(), 1, None).ok()?, false);
    Some(CheckForm {
        id: plan.named.id.clone(),
        name: plan.named.label.clone(),
        text: plan.named.text.clone(),
        asks: plan.asks.as_ref().map(|(what, _)| what.clone()),
        asked: check.asked,
        request: CheckRequest { exact: None, tries: None, ..request },
        because: check.because.iter().map(Because::from).collect(),
    })
}

/// The request of one check of a unit, with the reasons of its numbers.
pub(in super::super) fn check_request(
    pack: &Pack,
    unit: &UnitInstance,
    check: usize,
    without: &[usize],
) -> Option<(serde_json::Value, Vec<String>)> {
    let form = check_form(pack, standing::check(pack, unit, check, None, &[], without)?)?;
    Some((serde_json::to_value(&form.request).ok()?, effects(&form.because)))
}

/// The request of a unit's repair, with the reasons of its numbers.
pub(in super::super) fn repair_request(
    pack: &Pack,
    unit: &UnitInstance,
    without: &[usize],
) -> Option<(serde_json::Value, Vec<String>)> {
    let form = repair_form(pack, &mends(pack, unit, without)?);
    let mut request = serde_json::to_value(&form).ok()?;
    request.as_object_mut()?.remove("because");
    Some((request, effects(&form.because)))
}

fn effects(because: &[Because]) -> Vec<String> {
    because.iter().map(|because| because.effect.clone()).collect()
}
