//! Discord: slash commands, buttons, forms, direct messages. The only place that knows the platform and its library.
//!
//! | room | what it does |
//! | --- | --- |
//! | [`definition`], [`locale`], [`register`] | the commands as the platform has them |
//! | [`gateway`], [`signed`] | the two ways in: a socket held open, or signed HTTP |
//! | [`action`], [`words`], [`button`], [`files`] | what a person did, as the line that says the same |
//! | [`answer`], [`suggest`] | what is told first, and what follows |
//! | [`draw`], [`text`], [`payload`] | a card as a message, within the platform's limits |
//! | [`send`] | patience with the platform |
//! | [`chats`], [`packs`], [`names`], [`health`] | what is kept; never what was said |
use crate::client::Api;
use std::io;
use std::sync::Arc;
use std::sync::atomic::AtomicU64;
use tokio::net::TcpListener;

pub mod action;
pub mod answer;
pub mod button;
pub mod chats;
pub mod definition;
pub mod draw;
pub mod files;
pub mod gateway;
pub mod health;
pub mod locale;
pub mod names;
pub mod options;
pub mod packs;
pub mod payload;
pub mod register;
pub mod send;
pub mod signed;
pub mod suggest;
pub mod text;
pub mod words;

pub use options::{Options, Settings, Shards};

/// Everything that the bot keeps on the platform while it runs.
#[derive(Debug)]
pub struct Place {
    api: Api,
    settings: Settings,
    chats: chats::Chats,
    packs: packs::Packs,
    names: names::Names,
    /// Who the bot is, once the platform has said so.
    me: AtomicU64,
    /// Whether it is there.
    pub health: health::Health,
}

impl Place {
    /// The place, not yet open.
    pub fn new(api: Api, settings: Settings) -> Arc<Self> {
        let chats = chats::Chats::new(settings.limits);
        let packs = packs::Packs::new(settings.redis.clone());
        let (names, health) = (names::Names::default(), health::Health::default());
        Arc::new(Self { api, settings, chats, packs, names, me: AtomicU64::new(0), health })
    }
}

/// Opens the place as it was set up, and stays until it is to stop.
///
/// # Errors
/// Where the platform refuses, the key is none, or the address is taken.
pub async fn serve(
    api: Api,
    options: Options,
    settings: Settings,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    let settings = Settings {
        shards: options.discord_shards.clone(),
        servers: options.discord_servers.clone(),
        proxy: options.discord_proxy.clone(),
        redis: options.discord_redis.clone(),
        ..settings
    };
    let place = Place::new(api, settings);
    let listener = match options.discord_listen {
        Some(address) => Some(TcpListener::bind(address).await?),
        None => None,
    };
    let Some(key) = &options.discord_public_key else {
        if let Some(listener) = listener {
            tokio::spawn(axum::serve(listener, signed::health(Arc::clone(&place))).into_future());
        }
        return gateway::run(place, stop).await.map_err(io::Error::other);
    };
    let no_key = || io::Error::other("PIPWRIGHT_DISCORD_PUBLIC_KEY is 64 hexadecimal digits");
    let verifier = signed::verifier(key).ok_or_else(no_key)?;
    let listener = listener.ok_or_else(|| io::Error::other("the signed endpoint needs an address to listen at"))?;
    let http = gateway::http(&place).await.map_err(io::Error::other)?;
    signed::run(listener, place, http, verifier, stop).await
}
