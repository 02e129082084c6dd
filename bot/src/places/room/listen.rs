//! What comes in over a line: messages to be written down and answered, words to be completed, and nonsense.
use super::answer::Remark;
use super::line::{End, Line, send};
use super::names::Names;
use super::people::wait;
use super::wire::{ClientFrame, ServerFrame};
use super::{held, milliseconds};
use crate::places::plain;
use crate::typing::complete::complete;
use axum::extract::ws::Message;
use std::sync::Arc;
use std::time::Instant;

/// Longer messages are refused in words.
const LONGEST: usize = 2_000;

impl Line {
    pub(super) async fn frame(&mut self, frame: Message) -> Result<(), End> {
        self.heard = Instant::now();
        let text = match frame {
            Message::Text(text) => text,
            Message::Ping(_) | Message::Pong(_) => return Ok(()),
            _ => return Err(End::Gone),
        };
        match serde_json::from_str(&text) {
            Ok(ClientFrame::Say { key, text, about, link }) => self.say(key, &text, about, link).await,
            Ok(ClientFrame::Complete { key, text }) => {
                self.complete(key, text);
                Ok(())
            }
            Ok(ClientFrame::Names { key }) => {
                self.names(key);
                Ok(())
            }
            Ok(ClientFrame::Join(_)) | Err(_) => {
                self.refuse(None, "That could not be read. Load the page again.".into()).await
            }
        }
    }

    async fn say(&mut self, key: u64, text: &str, about: Option<u64>, link: Option<String>) -> Result<(), End> {
        let text = plain::text(text);
        let asked = text.chars().count().max(link.as_ref().map_or(0, String::len));
        let refusal = match asked {
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
                let all = held(&self.room.pace).take(now);
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
            if let Some(frame) = room.answer(Remark { number, name, text, about, link }).await {
                // Nobody listens any more where the person has left.
                let _ = tell.send(frame).await;
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
        send(&mut self.socket, &ServerFrame::Refused { key, text }).await.ok_or(End::Gone)
    }

    /// Whether this person may have something looked up now.
    fn may_look_up(&self) -> bool {
        let mut people = self.room.people();
        people.person(&self.visit.name).is_some_and(|person| person.completions.take(Instant::now()).is_ok())
    }

    fn names(&self, key: u64) {
        if !self.may_look_up() {
            return;
        }
        let (room, tell) = (Arc::clone(&self.room), self.tell.clone());
        tokio::spawn(async move {
            let Ok(index) = room.api.index(room.pack().as_deref()).await else { return };
            let packs = room.api.packs().await.ok();
            let names = Box::new(Names::of(&index, packs.as_ref()));
            let _ = tell.send(ServerFrame::Names { key, names }).await;
        });
    }

    fn complete(&self, key: u64, text: String) {
        let allowed = self.may_look_up();
        if !allowed || text.chars().count() > LONGEST {
            return;
        }
        let (room, tell) = (Arc::clone(&self.room), self.tell.clone());
        tokio::spawn(async move {
            let index = room.api.index(room.pack().as_deref()).await.ok();
            let (start, words) = complete(&text, text.len(), index.as_deref());
            let start = text.get(..start).unwrap_or_default().encode_utf16().count();
            let words = words.iter().map(|word| plain::text(word)).collect();
            let _ = tell.send(ServerFrame::Complete { key, start, words }).await;
        });
    }
}
