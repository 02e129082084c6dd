//! One person's open line: what goes out, and when it ends.
use super::people::Visit;
use super::wire::{Join, ServerFrame};
use super::{FRAME_TIMEOUT, Room};
use axum::extract::ws::{Message, WebSocket};
use std::sync::Arc;
use std::time::{Duration, Instant};
use tokio::sync::mpsc;
use tokio::time::{MissedTickBehavior, interval, sleep_until, timeout};

/// How often a page hears that the line holds.
const SIGN: Duration = Duration::from_secs(20);
/// How often a page hears at most that people come and go: when a club arrives, that is all the time.
const COMINGS: Duration = Duration::from_secs(1);
/// A page that gave no sign for so long is gone.
const SILENCE: Duration = Duration::from_secs(70);

/// Why a line ends.
pub(super) enum End {
    Gone,
    Replaced,
    Flood,
    Closing,
}

/// A person who is here.
pub(super) struct Line {
    pub(super) room: Arc<Room>,
    pub(super) socket: WebSocket,
    pub(super) visit: Visit,
    /// The last line that the page has.
    pub(super) seen: u64,
    /// When the page gave its last sign.
    pub(super) heard: Instant,
    pub(super) tell: mpsc::Sender<ServerFrame>,
}

impl Line {
    /// Holds the line until it ends, and says why it did.
    pub(super) async fn hold(&mut self, join: &Join, mut frames: mpsc::Receiver<ServerFrame>) -> End {
        let mut newest = self.room.newest.subscribe();
        let mut here = self.room.here.subscribe();
        let mut closing = self.room.closing.subscribe();
        let (mut stale, mut counted) = (false, tokio::time::Instant::now());
        let mut sign = interval(SIGN);
        sign.set_missed_tick_behavior(MissedTickBehavior::Delay);
        if self.welcome(join).await.is_none() {
            return End::Gone;
        }
        loop {
            let went = tokio::select! {
                () = async { let _ = closing.wait_for(|closing| *closing).await; } => return End::Closing,
                _ = &mut self.visit.replaced => return End::Replaced,
                _ = newest.changed() => self.news().await,
                _ = here.changed() => {
                    stale = true;
                    Some(())
                }
                () = sleep_until(counted + COMINGS), if stale => {
                    (stale, counted) = (false, tokio::time::Instant::now());
                    self.people().await
                }
                Some(frame) = frames.recv() => send(&mut self.socket, &frame).await,
                _ = sign.tick() => {
                    if self.heard.elapsed() > SILENCE { return End::Gone }
                    match self.people().await {
                        Some(()) => push(&mut self.socket, Message::Ping(Default::default())).await,
                        None => None,
                    }
                }
                frame = self.socket.recv() => match frame {
                    Some(Ok(frame)) => match self.frame(frame).await {
                        Ok(()) => Some(()),
                        Err(end) => return end,
                    },
                    _ => None,
                },
            };
            if went.is_none() {
                return End::Gone;
            }
        }
    }

    async fn welcome(&mut self, join: &Join) -> Option<()> {
        let (name, key) =
            self.room.people().person(&self.visit.name).map(|person| (person.name.clone(), person.key))?;
        let same = join.session == Some(self.room.session);
        self.seen = if same { join.seen.unwrap_or(0) } else { 0 };
        let missed = same && self.seen > 0 && self.room.ledger().since(self.seen).missed;
        send(&mut self.socket, &ServerFrame::Welcome { name, session: self.room.session, key, missed }).await?;
        self.news().await
    }

    /// Sends what is new in the ledger. A slow page gets it in fewer, larger frames.
    async fn news(&mut self) -> Option<()> {
        let news = self.room.ledger().since(self.seen);
        self.seen = news.newest;
        match news.frame {
            Some(frame) => push(&mut self.socket, Message::Text(frame.into())).await,
            None => Some(()),
        }
    }

    async fn people(&mut self) -> Option<()> {
        let people = *self.room.here.borrow();
        send(&mut self.socket, &ServerFrame::Here { people }).await
    }
}

pub(super) async fn send(socket: &mut WebSocket, frame: &ServerFrame) -> Option<()> {
    push(socket, Message::text(serde_json::to_string(frame).ok()?)).await
}

/// None where the page is gone, or does not take what it is sent.
pub(super) async fn push(socket: &mut WebSocket, message: Message) -> Option<()> {
    timeout(FRAME_TIMEOUT, socket.send(message)).await.ok()?.ok()
}
