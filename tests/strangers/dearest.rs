//! A search for the requests that cost most for what they are: no accepted one takes more time than its deadline lets it,
//! or more memory than one request may have; no refusal takes long either.
use super::{
    alphabet::{most, request, sizes},
    asked::{Outcome, of, through_link},
};
use fastrand::Rng;
use pipwright_api::Config;
use serde_json::Value;
use std::{fmt::Write, time::Duration};

/// The most memory of one request.
const MOST_BYTES: u64 = 64 << 20;
/// What reading, looking up and writing may take beside the work that has a price, however small that is.
const BESIDE: Duration = Duration::from_millis(100);
/// The programs that the tests build are not optimised outside the mathematics: reading and exact numbers take so many times
/// as long as in the one that is shipped.
const SLOWER: u32 = if cfg!(debug_assertions) { 10 } else { 1 };

/// How many are asked; `PIPWRIGHT_STRANGERS` asks more.
fn how_many() -> u64 {
    std::env::var("PIPWRIGHT_STRANGERS").ok().and_then(|n| n.parse().ok()).unwrap_or(3_000)
}

/// A request that was asked.
struct Asked {
    path: &'static str,
    request: Value,
    budget: u64,
    outcome: Outcome,
}

impl Asked {
    /// The time on the processor that it may take: one and a half times its share of the deadline, and what stands beside it.
    fn allowed(&self) -> Duration {
        let Config { budget, deadline_ms, .. } = Config::default();
        let share = self.budget as f64 / budget as f64 * self.outcome.budget_factor as f64;
        (Duration::from_millis(deadline_ms).mul_f64(1.5 * share) + BESIDE) * SLOWER
    }

    /// How much of what it may take it took: 1 is all of it.
    fn time(&self) -> f64 {
        let allowed = if self.outcome.price.is_some() { self.allowed() } else { BESIDE * SLOWER };
        self.outcome.spent.cpu.as_secs_f64() / allowed.as_secs_f64()
    }

    fn memory(&self) -> f64 {
        self.outcome.spent.bytes as f64 / MOST_BYTES as f64
    }

    /// Whether its answer is longer than was said of it.
    fn is_longer_than_said(&self) -> bool {
        self.outcome.written.0 > self.outcome.written.1
    }

    fn said(&self) -> String {
        let mut request = self.request.to_string();
        if request.len() > 300 {
            let end = (0..=300).rev().find(|at| request.is_char_boundary(*at)).unwrap_or(0);
            request.truncate(end);
            request += " …";
        }
        let Outcome { price, written, spent, .. } = self.outcome;
        let price = price.map_or("refused".to_owned(), |price| format!("price {price}"));
        format!(
            "{:.2} of its time ({:?}), {:.1} MiB, {price} of {}, {} bytes written of {} said: {} {request}",
            self.time(),
            spent.cpu,
            spent.bytes as f64 / f64::from(1 << 20),
            self.budget,
            written.0,
            written.1,
            self.path
        )
    }
}

/// The ten worst by some measure, the worst first.
#[derive(Default)]
struct Worst(Vec<(f64, Asked)>);

impl Worst {
    fn takes(&self, measure: f64) -> bool {
        self.0.len() < 10 || self.0.last().is_some_and(|(least, _)| measure > *least)
    }

    fn add(&mut self, measure: f64, asked: Asked) {
        self.0.push((measure, asked));
        self.0.sort_by(|(a, _), (b, _)| b.total_cmp(a));
        self.0.truncate(10);
    }
}

/// What was found by one thread.
#[derive(Default)]
struct Found {
    asked: u64,
    accepted: u64,
    time: Worst,
    memory: Worst,
    refusals: Worst,
    longer: Vec<String>,
}

