//! Templates: grid points in a circle, and the arcs of scatter.
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

/// How many points a circle about the aim holds: bases without width, touched where the centre lies within.
fn points_within(radius: f64, aim: (f64, f64), at: impl Fn(i32, i32) -> (f64, f64), reach: i32) -> i64 {
    let near = |(x, y): &(f64, f64)| (x - aim.0).hypot(y - aim.1) <= radius + 1.5;
    let grid = (-reach..=reach).flat_map(|i| (-reach..=reach).map(move |j| (i, j)));
    let points: Vec<(f64, f64)> = grid.map(|(i, j)| at(i, j)).filter(near).collect();
    // A request holds 400 bases: what lies together is counted together.
    let covered = |some: &[(f64, f64)]| {
        let bases: Vec<Value> = some.iter().map(|(x, y)| json!({"x_mm": x, "y_mm": y, "diameter_mm": 0})).collect();
        let aim = json!({"x_mm": aim.0, "y_mm": aim.1});
        let answer = ask("blast", json!({"template": {"diameter_mm": 2.0 * radius}, "bases": bases, "aim": aim}));
        answer["covered"]["distribution"][0]["value"].as_i64().expect("a number")
    };
    points.chunks(400).map(covered).sum()
}

/// OEIS A000328 (Fraser & Gotlieb, Math. Comp. 16 (1962) 282-290): points of the square grid with x^2 + y^2 <= r^2.
#[test]
fn square_grid_points_by_radius() {
    let published = [1, 5, 13, 29, 49, 81, 113, 149, 197, 253, 317, 377, 441];
    for (radius, points) in (0..).zip(published) {
        assert_eq!(points_within(f64::from(radius), (0.0, 0.0), |i, j| (i.into(), j.into()), 14), points, "{radius}");
    }
}

/// OEIS A053411 and A053415: circles of diameter n about a point of the square grid, and about the middle of a cell.
#[test]
fn square_grid_points_by_diameter() {
    let about_a_point = [1, 1, 5, 9, 13, 21, 29, 37, 49, 69, 81, 97, 113];
    let about_a_middle = [0, 0, 4, 4, 12, 16, 32, 32, 52, 60, 80, 88, 112];
    for (diameter, (point, middle)) in (0..).zip(about_a_point.into_iter().zip(about_a_middle)) {
        let radius = f64::from(diameter) / 2.0;
        let square = |i: i32, j: i32| (f64::from(i), f64::from(j));
        assert_eq!(points_within(radius, (0.0, 0.0), square, 9), point, "{diameter}");
        assert_eq!(points_within(radius, (0.5, 0.5), square, 9), middle, "{diameter}");
    }
}

/// OEIS A053416, A053417 and A053479: the hexagonal grid, about a point, the middle of an edge and of a triangle.
#[test]
fn hexagonal_grid_points() {
    let height = 3f64.sqrt() / 2.0;
    let hexagonal = |i: i32, j: i32| (f64::from(i) + f64::from(j) / 2.0, f64::from(j) * height);
    let places = [
        ((0.0, 0.0), [1, 1, 7, 7, 19, 19, 37, 43, 61, 73, 91]),
        ((0.5, 0.0), [0, 2, 4, 10, 14, 24, 30, 48, 60, 76, 92]),
        ((0.5, height / 3.0), [0, 0, 3, 6, 12, 21, 30, 42, 54, 69, 90]),
    ];
    for (aim, published) in places {
        for (diameter, points) in (0..).zip(published) {
            assert_eq!(points_within(f64::from(diameter) / 2.0, aim, hexagonal, 14), points, "{aim:?} {diameter}");
        }
    }
}

/// A point 4 units off under a template of radius 3 that drifts 2d6 units: the arc rule
/// `arccos((c^2 + d^2 - R^2) / 2cd) / pi` mixed over the dice (derived; a simulation of 2 * 10^7 throws gives 0.08555).
///
/// At a drift of 7 the template just touches, where the slack of 1e-9 mm opens an arc: with a metre to the unit
/// it adds `(1/6) * arccos(1 - 3000e-9 / (4000 * 7000)) / pi`, about 2.5e-8.
#[test]
fn the_arc_rule_over_two_dice() {
    let request = json!({"template": {"diameter_mm": 6000}, "bases": [{"x_mm": 4000, "y_mm": 0, "diameter_mm": 0}],
        "aim": {"x_mm": 0, "y_mm": 0}, "scatter": {"dice": "2d6", "unit_mm": 1000}});
    let caught = ask("blast", request)["covered"]["expected"].as_f64().expect("a mean");
    let above = caught - 0.085_570_054_012_9;
    assert!((-1e-12..3e-8).contains(&above), "{caught}");
}

/// The law of cosines against a fine sum over directions, for bases and for a hull.
#[test]
fn arcs_against_many_directions() {
    let (radius, drift, around) = (40.0, 63.5, 200_000);
    let bases = [(0.0, 0.0), (45.0, 10.0), (-30.0, 50.0)];
    let forms: Vec<Value> = bases.iter().map(|(x, y)| json!({"x_mm": x, "y_mm": y, "diameter_mm": 25})).collect();
    let scatter = json!({"dice": 2, "unit_mm": drift / 2.0});
    let aim = json!({"x_mm": 12, "y_mm": -7});
    let template = json!({"diameter_mm": 2.0 * radius});
    let answer = ask("blast", json!({"template": template, "bases": forms, "aim": aim, "scatter": scatter}));
    let hull = ask(
        "blast",
        json!({"template": template, "hull": {"length_mm": 130, "width_mm": 75}, "aim": aim, "scatter": scatter}),
    );
    let (mut counts, mut touched, mut inside) = ([0.0; 4], 0.0, 0.0);
    for step in 0..around {
        let angle = (f64::from(step) + 0.5) / f64::from(around) * std::f64::consts::TAU;
        let (x, y) = (12.0 + drift * angle.cos(), -7.0 + drift * angle.sin());
        let caught = bases.iter().filter(|(bx, by)| (bx - x).hypot(by - y) <= radius + 12.5).count();
        counts[caught] += 1.0 / f64::from(around);
        let (beside, before) = ((x.abs() - 65.0_f64).max(0.0), (y.abs() - 37.5_f64).max(0.0));
        touched += f64::from(u8::from(beside.hypot(before) <= radius)) / f64::from(around);
        inside += f64::from(u8::from(beside.hypot(before) == 0.0)) / f64::from(around);
    }
    for row in answer["covered"]["distribution"].as_array().expect("rows") {
        let seen = counts[usize::try_from(row["value"].as_u64().expect("a count")).expect("small")];
        assert!((row["chance"].as_f64().expect("a chance") - seen).abs() < 1e-4, "{row} {seen}");
    }
    for (name, seen) in [("touched", touched), ("centre_inside", inside)] {
        assert!((hull[name]["chance"].as_f64().expect("a chance") - seen).abs() < 1e-4, "{name} {seen}: {hull}");
    }
}
