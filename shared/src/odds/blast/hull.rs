//! A template's middle on a circle, over a rectangle or near it.
use super::Point;
use std::f64::consts::TAU;

/// A rectangle about the origin, its length along x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hull {
    /// Along x.
    pub length: f64,
    /// Along y.
    pub width: f64,
}

impl Hull {
    /// Whether a point lies over the hull or within `reach` of it.
    fn holds(&self, point: Point, reach: f64) -> bool {
        let beside = (point.x.abs() - self.length / 2.0).max(0.0);
        let before = (point.y.abs() - self.width / 2.0).max(0.0);
        beside.hypot(before) <= reach
    }

    /// The share of directions in which a point at the distance `drift` from `aim` lies within `reach` of the hull.
    ///
    /// # Formula
    /// The outline is made of four straight lines and, where `reach` is above 0, four quarter circles about the corners. The
    /// circle about the aim is cut wherever it may cross one of them; each piece is inside or outside as its middle is.
    pub(super) fn share(&self, aim: Point, drift: f64, reach: f64) -> f64 {
        if drift == 0.0 {
            return if self.holds(aim, reach) { 1.0 } else { 0.0 };
        }
        let (half_length, half_width) = (self.length / 2.0, self.width / 2.0);
        let mut cuts = Vec::with_capacity(24);
        for sign in [-1.0, 1.0] {
            let at_x = (sign * (half_length + reach) - aim.x) / drift;
            if at_x.abs() <= 1.0 {
                cuts.extend([at_x.acos(), TAU - at_x.acos()]);
            }
            let at_y = (sign * (half_width + reach) - aim.y) / drift;
            if at_y.abs() <= 1.0 {
                cuts.extend([at_y.asin().rem_euclid(TAU), TAU / 2.0 - at_y.asin()]);
            }
            for other in [-1.0, 1.0] {
                let (dx, dy) = (sign * half_length - aim.x, other * half_width - aim.y);
                let away = dx.hypot(dy);
                let cosine = (away * away + drift * drift - reach * reach) / (2.0 * away * drift);
                if reach > 0.0 && cosine.abs() <= 1.0 {
                    let direction = dy.atan2(dx);
                    cuts.extend([direction - cosine.acos(), direction + cosine.acos()].map(|a: f64| a.rem_euclid(TAU)));
                }
            }
        }
        cuts.sort_unstable_by(f64::total_cmp);
        let Some(first) = cuts.first().copied() else {
            let whole = self.holds(Point { x: aim.x + drift, y: aim.y }, reach);
            return if whole { 1.0 } else { 0.0 };
        };
        let ends = cuts.iter().skip(1).copied().chain([first + TAU]);
        let pieces = cuts.iter().copied().zip(ends);
        let inside = pieces.filter(|(from, to)| {
            let middle = (from + to) / 2.0;
            self.holds(Point { x: aim.x + drift * middle.cos(), y: aim.y + drift * middle.sin() }, reach)
        });
        (inside.map(|(from, to)| to - from).sum::<f64>() / TAU).clamp(0.0, 1.0)
    }
}
