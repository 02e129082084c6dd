//! Laying a template: bases set out in ranks, the best one aimed at, every way that it can drift.
//!
//! On the circle of a drift, what is caught changes only where the template comes to touch a base or a side or corner of
//! a hull: these directions are found, and between each two of them it is looked what is caught.
use super::chances::{Chances, merged, thrown};
use super::exchange::{Exchange, Throw};
use pipwright_shared::rules::model::unit::{Catch, Formation, TemplatePlan};
use std::cell::RefCell;
use std::collections::HashMap;
use std::f64::consts::TAU;

/// What is nearer than this touches, as the contract says.
const SLACK: f64 = 1e-9;

/// Remembers what was found, which takes long.
#[derive(Default)]
pub struct Lay {
    known: RefCell<HashMap<Laid, Chances<i64>>>,
}

/// Which template, on whom, how many of them, and by how much less it drifts.
type Laid = (*const TemplatePlan, (u32, u32, u32), usize, i32);

type Point = (f64, f64);

impl Lay {
    /// How many a template catches of so many that stand; of a hull 1 where it is touched.
    pub fn caught(&self, exchange: &Exchange<'_>, plan: &TemplatePlan, standing: usize) -> Chances<i64> {
        let formation = &exchange.target.unit.formation;
        let reduce = plan.scatter.as_ref().map_or(0, |scatter| exchange.number(&scatter.reduce));
        if exchange.target.frame.armoured {
            return hull(plan, reduce, formation);
        }
        let key = (std::ptr::from_ref(plan), (formation.base_mm, formation.gap_mm, formation.files), standing, reduce);
        if let Some(known) = self.known.borrow().get(&key) {
            return known.clone();
        }
        let bases = set_out(formation, standing);
        let reach = reach(plan, formation);
        let ways = ways(plan, reduce);
        let promise = |aim: Point| -> f64 {
            let each = |(distance, chance): &(f64, f64)| {
                bases.iter().map(|base| share(*distance, apart(aim, *base), reach) * chance).sum::<f64>()
            };
            ways.iter().map(each).sum()
        };
        let mut best = (0, f64::NEG_INFINITY);
        for (at, aim) in bases.iter().enumerate() {
            let promised = promise(*aim);
            if promised > best.1 + 1e-9 {
                best = (at, promised);
            }
        }
        let aim = bases.get(best.0).copied().unwrap_or_default();
        let count = |centre: Point| bases.iter().filter(|base| apart(centre, **base) <= reach).count();
        let found = merged(ways.iter().flat_map(|(distance, chance)| {
            let crossings: Vec<f64> = bases.iter().flat_map(|base| touching(aim, *distance, *base, reach)).collect();
            around(aim, *distance, crossings, count).into_iter().map(move |(count, part)| (count, part * chance))
        }));
        self.known.borrow_mut().insert(key, found.clone());
        found
    }
}

fn apart(one: Point, other: Point) -> f64 {
    (one.0 - other.0).hypot(one.1 - other.1)
}

fn set_out(formation: &Formation, standing: usize) -> Vec<Point> {
    let step = f64::from(formation.base_mm + formation.gap_mm);
    let files = formation.files.max(1);
    let place = |at: u32| (f64::from(at % files) * step, f64::from(at / files) * step);
    (0..u32::try_from(standing).expect("few")).map(place).collect()
}

/// How near the template's centre must come to that of a base.
fn reach(plan: &TemplatePlan, formation: &Formation) -> f64 {
    let (template, own) = (f64::from(plan.diameter_mm) / 2.0, f64::from(formation.base_mm) / 2.0);
    SLACK
        + match plan.counts {
            Catch::Touched => template + own,
            Catch::Centre => template,
            Catch::Whole => template - own,
        }
}

