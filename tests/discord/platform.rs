//! A stand-in of the platform: its HTTP interface and its gateway, as its published documents describe them.
//!
//! It checks what arrives: against the platform's published description where that is there, against its written limits
//! always, and against the order of things (no second first answer, no edit before one). A test that made the bot send
//! something wrong fails when the stand-in is dropped.
mod http;
mod parts;
mod socket;

use super::{limits, published};
use axum::Router;
use axum::routing::{any, get};
use serde_json::{Value, json};
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, Mutex, MutexGuard};
use std::time::{Duration, Instant};
use tokio::sync::Notify;

pub use socket::Line;

/// The application and the bot's user.
pub const APPLICATION: u64 = 900_000_000_000_000_001;

/// Something that the bot sent by HTTP.
#[derive(Clone, Debug)]
pub struct Sent {
    pub method: String,
    pub path: String,
    pub body: Value,
    /// Files with their names.
    pub files: Vec<(String, Vec<u8>)>,
    pub at: Instant,
}

/// The stand-in.
pub struct Platform {
    pub base: String,
    pub state: Arc<State>,
}

/// What it knows.
pub struct State {
    pub base: String,
    pub shared: Mutex<Shared>,
    /// Something arrived.
    pub news: Notify,
}

#[derive(Default)]
pub struct Shared {
    pub sent: Vec<Sent>,
    pub commands: HashMap<String, Value>,
    pub answered: HashSet<String>,
    /// Refusals to come: a part of the path, the status, how many times.
    pub refusals: Vec<(String, u16, usize)>,
    pub lines: Vec<Line>,
    pub wrong: Vec<String>,
    pub shards: u32,
    /// Dispatches of each shard so far, for those who resume.
    pub missed: HashMap<u64, Vec<Value>>,
}

impl Platform {
    pub async fn start() -> Self {
        let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0)).await.expect("a free port");
        let base = format!("http://{}", listener.local_addr().expect("bound"));
        let shared = Mutex::new(Shared { shards: 1, ..Shared::default() });
        let state = Arc::new(State { base: base.clone(), shared, news: Notify::new() });
        let router = Router::new()
            .route("/ws", get(socket::open))
            .route("/ws/", get(socket::open))
            .fallback(any(http::answer))
            .with_state(Arc::clone(&state));
        tokio::spawn(async move { axum::serve(listener, router).await });
        Self { base, state }
    }

    pub fn shared(&self) -> MutexGuard<'_, Shared> {
        self.state.shared.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    /// The next requests whose path holds these words are refused.
    pub fn refuse(&self, path: &str, status: u16, times: usize) {
        self.shared().refusals.push((path.to_owned(), status, times));
    }

    /// What arrived at paths that hold these words.
    pub fn sent(&self, method: &str, path: &str) -> Vec<Sent> {
        self.shared().sent.iter().filter(|sent| sent.method == method && sent.path.contains(path)).cloned().collect()
    }

    /// Waits until something holds.
    pub async fn until<T>(&self, what: &str, mut found: impl FnMut(&Shared) -> Option<T>) -> T {
        let end = Instant::now() + Duration::from_secs(30);
        loop {
            let news = self.state.news.notified();
            if let Some(found) = found(&self.shared()) {
                return found;
            }
            assert!(Instant::now() < end, "{what} never came; sent: {:#?}", self.shared().sent);
            let _ = tokio::time::timeout(Duration::from_millis(200), news).await;
        }
    }

    /// Tells the bot what a person did, and waits for the answer: where a machine that has much to do put it off, for what
    /// filled it in afterwards, as the person sees it.
    pub async fn does(&self, interaction: &Value) -> Sent {
        self.dispatch("INTERACTION_CREATE", interaction).await;
        let first = self.first(interaction).await;
        if first.body["type"] != 5 {
            return first;
        }
        let filled = self.edit(interaction).await;
        let mut data = filled.body;
        data["flags"] = first.body["data"]["flags"].clone();
        Sent { body: json!({"type": 4, "data": data}), files: filled.files, ..first }
    }

    /// The first answer to what a person did.
    pub async fn first(&self, interaction: &Value) -> Sent {
        let path = format!("/interactions/{}/", interaction["id"].as_str().expect("an id"));
        self.until("a first answer", |shared| {
            shared.sent.iter().find(|sent| sent.path.contains(&path) && sent.method == "POST").cloned()
        })
        .await
    }

    /// The edit of an answer that was put off.
    pub async fn edit(&self, interaction: &Value) -> Sent {
        let token = interaction["token"].as_str().expect("a token").to_owned();
        self.until("an edit", |shared| {
            shared.sent.iter().find(|sent| sent.method == "PATCH" && sent.path.contains(&token)).cloned()
        })
        .await
    }

    /// Tells an event to the first shard.
    pub async fn dispatch(&self, event: &str, data: &Value) {
        self.dispatch_to(0, event, data).await;
    }

    pub async fn dispatch_to(&self, shard: u64, event: &str, data: &Value) {
        let line = self.until("a shard", |shared| shared.lines.iter().rfind(|line| line.is_open(shard)).cloned()).await;
        line.dispatch(&mut self.shared(), event, data);
    }
}

impl State {
    fn shared(&self) -> MutexGuard<'_, Shared> {
        self.shared.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    /// Keeps what arrived, and what is wrong with it.
    fn keep(&self, sent: Sent) {
        let mut wrong = published::faults(&sent);
        wrong.extend(limits::faults(&sent));
        let mut shared = self.shared();
        shared
            .wrong
            .extend(wrong.into_iter().map(|fault| format!("{} {}: {fault}\n{:#}", sent.method, sent.path, sent.body)));
        shared.sent.push(sent);
        drop(shared);
        self.news.notify_waiters();
    }
}

impl Drop for Platform {
    fn drop(&mut self) {
        let wrong = std::mem::take(&mut self.shared().wrong);
        if !std::thread::panicking() {
            assert!(wrong.is_empty(), "the platform would not have taken this:\n{}", wrong.join("\n"));
        }
    }
}

/// The bot's own user.
pub fn bot() -> Value {
    json!({"id": APPLICATION.to_string(), "username": "pipwright", "discriminator": "0", "avatar": null, "bot": true})
}
