//! The HTTP service: routes, cache, limits. Knows status codes; the mathematics and the rules are in `pipwright-shared`.
//!
//! | room | what it does |
//! | --- | --- |
//! | [`routes`] | one file an endpoint: its documentation, its example, its place in the router |
//! | [`ask`] | the one way of every calculation, from bytes to bytes |
//! | [`cache`] | keys, memory, Redis, one computation at a time for each key |
//! | [`kept`] | packs that were sent, by their content |
//! | [`limits`] | rates, keys, addresses, how much may be in work |
//! | [`mcp`] | the door for assistants: the endpoints as tools of the Model Context Protocol |
//! | [`middleware`] | what holds for every request: ids, CORS, panics, metrics |
//! | [`problem`] | everything that goes wrong, and its status |
//! | [`tools`] | what the program does besides: checks the files of packs, begins a new one |
//! | [`mod@serve`] | connections, and stopping without cutting any off |
use std::future::Future;

pub mod ask;
pub mod cache;
pub mod config;
pub mod kept;
pub mod limits;
pub mod mcp;
pub mod middleware;
pub mod openapi;
pub mod pack_store;
pub mod problem;
pub mod routes;
pub mod serve;
pub mod state;
pub mod telemetry;
pub mod tools;

pub use config::Config;
pub use state::{App, StartError};

/// Why the service could not run.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The listener failed.
    #[error("the listener failed: {0}")]
    Io(#[from] std::io::Error),
    /// A setting cannot be used.
    #[error("{0}")]
    Start(#[from] StartError),
}

/// Serves on `listener` until `shutdown` is done, then lets requests in flight finish.
///
/// # Errors
/// [`ServeError`] where a setting cannot be used or the listener fails.
pub async fn serve(
    listener: tokio::net::TcpListener,
    config: Config,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> Result<(), ServeError> {
    let metrics = match config.metrics_listen {
        Some(address) => Some(tokio::net::TcpListener::bind(address).await?),
        None => None,
    };
    let app = App::new(config)?;
    if let Some(metrics) = metrics {
        tokio::spawn(serve::metrics(metrics, app.clone()));
    }
    let router = routes::router(app.clone());
    Ok(serve::run(listener, app, router, shutdown).await?)
}
