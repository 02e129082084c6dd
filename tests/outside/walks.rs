//! Walks on a line: what a turn of damage and repair does, put together as the textbooks do.
use num_rational::BigRational;
use num_traits::{One, Zero};
use pipwright_tests::{ask::ask, play::number::fraction};
use serde_json::{Value, json};

type Row = Vec<BigRational>;

/// Where one turn leads from `missing`, as the service's repair says it.
fn turn(mut request: Value, capacity: usize, missing: usize) -> Row {
    for (name, value) in
        [("capacity", json!(capacity)), ("missing", json!(missing)), ("turns", json!(1)), ("exact", json!(true))]
    {
        request[name] = value;
    }
    let answer = ask("repair", request);
    let ends = pipwright_tests::compare::exact_rows(&answer["turns"][0]["missing"]);
    let end = |state: usize| ends.get(&i64::try_from(state).expect("small")).cloned().unwrap_or_else(BigRational::zero);
    (0..=capacity).map(end).collect()
}

/// One step down for certain, then two up with the chance `up`: a walk of single steps.
fn single_steps(up: &str, capacity: usize) -> Vec<Row> {
    let stay = (BigRational::one() - fraction(up)).to_string();
    let incoming = json!({"distribution": [{"value": 0, "fraction": stay}, {"value": 2, "fraction": up}]});
    let request = json!({"needs": "auto", "restores": 1, "order": "repair_first", "incoming": incoming});
    (1..capacity).map(|missing| turn(request.clone(), capacity, missing)).collect()
}

/// Solves `(I - q) x = b`, for a walk that ends.
fn solve(q: &[Row], b: &[BigRational]) -> Row {
    let n = b.len();
    let mut rows: Vec<Row> = (0..n)
        .map(|i| {
            let own = |j: usize| if i == j { BigRational::one() } else { BigRational::zero() };
            (0..n).map(|j| own(j) - &q[i][j]).chain([b[i].clone()]).collect()
        })
        .collect();
    for pivot in 0..n {
        let scale = rows[pivot][pivot].recip();
        rows[pivot].iter_mut().for_each(|cell| *cell *= &scale);
        let from = rows[pivot].clone();
        for (_, row) in rows.iter_mut().enumerate().filter(|(i, row)| *i != pivot && !row[pivot].is_zero()) {
            let factor = row[pivot].clone();
            row.iter_mut().zip(&from).filter(|(_, f)| !f.is_zero()).for_each(|(cell, f)| *cell -= &factor * f);
        }
    }
    rows.into_iter().map(|mut row| row.pop().expect("a right side")).collect()
}

/// The walk's states that go on, without its two ends.
fn inner(rows: &[Row]) -> Vec<Row> {
    rows.iter().map(|row| row[1..=rows.len()].to_vec()).collect()
}

/// The chance to end at `missing` = capacity, from each state between.
fn ruin(rows: &[Row]) -> Row {
    let at_end: Row = rows.iter().map(|row| row[rows.len() + 1].clone()).collect();
    solve(&inner(rows), &at_end)
}

fn duration(rows: &[Row]) -> Row {
    solve(&inner(rows), &vec![BigRational::one(); rows.len()])
}

fn texts(row: &[BigRational]) -> Vec<String> {
    row.iter().map(ToString::to_string).collect()
}

/// Huygens, De ratiociniis in ludo aleae (1657), in Arbuthnot's English (London 1692), Question 5: twelve counters each,
/// one moves on a total of 11 or 14 of three dice; odds 5^12 to 9^12.
#[test]
fn twelve_counters_each() {
    let total = super::check("3d6", "11+", 1);
    let (eleven, fourteen) = (super::of(&total["total"], 11), super::of(&total["total"], 14));
    assert_eq!((eleven.to_string().as_str(), fourteen.to_string().as_str()), ("1/8", "5/72"));
    let up = &fourteen / (&eleven + &fourteen);
    assert_eq!(ruin(&single_steps(&up.to_string(), 24))[11].to_string(), "244140625/282673677106");
}

