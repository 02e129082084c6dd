//! The numbers that Prometheus fetches. Each service has its own set: nothing here is global.
use metrics::{Counter, Gauge, Histogram, Key, Label, Level, Metadata, Recorder, SharedString, Unit};
use metrics_exporter_prometheus::{BuildError, Matcher, PrometheusBuilder, PrometheusHandle, PrometheusRecorder};
use std::{sync::Arc, time::Duration};

const SECONDS: &[f64] = &[0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0];
const PRICES: &[f64] = &[1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];
const METADATA: Metadata<'static> = Metadata::new("pipwright_api", Level::INFO, None);

macro_rules! names {
    ($($kind:ident $const:ident $name:literal $unit:expr, $what:literal;)+) => {
        $(const $const: &str = $name;)+

        /// The names of all of them, for what reads them outside.
        pub const NAMES: &[&str] = &[$($name),+];

        fn describe(recorder: &PrometheusRecorder) {
            $(names!(@describe recorder $kind $const $unit, $what);)+
        }
    };
    (@describe $recorder:ident counter $const:ident $unit:expr, $what:literal) => {
        $recorder.describe_counter($const.into(), $unit, $what.into());
    };
    (@describe $recorder:ident gauge $const:ident $unit:expr, $what:literal) => {
        $recorder.describe_gauge($const.into(), $unit, $what.into());
    };
    (@describe $recorder:ident histogram $const:ident $unit:expr, $what:literal) => {
        $recorder.describe_histogram($const.into(), $unit, $what.into());
    };
}

names! {
    counter REQUESTS "http_requests_total" None, "Responses, by route, method and status.";
    histogram DURATION "http_request_duration_seconds" Some(Unit::Seconds), "From the request head to the response head, by route.";
    gauge IN_FLIGHT "http_requests_in_flight" None, "Requests in work.";
    gauge CONNECTIONS "http_connections_open" None, "Connections held open.";
    counter HITS "pipwright_cache_hits_total" None, "Answers found, by tier.";
    counter MISSES "pipwright_cache_misses_total" None, "Answers found in no tier.";
    gauge MEMORY "pipwright_cache_memory_bytes" Some(Unit::Bytes), "Bytes that the memory tier holds, about.";
    gauge HELD "pipwright_held_bytes" Some(Unit::Bytes), "Bytes of requests on their way in and of answers on their way out.";
    counter COMPUTED "pipwright_computations_total" None, "Answers computed, by question.";
    histogram ENGINE "pipwright_engine_seconds" Some(Unit::Seconds), "Time of one computation, by question.";
    histogram PRICE "pipwright_question_price" None, "Prices of the questions computed.";
    counter STOPPED "pipwright_computations_stopped_total" None, "Computations stopped before they were done.";
    counter SHED "pipwright_shed_total" None, "Requests turned away at once, by reason.";
    counter LIMITED "pipwright_rate_limited_total" None, "Requests above their rate, by who is counted: address or key.";
    counter REDIS_FAILED "pipwright_redis_failures_total" None, "Calls of Redis that brought nothing usable, by what was asked.";
    gauge BREAKER "pipwright_redis_breaker_open" None, "1 while Redis is not asked because it did not answer.";
    counter PANICS "pipwright_panics_total" None, "Requests that ended in a fault of the service.";
    gauge CATALOG "pipwright_books_generation" None, "How many times the packs were read.";
}

/// All the metrics of one service.
pub struct Metrics {
    recorder: PrometheusRecorder,
    handle: PrometheusHandle,
    in_flight: Gauge,
    connections: Gauge,
    memory: Gauge,
    held: Gauge,
    misses: Counter,
    price: Histogram,
    stopped: Counter,
    breaker: Gauge,
    panics: Counter,
    catalog: Gauge,
}

