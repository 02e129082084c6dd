//! A calculation for tests of the service: adds numbers, as slowly and as dearly as it is told to.
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_api::{App, ask, openapi::Refused, problem::Problem, routes::calculation};
use pipwright_shared::{
    odds::{
        cancellation::{CancellationToken, Cancelled},
        price::Work,
    },
    rules::PackCatalog,
    wire::{
        mistake::{Mistake, Mistakes, pointer},
        question::{PreparedQuery, Question},
    },
};
use serde::{Deserialize, Serialize};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};
use utoipa::ToSchema;
use utoipa_axum::{router::OpenApiRouter, routes};

/// The request.
#[derive(Clone, Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Sum {
    /// To be added up; each below 1,000.
    pub numbers: Vec<u32>,
    /// And this, if given.
    pub more: Option<More>,
    /// How often.
    #[serde(default = "one")]
    pub times: u32,
    /// What it costs.
    #[serde(default = "one_unit")]
    pub price: u64,
    /// How long it takes.
    #[serde(default)]
    pub ms: u64,
    /// Waits until the [`Gate`] is opened.
    #[serde(default)]
    pub held: bool,
    /// Fails in the middle.
    #[serde(default)]
    pub panics: bool,
    /// `heron`, or nothing.
    pub unit: Option<String>,
}

/// A field with fields of its own.
#[derive(Clone, Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct More {
    /// To be added once.
    pub plus: u32,
}

static OPEN: AtomicBool = AtomicBool::new(true);

/// What holds the questions that are to be held, for one test at a time.
pub struct Gate;

impl Gate {
    /// From now on they wait.
    #[must_use]
    pub fn closed() -> Self {
        OPEN.store(false, Ordering::SeqCst);
        Self
    }

    /// They wait no longer.
    pub fn open(self) {}
}

impl Drop for Gate {
    fn drop(&mut self) {
        OPEN.store(true, Ordering::SeqCst);
    }
}

/// The answer.
#[derive(Debug, Serialize, ToSchema)]
pub struct Total {
    /// The sum, as often as asked.
    pub sum: u64,
}

fn one() -> u32 {
    1
}

fn one_unit() -> u64 {
    1
}

impl Question for Sum {
    const PATH: &'static str = "sum";
    type Prepared = Self;

    fn resolve(self, _books: &PackCatalog) -> Result<Self, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        for (index, _) in self.numbers.iter().enumerate().filter(|(_, number)| **number >= 1_000) {
            mistakes.push(Mistake::value(pointer("/numbers", index), "Below 1000, please."));
        }
        if self.unit.as_deref().is_some_and(|unit| unit != "heron") {
            mistakes.push(Mistake::name("/unit", "No unit of that name.", vec!["heron".to_owned()]));
        }
        mistakes.or(Some(self))
    }
}

impl PreparedQuery for Sum {
    type Answer = Total;

    fn canonical(&self) -> impl Serialize {
        serde_json::to_value(self).expect("plain fields")
    }

    fn price(&self) -> Work {
        Work::new(self.price)
    }

    fn bytes(&self) -> Work {
        Work::new(40)
    }

    fn answer(&self, token: &CancellationToken) -> Result<Total, Cancelled> {
        assert!(!self.panics, "told to");
        while self.held && !OPEN.load(Ordering::SeqCst) {
            token.check()?;
            std::thread::sleep(Duration::from_millis(1));
        }
        let end = Instant::now() + Duration::from_millis(self.ms);
        while Instant::now() < end {
            token.check()?;
            std::hint::spin_loop();
        }
        let numbers: u64 = self.numbers.iter().map(|number| u64::from(*number)).sum();
        let once = numbers + self.more.as_ref().map_or(0, |more| u64::from(more.plus));
        Ok(Total { sum: once * u64::from(self.times) })
    }
}

/// Adds up
#[utoipa::path(post, path = "/v1/sum", request_body = Sum, responses((status = 200, body = Total), Refused))]
async fn sum(state: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<Sum>(state, request).await
}

/// Panics before any calculation
#[utoipa::path(get, path = "/v1/panic", responses((status = 200, body = String)))]
async fn panic() {
    panic!("told to");
}

/// The endpoints that only tests have.
pub fn endpoints() -> OpenApiRouter<App> {
    calculation::<Sum>(routes!(sum)).routes(routes!(panic))
}
