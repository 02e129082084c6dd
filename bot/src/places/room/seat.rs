//! One person's line: from joining to leaving.
use super::answer::Remark;
use super::people::{Visit, wait};
use super::wire::{Heard, Join, Told};
use super::{Room, milliseconds, plain};
use crate::typing::complete::complete;
use axum::extract::ws::{CloseFrame, Message, WebSocket, WebSocketUpgrade, close_code};
use axum::extract::{ConnectInfo, State};
use axum::response::Response;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::{Duration, Instant};
use tokio::sync::mpsc;
use tokio::time::{MissedTickBehavior, interval, timeout};

/// Longer messages are refused in words.
pub const LONGEST: usize = 2_000;
/// Longer frames cut the line: no page of ours sends them.
const LONGEST_FRAME: usize = 128 * 1024;
/// How long a page may take to say who is there, and to take what is sent.
const PATIENCE: Duration = Duration::from_secs(20);
/// How often a page hears that the line holds.
const SIGN: Duration = Duration::from_secs(20);
/// A page that gave no sign for so long is gone.
const SILENCE: Duration = Duration::from_secs(70);
/// What may wait to be told to one person.
const WAITING: usize = 64;

/// Opens the socket.
pub async fn take(
    State(room): State<Arc<Room>>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    socket: WebSocketUpgrade,
) -> Response {
    socket
        .max_message_size(LONGEST_FRAME)
        .max_frame_size(LONGEST_FRAME)
        .on_upgrade(move |socket| sit(room, socket, from.ip()))
}

async fn sit(room: Arc<Room>, mut socket: WebSocket, from: IpAddr) {
    let Ok(Some(join)) = timeout(PATIENCE, first(&mut socket)).await else { return };
    let visit = match admit(&room, &join, from) {
        Ok(visit) => visit,
        Err((what, text)) => {
            let _ = send(&mut socket, &Told::Turned { what, text }).await;
            return close(socket, close_code::POLICY, "").await;
        }
    };
    room.count();
    let (tell, told) = mpsc::channel(WAITING);
    let mut line = Line { room: Arc::clone(&room), socket, visit, seen: 0, heard: Instant::now(), tell };
    let why = line.hold(&join, told).await;
    let Line { socket, visit, .. } = line;
    room.people().leave(&visit);
    room.count();
    match why {
        End::Gone => {}
        End::Replaced => close(socket, close_code::POLICY, "joined from elsewhere").await,
        End::Flood => close(socket, close_code::POLICY, "too many messages").await,
        End::Closing => close(socket, close_code::AWAY, "the room closes").await,
    }
}

/// The first frame, which says who is there.
async fn first(socket: &mut WebSocket) -> Option<Join> {
    loop {
        match socket.recv().await?.ok()? {
            Message::Text(text) => match serde_json::from_str(&text) {
                Ok(Heard::Join(join)) => return Some(join),
                _ => return None,
            },
            Message::Ping(_) | Message::Pong(_) => {}
            _ => return None,
        }
    }
}

fn admit(room: &Room, join: &Join, from: IpAddr) -> Result<Visit, super::people::Turned> {
    let (limits, now) = (&room.settings.limits, Instant::now());
    if !room.entrance().admits(from, limits, now) {
        return Err(("room", "Too many are coming in at once. Try again in a moment.".into()));
    }
    if let Some(phrase) = &room.settings.phrase {
        let said = join.phrase.as_deref().unwrap_or_default();
        if said.is_empty() || !room.entrance().knows(from, phrase, said, limits, now) {
            return Err((
                "phrase",
                "Enter the pass phrase of tonight. After several wrong ones, wait a minute.".into(),
            ));
        }
    }
    if join.seat.len() < 16 || join.seat.len() > 64 {
        return Err(("room", "This page is of another version. Load it again.".into()));
    }
    room.people().join(&join.name, &join.seat, now)
}

/// Why a line ends.
enum End {
    Gone,
    Replaced,
    Flood,
    Closing,
}

struct Line {
    room: Arc<Room>,
    socket: WebSocket,
    visit: Visit,
    /// The last line that the page has.
    seen: u64,
    /// When the page gave its last sign.
    heard: Instant,
    tell: mpsc::Sender<Told>,
}

impl Line {
    async fn hold(&mut self, join: &Join, mut told: mpsc::Receiver<Told>) -> End {
        let mut newest = self.room.newest.subscribe();
        let mut here = self.room.here.subscribe();
        let mut closing = self.room.closing.subscribe();
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
                _ = here.changed() => self.people().await,
                Some(told) = told.recv() => send(&mut self.socket, &told).await,
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
        let same = join.sitting == Some(self.room.sitting);
        self.seen = if same { join.seen.unwrap_or(0) } else { 0 };
        let missed = same && self.seen > 0 && self.room.ledger().since(self.seen).missed;
        send(&mut self.socket, &Told::Welcome { name, sitting: self.room.sitting, key, missed }).await?;
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
        send(&mut self.socket, &Told::Here { people }).await
    }