impl Metrics {
    /// A new set, all at zero.
    ///
    /// # Errors
    /// Never, in fact: the buckets above are not empty.
    pub fn new() -> Result<Self, BuildError> {
        let recorder = PrometheusBuilder::new()
            .set_buckets_for_metric(Matcher::Suffix("seconds".to_owned()), SECONDS)?
            .set_buckets_for_metric(Matcher::Suffix("price".to_owned()), PRICES)?
            .build_recorder();
        describe(&recorder);
        let gauge = |name| recorder.register_gauge(&Key::from_static_name(name), &METADATA);
        let counter = |name| recorder.register_counter(&Key::from_static_name(name), &METADATA);
        let price = recorder.register_histogram(&Key::from_static_name(PRICE), &METADATA);
        Ok(Self {
            handle: recorder.handle(),
            in_flight: gauge(IN_FLIGHT),
            connections: gauge(CONNECTIONS),
            memory: gauge(MEMORY),
            held: gauge(HELD),
            misses: counter(MISSES),
            price,
            stopped: counter(STOPPED),
            breaker: gauge(BREAKER),
            panics: counter(PANICS),
            catalog: gauge(CATALOG),
            recorder,
        })
    }

    /// All of them in Prometheus's text format.
    pub fn text(&self, memory_bytes: u64, held_bytes: usize) -> String {
        self.memory.set(memory_bytes as f64);
        self.held.set(held_bytes as f64);
        self.handle.render()
    }

    /// Puts the histograms in order, so that what waits for the next fetch stays small.
    pub fn tidy(&self) {
        self.handle.run_upkeep();
    }

    /// A response went out.
    pub fn responded(&self, route: &Arc<str>, method: &'static str, status: u16, took: Duration) {
        let route = || Label::new("route", SharedString::from_shared(Arc::clone(route)));
        let labels = vec![route(), Label::new("method", method), Label::new("status", status_text(status))];
        self.counter(REQUESTS, labels).increment(1);
        self.histogram(DURATION, vec![route()]).record(took);
    }

    /// A request came, and is in work until the guard goes.
    pub fn in_flight(&self) -> Up {
        Up::new(&self.in_flight)
    }

    /// A connection is open until the guard goes.
    pub fn connected(&self) -> Up {
        Up::new(&self.connections)
    }

    /// An answer was found.
    pub fn hit(&self, tier: &'static str) {
        self.counter(HITS, vec![Label::new("tier", tier)]).increment(1);
    }

    /// An answer was not found.
    pub fn missed(&self) {
        self.misses.increment(1);
    }

    /// An answer was computed.
    pub fn computed(&self, question: &'static str, price: u64, took: Duration) {
        self.counter(COMPUTED, vec![Label::new("question", question)]).increment(1);
        self.histogram(ENGINE, vec![Label::new("question", question)]).record(took);
        self.price.record(price as f64);
    }

    /// A computation was stopped.
    pub fn stopped(&self) {
        self.stopped.increment(1);
    }

    /// A request was turned away.
    pub fn shed(&self, reason: &'static str) {
        self.counter(SHED, vec![Label::new("reason", reason)]).increment(1);
    }

    /// A request was above its rate.
    pub fn limited(&self, by: &'static str) {
        self.counter(LIMITED, vec![Label::new("by", by)]).increment(1);
    }

    /// Redis brought nothing usable.
    pub fn redis_failed(&self, what: &'static str) {
        self.counter(REDIS_FAILED, vec![Label::new("call", what)]).increment(1);
    }

    /// The breaker opened or closed.
    pub fn breaker(&self, open: bool) {
        self.breaker.set(f64::from(u8::from(open)));
    }

    /// A request ended in a fault of ours.
    pub fn panicked(&self) {
        self.panics.increment(1);
    }

    /// The packs were read.
    pub fn catalog(&self, generation: u64) {
        self.catalog.set(generation as f64);
    }

    fn counter(&self, name: &'static str, labels: Vec<Label>) -> Counter {
        self.recorder.register_counter(&Key::from_parts(name, labels), &METADATA)
    }

    fn histogram(&self, name: &'static str, labels: Vec<Label>) -> Histogram {
        self.recorder.register_histogram(&Key::from_parts(name, labels), &METADATA)
    }
}

/// Counts one up as long as it lives.
pub struct Up(Gauge);

impl Up {
    fn new(gauge: &Gauge) -> Self {
        gauge.increment(1.0);
        Self(gauge.clone())
    }
}

impl Drop for Up {
    fn drop(&mut self) {
        self.0.decrement(1.0);
    }
}

/// The statuses that a healthy service gives, without an allocation.
fn status_text(status: u16) -> SharedString {
    match status {
        200 => "200".into(),
        304 => "304".into(),
        other => other.to_string().into(),
    }
}