/// The distances that it can drift.
fn ways(plan: &TemplatePlan, reduce: i32) -> Vec<(f64, f64)> {
    let Some(scatter) = &plan.scatter else { return vec![(0.0, 1.0)] };
    let on_target = f64::from(scatter.on_target.0) / f64::from(scatter.on_target.1.max(1));
    let dice = scatter.dice;
    let throw = Throw { count: dice.count(), sides: dice.sides(), plus: dice.plus().into() };
    let units = |total: i64| (total - i64::from(reduce)).max(0);
    let drift = merged(thrown(throw).into_iter().map(|(total, chance)| (units(total), chance)));
    #[expect(clippy::cast_precision_loss, reason = "a drift is a small number")]
    let distance = |units: i64| units as f64 * f64::from(scatter.unit_tenths_mm) / 10.0;
    let drifts = drift.into_iter().map(|(units, chance)| (distance(units), chance * (1.0 - on_target)));
    std::iter::once((0.0, on_target)).chain(drifts).collect()
}

/// The share of all directions in which something so far away is reached (law of cosines).
fn share(distance: f64, away: f64, reach: f64) -> f64 {
    match cosine(distance, away, reach) {
        Some(cosine) => cosine.acos() / (TAU / 2.0),
        None if distance.max(away) - distance.min(away) <= reach && (distance == 0.0 || away == 0.0) => 1.0,
        None if distance + away <= reach => 1.0,
        None => 0.0,
    }
}

fn cosine(distance: f64, away: f64, reach: f64) -> Option<f64> {
    if distance == 0.0 || away == 0.0 {
        return None;
    }
    let cosine = (distance * distance + away * away - reach * reach) / (2.0 * distance * away);
    (cosine.abs() < 1.0).then_some(cosine)
}

/// The directions in which a drift from `aim` ends just `reach` from a point.
fn touching(aim: Point, distance: f64, point: Point, reach: f64) -> Vec<f64> {
    let Some(cosine) = cosine(distance, apart(aim, point), reach) else { return Vec::new() };
    let towards = (point.1 - aim.1).atan2(point.0 - aim.0);
    vec![towards - cosine.acos(), towards + cosine.acos()]
}

/// What is caught on a circle, by the share of directions.
fn around(aim: Point, distance: f64, crossings: Vec<f64>, count: impl Fn(Point) -> usize) -> Chances<i64> {
    let number = |centre: Point| i64::try_from(count(centre)).expect("few");
    let at = |angle: f64| (aim.0 + distance * angle.cos(), aim.1 + distance * angle.sin());
    let mut borders: Vec<f64> = crossings.into_iter().map(|angle| angle.rem_euclid(TAU)).collect();
    borders.sort_by(f64::total_cmp);
    let Some((first, last)) = borders.first().copied().zip(borders.last().copied()) else {
        return vec![(number(at(0.0)), 1.0)];
    };
    let over = (last, first + TAU);
    let pieces = borders.windows(2).map(|pair| (pair[0], pair[1])).chain([over]);
    merged(pieces.map(|(from, to)| (number(at(f64::midpoint(from, to))), (to - from) / TAU)))
}

/// A hull whose centre is aimed at.
fn hull(plan: &TemplatePlan, reduce: i32, formation: &Formation) -> Chances<i64> {
    let half = |side: u32| f64::from(side) / 2.0;
    let (length, width) = (half(formation.hull_mm.0), half(formation.hull_mm.1));
    let reach = f64::from(plan.diameter_mm) / 2.0 + SLACK;
    let corners = [(length, width), (length, -width), (-length, width), (-length, -width)];
    let touched = |centre: Point| {
        let away = (centre.0.abs() - length).max(0.0).hypot((centre.1.abs() - width).max(0.0));
        usize::from(away <= reach)
    };
    let ways = ways(plan, reduce);
    merged(ways.iter().flat_map(|(distance, chance)| {
        let mut crossings: Vec<f64> =
            corners.iter().flat_map(|corner| touching((0.0, 0.0), *distance, *corner, reach)).collect();
        // The sides, as lines: what is not on the hull itself divides nothing.
        let (ahead, aside) = ((length + reach) / distance, (width + reach) / distance);
        if ahead < 1.0 {
            let angle = ahead.acos();
            crossings.extend([angle, -angle, TAU / 2.0 - angle, TAU / 2.0 + angle]);
        }
        if aside < 1.0 {
            let angle = aside.asin();
            crossings.extend([angle, -angle, TAU / 2.0 - angle, TAU / 2.0 + angle]);
        }
        around((0.0, 0.0), *distance, crossings, touched).into_iter().map(move |(count, part)| (count, part * chance))
    }))
}
