//! Answers held against what was found another way.
use crate::{
    brute::{self, Found},
    play::{
        Key,
        chain::{Chain, Kind, Step, Target, Volley, Watch, in_favour},
        check::Check,
        number::{fraction, to_f64},
        repair::Repair,
    },
    simulate::{Counted, may_be},
};
use num_rational::BigRational;
use num_traits::{One, Zero};
use serde_json::Value;
use std::collections::BTreeMap;

/// How far an `f64` answer may be from the exact one.
pub const CLOSE: f64 = 1e-12;

/// One quantity of an answer and what the games call it.
pub struct Quantity {
    pub pointer: String,
    pub key: Key,
    pub shape: Shape,
}

/// How an answer says a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// `{expected, deviation, distribution}`.
    Summary,
    /// `{chance, fraction?}` of the value 1.
    Chance,
    /// A bare chance of the value 1.
    BareChance,
    /// The bare mean of a count of events.
    Mean,
}

/// The chances of an answer's summary, in exact form where it has fractions.
pub fn rows(summary: &Value) -> BTreeMap<i64, f64> {
    let rows = summary["distribution"].as_array().unwrap_or_else(|| panic!("no distribution in {summary}"));
    rows.iter()
        .map(|row| (row["value"].as_i64().expect("a value"), row["chance"].as_f64().expect("a chance")))
        .collect()
}

/// All the quantities of an `/v1/odds` answer to this request.
pub fn of_odds(chain: &Chain, request: &Value) -> Vec<Quantity> {
    let of = |pointer: String, key, shape| Quantity { pointer, key, shape };
    let plain = |name: &'static str, shape| of(format!("/{name}"), (name, 0), shape);
    let mut all =
        vec![plain("attacks", Shape::Summary), plain("through", Shape::Summary), plain("destroyed", Shape::Chance)];
    match &chain.target {
        Target::Soldiers(_) => all.extend(["health_lost", "models"].map(|name| plain(name, Shape::Summary))),
        Target::Armoured(target) => {
            all.extend(["structure", "wrecked"].map(|name| plain(name, Shape::Summary)));
            let statuses = target.statuses.iter().enumerate();
            all.extend(statuses.map(|(n, name)| of(format!("/statuses/{name}"), ("statuses", n), Shape::Chance)));
        }
    }
    let of_step = |step: &Step| matches!(&step.kind, Kind::Roll { backfire: Some(_), .. });
    let of_gate = |volley: &Volley| volley.gate.as_ref().is_some_and(|gate| gate.backfire.is_some());
    if chain.steps().any(of_step) || chain.volleys.iter().any(of_gate) {
        all.push(plain("backfires", Shape::Summary));
    }
    for n in 0..chain.steps().count() {
        let pointer = format!("/steps/{n}");
        all.push(of(format!("{pointer}/reached"), ("reached", n), Shape::Mean));
        if request["passed"] == true {
            all.push(of(format!("{pointer}/passed"), ("passed", n), Shape::Summary));
        }
    }
    let flat = request["volleys"].is_null();
    for (n, _) in chain.volleys.iter().enumerate().filter(|(_, volley)| volley.gate.is_some()) {
        let pointer = if flat { "/gate".to_string() } else { format!("/volleys/{n}/gate") };
        all.push(of(pointer, ("gate", n), Shape::Chance));
    }
    for (n, aftermath) in request["aftermath"].as_array().into_iter().flatten().enumerate() {
        let effect = aftermath["effect"].as_str().expect("an effect");
        all.push(of(format!("/aftermath/{effect}"), ("aftermath", n), Shape::Chance));
    }
    let counters = chain.counters.names().iter().enumerate();
    all.extend(counters.map(|(n, name)| of(format!("/counters/{name}"), ("counter", n), Shape::Summary)));
    let effects = chain.counters.effects.iter().enumerate();
    all.extend(effects.map(|(n, name)| of(format!("/effects/{name}"), ("effect", n), Shape::Chance)));
    all
}

/// All the quantities of a `/v1/check` answer.
pub fn of_check(check: &Check) -> Vec<Quantity> {
    let of = |pointer: String, key, shape| Quantity { pointer, key, shape };
    let mut all = vec![
        of("/passes".into(), ("passes", 0), Shape::Summary),
        of(String::new(), ("one", 0), Shape::Chance),
        of("/total".into(), ("total of one", 0), Shape::Summary),
    ];
    let tries = 0..check.tries.len();
    all.extend(tries.map(|n| of(format!("/first_pass/{n}/chance"), ("first_pass", n), Shape::BareChance)));
    all
}

