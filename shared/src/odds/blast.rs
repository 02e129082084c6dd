//! A round template on round bases or on a hull, with scatter: by geometry, not by sampling.
//!
//! # Formula
//! At a drift of `d` the template's centre lies on a circle about the aim. A base whose centre is `D` away from the aim is
//! caught within the reach `T` for the directions that are less than `arccos((D² + d² - T²) / 2Dd)` off the
//! direction of the base (law of cosines). The arcs of all bases are swept once around the circle.
//!
//! # Units
//! Millimetres. Directions are real numbers, so there are no fractions here: doubles only.
use super::dice::Amount;
use super::distribution::Distribution;
use super::number::{Exact, Number};
use std::f64::consts::{PI, TAU};

mod hull;
pub use hull::Hull;

/// What still counts as caught beyond the edge, in millimetres, so that bases that just touch do whatever rounding makes of
/// their places. Where an edge is met exactly it is this slack that decides.
const SLACK: f64 = 1e-9;

/// A point on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Away from the reader.
    pub y: f64,
}

/// A round base.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Base {
    /// Its middle.
    pub centre: Point,
    /// Half its diameter.
    pub radius: f64,
}

/// When a base counts as caught.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Counts {
    /// The template touches it.
    #[default]
    Touched,
    /// The template covers its middle.
    Centre,
    /// The template covers all of it.
    Whole,
}

/// Where the template drifts.
#[derive(Clone, Debug, PartialEq)]
pub struct Scatter {
    /// How far, in units.
    pub dice: Amount,
    /// Taken off the dice; not below 0.
    pub reduce: u32,
    /// The length of one unit.
    pub unit: f64,
    /// The chance that it does not drift at all.
    pub on_target: Exact,
}

/// What the template may catch.
#[derive(Clone, Debug, PartialEq)]
pub enum Under {
    /// Bases.
    Bases(Vec<Base>, Counts),
    /// One rectangular hull about the origin.
    Hull(Hull),
}

/// Where the template is aimed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AimAt {
    /// At a point.
    Point(Point),
    /// At the middle of the base that promises most, the first of equals; of a hull its middle.
    Best,
}

/// A template, what it may catch, where it is aimed and how it drifts.
#[derive(Clone, Debug, PartialEq)]
pub struct Blast {
    /// Half the template's diameter.
    pub radius: f64,
    /// What it may catch.
    pub under: Under,
    /// Where it is aimed.
    pub aim: AimAt,
    /// How it drifts, if it does.
    pub scatter: Option<Scatter>,
}

/// What comes of a blast.
#[derive(Clone, Debug, PartialEq)]
pub struct BlastAnswer {
    /// Bases caught; of a hull 1 where it is touched.
    pub covered: Distribution<f64>,
    /// Of a hull: the chance that the template's middle lies over it.
    pub centre_inside: Option<f64>,
    /// The aim as used.
    pub aim: Point,
    /// For each distance of drift, ascending: distance, chance, and how many are caught on average then.
    pub distances: Vec<(f64, f64, f64)>,
}

impl Blast {
    /// The distances of drift with their chances, ascending.
    fn drifts(&self) -> Vec<(f64, f64)> {
        let Some(scatter) = &self.scatter else { return vec![(0.0, 1.0)] };
        let on_target = scatter.on_target.to_f64();
        let mut drifts: Vec<(f64, f64)> = vec![(0.0, on_target)];
        for (value, chance) in scatter.dice.distribution::<f64>().iter() {
            let units = (value - i64::from(scatter.reduce)).max(0);
            let chance = chance * (1.0 - on_target);
            if units == 0 || scatter.unit == 0.0 {
                drifts[0].1 += chance;
            } else if chance > 0.0 {
                drifts.push((units as f64 * scatter.unit, chance));
            }
        }
        // A part of a whole that is one: only rounding can leave it above.
        drifts[0].1 = drifts[0].1.min(1.0);
        drifts.retain(|(_, chance)| *chance > 0.0);
        drifts
    }

    /// The same on the first so many of its bases.
    #[must_use]
    pub fn on_first(&self, bases: u32) -> Self {
        let under = match &self.under {
            Under::Bases(all, counts) => Under::Bases(all.iter().take(bases as usize).copied().collect(), *counts),
            Under::Hull(hull) => Under::Hull(*hull),
        };
        Self { under, ..self.clone() }
    }

    /// The most that can be caught.
    pub fn most(&self) -> i64 {
        match &self.under {
            Under::Bases(bases, _) => bases.len() as i64,
            Under::Hull(_) => 1,
        }
    }

