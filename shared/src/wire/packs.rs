//! What there is: packs, their units and their rules, searchable and forgiving of spelling.
use crate::rules::PackCatalog;
use crate::rules::model::unit::{Per, UnitOption};
use crate::rules::model::{Named, Pack};
use crate::rules::names::plain;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

mod files;
mod heads;
mod names;
mod rule;
mod send;
mod terms;
mod unit;
mod unit_form;
pub use files::{PackFilesAnswer, PackText, files};
pub use heads::{CountedForm, OptionHead, UnitHead};
pub use names::NamesRequest;
pub use rule::{OriginForm, RuleForm, RulesAnswer, rules};
pub(super) use rule::{origin, rule_form};
pub use send::{BUDGET_FACTOR as SEND_BUDGET_FACTOR, PackRefused, PackSent, SendRequest};
pub use unit::{
    CheckForm, ModelGroupForm, ModelsForm, OptionForm, RepairForm, RuleHead, StatForm, UnitAnswer, UnitQuery,
    UnitsAnswer, WeaponForm, unit, units,
};
pub(super) use unit::{check_request, repair_request, rule_head, stats, weapon};

/// All packs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PacksAnswer {
    /// The packs, the usual one first.
    pub packs: Vec<PackHead>,
}

/// A pack in short.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PackHead {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Further words for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<String>,
    /// What it is about.
    pub about: String,
    /// Its content hash.
    pub hash: String,
    /// How many units it has.
    pub unit_count: usize,
    /// The packs that it is built on, the lowest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub extends: Vec<LayerForm>,
}

/// A pack that another is built on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct LayerForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
}

/// The packs that a pack is built on, the lowest first.
fn extends(pack: &Pack) -> Vec<LayerForm> {
    let beneath = pack.layers.split_last().map_or(&[][..], |(_, beneath)| beneath);
    beneath.iter().map(|layer| LayerForm { id: layer.id.clone(), name: layer.label.clone() }).collect()
}

/// All names of a pack.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PackAnswer {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it is about.
    pub about: String,
    /// Its content hash.
    pub hash: String,
    /// The packs that it is built on, the lowest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub extends: Vec<LayerForm>,
    /// The die that most of its steps roll.
    pub die: u32,
    /// The points limit of a list where nobody says.
    pub limit: u32,
    /// How many turns a game has.
    pub turns: u32,
    /// Its units.
    pub units: Vec<UnitHead>,
    /// Its rules.
    pub rules: Vec<NameForm>,
    /// Its checks.
    pub checks: Vec<NameForm>,
    /// Its arcs.
    pub arcs: Vec<NameForm>,
    /// Its range bands, the nearest first.
    pub ranges: Vec<NameForm>,
    /// Its covers.
    pub cover: Vec<NameForm>,
    /// What else a situation may say, `moved` first.
    pub situation: Vec<NameForm>,
    /// Options of its units, each name once.
    pub options: Vec<NameForm>,
    /// Weapons.
    pub weapons: Vec<NameForm>,
    /// Marks that a target may bear.
    pub statuses: Vec<String>,
    /// Its roles.
    pub roles: Vec<NameForm>,
    /// The club's own words for ordinary ones.
    pub labels: BTreeMap<String, String>,
    /// The stats of its units.
    pub stats: Vec<NameForm>,
    /// Words of the pack that can be asked about.
    pub terms: Vec<TermForm>,
    /// How its soldiers stand where their unit does not say otherwise.
    pub formation: FormationHead,
}

/// How models stand side by side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct FormationHead {
    /// The diameter of a base, in millimetres.
    pub base_mm: u32,
    /// The gap from edge to edge, in millimetres.
    pub gap_mm: u32,
    /// How many stand side by side.
    pub files: u32,
}

/// A name.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct NameForm {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// Further words for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<String>,
    /// Whether it stands where nobody says.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub usual: bool,
}

/// A word of the pack with what it means.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct TermForm {
    /// What it is a word for: `stat`, `step`, `chart`, `breach`, `arc`, `range`, `cover`, `flag`, `check` or `aftermath`.
    pub sort: String,
    /// As the pack's files have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// What the pack says of it.
    pub text: String,
}

impl From<&Named> for NameForm {
    fn from(named: &Named) -> Self {
        Self { id: named.id.clone(), name: named.label.clone(), also: named.also.clone(), usual: false }
    }
}

impl PackHead {
    /// The pack in short.
    pub(super) fn of(pack: &Pack) -> Self {
        Self {
            id: pack.named.id.clone(),
            name: pack.named.label.clone(),
            also: pack.named.also.clone(),
            about: pack.named.text.clone(),
            hash: pack.hash.clone(),
            unit_count: pack.units.len(),
            extends: extends(pack),
        }
    }
}

/// All packs.
pub fn packs(catalog: &PackCatalog) -> PacksAnswer {
    PacksAnswer { packs: catalog.packs().iter().map(|pack| PackHead::of(pack)).collect() }
}

