//! Which arc is hit: where the borders between arcs lie, and on which side of them a bearing falls.
//!
//! Bearings are in degrees, clockwise from straight ahead, seen from the middle of the hull: 90 is its right side, -90 its left.
//! A border itself belongs to the arc in front of it.
use super::model::situation::{Border, Hand, Sector};

/// Nearer to a border than this, players may see it differently.
pub const NEAR_DEGREES: f64 = 5.0;

/// Less than this is no difference: angles come of arithmetic in doubles.
const SLACK: f64 = 1e-9;

/// The arcs around a hull, each to the degree where it ends on either hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    right: Vec<Slice>,
    left: Vec<Slice>,
}

/// An arc on one hand, from where the one before it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Slice {
    arc: usize,
    to: f64,
}

/// A border between two arcs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Where it lies.
    pub bearing: f64,
    /// The arcs on its two sides, the one in front first.
    pub between: (usize, usize),
}

/// The arc that a bearing hits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// The arc, by index.
    pub arc: usize,
    /// The nearest border, where there is any, and how many degrees away.
    pub nearest: Option<(Line, f64)>,
}

impl Hit {
    /// Whether the border is so near that players may see it differently.
    pub fn is_near(&self) -> bool {
        self.nearest.is_some_and(|(_, off)| off <= NEAR_DEGREES)
    }
}

/// Half the angle of the front between a hull's corners.
///
/// # Formula
/// atan(width / length), of the lines from the middle through the corners.
pub fn corner(length: f64, width: f64) -> f64 {
    width.atan2(length).to_degrees()
}

impl Ring {
    /// The ring of a pack's arcs, front to rear, around a hull of this length and width where it is known.
    ///
    /// Where no arc says its border: one arc is all around, two meet at right angles, three meet at the hull's corners, or
    /// at 45 and 135 degrees where the hull is not known. Nothing where the borders can't be told.
    pub fn new(sectors: &[Sector], hull: Option<(f64, f64)>) -> Option<Self> {
        let front = hull.map_or(45.0, |(length, width)| corner(length, width));
        let usual: &[f64] = match sectors.len() {
            1 => &[180.0],
            2 => &[90.0, 180.0],
            3 => &[front, 180.0 - front, 180.0],
            _ => &[],
        };
        let stated = sectors.iter().any(|sector| sector.to.is_some() || sector.hand.is_some());
        if !stated && usual.is_empty() {
            return None;
        }
        let to = |at: usize, sector: &Sector| match sector.to {
            _ if !stated => usual[at],
            Some(Border::Degrees(degrees)) => f64::from(degrees),
            Some(Border::FrontCorner) => front,
            Some(Border::RearCorner) => 180.0 - front,
            None => 180.0,
        };
        let side = |hand: Hand| {
            let here = sectors.iter().enumerate().filter(|(_, sector)| sector.hand.is_none_or(|own| own == hand));
            here.map(|(arc, sector)| Slice { arc, to: to(arc, sector) }).collect::<Vec<_>>()
        };
        let (right, left) = (side(Hand::Right), side(Hand::Left));
        let whole = |slices: &[Slice]| slices.last().is_some_and(|last| last.to >= 180.0);
        (whole(&right) && whole(&left)).then_some(Self { right, left })
    }

    /// All borders, clockwise from -180 to 180.
    pub fn lines(&self) -> Vec<Line> {
        let mut lines = Vec::new();
        for (slices, sign) in [(&self.right, 1.0), (&self.left, -1.0)] {
            let pairs = slices.windows(2).filter(|pair| pair[0].arc != pair[1].arc);
            lines.extend(pairs.map(|pair| Line { bearing: sign * pair[0].to, between: (pair[0].arc, pair[1].arc) }));
        }
        let seams = [(0.0, self.right.first(), self.left.first()), (180.0, self.right.last(), self.left.last())];
        for (bearing, right, left) in seams {
            if let (Some(right), Some(left)) = (right, left)
                && right.arc != left.arc
            {
                lines.push(Line { bearing, between: (right.arc, left.arc) });
            }
        }
        lines.sort_by(|a, b| a.bearing.total_cmp(&b.bearing));
        lines
    }

    /// The arc that a bearing hits.
    pub fn hit(&self, bearing: f64) -> Hit {
        let bearing = turned(bearing);
        let slices = if bearing < 0.0 { &self.left } else { &self.right };
        let inside = slices.iter().find(|slice| bearing.abs() <= slice.to + SLACK);
        let arc = inside.or(slices.last()).map_or(0, |slice| slice.arc);
        let lines = self.lines().into_iter().map(|line| (line, turned(bearing - line.bearing).abs()));
        Hit { arc, nearest: lines.min_by(|a, b| a.1.total_cmp(&b.1)) }
    }
}

/// A bearing from beyond -180 up to 180.
pub fn turned(bearing: f64) -> f64 {
    let turned = bearing.rem_euclid(360.0);
    if turned > 180.0 { turned - 360.0 } else { turned }
}

/// The bearing of one place from another that looks along a heading; headings are clockwise from up the table.
///
/// # Formula
/// atan2(dx, dy) − heading, with y up the table and x to its right.
pub fn bearing(from: (f64, f64), heading: f64, to: (f64, f64)) -> f64 {
    turned((to.0 - from.0).atan2(to.1 - from.1).to_degrees() - heading)
}

/// How far across a place lies from a border so many degrees away, where the border passes it at all.
///
/// # Formula
/// distance · sin(off), for less than a right angle.
pub fn across(distance: f64, off: f64) -> Option<f64> {
    (off < 90.0).then(|| distance * off.to_radians().sin())
}
