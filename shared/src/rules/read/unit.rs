//! Units and their options.
use super::super::model::attack::{Body, Kind};
use super::super::model::situation::Situations;
use super::super::model::stat::{StatValue, Stats};
use super::super::model::unit::{Formation, ModelGroup, Most, Per, Unit, UnitOption};
use super::super::names::Names;
use super::ids::{Index, Section, named};
use super::node::{Fields, Node};
use super::stat::{read_profile, read_stat_value, unknown_stat};
use super::weapon::read_carried;
use crate::report::counting::{Counted, Forms};

/// What units can name.
#[derive(Debug)]
pub(super) struct Books<'a> {
    pub(super) stats: &'a Stats,
    pub(super) words: &'a Situations,
    pub(super) kinds: &'a Index,
    pub(super) bodies: &'a [Kind],
    pub(super) roles: &'a Index,
    pub(super) rules: &'a Index,
    pub(super) weapons: &'a Index,
    pub(super) units: &'a Index,
    pub(super) formation: Formation,
}

impl Books<'_> {
    pub(super) fn unit(&self, fields: &Fields<'_>) -> Unit {
        let named = named(fields);
        let kind = fields.need("kind").and_then(|node| self.kinds.find(node, "kind"));
        let role = fields.need("role").and_then(|node| self.roles.find(node, "role"));
        let profile = read_profile(fields, &self.stats.unit, self.words, kind);
        let models = fields.get("models").map_or((1, 1), |node| read_models(node).unwrap_or((1, 1)));
        let unique = fields.truth("unique").unwrap_or(false);
        let most = fields.count("most", 1..=1_000);
        if unique && most.is_some() {
            fields.wrong("unique means one at most: leave out either unique or most");
        }
        let (mut options, mut inside) = (Section::default(), Vec::new());
        gather(fields, None, &mut options, &mut inside);
        let parsed = self.options(&options, &inside);
        super::cycle::of_options(&options, &parsed);
        let mut find = Names::default();
        for (index, option) in parsed.iter().enumerate() {
            add_names(&mut find, index, &option.named);
        }
        let (forms, counted) = counting(fields, &named.label, models.1);
        let formation = fields.get("formation").map_or(self.formation, |node| read_formation(node, self.formation));
        let unit = Unit {
            kind: kind.unwrap_or_default(),
            role: role.unwrap_or_default(),
            profile,
            rules: self.rules.find_all(fields.get("rules"), "rule"),
            models,
            points: fields.need("points").and_then(|node| node.count(0..=100_000)).unwrap_or(0),
            each_more: fields.count("each_more", 0..=100_000).unwrap_or(0),
            per_slot: fields.count("per_slot", 1..=100).unwrap_or(1),
            most: if unique { Some(1) } else { most },
            needs_unit: self.units.find_all(fields.get("needs_unit"), "unit"),
            bars_unit: self.units.find_all(fields.get("bars_unit"), "unit"),
            weapons: read_carried(fields.get("weapons"), self.weapons, false),
            options: parsed,
            groups: self.groups(fields),
            formation,
            find,
            named,
            forms,
            counted,
        };
        let unlike: u32 = unit.groups.iter().map(|group| group.models).sum();
        let body = kind.and_then(|kind| self.bodies.get(kind)).map(|kind| &kind.body);
        let grouped = !unit.groups.is_empty() || unit.options.iter().any(|option| !option.groups.is_empty());
        if grouped && body.is_some_and(Body::is_armoured) {
            fields.wrong("only soldiers have models unlike the others");
        }
        if unlike > unit.models.0 {
            fields.wrong("its groups have more models than the smallest such unit");
        }
        fields.finish();
        unit
    }

    fn options(&self, options: &Section<'_>, inside: &[Option<usize>]) -> Vec<UnitOption> {
        let read = |(fields, inside): (&Fields<'_>, &Option<usize>)| {
            let per = fields.get("per").and_then(|node| node.word_of(&["unit", "model", "weapon"]));
            let per = [Per::Unit, Per::Model, Per::Weapon][per.unwrap_or_default()];
            let most = fields.get("most").and_then(read_most).unwrap_or(Most::Times(1));
            let option = UnitOption {
                named: named(fields),
                inside: *inside,
                points: fields.count("points", 0..=100_000).unwrap_or(0),
                per,
                most,
                weapons: read_carried(fields.get("weapons"), self.weapons, per != Per::Model),
                replaces: self.weapons.find_all(fields.get("replaces"), "weapon"),
                rules: self.rules.find_all(fields.get("rules"), "rule"),
                sets: self.sets(fields),
                groups: self.groups(fields),
                requires: options.ids.find_all(fields.get("requires"), "option of this unit"),
                excludes: options.ids.find_all(fields.get("excludes"), "option of this unit"),
            };
            fields.finish_but(&["option".to_owned()]);
            option
        };
        options.tables.iter().zip(inside).map(read).collect()
    }
}