/// All names of a pack.
pub fn pack(pack: &Pack) -> PackAnswer {
    let words = &pack.situations;
    let usual = |names: Vec<NameForm>, usual: usize| {
        let mark = |(at, name): (usize, NameForm)| NameForm { usual: at == usual, ..name };
        names.into_iter().enumerate().map(mark).collect()
    };
    let moved = NameForm { id: "moved".to_owned(), name: "moved".to_owned(), ..NameForm::default() };
    let mut options: Vec<NameForm> = Vec::new();
    for option in pack.units.iter().flat_map(|unit| &unit.options) {
        match options.iter_mut().find(|known| known.name == option.named.label) {
            // Units that call one thing alike may have an id of their own for it; its name means it everywhere.
            Some(known) if known.id != option.named.id => known.id = plain(&known.name).replace(' ', "-"),
            Some(_) => {}
            None => options.push((&option.named).into()),
        }
    }
    let mut statuses: Vec<String> = Vec::new();
    for status in pack.breaches.iter().flat_map(|breach| &breach.rows).filter_map(|row| row.status.as_ref()) {
        if !statuses.contains(status) {
            statuses.push(status.clone());
        }
    }
    PackAnswer {
        id: pack.named.id.clone(),
        name: pack.named.label.clone(),
        about: pack.named.text.clone(),
        extends: extends(pack),
        hash: pack.hash.clone(),
        die: die(pack),
        limit: pack.limits.points,
        turns: pack.board.turns,
        units: (0..pack.units.len()).map(|at| unit_head(pack, at)).collect(),
        rules: pack.rules.iter().map(|rule| (&rule.named).into()).collect(),
        checks: pack.checks.iter().map(|check| (&check.named).into()).collect(),
        arcs: usual(words.arcs.iter().map(|word| (&word.named).into()).collect(), words.usual.0),
        ranges: usual(words.ranges.iter().map(|band| (&band.word.named).into()).collect(), words.usual.1),
        cover: usual(words.covers.iter().map(|word| (&word.named).into()).collect(), words.usual.2),
        situation: std::iter::once(moved).chain(words.flags.iter().map(NameForm::from)).collect(),
        options,
        weapons: pack.weapons.iter().map(|weapon| (&weapon.named).into()).collect(),
        statuses,
        roles: pack.roles.iter().map(|role| (&role.named).into()).collect(),
        labels: pack.words.iter().cloned().collect(),
        stats: pack
            .stats
            .unit
            .iter()
            .map(|stat| NameForm { id: stat.id.clone(), name: stat.label.clone(), ..NameForm::default() })
            .collect(),
        terms: terms::terms(pack),
        formation: FormationHead {
            base_mm: pack.formation.base_mm,
            gap_mm: pack.formation.gap_mm,
            files: pack.formation.files,
        },
    }
}

fn unit_head(pack: &Pack, at: usize) -> UnitHead {
    let unit = &pack.units[at];
    UnitHead {
        id: unit.named.id.clone(),
        name: unit.named.label.clone(),
        also: unit.named.also.clone(),
        singular: unit.forms.0.clone(),
        plural: unit.forms.1.clone(),
        counted: unit.counted.into(),
        role: pack.roles[unit.role].named.label.clone(),
        points: unit.points,
        least: unit.models.0,
        most: unit.models.1,
        list_most: unit.list_most(pack),
        armoured: pack.kinds[unit.kind].body.is_armoured(),
        weapons: unit.weapons.iter().map(|carried| pack.weapons[carried.weapon].named.id.clone()).collect(),
        options: unit.options.iter().map(|option| option_head(pack, option)).collect(),
    }
}

fn option_head(pack: &Pack, option: &UnitOption) -> OptionHead {
    OptionHead {
        id: option.named.id.clone(),
        name: option.named.label.clone(),
        also: option.named.also.clone(),
        weapons: option.weapons.iter().map(|carried| pack.weapons[carried.weapon].named.id.clone()).collect(),
        counted: option.per == Per::Weapon,
    }
}

/// The die that most steps roll.
fn die(pack: &Pack) -> u32 {
    use crate::rules::model::attack::Form;
    let sides = |form: &Form| match form {
        Form::Roll(roll) => roll.dice.sides(),
        Form::Penetrate(penetrate) => penetrate.dice.sides(),
    };
    let mut counts: BTreeMap<u32, usize> = BTreeMap::new();
    for step in &pack.steps {
        *counts.entry(sides(&step.form)).or_default() += 1;
    }
    counts.into_iter().max_by_key(|(sides, count)| (*count, *sides)).map_or(6, |(sides, _)| sides)
}

/// The pack that a name means.
///
/// # Errors
/// The mistake with the closest names.
pub fn find_pack(catalog: &PackCatalog, name: &str) -> Result<std::sync::Arc<Pack>, super::mistake::Mistake> {
    catalog.pack(Some(name)).map_err(|error| super::lookup::no_pack("", name, error))
}
