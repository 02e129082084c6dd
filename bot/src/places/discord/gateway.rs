//! The gateway: the platform tells what people do over a socket that the bot holds open, one for each shard.
use super::action::{File, PersonAction, lacking_in, link_in};
use super::answer::{Typed, too_fast};
use super::draw::Drawn;
use super::health::Health;
use super::register::register;
use super::{Place, send};
use crate::card::Sort;
use serenity::Client;
use serenity::async_trait;
use serenity::client::{ClientBuilder, Context, EventHandler};
use serenity::http::{Http, HttpBuilder};
use serenity::model::application::Interaction;
use serenity::model::channel::Message;
use serenity::model::gateway::{GatewayIntents, Ready};
use std::future::Future;
use std::sync::Arc;
use std::time::Instant;

/// Why the place could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum Closed {
    /// The platform refused.
    #[error("the platform refused: {0}")]
    Refused(#[from] serenity::Error),
    /// The library takes the platform's own address where another one does not answer.
    #[error("the platform's gateway was not found behind the address that was given for it")]
    Elsewhere,
}

/// The platform's HTTP interface, which knows its application.
///
/// # Errors
/// Where the platform refuses the token.
pub async fn http(place: &Place) -> Result<Arc<Http>, Closed> {
    let mut builder = HttpBuilder::new(&place.settings.token);
    if let Some(proxy) = &place.settings.proxy {
        // The library uses the other address only where it does not keep the rates itself.
        builder = builder.proxy(proxy).ratelimiter_disabled(true);
    }
    let http = builder.build();
    let application = http.get_current_application_info().await?;
    http.set_application_id(application.id);
    match register(&http, &place.settings.servers).await {
        Ok(changed) => tracing::info!(changed, "commands registered"),
        // Those of the time before are still there.
        Err(error) => tracing::error!(%error, "the commands could not be registered"),
    }
    Ok(Arc::new(http))
}

/// Stays on the platform until it is to stop.
///
/// # Errors
/// Where the platform refuses.
pub async fn run(place: Arc<Place>, stop: impl Future<Output = ()> + Send) -> Result<(), Closed> {
    let http = http(&place).await?;
    let handler = Handler { place: Arc::clone(&place) };
    // Direct messages and messages that name the bot come with their words; others are not asked for.
    let intents = GatewayIntents::DIRECT_MESSAGES | GatewayIntents::GUILD_MESSAGES;
    let http = Arc::try_unwrap(http).map_err(|_| Closed::Elsewhere)?;
    let mut client = ClientBuilder::new_with_http(http, intents).event_handler(handler).await?;
    if place.settings.proxy.is_some() && client.ws_url.lock().await.contains("discord.gg") {
        return Err(Closed::Elsewhere);
    }
    let manager = Arc::clone(&client.shard_manager);
    let watch = tokio::spawn(watch(place.health.clone(), Arc::clone(&manager)));
    let ended = tokio::select! {
        ended = start(&mut client, &place) => ended,
        () = stop => Ok(()),
    };
    manager.shutdown_all().await;
    watch.abort();
    place.health.gone();
    Ok(ended?)
}

async fn start(client: &mut Client, place: &Place) -> serenity::Result<()> {
    match &place.settings.shards {
        None => client.start_autosharded().await,
        // The library counts the last shard of a range in.
        Some(shards) => client.start_shard_range(shards.mine.start..shards.mine.end - 1, shards.all).await,
    }
}

/// Tells health what the shards' last heartbeats were.
async fn watch(health: Health, manager: Arc<serenity::gateway::ShardManager>) {
    let mut tick = tokio::time::interval(Health::LOOKED_AT);
    loop {
        tick.tick().await;
        let runners = manager.runners.lock().await;
        let shards = runners.iter().map(|(id, shard)| {
            (id.0, shard.stage == serenity::gateway::ConnectionStage::Connected, shard.latency.is_some())
        });
        health.look(shards, Instant::now());
    }
}

struct Handler {
    place: Arc<Place>,
}

#[async_trait]
impl EventHandler for Handler {
    async fn ready(&self, context: Context, ready: Ready) {
        tracing::info!(shard = context.shard_id.0, servers = ready.guilds.len(), "on the platform");
        self.place.me.store(ready.user.id.get(), std::sync::atomic::Ordering::Relaxed);
    }

    async fn interaction_create(&self, context: Context, interaction: Interaction) {
        let action = PersonAction::of(&interaction);
        let first = self.place.first(action.clone()).await;
        send::answer(&context.http, &action, first).await;
    }

    async fn message(&self, context: Context, message: Message) {
        let me = self.place.me.load(std::sync::atomic::Ordering::Relaxed);
        let named = message.mentions.iter().any(|user| user.id.get() == me);
        if message.author.bot || (message.guild_id.is_some() && !named) {
            return;
        }
        let (person, channel) = (message.author.id.get(), message.channel_id.get());
        let now = Instant::now();
        if let Err(wait) = self.place.chats.take(person, channel, now) {
            if self.place.chats.warns(person, now) {
                let drawn = Drawn::saying(&too_fast(wait));
                send::reply(&context.http, message.channel_id, message.id, drawn).await;
            }
            return;
        }
        let text = message.content.replace(&format!("<@{me}>"), " ").replace(&format!("<@!{me}>"), " ");
        let replied = message.referenced_message.as_deref();
        let file = message.attachments.first().map(|file| File { url: file.url.clone(), size: u64::from(file.size) });
        let typed = Typed {
            text: text.trim().to_owned(),
            before: replied.and_then(link_in),
            lacking: replied.and_then(lacking_in),
            file,
        };
        let card = self.place.ask(&typed, channel).await;
        // People talk in servers; where the bot is only spoken of, it says nothing that helps nobody.
        if card.sort == Sort::Refusal && typed.text.is_empty() {
            return;
        }
        let drawn = self.place.draw(card, false).await;
        send::reply(&context.http, message.channel_id, message.id, drawn).await;
    }
}
