//! Weapons and their templates.
use super::super::model::situation::Situations;
use super::super::model::stat::Stats;
use super::super::model::unit::{Catch, ScatterPlan, TemplatePlan, Weapon, WeaponCount};
use super::ids::{Index, named};
use super::node::{Fields, Node};
use super::stat::{read_dice, read_profile};
use super::sum::Terms;

pub(super) fn read_weapon(
    fields: &Fields<'_>,
    stats: &Stats,
    words: &Situations,
    rules: &Index,
    terms: &Terms<'_>,
) -> Weapon {
    let named = named(fields);
    let profile = read_profile(fields, &stats.weapon, words, None);
    let rules = rules.find_all(fields.get("rules"), "rule");
    let least = fields.count("least_reach", 0..=10_000).unwrap_or(0);
    let most = fields.get("reach").and_then(|node| {
        let most = node.count(0..=10_000)?;
        if most < least {
            node.wrong("this weapon reaches nothing: reach is less than least_reach");
        }
        Some(most)
    });
    let template = fields.get("template").and_then(|node| read_template(node, terms));
    fields.finish();
    Weapon { named, profile, rules, reach: (least, most), template }
}

fn read_template(node: Node<'_>, terms: &Terms<'_>) -> Option<TemplatePlan> {
    let fields = node.fields()?;
    let diameter_mm = fields.need("diameter_mm").and_then(|node| node.count(1..=1_000));
    let counts = fields.get("counts").and_then(|node| node.word_of(&["touched", "centre", "whole"]));
    let scatter = fields.get("scatter").and_then(|node| read_scatter(node, terms));
    fields.finish();
    let counts = [Catch::Touched, Catch::Centre, Catch::Whole][counts.unwrap_or_default()];
    Some(TemplatePlan { diameter_mm: diameter_mm?, scatter, counts })
}

fn read_scatter(node: Node<'_>, terms: &Terms<'_>) -> Option<ScatterPlan> {
    let fields = node.fields()?;
    let dice = fields.need("dice").and_then(read_dice);
    let reduce = fields.get("reduce").and_then(|node| terms.number(node)).unwrap_or_default();
    let unit = fields.get("unit_mm").map(|node| {
        let float = node.value().as_float().and_then(|float| float.as_str().parse::<f64>().ok());
        let tenths = float.or(node.as_number().map(|n| n as f64)).map(|mm| (mm * 10.0).round());
        match tenths.filter(|tenths| (1.0..=10_000.0).contains(tenths)) {
            Some(tenths) => tenths as u32,
            None => {
                node.wrong("a length in millimetres, from 0.1 to 1000");
                254
            }
        }
    });
    let on_target = fields.get("on_target").and_then(|node| {
        let parts = node.text()?.split_once('/');
        let fraction = parts.and_then(|(p, q)| Some((p.parse::<u32>().ok()?, q.parse::<u32>().ok()?)));
        let fraction = fraction.filter(|(p, q)| p <= q && (1..=10_000).contains(q));
        if fraction.is_none() {
            node.wrong("a chance as a fraction, such as \"1/3\"");
        }
        fraction
    });
    fields.finish();
    Some(ScatterPlan {
        dice: dice?,
        reduce,
        unit_tenths_mm: unit.unwrap_or(254),
        on_target: on_target.unwrap_or((0, 1)),
    })
}

/// The weapons of a unit or an option: names, or `{ weapon = "…", per_model = 2 }`.
///
/// `per_unit`: one named plainly is the unit's own instead of each model's.
pub(super) fn read_carried(node: Option<Node<'_>>, weapons: &Index, per_unit: bool) -> Vec<WeaponCount> {
    let one = |node: Node<'_>| {
        if !node.is_table() {
            let weapon = weapons.find(node, "weapon")?;
            return Some(WeaponCount { weapon, per_model: u32::from(!per_unit), per_unit: u32::from(per_unit) });
        }
        let fields = node.fields()?;
        let weapon = fields.need("weapon").and_then(|node| weapons.find(node, "weapon"));
        let (model, unit) = (fields.count("per_model", 0..=100), fields.count("per_unit", 0..=100));
        fields.finish();
        let plain = model.is_none() && unit.is_none();
        let (model, unit) =
            if plain { (u32::from(!per_unit), u32::from(per_unit)) } else { (model.unwrap_or(0), unit.unwrap_or(0)) };
        if model + unit == 0 {
            node.wrong("none of this weapon: say per_model or per_unit");
        }
        Some(WeaponCount { weapon: weapon?, per_model: model, per_unit: unit })
    };
    node.map_or_else(Vec::new, |node| node.many().into_iter().filter_map(one).collect())
}
