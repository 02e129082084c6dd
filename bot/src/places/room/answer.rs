//! From a message to its answer: what goes to all, and what only to the one who asked.
use super::drawn::Drawn;
use super::wire::{Answered, ServerFrame};
use super::{Room, held, milliseconds};
use crate::card::{Card, Sort, Unfinished};
use crate::hear::{Message, again, hear, hear_on};
use crate::link::Link;

/// A message that stands in the ledger.
#[derive(Debug)]
pub struct Remark {
    /// The line.
    pub number: u64,
    /// By whom, as the room finds them.
    pub name: String,
    /// What.
    pub text: String,
    /// The answer that it asks on from.
    pub about: Option<u64>,
    /// The question itself, where it was put together by taps.
    pub link: Option<String>,
}

impl Room {
    /// Answers a message: in the ledger, or as what the room tells that person alone.
    pub(super) async fn answer(&self, remark: Remark) -> Option<ServerFrame> {
        let (before, unfinished) = match self.context(&remark) {
            Ok(context) => context,
            Err(sentence) => {
                let card = Card::saying(Sort::Refusal, sentence);
                return Some(self.aside(remark.number, &card, false));
            }
        };
        let Ok(_permit) = self.asking.acquire().await else { return None };
        let pack = self.pack();
        if let Some(link) = &remark.link {
            let card = match crate::link::parse(link) {
                Some(link) => again(&self.api, pack.as_deref(), &link).await,
                None => Card::saying(Sort::Refusal, "That question could not be read. Put it together anew."),
            };
            if card.sort == Sort::Answer {
                self.write(&remark, &card);
                return None;
            }
            return Some(self.aside(remark.number, &card, false));
        }
        let message = Message { text: &remark.text, pack: pack.as_deref(), before: before.as_ref(), attached: None };
        let card = match &unfinished {
            Some(unfinished) => hear_on(&self.api, message, unfinished).await,
            None => hear(&self.api, message).await,
        };
        if card.sort == Sort::Answer {
            self.write(&remark, &card);
            return None;
        }
        let again =
            unfinished.is_some_and(|before| card.unfinished.as_ref().is_some_and(|now| now.option == before.option));
        if let Some(person) = self.people().person(&remark.name) {
            // Whoever does not answer a question back is not asked for ever.
            person.unfinished = card.unfinished.clone().filter(|_| !again);
        }
        // A club talks too: what has no slash and is no question is most likely not meant for the bot.
        let quiet = !remark.text.starts_with('/') && card.unfinished.is_none() && card.sort != Sort::Trouble;
        Some(self.aside(remark.number, &card, quiet))
    }

    /// What the message may lean on: an answer before, and a question back that is still open.
    fn context(&self, remark: &Remark) -> Result<(Option<Link>, Option<Unfinished>), &'static str> {
        let (last, fresh, unfinished) = self
            .people()
            .person(&remark.name)
            .map_or((None, false, None), |person| (person.last, person.fresh, person.unfinished.take()));
        let ledger = self.ledger();
        let Some(about) = remark.about else {
            let newest = || last.and_then(|last| ledger.link(last)).or_else(|| ledger.newest_link());
            let before = if fresh { None } else { newest() };
            return Ok((before, unfinished.filter(|_| !remark.text.starts_with('/'))));
        };
        match ledger.link(about) {
            Some(link) => Ok((Some(link), None)),
            None => Err("That answer is no longer in the ledger. Ask the whole question again."),
        }
    }

    fn write(&self, remark: &Remark, card: &Card) {
        let drawn = Drawn::of(card, self.settings.links.as_deref());
        if let Some(pack) = &card.pack {
            *held(&self.pack) = Some(pack.clone());
        }
        let name = self.people().person(&remark.name).map(|person| person.name.clone()).unwrap_or_default();
        let mut answer = Answered { number: 0, at: milliseconds(), asked_by: &name, to: remark.number, card: &drawn };
        let number = self.ledger().answer(&mut answer, card.link.clone());
        if let Some(person) = self.people().person(&remark.name) {
            if card.link.is_some() {
                (person.last, person.fresh) = (Some(number), false);
            }
            person.fresh |= card.dropped;
        }
        self.tell(number);
    }

    fn aside(&self, to: u64, card: &Card, quiet: bool) -> ServerFrame {
        ServerFrame::Aside { to, quiet, card: Box::new(Drawn::of(card, self.settings.links.as_deref())) }
    }
}
