//! The program of the bot: chooses its places from the configuration.
use clap::{Parser, Subcommand};
use pipwright_bot::client::{Api, Trouble};
use pipwright_bot::embedded;
use pipwright_bot::hear::Message;
use pipwright_bot::places::{discord, room, terminal};
use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;

/// Exact odds and checked list points for tabletop miniature battles, in a chat.
#[derive(Parser)]
#[command(name = "pipwright-bot", version)]
struct Arguments {
    /// Another odds service; without it one is started inside, on a loopback port
    #[arg(long, env = "PIPWRIGHT_API", value_name = "URL", global = true)]
    api: Option<String>,
    /// A TOML file of settings for the service that is started inside
    #[arg(long, env = "PIPWRIGHT_CONFIG", value_name = "FILE", global = true)]
    config: Option<PathBuf>,
    /// The pack to play by
    #[arg(long, env = "PIPWRIGHT_PACK", value_name = "PACK", global = true)]
    pack: Option<String>,
    #[command(flatten)]
    room: room::Door,
    #[command(flatten)]
    discord: discord::Options,
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Subcommand)]
enum What {
    /// Prints one answer: 0 where there is one, 2 where there is none
    Ask {
        /// The message, such as "/check 2d6 7+"
        #[arg(required = true)]
        message: Vec<String>,
        /// A file that goes with it, such as a list
        #[arg(long, value_name = "FILE")]
        file: Option<PathBuf>,
    },
    /// Ranks all units of the pack by what they give for their points, and says which prices are off
    League {
        /// Turns of a game; the pack's own number without it
        #[arg(long, value_name = "NUMBER")]
        turns: Option<u32>,
    },
}

/// How long an answer may take.
const API_TIMEOUT: Duration = Duration::from_secs(20);

fn main() -> ExitCode {
    tracing_subscriber::fmt()
        // How long a question took is of no use to who asked it.
        .with_env_filter(
            tracing_subscriber::EnvFilter::try_from_default_env()
                .unwrap_or_else(|_| "warn,pipwright_api::ask=error".into()),
        )
        .with_ansi(io::stderr().is_terminal())
        .with_writer(io::stderr)
        .init();
    match run(Arguments::parse()) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(2),
        Err(error) => {
            tracing::error!("{error}");
            ExitCode::from(2)
        }
    }
}

fn run(options: Arguments) -> io::Result<bool> {
    let runtime = tokio::runtime::Runtime::new()?;
    let links = options.api.clone();
    let base = match options.api {
        Some(base) => base,
        None => {
            let inside = runtime.block_on(embedded::start(options.config.as_deref())).map_err(io::Error::other)?;
            for fault in &inside.faults {
                writeln!(io::stderr(), "This pack file can't be used: {fault}")?;
            }
            inside.base
        }
    };
    let api =
        Api::new(&base, API_TIMEOUT).map_err(|_| io::Error::other(format!("{base} is no address of a service")))?;
    if let Some(pack) = options.pack.as_deref()
        && let Err(trouble @ Trouble::Refused(_)) = runtime.block_on(api.index(Some(pack)))
    {
        let names = runtime.block_on(api.packs()).map(|packs| packs.packs).unwrap_or_default();
        let names: Vec<&str> = names.iter().map(|pack| pack.id.as_str()).collect();
        return Err(io::Error::other(format!("{trouble} These packs are here: {}.", names.join(", "))));
    }
    match options.what {
        Some(What::Ask { message, file }) => {
            let attached = file.map(std::fs::read_to_string).transpose()?;
            let text = message.join(" ");
            let message =
                Message { text: &text, pack: options.pack.as_deref(), before: None, attached: attached.as_deref() };
            runtime.block_on(terminal::once(&api, message, &mut io::stdout(), &mut io::stderr()))
        }
        Some(What::League { turns }) => {
            let (mut out, mut complaints) = (io::stdout(), io::stderr());
            let league = terminal::league::league(&api, options.pack.as_deref(), turns, (&mut out, &mut complaints));
            runtime.block_on(league)
        }
        None => {
            if options.discord.discord_token.is_some() {
                let platform = platform(&api, options.discord, options.pack.clone(), links.clone());
                if options.room.room.is_none() && !io::stdin().is_terminal() {
                    return runtime.block_on(platform).map(|()| true);
                }
                runtime.spawn(async move {
                    if let Err(error) = platform.await {
                        tracing::error!("Discord: {error}");
                    }
                });
            }
            sit(&runtime, &api, options.pack, &options.room, links).map(|()| true)
        }
    }
}

/// The bot on Discord, until it is to stop.
fn platform(
    api: &Api,
    options: discord::Options,
    pack: Option<String>,
    links: Option<String>,
) -> impl Future<Output = io::Result<()>> + Send + use<> {
    let token = options.discord_token.clone().unwrap_or_default();
    let settings = discord::Settings { pack, links, ..discord::Settings::new(&token) };
    discord::serve(api.clone(), options, settings, stopped())
}

/// The prompt, with the club room beside it. Where nobody is at a terminal, a room that was asked for stays open alone.
fn sit(
    runtime: &tokio::runtime::Runtime,
    api: &Api,
    pack: Option<String>,
    door: &room::Door,
    links: Option<String>,
) -> io::Result<()> {
    let listener = runtime.block_on(door.listen())?;
    let alone = door.room.is_some() && !io::stdin().is_terminal();
    let Some(listener) = listener else {
        writeln!(io::stdout(), "The club room stays closed: {} is in use.", room::door::USUAL)?;
        return terminal::run(runtime.handle(), api, pack);
    };
    let address = listener.local_addr()?;
    let phrase = door.phrase().map(String::from);
    let settings = room::Settings { phrase, pack: pack.clone(), links, ..room::Settings::default() };
    let room = room::Room::new(api.clone(), settings);
    if alone {
        writeln!(io::stderr(), "The club room is at http://{address}")?;
        return runtime.block_on(room::serve(listener, room, stopped()));
    }
    runtime.spawn(room::serve(listener, room, std::future::pending()));
    writeln!(io::stdout(), "The club room is at http://{address} (--help says how to open it to others).")?;
    terminal::run(runtime.handle(), api, pack)
}

/// The wish to stop, from the keyboard or from whoever started the program.
async fn stopped() {
    let interrupted = async {
        // Without the signal the program still ends, only less politely.
        let _ = tokio::signal::ctrl_c().await;
    };
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        match signal(SignalKind::terminate()) {
            Ok(mut ended) => tokio::select! { () = interrupted => {}, _ = ended.recv() => {} },
            Err(_) => interrupted.await,
        }
    }
    #[cfg(not(unix))]
    interrupted.await;
}