/// Mosteller, Fifty Challenging Problems (1965), no. 36: one unit against two, 2/3 a game.
#[test]
fn one_against_two() {
    assert_eq!(ruin(&single_steps("2/3", 3))[0].to_string(), "4/7");
}

/// Feller, An Introduction to Probability Theory, vol. 1, XIV.2-3, table 1 (from memory): ruin and mean duration.
#[test]
fn ruin_tables() {
    let published = [
        ("9/20", 9, 10, "0.210056164991", "11.0056164991"),
        ("9/20", 90, 100, "0.865569368919", "765.569368919"),
        ("9/20", 99, 100, "0.181818182169", "171.818182169"),
        ("2/5", 90, 100, "0.982658470084", "441.329235042"),
        ("2/5", 99, 100, "0.333333333333", "161.666666667"),
    ];
    for (win, stake, goal, ruined, games) in published {
        // What is missing are the other's counters: a won game takes one away, a lost one adds one.
        let lose = (BigRational::one() - fraction(win)).to_string();
        let rows = single_steps(&lose, goal);
        let f64_of = |row: Row| pipwright_tests::play::number::to_f64(&row[goal - stake - 1]);
        super::printed(f64_of(ruin(&rows)), ruined);
        super::printed(f64_of(duration(&rows)), games);
    }
}

/// Grinstead and Snell, Introduction to Probability, examples 11.13-11.17 and the exercises of 11.2: a walk on 0 to 4, even and 2/3 up.
#[test]
fn a_walk_on_five_corners() {
    let even = single_steps("1/2", 4);
    assert_eq!(texts(&duration(&even)), ["3", "4", "3"]);
    assert_eq!(texts(&ruin(&even)), ["1/4", "1/2", "3/4"]);
    let visits = |rows: &[Row], to: usize| {
        let unit: Row = (0..3).map(|i| if i == to { BigRational::one() } else { BigRational::zero() }).collect();
        texts(&solve(&inner(rows), &unit))
    };
    assert_eq!(visits(&even, 0), ["3/2", "1", "1/2"]);
    let uphill = single_steps("2/3", 4);
    assert_eq!(texts(&duration(&uphill)), ["17/5", "18/5", "11/5"]);
    assert_eq!(texts(&ruin(&uphill)), ["8/15", "4/5", "14/15"]);
    assert_eq!(visits(&uphill, 0), ["7/5", "3/5", "1/5"]);
    assert_eq!(visits(&uphill, 1), ["6/5", "9/5", "3/5"]);
}

/// The same, an exercise of 11.2: each step to one of the states ahead, all alike; here so many points are mended.
#[test]
fn always_ahead() {
    let rows: Vec<Row> = (1..=4)
        .map(|missing| turn(json!({"needs": "auto", "restores": if missing == 1 { json!(1) } else { json!(format!("d{missing}")) }}), 5, missing))
        .collect();
    let inner: Vec<Row> = rows.iter().map(|row| row[1..=4].to_vec()).collect();
    assert_eq!(solve(&inner, &vec![BigRational::one(); 4])[3].to_string(), "25/12");
    let visits = |to: usize| {
        let unit: Row = (1..=4).map(|i| if i == to { BigRational::one() } else { BigRational::zero() }).collect();
        solve(&inner, &unit)[3].to_string()
    };
    assert_eq!([4, 3, 2, 1].map(visits), ["1", "1/4", "1/3", "1/2"]);
}

fn odd(rows: &[(u32, &str)]) -> Value {
    json!({"distribution": rows.iter().map(|(value, fraction)| json!({"value": value, "fraction": fraction})).collect::<Vec<_>>()})
}

fn after(rows: &[Row], from: &[BigRational]) -> Row {
    (0..from.len()).map(|to| from.iter().zip(rows).map(|(chance, row)| chance * &row[to]).sum()).collect()
}