impl Found {
    fn ask(&mut self, path: &'static str, request: &Value, budget: u64) {
        let outcome = (of(path).ask)(request.clone(), budget);
        let asked = || Asked { path, request: request.clone(), budget, outcome };
        self.asked += 1;
        let this = Asked { request: Value::Null, ..asked() };
        if outcome.price.is_none() {
            if self.refusals.takes(this.time()) {
                self.refusals.add(this.time(), asked());
            }
            return;
        }
        self.accepted += 1;
        if this.is_longer_than_said() {
            self.longer.push(asked().said());
        }
        if self.time.takes(this.time()) {
            self.time.add(this.time(), asked());
        }
        if self.memory.takes(this.memory()) {
            self.memory.add(this.memory(), asked());
        }
    }

    fn join(&mut self, other: Self) {
        self.asked += other.asked;
        self.accepted += other.accepted;
        self.longer.extend(other.longer);
        for (mine, theirs) in
            [(&mut self.time, other.time), (&mut self.memory, other.memory), (&mut self.refusals, other.refusals)]
        {
            theirs.0.into_iter().for_each(|(measure, asked)| mine.add(measure, asked));
        }
    }
}

/// One size set to the most that its price allows; nothing where no value of it does.
fn at_the_edge(path: &'static str, request: &Value, pointer: &str, budget: u64) -> Option<Value> {
    let with = |size: u64| {
        let mut request = request.clone();
        *request.pointer_mut(pointer)? = size.into();
        (of(path).fits)(request.clone(), budget).then_some(request)
    };
    let (mut good, mut bad) = (1, most(pointer) + 1);
    let mut best = with(good)?;
    while bad - good > 1 {
        let middle = good + (bad - good) / 2;
        match with(middle) {
            Some(request) => (good, best) = (middle, request),
            None => bad = middle,
        }
    }
    Some(best)
}

/// Asks those of one part; each by itself, through a link, and with one of its sizes just below what the price allows.
fn search(part: u64, parts: u64) -> Found {
    let mut found = Found::default();
    let full = Config::default().budget;
    let mut seed = part;
    while found.asked < how_many() / parts {
        let mut rng = Rng::with_seed(seed);
        seed += parts;
        let (path, mut request) = request(&mut rng);
        if rng.bool() {
            let Some(linked) = through_link(path, &request) else { continue };
            request = linked;
        }
        // Prices keep their promise at any scale; few are asked for all that the service gives, since each takes as long.
        let budget = if rng.u32(0..400) == 0 { full } else { full / 200 };
        found.ask(path, &request, budget);
        let sizes = sizes(&request);
        if sizes.is_empty() {
            continue;
        }
        let pointer = &sizes[rng.usize(0..sizes.len())];
        if let Some(request) = at_the_edge(path, &request, pointer, budget) {
            found.ask(path, &request, budget);
        }
    }
    found
}

#[test]
fn nothing_takes_more_than_it_may() {
    let parts = std::thread::available_parallelism().map_or(1, usize::from) as u64;
    let found = std::thread::scope(|scope| {
        let all: Vec<_> = (0..parts).map(|part| scope.spawn(move || search(part, parts))).collect();
        let mut sum = Found::default();
        all.into_iter().for_each(|one| sum.join(one.join().expect("no panic")));
        sum
    });
    let mut said = format!("{} asked, {} of them accepted\n", found.asked, found.accepted);
    for (what, worst) in [("time", &found.time), ("memory", &found.memory), ("refusals", &found.refusals)] {
        let _ = writeln!(said, "the ten worst by {what}:");
        for (_, asked) in &worst.0 {
            let _ = writeln!(said, "  {}", asked.said());
        }
    }
    println!("{said}");
    assert!(found.accepted * 5 > found.asked, "{said}");
    let over =
        [&found.time, &found.memory, &found.refusals].iter().any(|worst| worst.0.iter().any(|(most, _)| *most > 1.0));
    assert!(!over, "{said}");
    assert!(found.longer.is_empty(), "answers longer than was said of them:\n{}", found.longer.join("\n"));
}
