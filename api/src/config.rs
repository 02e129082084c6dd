//! What the service is told at its start: the environment (`PIPWRIGHT_*`), then a TOML file, then defaults.
use figment::{
    Figment,
    providers::{Env, Format, Serialized, Toml},
};
use ipnet::IpNet;
use serde::{Deserialize, Serialize};
use std::{
    net::{Ipv4Addr, SocketAddr},
    path::{Path, PathBuf},
};

mod secret;
pub use secret::Secret;

/// The fewest characters of a secret that nobody guesses.
const SHORTEST_SEAL: usize = 16;

/// All the settings. A setting `max_age_s` is `PIPWRIGHT_MAX_AGE_S` in the environment and `max_age_s` in the file.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Config {
    /// Where to listen; port 0 takes a free one.
    pub listen: SocketAddr,
    /// Where to give the metrics, and nothing else; then `/metrics` is not there at `listen`. Without it, it is.
    pub metrics_listen: Option<SocketAddr>,
    /// A folder of packs beside the embedded ones.
    pub packs: Option<PathBuf>,

    /// Redis, shared by all copies of the service; none: only the memory of this process. `redis://`, `rediss://` (TLS),
    /// `redis+sentinel://host:port,host:port/name` or `redis+cluster://host:port,host:port`.
    pub redis: Option<Secret>,
    /// A PEM file: the authority whose certificates are believed with `rediss`, in place of the usual ones.
    pub redis_authority: Option<PathBuf>,
    /// A secret that all copies share: what stands in Redis is sealed with it (HMAC-SHA256), so that nobody else who can
    /// write there can answer in the service's place. Without it a checksum tells what was damaged from an answer.
    pub redis_seal: Option<Secret>,
    /// The longest wait for Redis, whatever is wrong with it.
    pub redis_wait_ms: u64,
    /// How long Redis keeps an answer.
    pub redis_keep_s: u64,
    /// Questions cheaper than this are computed sooner than fetched, so they are not sent to Redis. A fetch from a Redis on
    /// the same machine took as long as a price of 103,000 (`tests/load/README.md`); a farther one puts the line higher.
    pub redis_price: u64,
    /// Answers kept in memory, in bytes, with what it takes to find them.
    pub memory_bytes: u64,
    /// How long a pack that was sent is kept after its last use, in memory and in Redis.
    pub pack_keep_s: u64,
    /// Packs that were sent, kept in memory as they were read, in bytes, about.
    pub pack_memory_bytes: u64,

    /// The highest price of a question, in about so many multiplications.
    pub budget: u64,
    /// Questions up to this price are computed where they arrive; dearer ones on threads of their own. That is half a
    /// millisecond, of which the other thread would cost a sixth more (`tests/load/README.md`).
    pub inline_price: u64,
    /// Questions above this price are very dear: they have threads of their own, half as many as `workers`, so that the others
    /// never wait for them. That is about 35 milliseconds.
    pub dear_price: u64,
    /// How many dear questions are computed at a time; 0: one for each processor.
    pub workers: usize,
    /// How many dear questions may wait for their turn; the rest are turned away. Very dear ones have a quarter as many places.
    pub waiting: usize,
    /// How long one dear question may take, from the whole request to the answer, its turn included. Tables and leagues have
    /// as many times as long as they may be times as much work.
    pub deadline_ms: u64,
    /// The largest answer.
    pub answer_bytes: usize,

    /// The largest request body.
    pub body_bytes: usize,
    /// The largest pack that is taken to be kept: the request body of `POST /v1/packs`.
    pub pack_bytes: usize,
    /// How long a request body may take to arrive.
    pub body_wait_ms: u64,
    /// How long a connection may be open without a complete request head.
    pub idle_s: u64,
    /// How long a client may take nothing of an answer. On the whole it must take 16 bytes a millisecond.
    pub write_wait_ms: u64,
    /// Connections held open at a time; more wait to be accepted.
    pub connections: usize,
    /// Connections of one address, trusted proxies aside; more are closed at once.
    pub connections_per_address: usize,
    /// Bytes held for all clients: requests on their way in, answers on their way out. Who needs more is turned away.
    pub held_bytes: usize,
    /// Bytes held for one address, trusted proxies aside.
    pub held_bytes_per_address: usize,
    /// Requests in work at a time; the rest are turned away.
    pub in_flight: usize,

    /// Requests a second for each address without a key; 0: no limit.
    pub per_second: u32,
    /// How many of them may come at once.
    pub burst: u32,
    /// Who may call with a rate of their own.
    pub keys: Vec<ApiKey>,
    /// Proxies whose word about the client's address is taken.
    pub trusted_proxies: Vec<IpNet>,
    /// Web pages that may call from a browser; `*`: all. At `/mcp` only those that are named, and those of this machine.
    pub origins: Vec<String>,
    /// Where the world reaches the service, such as `https://odds.example`: links in the answers of `/mcp` begin with it, and
    /// its pages may call there. None: those links begin with their path.
    pub public_address: Option<String>,
    /// How long a browser or a proxy may keep an answer to a GET without asking again.
    pub max_age_s: u64,

    /// What is logged, as `tracing` filters say it.
    pub log: String,
    /// How it is logged.
    pub log_format: LogFormat,
    /// Questions slower than this are logged by their key.
    pub slow_ms: u64,

    /// A collector of traces, such as `http://localhost:4318`: OTLP over HTTP, `/v1/traces` goes behind it. None: no traces.
    /// What the caller's `traceparent` says is not to be kept is not sent.
    pub otlp: Option<Secret>,

    /// After the order to stop: how long new connections are still taken, while `/readyz` says no.
    pub drain_ms: u64,
    /// After that: how long requests in flight may take.
    pub stop_ms: u64,
}

