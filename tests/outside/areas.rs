//! Areas that circles and rectangles share, summed up from the arcs of drifting templates.
//!
//! A template that drifts by exactly `d` in a random direction has its middle anywhere on a circle about the aim. The
//! share of that circle on which something holds, times its length, over all `d`, is the area on which it holds.
use pipwright_tests::ask::ask;
use serde_json::{Value, json};
use std::f64::consts::PI;

/// One unit in millimetres: small beside the whole, so that the slack of 1e-9 mm is nothing.
const UNIT: f64 = 500.0;

/// The area on which `share` holds, from its share of the circle with each radius, between bends at these radii.
///
/// # Formula
/// Between two bends the radius is `from + (to - from)(3u^2 - 2u^3)`, which takes the edge off square roots at the bends;
/// Simpson's rule over `u`.
fn area(bends: &[f64], share: impl Fn(f64) -> f64) -> f64 {
    const PARTS: u32 = 400;
    let piece = |from: f64, to: f64| -> f64 {
        let at = |i: u32| {
            let u = f64::from(i) / f64::from(PARTS);
            let radius = from + (to - from) * u * u * (3.0 - 2.0 * u);
            let speed = (to - from) * 6.0 * u * (1.0 - u);
            if speed == 0.0 || radius == 0.0 { 0.0 } else { 2.0 * PI * radius * share(radius) * speed }
        };
        let weight = |i: u32| if i == 0 || i == PARTS { 1.0 } else { f64::from(2 + 2 * (i % 2)) };
        (0..=PARTS).map(|i| weight(i) * at(i)).sum::<f64>() / (3.0 * f64::from(PARTS))
    };
    bends.windows(2).map(|ends| piece(ends[0], ends[1])).sum()
}

#[track_caller]
fn is(ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() < 1e-8, "{ours} is not {theirs}");
}

/// The request for a template that drifts by `drift`.
fn drifting(radius: f64, aim: (f64, f64), drift: f64) -> Value {
    json!({"template": {"diameter_mm": 2.0 * radius * UNIT}, "aim": {"x_mm": aim.0 * UNIT, "y_mm": aim.1 * UNIT},
        "scatter": {"dice": 1, "unit_mm": drift * UNIT}})
}

/// The chance that a template so catches this many of some points.
fn catches(points: &[(f64, f64)], many: usize, radius: f64, drift: f64) -> f64 {
    let mut request = drifting(radius, (0.0, 0.0), drift);
    let base = |(x, y): &(f64, f64)| json!({"x_mm": x * UNIT, "y_mm": y * UNIT, "diameter_mm": 0});
    request["bases"] = points.iter().map(base).collect();
    let answer = ask("blast", request);
    let rows = answer["covered"]["distribution"].as_array().expect("rows").iter();
    rows.filter(|row| row["value"] == many).map(|row| row["chance"].as_f64().expect("a chance")).sum()
}

/// The chance of `what` for a template over a rectangle about the origin.
fn over(hull: (f64, f64), what: &str, radius: f64, aim: (f64, f64), drift: f64) -> f64 {
    let mut request = drifting(radius, aim, drift);
    request["hull"] = json!({"length_mm": hull.0 * UNIT, "width_mm": hull.1 * UNIT});
    ask("blast", request)[what]["chance"].as_f64().expect("a chance")
}

/// A coin of diameter 3/4 thrown on unit squares touches one, two, three or four: F. Mosteller, Fifty Challenging Problems
/// (1965), no. 5 (1/16); Buffon's clean tile problem (1777), MathWorld (the others from memory).
#[test]
fn a_coin_on_squares() {
    let radius = 3.0 / 8.0;
    let inner = 1.0 - 2.0 * radius;
    let inside = |length: f64, width: f64| {
        let mut bends = [0.0, length / 2.0, width / 2.0, (length / 2.0).hypot(width / 2.0)];
        bends.sort_by(f64::total_cmp);
        area(&bends, |drift| over((length, width), "centre_inside", radius, (0.0, 0.0), drift))
    };
    let one = inside(inner, inner);
    is(one, 0.0625);
    // Clear of the lines in one direction and not in the other.
    let two = 2.0 * (inside(1.0, inner) - one);
    is(two, 0.375);
    // Over a corner, of which a square has a quarter of each of four.
    let corners = [(0.5, 0.5), (0.5, -0.5), (-0.5, 0.5), (-0.5, -0.5)];
    let away = 0.5_f64.sqrt();
    // The discs about the corners begin and end here, and the nearest of two come together no closer than this.
    let four = area(&[away - radius, away, away + radius], |drift| catches(&corners, 1, radius, drift)) / 4.0;
    is(four, 9.0 * PI / 64.0);
    is(1.0 - one - two - four, 9.0 / 16.0 * (1.0 - PI / 4.0));
    // All together: the middle of a coin that touches a square lies within 3/8 of it.
    let touched = area(&[0.0, 0.5 + radius, (0.5 + radius).hypot(0.5), away + radius], |drift| {
        over((1.0, 1.0), "touched", radius, (0.0, 0.0), drift)
    });
    is(touched, one + 2.0 * two + 3.0 * (1.0 - one - two - four) + 4.0 * four);
}

