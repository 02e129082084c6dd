//! The pack that each chat plays by: in Redis where there is one, so that all processes and restarts know it.
use redis::aio::{ConnectionManager, ConnectionManagerConfig};
use redis::{Client, ConnectionInfo, FromRedisValue, RedisResult};
use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// More chats than these are not remembered here.
const MOST: usize = 20_000;
/// Nobody waits longer for what is only a convenience.
const WAIT: Duration = Duration::from_millis(50);

/// What is known of a chat's pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    /// The pack, where one was chosen.
    pub pack: Option<String>,
    /// Whether that is sure: another may have been chosen where the memory does not answer.
    pub sure: bool,
}

/// The packs of all chats.
pub struct Packs {
    redis: Option<ConnectionManager>,
    known: Mutex<HashMap<u64, String>>,
}

impl std::fmt::Debug for Packs {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Packs").field("redis", &self.redis.is_some()).finish_non_exhaustive()
    }
}

impl Packs {
    /// Packs that are remembered there, or only while the program runs. Nothing is asked yet.
    pub fn new(redis: Option<ConnectionInfo>) -> Self {
        // The manager as it comes waits for seconds when the server is gone.
        let config = ConnectionManagerConfig::new()
            .set_number_of_retries(0)
            .set_connection_timeout(Some(WAIT))
            .set_response_timeout(Some(WAIT));
        let open = |info| ConnectionManager::new_lazy_with_config(Client::open(info)?, config);
        let redis = redis.map(open).transpose().unwrap_or_else(|error| {
            tracing::error!(%error, "chats' packs are kept only while the bot runs");
            None
        });
        Self { redis, known: Mutex::default() }
    }

    /// The pack of a chat.
    pub async fn of(&self, chat: u64) -> Known {
        let known = self.known().get(&chat).cloned();
        let Some(redis) = &self.redis else { return Known { pack: known, sure: true } };
        match asked::<Option<String>>(redis, redis::cmd("GET").arg(key(chat))).await {
            Ok(Some(pack)) => {
                self.keep(chat, &pack);
                Known { pack: Some(pack), sure: true }
            }
            Ok(None) => Known { pack: None, sure: true },
            Err(error) => {
                tracing::warn!(%error, "the memory of chats' packs does not answer");
                Known { sure: known.is_some(), pack: known }
            }
        }
    }

    /// From now on the chat plays by this pack. Says whether that outlives the program.
    pub async fn play(&self, chat: u64, pack: &str) -> bool {
        self.keep(chat, pack);
        let Some(redis) = &self.redis else { return true };
        let kept = asked::<()>(redis, redis::cmd("SET").arg(key(chat)).arg(pack)).await;
        kept.inspect_err(|error| tracing::warn!(%error, "the memory of chats' packs does not answer")).is_ok()
    }

    fn keep(&self, chat: u64, pack: &str) {
        let mut known = self.known();
        if known.len() < MOST || known.contains_key(&chat) {
            known.insert(chat, pack.to_owned());
        }
    }

    fn known(&self) -> MutexGuard<'_, HashMap<u64, String>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn key(chat: u64) -> String {
    format!("pipwright:chat:{chat}:pack")
}

/// Asks, with a limit of its own: the manager's timeouts do not cover its reconnecting.
async fn asked<T: FromRedisValue>(redis: &ConnectionManager, command: &redis::Cmd) -> RedisResult<T> {
    let mut redis = redis.clone();
    let timed_out = |_| redis::RedisError::from((redis::ErrorKind::Io, "it took too long"));
    tokio::time::timeout(WAIT, command.query_async(&mut redis)).await.unwrap_or_else(|late| Err(timed_out(late)))
}