/// How the log is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LogFormat {
    /// A line for people.
    Text,
    /// A JSON object a line.
    Json,
}

/// A caller with a rate of its own. Only the hash of the key is known here.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ApiKey {
    /// Whose it is, for the metrics.
    pub name: String,
    /// SHA-256 of the key, in hexadecimal; `pipwright-api key new` prints it.
    pub sha256: String,
    /// Requests a second; 0: no limit.
    pub per_second: u32,
    /// How many of them may come at once.
    pub burst: u32,
}

impl Default for Config {
    fn default() -> Self {
        Self {
            listen: SocketAddr::from((Ipv4Addr::LOCALHOST, 8640)),
            metrics_listen: None,
            packs: None,
            redis: None,
            redis_authority: None,
            redis_seal: None,
            redis_wait_ms: 40,
            redis_keep_s: 7 * 24 * 3600,
            redis_price: 100_000,
            memory_bytes: 32 << 20,
            pack_keep_s: 30 * 24 * 3600,
            pack_memory_bytes: 32 << 20,
            budget: 200_000_000,
            inline_price: 300_000,
            dear_price: 20_000_000,
            workers: 0,
            waiting: 64,
            deadline_ms: 2_000,
            answer_bytes: 8 << 20,
            body_bytes: 256 << 10,
            pack_bytes: 4 << 20,
            body_wait_ms: 5_000,
            idle_s: 65,
            write_wait_ms: 10_000,
            connections: 10_000,
            connections_per_address: 512,
            held_bytes: 64 << 20,
            held_bytes_per_address: 16 << 20,
            in_flight: 1_024,
            per_second: 50,
            burst: 200,
            keys: Vec::new(),
            trusted_proxies: Vec::new(),
            origins: vec!["*".to_owned()],
            public_address: None,
            max_age_s: 300,
            log: "info".to_owned(),
            log_format: LogFormat::Text,
            slow_ms: 250,
            otlp: None,
            drain_ms: 500,
            stop_ms: 25_000,
        }
    }
}

/// Why the settings cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum ConfigError {
    /// A value or a name is wrong; figment says which and where.
    #[error("{0}")]
    Read(#[from] Box<figment::Error>),
    /// The file is not there.
    #[error("no configuration file at {0}")]
    NoFile(PathBuf),
    /// A value that cannot be.
    #[error("{0}")]
    Value(String),
}

impl Config {
    /// Reads the environment over `file` over the defaults.
    ///
    /// # Errors
    /// [`ConfigError`]: a setting that does not exist or a value that it does not take.
    pub fn load(file: Option<&Path>) -> Result<Self, ConfigError> {
        let mut figment = Figment::from(Serialized::defaults(Self::default()));
        if let Some(path) = file {
            if !path.is_file() {
                return Err(ConfigError::NoFile(path.to_owned()));
            }
            figment = figment.merge(Toml::file_exact(path));
        }
        // The bot's settings begin alike and are none of ours: only our own names are read.
        let names = Self::names();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let config: Self = figment.merge(Env::prefixed("PIPWRIGHT_").only(&names)).extract().map_err(Box::new)?;
        config.checked()
    }

    /// The settings as a TOML file, secrets masked.
    pub fn shown(&self) -> String {
        toml::to_string(self).map_or_else(|error| format!("# {error}\n"), |text| text + "\n")
    }

    fn names() -> Vec<String> {
        let all = serde_json::to_value(Self::default()).unwrap_or_default();
        all.as_object().map(|members| members.keys().cloned().collect()).unwrap_or_default()
    }

    fn checked(self) -> Result<Self, ConfigError> {
        let wrong = |what: String| Err(ConfigError::Value(what));
        if let Some(key) = self.keys.iter().find(|key| crate::limits::keys::hash(&key.sha256).is_none()) {
            return wrong(format!("keys: the sha256 of \"{}\" is not 64 hexadecimal digits", key.name));
        }
        if self.redis_wait_ms == 0 || self.redis_wait_ms > 50 {
            return wrong("redis_wait_ms: 1 to 50 milliseconds".to_owned());
        }
        if self.redis_seal.as_ref().is_some_and(|seal| seal.plain().len() < SHORTEST_SEAL) {
            return wrong(format!("redis_seal: at least {SHORTEST_SEAL} characters"));
        }
        let is_web = |address: &String| address.starts_with("http://") || address.starts_with("https://");
        if !self.public_address.iter().all(is_web) {
            return wrong("public_address: an address that begins with http:// or https://".to_owned());
        }
        for (name, value) in [
            ("answer_bytes", self.answer_bytes),
            ("body_bytes", self.body_bytes),
            ("pack_bytes", self.pack_bytes),
            ("connections", self.connections),
            ("connections_per_address", self.connections_per_address),
            ("in_flight", self.in_flight),
        ] {
            if value == 0 {
                return wrong(format!("{name}: at least 1"));
            }
        }
        let largest = self.answer_bytes.max(self.body_bytes).max(self.pack_bytes);
        for (name, value) in [("held_bytes", self.held_bytes), ("held_bytes_per_address", self.held_bytes_per_address)]
        {
            if value < largest {
                return wrong(format!("{name}: at least {largest}, or the largest answer or body has no room"));
            }
        }
        Ok(self)
    }
}
