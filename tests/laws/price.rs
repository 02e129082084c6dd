//! The price of a question, told from its sizes alone, keeps ahead of the work that its answer really is.
use fastrand::Rng;
use pipwright_shared::{
    odds::{
        cancellation::CancellationToken,
        chain::Goal,
        number::Number,
        price::{self, Work},
    },
    rules::PackCatalog,
    wire::{
        check::CheckRequest, draw::DrawRequest, duel::DuelRequest, odds::OddsRequest, question::Question, read,
        repair::RepairRequest,
    },
};
use pipwright_tests::{
    counting::{Counted, operations},
    random::{self, Size},
};
use serde_json::{Value, json};
use std::ops::ControlFlow;

/// No question is more work than this many times its price.
const MULTIPLE: f64 = 2.5;

/// What is counted in the tests: more would take them long.
const AFFORDED: u64 = 3_000_000;

/// A question made ready, where it is a right one.
fn prepared<Q: Question>(request: &Value) -> Option<Q::Prepared> {
    read::body::<Q>(request.to_string().as_bytes()).ok()?.resolve(&PackCatalog::demo()).ok()
}

/// Makes some of the numbers larger than any table sees.
fn swell(rng: &mut Rng, value: &mut Value) {
    match value {
        Value::Object(fields) => {
            for (name, field) in fields.iter_mut() {
                let most = match name.as_str() {
                    "attackers" | "models" | "tries" | "rerolls" | "turns" | "missing" | "capacity" | "count" => 60,
                    "health" | "structure" | "units" | "damage" | "extra" | "restores" | "harm" => 12,
                    _ => 0,
                };
                if most > 0 && field.is_number() && rng.u32(0..3) == 0 {
                    *field = json!(rng.u32(1..=most));
                } else if ["dice", "attacks", "damage"].contains(&name.as_str()) && rng.u32(0..8) == 0 {
                    *field = json!(["10d6", "3d20", "40", "2d100"][rng.usize(0..4)]);
                } else {
                    swell(rng, field);
                }
            }
        }
        Value::Array(list) => list.iter_mut().for_each(|item| swell(rng, item)),
        _ => {}
    }
}

/// The price of a question, and the work itself.
type Priced = (Work, Box<dyn Fn()>);

/// Asks random questions of one sort, some of them swollen, and holds the work against the price.
fn holds(name: &str, times: u64, ask: fn(&mut Rng, Size) -> Value, work: fn(&Value) -> Option<Priced>) {
    let (mut worst, mut compared) = ((0.0, Value::Null), 0);
    for seed in 0..times {
        let mut rng = Rng::with_seed(seed);
        let size = if rng.u32(0..3) == 0 { Size::Small } else { Size::Large };
        let mut request = ask(&mut rng, size);
        if rng.bool() {
            swell(&mut rng, &mut request);
        }
        let Some((price, answer)) = work(&request).filter(|(price, _)| price.is_within(AFFORDED)) else { continue };
        compared += 1;
        let ((), done) = operations(answer);
        let share = done as f64 / price.units() as f64;
        if share > worst.0 {
            worst = (share, request);
        }
    }
    assert!(compared * 5 > times, "{name}: only {compared} of {times} were priced");
    assert!(worst.0 <= MULTIPLE, "{name}: {} times its price: {}", worst.0, worst.1);
    assert!(worst.0 > 0.01, "{name}: nothing comes near its price, at most {}", worst.0);
}

fn answered<T, E>(answer: Result<T, E>) {
    assert!(answer.is_ok(), "nobody cancels it");
}

#[test]
fn of_chains() {
    holds("odds", 4_000, random::odds, |request| {
        let passed = request["passed"] == true;
        let chain = prepared::<OddsRequest>(request)?.chain().clone();
        let price = price::chain(&chain, false, passed);
        Some((price, Box::new(move || answered(chain.evaluate::<Counted>(passed, &CancellationToken::default())))))
    });
}

#[test]
fn of_searches() {
    holds("needed", 2_000, random::odds, |request| {
        let chain = prepared::<OddsRequest>(request)?.chain().clone();
        let most = 20;
        let price = price::climb(&chain, most);
        let on = |_: Counted| ControlFlow::Continue(());
        Some((
            price,
            Box::new(move || {
                if chain.is_one_by_one() {
                    answered(chain.climb(Goal::Destroyed, most, &CancellationToken::default(), on));
                } else {
                    answered(
                        chain.with_attackers(most).reaches::<Counted>(Goal::Destroyed, &CancellationToken::default()),
                    );
                }
            }),
        ))
    });
}

#[test]
fn of_checks() {
    holds("check", 4_000, random::check, |request| {
        let check = prepared::<CheckRequest>(request)?.check().clone();
        let price = price::check(&check, false);
        Some((price, Box::new(move || drop(check.evaluate::<Counted>()))))
    });
}

#[test]
fn of_repairs() {
    holds("repair", 4_000, random::repair, |request| {
        let repair = prepared::<RepairRequest>(request)?.repair().clone();
        let price = price::repair(&repair, false);
        Some((price, Box::new(move || answered(repair.evaluate::<Counted>(&CancellationToken::default())))))
    });
}

#[test]
fn of_duels() {
    holds("duel", 2_000, random::duel, |request| {
        let duel = prepared::<DuelRequest>(request)?.duel().clone();
        let price = price::duel(&duel, false);
        Some((price, Box::new(move || answered(duel.evaluate::<Counted>(&CancellationToken::default())))))
    });
}

#[test]
fn of_duels_with_counters() {
    holds(
        "duel with counters",
        1_000,
        |rng, _| random::counted_duel(rng, Size::Small),
        |request| {
            let duel = prepared::<DuelRequest>(request)?.duel().clone();
            let price = price::duel(&duel, false);
            Some((price, Box::new(move || answered(duel.evaluate::<Counted>(&CancellationToken::default())))))
        },
    );
}

#[test]
fn of_draws() {
    holds("draw", 4_000, random::draw, |request| {
        let draw = prepared::<DrawRequest>(request)?.draw().clone();
        let price = price::draw(&draw, false);
        Some((price, Box::new(move || answered(draw.evaluate::<Counted>(&CancellationToken::default())))))
    });
}

#[test]
fn counting_counts() {
    let (sum, done) = operations(|| {
        let mut sums = vec![Counted::zero(); 3];
        Counted::add_scaled(&mut sums, &Counted::ratio(1, 2), &[Counted::one(), Counted::zero(), Counted::one()]);
        let last = sums[2].clone();
        sums[0].add(&last);
        sums[0].times(&sums[2]).to_f64()
    });
    assert_eq!((sum, done), (0.5, 6));
}
