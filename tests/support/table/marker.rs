//! Laying a template: bases set out in ranks, the best one aimed at, the drift thrown.
use super::Hand;
use super::scene::Scene;
use crate::play::Luck;
use pipwright_shared::rules::model::unit::{Catch, Formation, TemplatePlan};
use std::cell::RefCell;
use std::collections::HashMap;

const SLACK: f64 = 1e-9;

/// Remembers the best base to aim at, which takes long to find.
#[derive(Default)]
pub struct Marker {
    best: RefCell<HashMap<Laid, usize>>,
}

type Ranks = (u32, u32, u32);
/// Which template, on whom, how many of them, and by how much less it drifts.
type Laid = (*const TemplatePlan, Ranks, usize, i32);

impl Marker {
    /// How many a template catches of so many that stand; of a hull 1 where it is touched.
    pub fn caught(&self, scene: &Scene<'_>, plan: &TemplatePlan, standing: usize, hand: &mut Hand) -> usize {
        let formation = &scene.target.unit.formation;
        let reduce = plan.scatter.as_ref().map_or(0, |scatter| scene.number(&scatter.reduce));
        if scene.target.is_armoured() {
            let (x, y) = drift(plan, reduce, hand);
            let half = |side: u32| f64::from(side) / 2.0;
            let (length, width) = (half(formation.hull_mm.0), half(formation.hull_mm.1));
            let away = (x.abs() - length).max(0.0).hypot((y.abs() - width).max(0.0));
            return usize::from(away <= f64::from(plan.diameter_mm) / 2.0 + SLACK);
        }
        let bases = set_out(formation, standing);
        let key = (std::ptr::from_ref(plan), (formation.base_mm, formation.gap_mm, formation.files), standing, reduce);
        let known = self.best.borrow().get(&key).copied();
        let aim = known.unwrap_or_else(|| best(plan, reduce, formation, &bases));
        self.best.borrow_mut().insert(key, aim);
        let (x, y) = drift(plan, reduce, hand);
        let centre = (bases[aim].0 + x, bases[aim].1 + y);
        bases.iter().filter(|base| is_caught(plan, formation, **base, centre)).count()
    }
}

fn set_out(formation: &Formation, standing: usize) -> Vec<(f64, f64)> {
    let step = f64::from(formation.base_mm + formation.gap_mm);
    let files = formation.files.max(1);
    let place = |at: u32| (f64::from(at % files) * step, f64::from(at / files) * step);
    (0..u32::try_from(standing).expect("few")).map(place).collect()
}

fn is_caught(plan: &TemplatePlan, formation: &Formation, base: (f64, f64), centre: (f64, f64)) -> bool {
    let (template, own) = (f64::from(plan.diameter_mm) / 2.0, f64::from(formation.base_mm) / 2.0);
    let reach = match plan.counts {
        Catch::Touched => template + own,
        Catch::Centre => template,
        Catch::Whole => template - own,
    };
    (base.0 - centre.0).hypot(base.1 - centre.1) <= reach + SLACK
}

/// Where the template goes from its aim.
fn drift(plan: &TemplatePlan, reduce: i32, hand: &mut Hand) -> (f64, f64) {
    let Some(scatter) = &plan.scatter else { return (0.0, 0.0) };
    let (part, whole) = scatter.on_target;
    if hand.even(whole.max(1)) < part {
        return (0.0, 0.0);
    }
    let dice = scatter.dice;
    let total: i64 = (0..dice.count()).map(|_| i64::from(hand.even(dice.sides())) + 1).sum();
    let units = ((total + i64::from(dice.plus())).max(0) - i64::from(reduce)).max(0);
    #[expect(clippy::cast_precision_loss, reason = "a drift is a small number")]
    let distance = units as f64 * f64::from(scatter.unit_tenths_mm) / 10.0;
    let direction = hand.0.f64() * std::f64::consts::TAU;
    (distance * direction.cos(), distance * direction.sin())
}

/// The base that promises most, the first of equals: found by going round it at every distance in small steps.
fn best(plan: &TemplatePlan, reduce: i32, formation: &Formation, bases: &[(f64, f64)]) -> usize {
    const STEPS: u32 = 720;
    let mut ways: Vec<(f64, f64)> = Vec::new();
    match &plan.scatter {
        None => ways.push((0.0, 1.0)),
        Some(scatter) => {
            let on_target = f64::from(scatter.on_target.0) / f64::from(scatter.on_target.1.max(1));
            ways.push((0.0, on_target));
            let totals = totals(scatter.dice.count(), scatter.dice.sides());
            for (total, chance) in totals {
                let units = ((total + i64::from(scatter.dice.plus())).max(0) - i64::from(reduce)).max(0);
                #[expect(clippy::cast_precision_loss, reason = "a drift is a small number")]
                let distance = units as f64 * f64::from(scatter.unit_tenths_mm) / 10.0;
                ways.push((distance, chance * (1.0 - on_target)));
            }
        }
    }
    let promise = |aim: (f64, f64)| -> f64 {
        let at = |(distance, chance): &(f64, f64)| {
            let steps = if *distance == 0.0 { 1 } else { STEPS };
            let caught = (0..steps).map(|step| {
                let angle = (f64::from(step) + 0.5) / f64::from(STEPS) * std::f64::consts::TAU;
                let centre = (aim.0 + distance * angle.cos(), aim.1 + distance * angle.sin());
                bases.iter().filter(|base| is_caught(plan, formation, **base, centre)).count()
            });
            let sum: usize = caught.sum();
            f64::from(u32::try_from(sum).expect("few")) / f64::from(steps) * chance
        };
        ways.iter().map(at).sum()
    };
    let mut found = (0, f64::NEG_INFINITY);
    for (index, aim) in bases.iter().enumerate() {
        let promised = promise(*aim);
        // Going round in steps sees an equal base as a little better or worse.
        if promised > found.1 + 2e-3 {
            found = (index, promised);
        }
    }
    found.0
}

fn totals(count: u32, sides: u32) -> Vec<(i64, f64)> {
    let mut all = vec![(0_i64, 1.0)];
    for _ in 0..count {
        let mut next: std::collections::BTreeMap<i64, f64> = std::collections::BTreeMap::new();
        for (total, chance) in &all {
            for face in 1..=sides {
                *next.entry(total + i64::from(face)).or_default() += chance / f64::from(sides);
            }
        }
        all = next.into_iter().collect();
    }
    all
}
