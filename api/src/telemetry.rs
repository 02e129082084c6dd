//! What is seen from outside: the log here, metrics and traces in their own files. None ever holds a key or an address.
use crate::config::{Config, LogFormat};
use tracing_subscriber::{EnvFilter, filter::LevelFilter, fmt, layer::SubscriberExt, util::SubscriberInitExt};

pub mod metrics;
pub mod traces;

/// Why the log could not be set up.
#[derive(Debug, thiserror::Error)]
pub enum LogError {
    /// The filter says something that it cannot mean.
    #[error("log: {0}")]
    Filter(#[from] tracing_subscriber::filter::ParseError),
    /// Somebody else set one up before.
    #[error("log: {0}")]
    Taken(#[from] tracing_subscriber::util::TryInitError),
}

/// Sets up the log of the program: lines on stderr.
///
/// # Errors
/// [`LogError`]: a filter that is none, or a second call.
pub fn log(config: &Config) -> Result<(), LogError> {
    let mut filter = EnvFilter::try_new(&config.log)?;
    // The library of the door for assistants logs every message.
    if !config.log.contains("rmcp") {
        filter = filter.add_directive(format!("rmcp={}", LevelFilter::ERROR).parse()?);
    }
    let registry = tracing_subscriber::registry().with(filter);
    let lines = fmt::layer().with_writer(std::io::stderr);
    match config.log_format {
        LogFormat::Text => registry.with(lines.with_ansi(false)).try_init()?,
        LogFormat::Json => registry.with(lines.json().flatten_event(true).with_current_span(true)).try_init()?,
    }
    Ok(())
}
