//! The odds service inside the bot, for whoever names no other: the same settings, a free loopback port.
use pipwright_api::config::ConfigError;
use pipwright_api::{App, Config, ServeError, routes, serve};
use std::io;
use std::path::Path;
use tokio::net::TcpListener;

/// A service that runs inside this process.
#[derive(Debug)]
pub struct Embedded {
    /// Its address.
    pub base: String,
    /// What was wrong with the pack files that it read, each with its place.
    pub faults: Vec<String>,
}

/// Why the service inside did not start.
#[derive(Debug, thiserror::Error)]
pub enum EmbeddedError {
    /// A setting of the service cannot be used.
    #[error("{0}")]
    Config(#[from] ConfigError),
    /// The service could not start with its settings.
    #[error("{0}")]
    Start(#[from] ServeError),
    /// No loopback port was free.
    #[error("{0}")]
    Listen(#[from] io::Error),
}

/// Starts the service inside with the settings that it would have by itself: the environment over `file` over the
/// defaults. Only where it listens is its own, and it does not limit the rate of callers: the places have a pace of
/// their own, and all their people come from one address here.
///
/// # Errors
/// [`EmbeddedError`] where a setting cannot be used or no port is free.
pub async fn start(file: Option<&Path>) -> Result<Embedded, EmbeddedError> {
    let config = Config { per_second: 0, ..Config::load(file)? };
    let listener = TcpListener::bind(("127.0.0.1", 0)).await?;
    let base = format!("http://{}", listener.local_addr()?);
    let app = App::new(config).map_err(ServeError::from)?;
    let faults = app.pack_store.load().faults.iter().map(ToString::to_string).collect();
    tokio::spawn(async move {
        let router = routes::router(app.clone());
        if let Err(error) = serve::run(listener, app, router, std::future::pending()).await {
            tracing::error!("the service inside has stopped: {error}");
        }
    });
    Ok(Embedded { base, faults })
}