    async fn frame(&mut self, frame: Message) -> Result<(), End> {
        self.heard = Instant::now();
        let text = match frame {
            Message::Text(text) => text,
            Message::Ping(_) | Message::Pong(_) => return Ok(()),
            _ => return Err(End::Gone),
        };
        match serde_json::from_str(&text) {
            Ok(Heard::Say { key, text, about }) => self.say(key, &text, about).await,
            Ok(Heard::Complete { key, text }) => {
                self.complete(key, text);
                Ok(())
            }
            Ok(Heard::Join(_)) | Err(_) => {
                self.refuse(None, "That could not be read. Load the page again.".into()).await
            }
        }
    }

    async fn say(&mut self, key: u64, text: &str, about: Option<u64>) -> Result<(), End> {
        let text = plain::text(text);
        let refusal = match text.chars().count() {
            0 => Some("There is nothing to read in that message.".to_owned()),
            long if long > LONGEST => {
                Some(format!("That message is too long: {long} characters, and up to 2,000 fit. Send it in parts."))
            }
            _ => None,
        };
        if let Some(refusal) = refusal {
            return self.refuse(Some(key), refusal).await;
        }
        let (now, name) = (Instant::now(), self.visit.name.clone());
        let allowed = {
            let mut people = self.room.people();
            let Some(person) = people.person(&name) else { return Err(End::Gone) };
            if !person.is_new(key) {
                return Ok(());
            }
            let own = person
                .pace
                .take(now)
                .map_err(|time| format!("That was quick. Your next message is read in {}.", wait(time)));
            own.and_then(|()| {
                let all = super::held(&self.room.pace).take(now);
                all.map_err(|time| {
                    person.pace.give_back();
                    format!("All are asking at once. Try again in {}.", wait(time))
                })
            })
            .map(|()| person.name.clone())
        };
        let who = match allowed {
            Ok(who) => who,
            Err(refusal) => return self.refuse(Some(key), refusal).await,
        };
        let number = self.room.ledger().say(milliseconds(), &who, key, &text);
        self.room.tell(number);
        let (room, tell) = (Arc::clone(&self.room), self.tell.clone());
        tokio::spawn(async move {
            if let Some(told) = room.answer(Remark { number, name, text, about }).await {
                // Nobody listens any more where the person has left.
                let _ = tell.send(told).await;
            }
        });
        Ok(())
    }

    async fn refuse(&mut self, key: Option<u64>, text: String) -> Result<(), End> {
        let borne = {
            let mut people = self.room.people();
            people.person(&self.visit.name).is_some_and(|person| person.refusals.take(Instant::now()).is_ok())
        };
        if !borne {
            return Err(End::Flood);
        }
        send(&mut self.socket, &Told::Refused { key, text }).await.ok_or(End::Gone)
    }

    fn complete(&self, key: u64, text: String) {
        let allowed = {
            let mut people = self.room.people();
            people.person(&self.visit.name).is_some_and(|person| person.completions.take(Instant::now()).is_ok())
        };
        if !allowed || text.chars().count() > LONGEST {
            return;
        }
        let (room, tell) = (Arc::clone(&self.room), self.tell.clone());
        tokio::spawn(async move {
            let index = room.api.index(room.pack().as_deref()).await.ok();
            let (start, words) = complete(&text, text.len(), index.as_deref());
            let start = text.get(..start).unwrap_or_default().encode_utf16().count();
            let words = words.iter().map(|word| plain::text(word)).collect();
            let _ = tell.send(Told::Complete { key, start, words }).await;
        });
    }
}

async fn send(socket: &mut WebSocket, told: &Told) -> Option<()> {
    push(socket, Message::text(serde_json::to_string(told).ok()?)).await
}

/// None where the page is gone, or does not take what it is sent.
async fn push(socket: &mut WebSocket, message: Message) -> Option<()> {
    timeout(PATIENCE, socket.send(message)).await.ok()?.ok()
}

async fn close(mut socket: WebSocket, code: u16, reason: &'static str) {
    let frame = CloseFrame { code, reason: reason.into() };
    let _ = push(&mut socket, Message::Close(Some(frame))).await;
    // The other side closes first, so that the last words are not lost with the connection.
    let _ = timeout(Duration::from_secs(1), async { while let Some(Ok(_)) = socket.recv().await {} }).await;
}