/// All the quantities of a `/v1/repair` answer.
pub fn of_repair(turns: u64) -> Vec<Quantity> {
    let of = |pointer: String, key, shape| Quantity { pointer, key, shape };
    let mut all = vec![
        of("/restored".into(), ("restored", 0), Shape::Summary),
        of("/destroyed".into(), ("destroyed", 0), Shape::Chance),
    ];
    for turn in 0..usize::try_from(turns).expect("small") {
        for (name, shape) in [("alive", Shape::BareChance), ("any_restored", Shape::BareChance)] {
            all.push(of(format!("/turns/{turn}/{name}"), (name, turn), shape));
        }
        all.push(of(format!("/turns/{turn}/missing"), ("missing", turn), Shape::Mean));
        all.push(of(format!("/turns/{turn}/restored"), ("restored_by", turn), Shape::Mean));
    }
    all
}

/// Every way of the chain, in two rounds that each watch half of it.
pub fn brute_chain(chain: &Chain) -> Found {
    let mut found = brute::brute(&Chain { watch: Watch::Target, ..chain.clone() });
    found.extend(brute::brute(&Chain { watch: Watch::Counts, ..chain.clone() }));
    for (n, volley) in chain.volleys.iter().enumerate() {
        if let Some(gate) = &volley.gate {
            let open = brute::chance(|luck| Some(gate.roll.roll(luck)?.success));
            found.insert(("gate", n), BTreeMap::from([(1, open)]));
        }
    }
    for (n, step) in chain.steps().enumerate() {
        found.insert(("favour", n), BTreeMap::from([(1, brute::chance(|luck| in_favour(step, luck)))]));
    }
    found
}

/// Every way of the check, and of its first try by itself.
pub fn brute_check(check: &Check) -> Found {
    let mut found = brute::brute(check);
    let mut first = brute::brute(&check.first_alone());
    for (name, alone) in [("chance", "one"), ("total", "total of one")] {
        found.insert((alone, 0), first.remove(&(name, 0)).expect("a try"));
    }
    found
}

/// Every way of the repair, and the chance of one roll.
pub fn brute_repair(repair: &Repair) -> Found {
    let mut found = brute::brute(repair);
    let one = brute::chance(|luck| repair.roll().roll(luck).map(|rolled| rolled.success));
    found.insert(("chance", 0), BTreeMap::from([(1, one)]));
    found
}

/// What of the answer is not what was found; with `exact` the fractions must be equal.
pub fn against_found(answer: &Value, quantities: &[Quantity], found: &Found, exact: bool) -> Vec<String> {
    let mut wrong = Vec::new();
    let nothing = BTreeMap::new();
    for quantity in quantities {
        let values = found.get(&quantity.key).unwrap_or(&nothing);
        let Some(said) = answer.pointer(&quantity.pointer) else {
            wrong.push(format!("{}: not in the answer", quantity.pointer));
            continue;
        };
        let of_one = values.get(&1).cloned().unwrap_or_else(BigRational::zero);
        let mean = || values.iter().map(|(v, c)| BigRational::from_integer((*v).into()) * c).sum::<BigRational>();
        let complaint = match quantity.shape {
            Shape::Summary => summary_wrong(said, values, exact),
            Shape::Chance => chance_wrong(said, &of_one, exact),
            Shape::BareChance => number_wrong(said, &of_one, 1.0),
            Shape::Mean => number_wrong(mean_said(said), &mean(), 10.0),
        };
        wrong.extend(complaint.map(|complaint| format!("{}: {complaint}", quantity.pointer)));
    }
    wrong
}

/// A mean stands bare or as the `expected` of a summary.
fn mean_said(said: &Value) -> &Value {
    said.get("expected").unwrap_or(said)
}

fn number_wrong(said: &Value, right: &BigRational, scale: f64) -> Option<String> {
    let right = to_f64(right);
    let near = said.as_f64().is_some_and(|said| (said - right).abs() <= CLOSE * scale.max(right.abs()));
    (!near).then(|| format!("said {said}, found {right}"))
}

/// A `{chance, fraction?}` against the right chance.
pub fn chance_wrong(said: &Value, right: &BigRational, exact: bool) -> Option<String> {
    if exact && said["fraction"] != right.to_string() {
        return Some(format!("said {}, found {right}", said["fraction"]));
    }
    number_wrong(&said["chance"], right, 1.0)
}

