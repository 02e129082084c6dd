//! The program of the service: configuration, then serving. No logic.
use clap::{Parser, Subcommand};
use pipwright_api::{
    App, Config, ServeError,
    config::ConfigError,
    mcp, pack_store, routes, serve, telemetry,
    tools::{book, check, key, new_pack},
};
use std::{io::Write, path::PathBuf, process::ExitCode};
use tokio::{
    net::TcpListener,
    signal::unix::{SignalKind, signal},
};

/// Exact odds and checked list points over HTTP.
///
/// Settings come from the environment (PIPWRIGHT_LISTEN, PIPWRIGHT_REDIS, …), then from the file, then from defaults.
#[derive(Parser)]
#[command(version)]
struct Arguments {
    /// A TOML file of settings.
    #[arg(long, env = "PIPWRIGHT_CONFIG", value_name = "FILE")]
    config: Option<PathBuf>,
    /// Print the settings as they would be used, secrets masked, and exit.
    #[arg(long)]
    print_config: bool,
    #[command(subcommand)]
    tool: Option<Tool>,
}

/// What else the program does, in place of serving.
#[derive(Subcommand)]
enum Tool {
    /// Check pack files: every mistake with its place; exit status 1 where there is one.
    Check(check::Arguments),
    /// Begin a pack of one's own: a small one with comments, in an empty folder.
    NewPack(new_pack::Arguments),
    /// Unit books as spreadsheets: one to fill in, one with the units of a pack, and back.
    Book(book::Arguments),
    /// Keys for callers with a rate of their own.
    Key(key::Arguments),
    /// Answer an assistant on standard input and output: the Model Context Protocol.
    Mcp,
}

#[derive(Debug, thiserror::Error)]
enum Failure {
    #[error("{0}")]
    Config(#[from] ConfigError),
    #[error("{0}")]
    Log(#[from] telemetry::LogError),
    #[error("{0}")]
    Serve(#[from] ServeError),
    #[error("{0}")]
    Io(#[from] std::io::Error),
}

fn main() -> ExitCode {
    match run(&Arguments::parse()) {
        Ok(code) => code,
        Err(failure) => {
            let _ = writeln!(std::io::stderr(), "pipwright-api: {failure}");
            ExitCode::FAILURE
        }
    }
}

fn run(arguments: &Arguments) -> Result<ExitCode, Failure> {
    match &arguments.tool {
        Some(Tool::Check(arguments)) => Ok(check::run(arguments, &mut std::io::stdout().lock())?.into()),
        Some(Tool::NewPack(arguments)) => {
            new_pack::run(arguments, &mut std::io::stdout().lock())?;
            Ok(ExitCode::SUCCESS)
        }
        Some(Tool::Book(arguments)) => Ok(book::run(arguments, &mut std::io::stdout().lock())?.into()),
        Some(Tool::Key(arguments)) => {
            key::run(arguments, &mut std::io::stdout().lock())?;
            Ok(ExitCode::SUCCESS)
        }
        Some(Tool::Mcp) => converse(arguments).map(|()| ExitCode::SUCCESS),
        None => start(arguments).map(|()| ExitCode::SUCCESS),
    }
}

fn start(arguments: &Arguments) -> Result<(), Failure> {
    let config = Config::load(arguments.config.as_deref())?;
    if arguments.print_config {
        return Ok(std::io::stdout().write_all(config.shown().as_bytes())?);
    }
    telemetry::log(&config)?;
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(listen(config))
}

/// Until the input ends or the program is told to stop.
fn converse(arguments: &Arguments) -> Result<(), Failure> {
    let config = Config::load(arguments.config.as_deref())?;
    telemetry::log(&config)?;
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    let conversation = runtime.block_on(async {
        let app = App::new(config).map_err(ServeError::from)?;
        tokio::spawn(pack_store::watch(app.clone()));
        let (mut term, mut interrupt) = (signal(SignalKind::terminate())?, signal(SignalKind::interrupt())?);
        tokio::select! {
            ended = mcp::stdio::serve(routes::door(&app)) => Ok(ended?),
            _ = term.recv() => Ok(()),
            _ = interrupt.recv() => Ok(()),
        }
    });
    // Where the input is no pipe, a thread may still wait for its next line.
    runtime.shutdown_background();
    conversation
}

async fn listen(config: Config) -> Result<(), Failure> {
    let listener = TcpListener::bind(config.listen).await?;
    // Whoever asked for port 0 reads here which one it is.
    writeln!(std::io::stdout(), "listening on http://{}", listener.local_addr()?)?;
    let metrics = match config.metrics_listen {
        Some(address) => Some(TcpListener::bind(address).await?),
        None => None,
    };
    let app = App::new(config).map_err(ServeError::from)?;
    if let Some(metrics) = metrics {
        tracing::info!(address = %metrics.local_addr()?, "the metrics have a listener of their own");
        tokio::spawn(serve::metrics(metrics, app.clone()));
    }
    let mut hangup = signal(SignalKind::hangup())?;
    let reread = app.clone();
    tokio::spawn(async move {
        while hangup.recv().await.is_some() {
            pack_store::reread(&reread).await;
        }
    });
    let (mut term, mut interrupt) = (signal(SignalKind::terminate())?, signal(SignalKind::interrupt())?);
    let stop = async move {
        tokio::select! { _ = term.recv() => {}, _ = interrupt.recv() => {} }
    };
    Ok(serve::run(listener, app.clone(), routes::router(app), stop).await?)
}
