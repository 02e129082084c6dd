//! Who is here, by name, and what each may still take of the room.
use super::door::Limits;
use crate::card::Unfinished;
use crate::places::pace::Pace;
use crate::places::plain;
use crate::typing::scan::folded;
use std::collections::HashMap;
use std::time::{Duration, Instant};
use tokio::sync::oneshot;

/// Longer names don't fit the line.
const LONGEST_NAME: usize = 24;
/// The names that only the bot has.
const OURS: &[&str] = &["pipwright", "room", "bot"];
/// Those who left are remembered for their pace, up to so many.
const REMEMBERED: usize = 1_000;

/// Those who are here, and those who were a moment ago.
#[derive(Debug)]
pub struct People {
    limits: Limits,
    known: HashMap<String, Person>,
    visits: u64,
}

/// One of them.
#[derive(Debug)]
pub struct Person {
    /// As others see it.
    pub name: String,
    /// The highest key that was heard.
    pub key: u64,
    /// What a question back has left open.
    pub unfinished: Option<Unfinished>,
    /// The last answer this person got.
    pub last: Option<u64>,
    /// Whether the answers before were dropped: the next question stands by itself.
    pub fresh: bool,
    /// What may be asked.
    pub pace: Pace,
    /// What may be completed.
    pub completions: Pace,
    /// How much longer refusals are borne with.
    pub refusals: Pace,
    seat: String,
    visit: Option<(u64, oneshot::Sender<()>)>,
}

/// A person's place at the table, as long as the line holds.
#[derive(Debug)]
pub struct Visit {
    /// Where [`People::person`] finds them.
    pub name: String,
    number: u64,
    /// Comes to an end where the same person joins from elsewhere.
    pub replaced: oneshot::Receiver<()>,
}

/// Why somebody stays out: what is wrong, and in words.
pub type Turned = (&'static str, String);

impl People {
    /// Nobody yet.
    pub fn new(limits: Limits) -> Self {
        Self { limits, known: HashMap::new(), visits: 0 }
    }

    /// How many are here.
    pub fn here(&self) -> usize {
        self.known.values().filter(|person| person.visit.is_some()).count()
    }

    /// Somebody comes in, or comes back with the seat of before.
    ///
    /// # Errors
    /// Where the name can't be had, or the room is full.
    pub fn join(&mut self, name: &str, seat: &str, now: Instant) -> Result<Visit, Turned> {
        let name = plain::line(name);
        let key = folded(&name);
        if key.trim().is_empty() {
            return Err(("name", "Enter a name for tonight.".into()));
        }
        if name.chars().count() > LONGEST_NAME {
            return Err(("name", format!("That name is too long: up to {LONGEST_NAME} characters fit.")));
        }
        if OURS.contains(&key.as_str()) {
            return Err(("name", format!("{name} is taken. Choose another name.")));
        }
        let known = self.known.get(&key);
        if known.is_some_and(|person| person.visit.is_some() && person.seat != seat) {
            return Err(("name", format!("Somebody here is called {name} already. Choose another name.")));
        }
        if known.is_none_or(|person| person.visit.is_none()) && self.here() >= self.limits.people {
            return Err(("room", format!("The room is full: {} people are here.", self.limits.people)));
        }
        self.forget(now);
        self.visits += 1;
        let (leave, replaced) = oneshot::channel();
        let limits = &self.limits;
        let person = self.known.entry(key.clone()).or_insert_with(|| Person {
            name: name.clone(),
            key: 0,
            unfinished: None,
            last: None,
            fresh: false,
            pace: Pace::new(limits.person, now),
            completions: Pace::new(limits.completions, now),
            refusals: Pace::new(limits.refusals, now),
            seat: seat.to_owned(),
            visit: None,
        });
        if person.seat != seat {
            // Somebody else takes a name that has become free: its pace stays, its talk does not.
            (person.key, person.unfinished, person.last) = (0, None, None);
            seat.clone_into(&mut person.seat);
        }
        person.name = name;
        person.visit = Some((self.visits, leave));
        Ok(Visit { name: key, number: self.visits, replaced })
    }

    /// Somebody goes, unless they have come back meanwhile.
    pub fn leave(&mut self, visit: &Visit) {
        if let Some(person) = self.known.get_mut(&visit.name)
            && person.visit.as_ref().is_some_and(|(number, _)| *number == visit.number)
        {
            person.visit = None;
        }
    }

    /// A person by name.
    pub fn person(&mut self, name: &str) -> Option<&mut Person> {
        self.known.get_mut(name)
    }

    fn forget(&mut self, now: Instant) {
        if self.known.len() >= REMEMBERED {
            self.known.retain(|_, person| person.visit.is_some() || !person.pace.is_full(now));
        }
    }
}

impl Person {
    /// Whether a message is to be read; keys that were heard before are not read again.
    pub fn is_new(&mut self, key: u64) -> bool {
        let new = key > self.key;
        self.key = self.key.max(key);
        new
    }
}

/// How long to wait, in words.
pub fn wait(time: Duration) -> String {
    crate::saying::count(time.as_secs().max(1), "second", "seconds")
}