/// Kemeny, Snell and Thompson's weather chain in Grinstead and Snell, examples 11.1 and 11.25 (from memory): its fixed
/// vector and mean first passages.
#[test]
fn three_sorts_of_weather() {
    let full = [
        json!({"needs": "never", "incoming": odd(&[(0, "1/2"), (1, "1/4"), (2, "1/4")])}),
        json!({"needs": "auto", "restores": 1, "incoming": odd(&[(0, "1/2"), (2, "1/2")])}),
        json!({"needs": "auto", "restores": 2, "incoming": odd(&[(0, "1/4"), (1, "1/4"), (2, "1/2")])}),
    ];
    let rows: Vec<Row> = full
        .into_iter()
        .enumerate()
        .map(|(missing, mut request)| {
            request["order"] = json!("repair_first");
            turn(request, 3, missing)[..3].to_vec()
        })
        .collect();
    let fixed = ["2/5", "1/5", "2/5"].map(fraction);
    assert_eq!(after(&rows, &fixed), fixed);
    for (goal, published) in [(0, ["0", "8/3", "10/3"]), (1, ["4", "0", "4"]), (2, ["10/3", "8/3", "0"])] {
        let others: Vec<usize> = (0..3).filter(|state| *state != goal).collect();
        let inner: Vec<Row> = others.iter().map(|i| others.iter().map(|j| rows[*i][*j].clone()).collect()).collect();
        let steps = solve(&inner, &vec![BigRational::one(); 2]);
        for (state, steps) in others.iter().zip(steps) {
            assert_eq!(steps.to_string(), published[*state], "{state} to {goal}");
        }
    }
}

/// S. Ross, Introduction to Probability Models, example 4.8 (from memory), and the closed form of availability,
/// `r/(p+r) + p/(p+r) (1-p-r)^n`.
#[test]
fn up_and_down() {
    let chain = |fails: &str, repairs: Value| {
        let works = (BigRational::one() - fraction(fails)).to_string();
        let up = turn(json!({"needs": "never", "incoming": odd(&[(0, &works), (1, fails)])}), 2, 0);
        let down = turn(repairs, 2, 1);
        [up[..2].to_vec(), down[..2].to_vec()]
    };
    let rainy = chain("3/10", json!({"needs": "7+", "die": 10}));
    let start = |at: usize| [usize::from(at == 0), usize::from(at == 1)].map(|n| BigRational::from_integer(n.into()));
    let later =
        |rows: &[Row], at: usize, turns: usize| (0..turns).fold(start(at).to_vec(), |so_far, _| after(rows, &so_far));
    assert_eq!(texts(&later(&rainy, 0, 4)), ["5749/10000", "4251/10000"]);
    assert_eq!(texts(&later(&rainy, 1, 4)), ["1417/2500", "1083/2500"]);
    let machine = chain("1/6", json!({"needs": "4+"}));
    assert_eq!(later(&machine, 0, 6)[0].to_string(), "547/729");
}

/// Two machines that run ten days on average and one repairer who takes eight: how many are down in the long run. Hillier
/// and Lieberman, Introduction to Operations Research, an exercise on birth and death (value worked out anew).
///
/// A tenth of a day at a time, and one event at most in each: the balance is the same.
#[test]
fn two_machines_and_one_repairer() {
    // One is mended for certain first, so that none, one or two that fail make one step down, none or one up.
    let step = |down: &str, up: &str| {
        let stay = BigRational::one() - fraction(down) - fraction(up);
        json!({"needs": "auto", "restores": 1, "order": "repair_first",
            "incoming": odd(&[(0, down), (1, &stay.to_string()), (2, up)])})
    };
    let none = json!({"needs": "never", "incoming": odd(&[(0, "49/50"), (1, "1/50")])});
    let rows: Vec<Row> = [none, step("1/80", "1/100"), step("1/80", "0")]
        .into_iter()
        .enumerate()
        .map(|(down, request)| turn(request, 3, down)[..3].to_vec())
        .collect();
    let balance = ["25/97", "40/97", "32/97"].map(fraction);
    assert_eq!(after(&rows, &balance), balance);
}