impl Books<'_> {
    /// Stats that are set: `sets = { … }`.
    fn sets(&self, fields: &Fields<'_>) -> Vec<(usize, StatValue)> {
        let mut sets = Vec::new();
        let Some(table) = fields.get("sets").and_then(|node| node.fields()) else { return sets };
        for (key, span, node) in table.entries() {
            match self.stats.unit.iter().position(|stat| stat.id == key) {
                Some(at) => {
                    let value = read_stat_value(&self.stats.unit[at], self.words, node);
                    sets.extend(value.map(|value| (at, value)));
                }
                None => unknown_stat(&table, span, key, &self.stats.unit),
            }
        }
        sets
    }

    /// Models unlike the others: `group = [{ id = "…", models = 1, sets = { … } }]`.
    fn groups(&self, fields: &Fields<'_>) -> Vec<ModelGroup> {
        let read = |node: Node<'_>| {
            let fields = node.fields()?;
            fields.need("id");
            let models = fields.count("models", 1..=1_000).unwrap_or(1);
            let group = ModelGroup { named: named(&fields), models, sets: self.sets(&fields) };
            if group.sets.is_empty() && !fields.has("sets") {
                node.wrong("say in what these models are unlike the others: sets = { … }");
            }
            fields.finish();
            Some(group)
        };
        fields.list("group", 10).into_iter().filter_map(read).collect()
    }
}

/// All options of a unit in the order of the file, those within others behind them.
fn gather<'a>(fields: &Fields<'a>, parent: Option<usize>, all: &mut Section<'a>, inside: &mut Vec<Option<usize>>) {
    for node in fields.list("option", 200) {
        let Some(option) = node.fields() else { continue };
        let index = all.tables.len();
        inside.push(parent);
        all.add_table(option);
        if let Some(option) = node.fields() {
            gather(&option, Some(index), all, inside);
        }
    }
}

pub(super) fn add_names(find: &mut Names, index: usize, named: &super::super::model::Named) {
    let all = [named.label.as_str(), named.id.as_str()].into_iter().chain(named.also.iter().map(String::as_str));
    find.add(index, &named.label, all);
}

/// `singular`, `plural` and `counted`. Where nothing is said a label of several counts models, and a label of one that
/// stands for several models counts units. A name that can't be formed is guessed here, and the checker says so.
fn counting(fields: &Fields<'_>, label: &str, most: u32) -> ((String, String), Counted) {
    let text = |key| {
        let node = fields.get(key)?;
        let text = node.text()?;
        if text.trim().is_empty() || text.chars().count() > 64 {
            node.wrong("a name has 1 to 64 characters");
        }
        Some(text)
    };
    let forms = Forms::of(label, text("singular"), text("plural"));
    let singular = forms.singular.unwrap_or_else(|| label.to_owned());
    let plural = forms.plural.unwrap_or_else(|| crate::report::saying::plural(label));
    let counted = fields.get("counted").and_then(|node| node.word_of(&["models", "units"]));
    let counted = match counted {
        Some(0) => Counted::Models,
        Some(_) => Counted::Units,
        None if most > 1 && label == singular && label != plural => Counted::Units,
        None => Counted::Models,
    };
    ((singular, plural), counted)
}

/// `models = 5`, or `models = { least = 5, most = 15 }`.
fn read_models(node: Node<'_>) -> Option<(u32, u32)> {
    if !node.is_table() {
        let models = node.count(1..=1_000)?;
        return Some((models, models));
    }
    let fields = node.fields()?;
    let least = fields.need("least").and_then(|node| node.count(1..=1_000))?;
    let most = fields.need("most").and_then(|node| node.count(1..=1_000))?;
    fields.finish();
    if most < least {
        node.wrong("most is less than least");
    }
    Some((least, most.max(least)))
}

/// `most = 2`, or `most = { per_models = 5 }`.
fn read_most(node: Node<'_>) -> Option<Most> {
    if !node.is_table() {
        return node.count(1..=1_000).map(Most::Times);
    }
    let fields = node.fields()?;
    let share = fields.need("per_models").and_then(|node| node.count(1..=1_000));
    fields.finish();
    share.map(Most::PerModels)
}

pub(super) fn read_formation(node: Node<'_>, default: Formation) -> Formation {
    let Some(fields) = node.fields() else { return default };
    let read = |key, default| fields.count(key, 0..=10_000).unwrap_or(default);
    let formation = Formation {
        base_mm: read("base_mm", default.base_mm).max(1),
        gap_mm: read("gap_mm", default.gap_mm),
        files: read("files", default.files).max(1),
        hull_mm: (read("hull_length_mm", default.hull_mm.0).max(1), read("hull_width_mm", default.hull_mm.1).max(1)),
    };
    fields.finish();
    formation
}