    /// How many are caught.
    ///
    /// # Cost
    /// Distances times bases, twice a logarithm for sorting; times bases once more to find the best aim.
    pub fn evaluate(&self) -> BlastAnswer {
        let drifts = self.drifts();
        let aim = self.aim_point(&drifts);
        let mut sum = vec![0.0; self.most() as usize + 1];
        let mut distances = Vec::with_capacity(drifts.len());
        let mut inside = 0.0;
        let mut sweep = Sweep::default();
        for (drift, chance) in drifts {
            match &self.under {
                Under::Bases(bases, counts) => {
                    let expected = sweep.around(bases, *counts, self.radius, aim, drift, chance, &mut sum);
                    distances.push((drift, chance, expected));
                }
                Under::Hull(hull) => {
                    let touched = hull.share(aim, drift, self.radius + SLACK).min(1.0);
                    inside += chance * hull.share(aim, drift, 0.0);
                    sum[1] += chance * touched;
                    sum[0] += chance * (1.0 - touched);
                    distances.push((drift, chance, touched));
                }
            }
        }
        let covered = Distribution::new(0, sum).unwrap_or_else(|| Distribution::certain(0)).normalised();
        let centre_inside = matches!(self.under, Under::Hull(_)).then_some(inside);
        BlastAnswer { covered, centre_inside, aim, distances }
    }

    fn aim_point(&self, drifts: &[(f64, f64)]) -> Point {
        let bases = match (self.aim, &self.under) {
            (AimAt::Point(point), _) => return point,
            (AimAt::Best, Under::Hull(_)) => return Point { x: 0.0, y: 0.0 },
            (AimAt::Best, Under::Bases(bases, counts)) => (bases, *counts),
        };
        let (bases, counts) = bases;
        let mut best = (f64::NEG_INFINITY, Point { x: 0.0, y: 0.0 });
        for aim in bases.iter().map(|base| base.centre) {
            let mut expected = 0.0;
            for (drift, chance) in drifts {
                let shares = bases.iter().map(|base| half_arc(base, counts, self.radius, aim, *drift).0 / PI);
                expected += chance * shares.sum::<f64>();
            }
            // Equal by symmetry is rarely equal to the last digit.
            if expected > best.0 + 1e-9 {
                best = (expected, aim);
            }
        }
        best.1
    }
}

/// Half the arc of directions in which a base is caught, and the direction of its middle.
fn half_arc(base: &Base, counts: Counts, radius: f64, aim: Point, drift: f64) -> (f64, f64, f64) {
    let reach = SLACK
        + match counts {
            Counts::Touched => radius + base.radius,
            Counts::Centre => radius,
            Counts::Whole => radius - base.radius,
        };
    let (dx, dy) = (base.centre.x - aim.x, base.centre.y - aim.y);
    let away = dx.hypot(dy);
    let half = if reach < 0.0 || (away - drift).abs() > reach {
        0.0
    } else if away + drift <= reach {
        PI
    } else {
        ((away * away + drift * drift - reach * reach) / (2.0 * away * drift)).clamp(-1.0, 1.0).acos()
    };
    (half, dx, dy)
}

/// The ends of arcs, kept between distances so that nothing is allocated again.
#[derive(Default)]
struct Sweep {
    begins: Vec<f64>,
    ends: Vec<f64>,
}

impl Sweep {
    /// Adds the shares of each count at one distance to `sum`; returns how many are caught on average.
    #[expect(clippy::too_many_arguments, reason = "one geometry, spelled out")]
    fn around(
        &mut self,
        bases: &[Base],
        counts: Counts,
        radius: f64,
        aim: Point,
        drift: f64,
        weight: f64,
        sum: &mut [f64],
    ) -> f64 {
        self.begins.clear();
        self.ends.clear();
        let mut now = 0usize;
        let mut expected = 0.0;
        for base in bases {
            let (half, dx, dy) = half_arc(base, counts, radius, aim, drift);
            expected += half / PI;
            if half >= PI {
                now += 1;
            } else if half > 0.0 {
                let direction = dy.atan2(dx);
                let (begin, end) = (direction - half, direction + half);
                let wrap = |angle: f64| {
                    if angle < -PI {
                        angle + TAU
                    } else if angle >= PI {
                        angle - TAU
                    } else {
                        angle
                    }
                };
                let (begin, end) = (wrap(begin), wrap(end));
                // An arc over the seam at ±π is there already when the sweep begins.
                now += usize::from(begin > end);
                self.begins.push(begin);
                self.ends.push(end);
            }
        }
        self.begins.sort_unstable_by(f64::total_cmp);
        self.ends.sort_unstable_by(f64::total_cmp);
        let scale = weight / TAU;
        let mut from = -PI;
        let (mut begin, mut end) = (0, 0);
        while begin < self.begins.len() || end < self.ends.len() {
            let next_begin = self.begins.get(begin).copied().unwrap_or(f64::INFINITY);
            let next_end = self.ends.get(end).copied().unwrap_or(f64::INFINITY);
            let at = next_begin.min(next_end);
            sum[now] += (at - from) * scale;
            from = at;
            if next_begin <= next_end {
                begin += 1;
                now += 1;
            } else {
                end += 1;
                now -= 1;
            }
        }
        sum[now] += (PI - from) * scale;
        expected
    }
}