/// What discs of radius `r` and `big` share, their middles `apart`.
fn lens(r: f64, big: f64, apart: f64) -> f64 {
    let begins = (big - apart).abs().min(r);
    area(&[0.0, begins, r], |drift| catches(&[(apart, 0.0)], 1, big, drift))
}

/// MathWorld, "Circle-Circle Intersection"; the second is a sample of a programming contest (AOJ, 1.40306643968573875104).
#[test]
fn two_discs() {
    is(lens(1.0, 1.0, 1.0), 2.0 * PI / 3.0 - 0.75_f64.sqrt());
    is(lens(1.0, 2.0, 2.0), 1.403_066_439_685_738_8);
}

/// The goat on the rim of a round meadow, OEIS A133731; half of a disc under another of its size, MathWorld as above
/// (both from memory).
#[test]
fn half_of_a_disc() {
    is(lens(1.0, 1.158_728_473_02, 1.0), PI / 2.0);
    is(lens(1.0, 1.0, 0.807_945_506_599), PI / 2.0);
}

/// A disc of radius 1 about the corner of a rectangle of 0.9 by 0.8 (derived), and what four quarter discs about the
/// corners of a square share (classical; from memory).
#[test]
fn discs_and_corners() {
    let (long, wide) = (0.9_f64, 0.8_f64);
    let shared = area(&[0.0, wide, long, 1.0], |drift| {
        over((long, wide), "centre_inside", 0.0, (-long / 2.0, -wide / 2.0), drift)
    });
    let by_hand = 0.48 + (long.asin() + long * 0.19_f64.sqrt() - 0.6_f64.asin() - 0.48) / 2.0;
    is(by_hand, 0.674_284_655_562);
    is(shared, by_hand);
    let corners = [(0.5, 0.5), (0.5, -0.5), (-0.5, 0.5), (-0.5, -0.5)];
    let bends = [0.0, 1.0 - 0.5_f64.sqrt(), 0.75_f64.sqrt() - 0.5];
    let common = area(&bends, |drift| catches(&corners, 4, 1.0, drift));
    is(common, 1.0 + PI / 3.0 - 3.0_f64.sqrt());
}

/// Two points anywhere in a unit square: MathWorld, "Square Line Picking", equations 3, 5 and 8.
///
/// From each of many points, how far a second one may lie and still be in the square. The sum over the points is a
/// midpoint rule, so it is as good as they are many.
#[test]
fn two_points_in_a_square() {
    const SIDE: u32 = 24;
    const STEPS: u32 = 141;
    let step = 2.0_f64.sqrt() / f64::from(STEPS);
    let values: Vec<Value> =
        (1..=STEPS).map(|value| json!({"value": value, "chance": 1.0 / f64::from(STEPS)})).collect();
    let mut inside = vec![0.0; STEPS as usize];
    for (i, j) in (0..SIDE / 2).flat_map(|i| (0..=i).map(move |j| (i, j))) {
        // One of eight places that are alike, or of four on the diagonal.
        let alike = if i == j { 4.0 } else { 8.0 };
        let at = |k: u32| ((f64::from(k) + 0.5) / f64::from(SIDE) - 0.5) * UNIT;
        let answer = ask(
            "blast",
            json!({"template": {"diameter_mm": 0}, "hull": {"length_mm": UNIT, "width_mm": UNIT},
            "aim": {"x_mm": at(i), "y_mm": at(j)},
            "scatter": {"dice": {"distribution": values}, "unit_mm": step * UNIT}}),
        );
        // A template without size touches what its middle lies over.
        for (sum, row) in inside.iter_mut().zip(answer["distances"].as_array().expect("rows")) {
            *sum += alike / f64::from(SIDE * SIDE) * row["expected"].as_f64().expect("a share");
        }
    }
    let within = |reach: f64, of: fn(f64) -> f64| -> f64 {
        // The trapezium rule up to the reach, where the last step is cut.
        let at = |k: u32| {
            if k == 0 {
                0.0
            } else {
                let d = f64::from(k) * step;
                2.0 * PI * d * inside[k as usize - 1] * of(d)
            }
        };
        (0..STEPS)
            .map(|k| {
                let part = ((reach - f64::from(k) * step) / step).clamp(0.0, 1.0);
                let end = at(k) + (at(k + 1) - at(k)) * part;
                (at(k) + end) / 2.0 * part * step
            })
            .sum()
    };
    let near = |ours: f64, theirs: f64| assert!((ours - theirs).abs() < 1e-3, "{ours} is not {theirs}");
    near(within(2.0, |_| 1.0), 1.0);
    near(within(1.0, |_| 1.0), PI - 13.0 / 6.0);
    near(within(0.5, |_| 1.0), PI / 4.0 - 29.0 / 96.0);
    near(within(2.0, |d| d), (2.0 + 2.0_f64.sqrt() + 5.0 * 1.0_f64.asinh()) / 15.0);
    near(within(0.512_003_269_083, |_| 1.0), 0.5);
}