fn summary_wrong(said: &Value, values: &BTreeMap<i64, BigRational>, exact: bool) -> Option<String> {
    let values: BTreeMap<i64, &BigRational> =
        values.iter().filter(|(_, c)| !c.is_zero()).map(|(v, c)| (*v, c)).collect();
    let listed = said["distribution"].as_array()?;
    let (first, last) = (values.first_key_value()?.0, values.last_key_value()?.0);
    let expected: Vec<i64> = (*first..=*last).collect();
    let said_values: Vec<i64> = listed.iter().filter_map(|row| row["value"].as_i64()).collect();
    if said_values != expected {
        return Some(format!("values said {said_values:?}, found {expected:?}"));
    }
    let zero = BigRational::zero();
    let mut so_far = BigRational::one();
    for row in listed {
        let value = row["value"].as_i64()?;
        let right = values.get(&value).copied().unwrap_or(&zero);
        if let Some(wrong) = chance_wrong(row, right, exact) {
            return Some(format!("of {value}: {wrong}"));
        }
        if let Some(wrong) = number_wrong(&row["at_least"], &so_far, 1.0) {
            return Some(format!("at least {value}: {wrong}"));
        }
        so_far -= right;
    }
    let mean: BigRational = values.iter().map(|(v, c)| BigRational::from_integer((*v).into()) * *c).sum();
    let square: BigRational = values.iter().map(|(v, c)| BigRational::from_integer((*v * *v).into()) * *c).sum();
    let deviation = to_f64(&(square - &mean * &mean)).sqrt();
    let said_deviation = said["deviation"].as_f64()?;
    if (said_deviation - deviation).abs() > 1e-9 * deviation.max(1.0) {
        return Some(format!("deviation said {said_deviation}, found {deviation}"));
    }
    number_wrong(&said["expected"], &mean, 10.0).map(|wrong| format!("expected: {wrong}"))
}

/// What of the answer can't be, after a game was thrown so often; `doubt` for each number compared.
pub fn against_counted(answer: &Value, quantities: &[Quantity], counted: &Counted, doubt: f64) -> Vec<String> {
    let mut wrong = Vec::new();
    let nothing = BTreeMap::new();
    for quantity in quantities {
        let seen = counted.seen.get(&quantity.key).unwrap_or(&nothing);
        let Some(said) = answer.pointer(&quantity.pointer) else {
            wrong.push(format!("{}: not in the answer", quantity.pointer));
            continue;
        };
        let once = |chance: f64, times: u64, what: &str| {
            let fits = may_be(chance, times, counted.runs, doubt);
            (!fits).then(|| format!("{} {what}: said {chance}, seen {times} of {}", quantity.pointer, counted.runs))
        };
        let ones = seen.get(&1).copied().unwrap_or(0);
        match quantity.shape {
            Shape::Chance => wrong.extend(once(said["chance"].as_f64().unwrap_or(-1.0), ones, "chance")),
            Shape::BareChance => wrong.extend(once(said.as_f64().unwrap_or(-1.0), ones, "chance")),
            // A mean of unbounded counts has no such interval; its distribution is looked at where it stands.
            Shape::Mean => {}
            Shape::Summary => {
                let said = rows(said);
                let mut tail = (0.0, 0);
                for (value, chance) in said.iter().rev() {
                    let times = seen.get(value).copied().unwrap_or(0);
                    tail = (tail.0 + chance, tail.1 + times);
                    wrong.extend(once(*chance, times, &format!("of {value}")));
                    wrong.extend(once(tail.0.min(1.0), tail.1, &format!("at least {value}")));
                }
                let unknown: Vec<_> = seen.keys().filter(|value| !said.contains_key(value)).collect();
                if !unknown.is_empty() {
                    wrong.push(format!("{}: seen but not said: {unknown:?}", quantity.pointer));
                }
            }
        }
    }
    wrong
}

/// The step chances and fractions of an answer that are not what was found.
pub fn favours_wrong(answer: &Value, steps: usize, found: &Found) -> Vec<String> {
    let one = |n: usize| {
        let wrong = chance_wrong(&answer["steps"][n], &found[&("favour", n)][&1], true);
        wrong.map(|wrong| format!("/steps/{n}: {wrong}"))
    };
    (0..steps).filter_map(one).collect()
}

/// The exact chances of a distribution whose rows have fractions.
pub fn exact_rows(summary: &Value) -> BTreeMap<i64, BigRational> {
    let rows = summary["distribution"].as_array().expect("a distribution");
    let exact = |row: &Value| fraction(row["fraction"].as_str().expect("a fraction"));
    rows.iter().map(|row| (row["value"].as_i64().expect("a value"), exact(row))).collect()
}
