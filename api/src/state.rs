//! What every request can reach. Cheap to clone; nothing in it is a request's own.
use crate::{
    ask::{
        pool::Pool,
        progress::Progress,
        work::{Done, Failure},
    },
    cache::{Tier, Tiers, flight::Flights, memory::Memory, redis, sealed::Seal},
    config::Config,
    kept::Kept,
    limits::Limits,
    pack_store::PackStore,
    telemetry::{
        metrics::Metrics,
        traces::{Traces, TracesError},
    },
};
use arc_swap::ArcSwap;
use std::{
    ops::Deref,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};
use tokio::sync::Mutex;

/// The service's state, shared by all requests.
#[derive(Clone)]
pub struct App(Arc<Inside>);

/// What is behind [`App`].
pub struct Inside {
    /// The settings.
    pub config: Config,
    /// The packs as they were last read.
    pub pack_store: ArcSwap<PackStore>,
    /// Held while they are read again, so that each reading has a number of its own.
    pub reading: Mutex<()>,
    /// The nearest tier, also in `tiers`.
    pub memory: Memory,
    /// All tiers.
    pub tiers: Tiers,
    /// The far tier, also in `tiers`.
    pub far: Option<redis::Redis>,
    /// Packs that were sent, kept by their content.
    pub kept: Kept,
    /// Computations going on.
    pub flights: Flights<Result<Done, Failure>>,
    /// Threads for dear questions.
    pub pool: Pool,
    /// How far long computations have come.
    pub progress: Progress,
    /// Who may ask how often.
    pub limits: Limits,
    /// The numbers for Prometheus.
    pub metrics: Arc<Metrics>,
    /// The spans for a collector.
    pub traces: Traces,
    draining: AtomicBool,
}

/// Why the service cannot start.
#[derive(Debug, thiserror::Error)]
pub enum StartError {
    /// The address of Redis is none. It is not shown: there may be a password in it.
    #[error("redis: the address is not one that can be used: {0}")]
    Redis(String),
    /// The file of the authority for Redis cannot be read.
    #[error("redis_authority: {0}")]
    Authority(#[from] std::io::Error),
    /// The metrics could not be set up.
    #[error("metrics: {0}")]
    Metrics(#[from] metrics_exporter_prometheus::BuildError),
    /// The traces could not be set up.
    #[error("otlp: {0}")]
    Traces(#[from] TracesError),
}

impl App {
    /// The state that the settings ask for. Needs an async runtime, for the far tier.
    ///
    /// # Errors
    /// [`StartError`]: a setting that cannot be used.
    pub fn new(config: Config) -> Result<Self, StartError> {
        let metrics = Arc::new(Metrics::new()?);
        let memory = Memory::new(config.memory_bytes);
        let mut far = None;
        let mut tiers: Vec<Arc<dyn Tier>> = vec![Arc::new(memory.clone())];
        if let Some(address) = &config.redis {
            let settings = redis::Settings {
                address: address.clone(),
                authority: config.redis_authority.as_ref().map(std::fs::read).transpose()?,
                wait: Duration::from_millis(config.redis_wait_ms),
                keep: Duration::from_secs(config.redis_keep_s),
                price: config.redis_price,
                seal: Seal::new(config.redis_seal.as_ref()),
            };
            let redis = redis::Redis::new(&settings, Arc::clone(&metrics));
            let redis = redis.map_err(|error| StartError::Redis(error.category().to_owned()))?;
            tiers.push(Arc::new(redis.clone()));
            far = Some(redis);
        }
        Ok(Self(Arc::new(Inside {
            pack_store: ArcSwap::from_pointee(PackStore::new(config.packs.as_deref())),
            reading: Mutex::default(),
            memory,
            tiers: Tiers::new(tiers),
            far,
            kept: Kept::new(&config),
            flights: Flights::default(),
            pool: Pool::new(&config),
            progress: Progress::default(),
            limits: Limits::new(&config, Arc::clone(&metrics)),
            metrics,
            traces: Traces::new(config.otlp.as_ref())?,
            draining: AtomicBool::new(false),
            config,
        })))
    }

    /// From now on other copies should be asked instead.
    pub fn drain(&self) {
        self.draining.store(true, Ordering::Relaxed);
    }

    /// Whether it is on its way out.
    pub fn is_draining(&self) -> bool {
        self.draining.load(Ordering::Relaxed)
    }
}

impl Deref for App {
    type Target = Inside;

    fn deref(&self) -> &Inside {
        &self.0
    }
}
