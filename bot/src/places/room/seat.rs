//! One person's line: from joining to leaving.
use super::line::{End, Line, push, send};
use super::people::{Turned, Visit};
use super::wire::{ClientFrame, Join, ServerFrame};
use super::{FRAME_TIMEOUT, Room};
use axum::extract::ws::{CloseFrame, Message, WebSocket, WebSocketUpgrade, close_code};
use axum::extract::{ConnectInfo, State};
use axum::response::Response;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::{Duration, Instant};
use tokio::sync::mpsc;
use tokio::time::timeout;

/// Longer frames cut the line: no page of ours sends them.
const LONGEST_FRAME: usize = 128 * 1024;
/// What may wait to be told to one person.
const WAITING: usize = 64;
/// How long a closing line waits for the other side.
const FAREWELL: Duration = Duration::from_secs(1);

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
    let Ok(Some(join)) = timeout(FRAME_TIMEOUT, first(&mut socket)).await else { return };
    let visit = match admit(&room, &join, from) {
        Ok(visit) => visit,
        Err((what, text)) => {
            let _ = send(&mut socket, &ServerFrame::Turned { what, text }).await;
            return close(socket, close_code::POLICY, "").await;
        }
    };
    room.count();
    let (tell, frames) = mpsc::channel(WAITING);
    let mut line = Line { room: Arc::clone(&room), socket, visit, seen: 0, heard: Instant::now(), tell };
    let why = line.hold(&join, frames).await;
    let Line { socket, visit, .. } = line;
    match why {
        End::Gone => {}
        End::Replaced => close(socket, close_code::POLICY, "joined from elsewhere").await,
        End::Flood => close(socket, close_code::POLICY, "too many messages").await,
        End::Closing => close(socket, close_code::AWAY, "the room closes").await,
    }
    // Only now: a room that closes waits for those who are still here.
    room.people().leave(&visit);
    room.count();
}

/// The first frame, which says who is there.
async fn first(socket: &mut WebSocket) -> Option<Join> {
    loop {
        match socket.recv().await?.ok()? {
            Message::Text(text) => match serde_json::from_str(&text) {
                Ok(ClientFrame::Join(join)) => return Some(join),
                _ => return None,
            },
            Message::Ping(_) | Message::Pong(_) => {}
            _ => return None,
        }
    }
}

fn admit(room: &Room, join: &Join, from: IpAddr) -> Result<Visit, Turned> {
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

async fn close(mut socket: WebSocket, code: u16, reason: &'static str) {
    let frame = CloseFrame { code, reason: reason.into() };
    let _ = push(&mut socket, Message::Close(Some(frame))).await;
    // The other side closes first, so that the last words are not lost with the connection.
    let _ = timeout(FAREWELL, async { while let Some(Ok(_)) = socket.recv().await {} }).await;
}
