//! Units: their profiles, options, repair and checks.
use super::super::amount::{AmountForm, NeedsForm};
use super::super::check::CheckRequest;
use super::super::lookup;
use super::super::mistake::{Mistake, Mistakes};
use super::super::notes::Because;
use super::super::repair::{RollsForm, RollsName};
use super::super::roll::{RerollForm, reroll_form, some_unless};
use super::{NameForm, UnitHead, unit_head};
use crate::odds::check::Check;
use crate::odds::repair::Rolls;
use crate::odds::roll::{Aim, Needs, Pool};
use crate::rules::matchup::Fielded;
use crate::rules::model::Pack;
use crate::rules::model::attack::Body;
use crate::rules::model::stat::{Axis, Profile, Stat, StatValue};
use crate::rules::model::unit::{Carried, Most, Per};
use crate::rules::standing;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::{IntoParams, ToSchema};

/// Units found.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct UnitsAnswer {
    /// The units, best first.
    pub units: Vec<UnitHead>,
}

/// How a unit is looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema, IntoParams)]
#[serde(deny_unknown_fields)]
pub struct UnitQuery {
    /// How many models; the unit's fewest where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[param(minimum = 1, maximum = 1000)]
    pub models: Option<u32>,
    /// Its options, with commas between them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub options: Option<String>,
    /// Units near it, with commas between them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub near: Option<String>,
    /// The number that a check asks for, such as a charge's distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[param(minimum = -1000, maximum = 1000)]
    pub asked: Option<i32>,
}

/// A unit.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct UnitAnswer {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it is, in words.
    pub text: String,
    /// What it counts as.
    pub role: String,
    /// Its kind.
    pub kind: String,
    /// Whether it is armour: loses structure, and has arcs.
    pub armoured: bool,
    /// What it costs as it is looked at, options included.
    pub points: u64,
    /// What one more model costs.
    pub each_more: u32,
    /// How few and how many models it may have, and how many are looked at.
    pub models: ModelsForm,
    /// How many such units share a slot.
    pub per_slot: u32,
    /// How many of them a list may hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most: Option<u32>,
    /// Points that it can lose: structure, or health of all models.
    pub capacity: u32,
    /// Its stats.
    pub profile: Vec<StatForm>,
    /// Its weapons, options worked in.
    pub weapons: Vec<WeaponForm>,
    /// Its rules, options worked in.
    pub rules: Vec<RuleHead>,
    /// Its options.
    pub options: Vec<OptionForm>,
    /// How it mends: a request for `repair`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repair: Option<RepairForm>,
    /// The checks that it takes: requests for `check`.
    pub checks: Vec<CheckForm>,
    /// The pack's content hash.
    pub hash: String,
}

/// How few and how many models.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct ModelsForm {
    /// The fewest.
    pub least: u32,
    /// The most.
    pub most: u32,
    /// Those looked at.
    pub now: u32,
}

/// A stat with its value.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct StatForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its value as players write it: `4+`, `2d6`, or `front 14, side 12, rear 10`.
    pub value: String,
    /// Its value by arc, range or cover, where it differs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub each: Option<BTreeMap<String, String>>,
}

/// A weapon of a unit.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct WeaponForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// How many of it the unit has.
    pub count: u32,
    /// Its stats.
    pub profile: Vec<StatForm>,
    /// How near it can be used.
    pub least_reach: u32,
    /// How far it reaches; nothing where that has no limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reach: Option<u32>,
    /// The diameter of the template that it lays.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub template_mm: Option<u32>,
    /// Its rules.
    pub rules: Vec<RuleHead>,
}

/// A rule in short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct RuleHead {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it says.
    pub text: String,
}

/// An option of a unit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct OptionForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it costs.
    pub points: u32,
    /// What that is paid for: the unit, each model or each weapon.
    pub per: String,
    /// How often it may be taken by the models looked at.
    pub most: u32,
    /// The option that it is part of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inside: Option<String>,
    /// Weapons that it brings.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub weapons: Vec<String>,
    /// Weapons that go for it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<String>,
    /// Rules that it brings.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<String>,
    /// Options that must be taken with it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub requires: Vec<String>,
    /// Options that can't be taken with it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub excludes: Vec<String>,
}

