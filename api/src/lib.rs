//! The HTTP service: routes, cache, limits. Knows status codes; the mathematics and the rules are in `pipwright-shared`.
use std::future::Future;

/// What the service is told at its start.
#[derive(Clone, Debug, Default)]
pub struct Config {}

/// Why the service could not run.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The listener failed.
    #[error("the listener failed: {0}")]
    Io(#[from] std::io::Error),
}

/// Serves on `listener` until `shutdown` is done, then lets requests in flight finish.
///
/// # Errors
/// [`ServeError`] where the listener fails.
pub async fn serve(
    _listener: tokio::net::TcpListener,
    _config: Config,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> Result<(), ServeError> {
    shutdown.await;
    Ok(())
}
