//! How the place is set up: by the command line and the environment, or by whoever tests it.
use super::chats::Limits;
use super::files::HOSTS;
use clap::Args;
use std::net::SocketAddr;
use std::ops::Range;
use std::str::FromStr;

/// What the command line and the environment say.
#[derive(Args, Clone, Debug, Default)]
#[group(skip)]
pub struct Options {
    /// The bot's token; without it the bot is not on the platform
    #[arg(long, env = "PIPWRIGHT_DISCORD_TOKEN", value_name = "TOKEN", hide_env_values = true, global = true)]
    pub discord_token: Option<String>,
    /// The application's public key: questions then come to the signed endpoint in place of the gateway
    #[arg(long, env = "PIPWRIGHT_DISCORD_PUBLIC_KEY", value_name = "KEY", global = true)]
    pub discord_public_key: Option<String>,
    /// Where the signed endpoint and the health checks listen
    #[arg(
        long,
        env = "PIPWRIGHT_DISCORD_LISTEN",
        value_name = "ADDRESS",
        default_value = "127.0.0.1:8642",
        global = true
    )]
    pub discord_listen: Option<SocketAddr>,
    /// The shards of this process, such as 4 for all of four, or 0-3/8 for the first four of eight
    #[arg(long, env = "PIPWRIGHT_DISCORD_SHARDS", value_name = "SHARDS", global = true)]
    pub discord_shards: Option<Shards>,
    /// Servers that get the commands, by their numbers; without it they are registered everywhere
    #[arg(long, env = "PIPWRIGHT_DISCORD_SERVERS", value_name = "NUMBERS", value_delimiter = ',', global = true)]
    pub discord_servers: Vec<u64>,
    /// Another address for the platform's HTTP interface: a gate that keeps its rates for several processes together
    #[arg(long, env = "PIPWRIGHT_DISCORD_PROXY", value_name = "URL", global = true)]
    pub discord_proxy: Option<String>,
    /// Where the packs of chats are remembered, such as redis://127.0.0.1; without it, until the bot stops
    #[arg(long, env = "PIPWRIGHT_REDIS", value_name = "URL", hide_env_values = true, global = true)]
    pub discord_redis: Option<redis::ConnectionInfo>,
}

/// The shards that one process runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shards {
    /// Those of this process.
    pub mine: Range<u32>,
    /// Those of all processes.
    pub all: u32,
}

/// Why a text names no shards.
#[derive(Clone, Copy, Debug, thiserror::Error)]
#[error("say how many shards there are, such as 4, or which of them, such as 0-3/8")]
pub struct NoShards;

impl FromStr for Shards {
    type Err = NoShards;

    fn from_str(text: &str) -> Result<Self, NoShards> {
        let number = |text: &str| text.trim().parse::<u32>().map_err(|_| NoShards);
        let shards = match text.split_once('/') {
            None => Self { mine: 0..number(text)?, all: number(text)? },
            Some((mine, all)) => {
                let (first, last) = mine.split_once('-').unwrap_or((mine, mine));
                Self { mine: number(first)?..number(last)?.checked_add(1).ok_or(NoShards)?, all: number(all)? }
            }
        };
        let fits = !shards.mine.is_empty() && shards.mine.end <= shards.all;
        if fits { Ok(shards) } else { Err(NoShards) }
    }
}

/// How the place is set up.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The bot's token.
    pub token: String,
    /// Another address for the platform's HTTP interface, such as that of a gate for all processes that keeps its rates.
    pub proxy: Option<String>,
    /// The shards of this process; as many as the platform advises where none are said.
    pub shards: Option<Shards>,
    /// Servers that get the commands; everywhere where there are none.
    pub servers: Vec<u64>,
    /// The pack of chats that chose none.
    pub pack: Option<String>,
    /// The address below which permanent links stand, where people can reach the service.
    pub links: Option<String>,
    /// Where the packs of chats are remembered.
    pub redis: Option<redis::ConnectionInfo>,
    /// Where attached files may lie.
    pub files: Vec<String>,
    /// How much one may take.
    pub limits: Limits,
}

impl Settings {
    /// The usual settings with this token.
    pub fn new(token: &str) -> Self {
        Self {
            token: token.trim().to_owned(),
            proxy: None,
            shards: None,
            servers: Vec::new(),
            pack: None,
            links: None,
            redis: None,
            files: HOSTS.iter().map(ToString::to_string).collect(),
            limits: Limits::default(),
        }
    }
}
