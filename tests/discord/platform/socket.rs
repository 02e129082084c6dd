//! The gateway of the stand-in: hello, identify, ready, heartbeats, dispatches, resume.
use super::{APPLICATION, Shared, State, bot};
use axum::extract::State as Extract;
use axum::extract::ws::{CloseFrame, Message, WebSocket, WebSocketUpgrade};
use axum::response::Response;
use serde_json::{Value, json};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use tokio::sync::mpsc::{UnboundedSender, unbounded_channel};

/// How often the bot is to send heartbeats; the platform's own pace is 41,250.
const BEAT: u64 = 400;

/// One socket that the bot opened.
#[derive(Clone)]
pub struct Line {
    /// What came over it, whole.
    pub received: Vec<Value>,
    shard: Option<u64>,
    open: Arc<AtomicBool>,
    out: UnboundedSender<Out>,
}

enum Out {
    Say(Value),
    /// The socket breaks without a word.
    Break,
    /// The platform closes it with a code.
    Close(u16),
}

impl Line {
    /// Whether this shard is there, and was made ready or resumed.
    pub fn is_open(&self, shard: u64) -> bool {
        self.shard == Some(shard) && self.open.load(Ordering::SeqCst)
    }

    pub fn dispatch(&self, shared: &mut Shared, event: &str, data: &Value) {
        let told = shared.missed.entry(self.shard.unwrap_or_default()).or_default();
        let event = json!({"op": 0, "s": told.len() + 2, "t": event, "d": data});
        told.push(event.clone());
        let _ = self.out.send(Out::Say(event));
    }

    /// Asks the bot to come again.
    pub fn ask_to_reconnect(&self) {
        self.open.store(false, Ordering::SeqCst);
        let _ = self.out.send(Out::Say(json!({"op": 7, "d": null})));
    }

    pub fn break_off(&self) {
        self.open.store(false, Ordering::SeqCst);
        let _ = self.out.send(Out::Break);
    }

    pub fn close(&self, code: u16) {
        self.open.store(false, Ordering::SeqCst);
        let _ = self.out.send(Out::Close(code));
    }

    /// What came with this number.
    pub fn with_op(&self, op: u64) -> Vec<&Value> {
        self.received.iter().filter(|value| value["op"] == json!(op)).collect()
    }
}

pub async fn open(Extract(state): Extract<Arc<State>>, upgrade: WebSocketUpgrade) -> Response {
    upgrade.on_upgrade(|socket| talk(state, socket))
}

async fn talk(state: Arc<State>, mut socket: WebSocket) {
    let (out, mut said) = unbounded_channel();
    let open = Arc::new(AtomicBool::new(false));
    let at = {
        let mut shared = state.shared();
        let line = Line { received: Vec::new(), shard: None, open: Arc::clone(&open), out: out.clone() };
        shared.lines.push(line);
        shared.lines.len() - 1
    };
    let _ = out.send(Out::Say(json!({"op": 10, "d": {"heartbeat_interval": BEAT}})));
    loop {
        tokio::select! {
            told = said.recv() => match told {
                Some(Out::Say(value)) => {
                    if socket.send(Message::Text(value.to_string().into())).await.is_err() { break }
                }
                Some(Out::Close(code)) => {
                    let _ = socket.send(Message::Close(Some(CloseFrame { code, reason: "".into() }))).await;
                    break;
                }
                Some(Out::Break) | None => break,
            },
            action = socket.recv() => match action {
                Some(Ok(Message::Text(text))) => hear(&state, at, &serde_json::from_str(&text).expect("JSON"), &out),
                Some(Ok(Message::Binary(bytes))) => {
                    hear(&state, at, &serde_json::from_slice(&bytes).expect("JSON"), &out);
                }
                Some(Ok(_)) => {}
                _ => break,
            },
        }
    }
    open.store(false, Ordering::SeqCst);
}

fn hear(state: &State, at: usize, value: &Value, out: &UnboundedSender<Out>) {
    let say = |value: Value| {
        let _ = out.send(Out::Say(value));
    };
    let mut shared = state.shared();
    shared.lines[at].received.push(value.clone());
    match value["op"].as_u64() {
        Some(1) => say(json!({"op": 11, "d": null})),
        Some(2) => {
            let shard = value["d"]["shard"][0].as_u64().unwrap_or(0);
            shared.lines[at].shard = Some(shard);
            let session = format!("session-{shard}");
            say(json!({"op": 0, "s": 1, "t": "READY", "d": {
                "v": 10, "user": bot(), "guilds": [], "session_id": session, "shard": value["d"]["shard"],
                "resume_gateway_url": state.base.replace("http", "ws") + "/ws",
                "application": {"id": APPLICATION.to_string(), "flags": 0},
            }}));
            shared.lines[at].open.store(true, Ordering::SeqCst);
        }
        Some(6) => {
            let session = value["d"]["session_id"].as_str().unwrap_or_default();
            let shard: u64 = session.trim_start_matches("session-").parse().expect("a session of this platform");
            shared.lines[at].shard = Some(shard);
            let last = value["d"]["seq"].as_u64().unwrap_or(0);
            let missed = shared.missed.get(&shard).cloned().unwrap_or_default();
            for event in missed.iter().filter(|event| event["s"].as_u64() > Some(last)) {
                say(event.clone());
            }
            say(json!({"op": 0, "s": missed.len() + 1, "t": "RESUMED", "d": {}}));
            shared.lines[at].open.store(true, Ordering::SeqCst);
        }
        _ => {}
    }
    drop(shared);
    state.news.notify_waiters();
}