/// How a unit mends: the fields of a request for `repair`.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct RepairForm {
    /// Points when whole.
    pub capacity: u32,
    /// Points missing: one, for a start.
    pub missing: u32,
    /// What a roll needs.
    pub needs: NeedsForm,
    /// Sides of its die.
    pub die: u32,
    /// Added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub modifier: Option<i32>,
    /// What is rolled again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reroll: Option<RerollForm>,
    /// How often a turn.
    pub rolls: RollsForm,
    /// What a success restores.
    pub restores: AmountForm,
    /// The rule that grants it.
    pub label: String,
    /// Why its numbers are what they are.
    pub because: Vec<Because>,
}

/// A check of a unit.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct CheckForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it says.
    pub text: String,
    /// What is asked of the person, such as a distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asks: Option<String>,
    /// The number that it was asked with.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<i32>,
    /// A request for `check`.
    pub request: CheckRequest,
    /// Why its numbers are what they are.
    pub because: Vec<Because>,
}

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
    let fielded = mistakes.keep(lookup::unit(pack, name, "")).and_then(|at| {
        let list = |text: &Option<String>| -> Option<Vec<String>> {
            let parts = text.as_ref()?.split([',', '+', ';']).map(str::trim).filter(|part| !part.is_empty());
            Some(parts.map(str::to_owned).collect())
        };
        let book = &pack.units[at];
        let models = query.models.unwrap_or(book.models.0);
        if !(1..=1_000).contains(&models) {
            mistakes.push(Mistake::value("/models", "1 to 1000 models, please"));
            return None;
        }
        let options = lookup::options(book, list(&query.options).as_deref(), "/options", &mut mistakes);
        let near = lookup::near(pack, list(&query.near).as_deref(), "/near", &mut mistakes);
        Some(Fielded { unit: at, models, options, near, ..Fielded::default() })
    });
    mistakes.or(fielded.map(|fielded| answer(pack, &fielded, query.asked)))
}

fn answer(pack: &Pack, fielded: &Fielded, asked: Option<i32>) -> UnitAnswer {
    let unit = &pack.units[fielded.unit];
    let (profile, rules) = standing::profile(pack, fielded);
    UnitAnswer {
        id: unit.named.id.clone(),
        name: unit.named.label.clone(),
        text: unit.named.text.clone(),
        role: pack.roles[unit.role].named.label.clone(),
        kind: pack.kinds[unit.kind].named.label.clone(),
        armoured: matches!(pack.kinds[unit.kind].body, Body::Armoured { .. }),
        points: lookup::cost(pack, fielded),
        each_more: unit.each_more,
        models: ModelsForm { least: unit.models.0, most: unit.models.1, now: fielded.models },
        per_slot: unit.per_slot,
        most: unit.most.or(pack.limits.most_alike),
        capacity: standing::capacity(pack, fielded),
        profile: stats(pack, &pack.stats.unit, &profile),
        weapons: standing::carried(pack, fielded).iter().map(|(at, count)| weapon(pack, *at, *count)).collect(),
        rules: rules.iter().map(|at| rule_head(pack, *at)).collect(),
        options: unit.options.iter().map(|option| option_form(pack, fielded, option)).collect(),
        repair: standing::repair(pack, fielded, &[], &[]).map(|repair| repair_form(pack, &repair)),
        checks: (0..pack.checks.len())
            .filter_map(|at| standing::check(pack, fielded, at, asked, &[], &[]))
            .filter_map(|check| check_form(pack, check))
            .collect(),
        hash: pack.hash.clone(),
    }
}

pub(super) fn rule_head(pack: &Pack, at: usize) -> RuleHead {
    let named = &pack.rules[at].named;
    RuleHead { id: named.id.clone(), name: named.label.clone(), text: named.text.clone() }
}

fn stats(pack: &Pack, stats: &[Stat], profile: &Profile) -> Vec<StatForm> {
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

fn weapon(pack: &Pack, at: usize, count: u32) -> WeaponForm {
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

fn option_form(pack: &Pack, fielded: &Fielded, option: &crate::rules::model::unit::UnitOption) -> OptionForm {
    let unit = &pack.units[fielded.unit];
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
            Most::PerModels(_) => option.most.of(fielded.models),
        },
        inside: option.inside.map(|at| unit.options[at].named.label.clone()),
        weapons: option.weapons.iter().map(|carried: &Carried| weapon(carried.weapon)).collect(),
        replaces: option.replaces.iter().map(|at| weapon(*at)).collect(),
        rules: option.rules.iter().map(|at| pack.rules[*at].named.label.clone()).collect(),
        requires: options(&option.requires),
        excludes: options(&option.excludes),
    }
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

/// Names of things in short.
pub(super) fn names<'a>(all: impl Iterator<Item = &'a crate::rules::model::Named>) -> Vec<NameForm> {
    all.map(NameForm::from).collect()
}
