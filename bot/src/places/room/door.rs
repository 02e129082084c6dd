//! How a room is set up: where, for whom, and how much of it one may take.
use crate::places::pace::Rate;
use clap::Args;
use std::io;
use std::net::SocketAddr;
use tokio::net::TcpListener;

/// Where the room is when nobody says otherwise: on this machine only.
pub const USUAL: &str = "127.0.0.1:8641";

/// Shorter pass phrases are guessed.
const SHORTEST_PHRASE: usize = 8;

/// What the command line and the environment say about the room.
#[derive(Args, Clone, Debug, Default)]
pub struct Door {
    /// Where the club room listens, such as 0.0.0.0:8641 for a hall's network; without it, on this machine only
    #[arg(long, env = "PIPWRIGHT_ROOM", value_name = "ADDRESS", global = true)]
    pub room: Option<SocketAddr>,
    /// What people enter to join; needed where the room listens to more than this machine
    #[arg(long, env = "PIPWRIGHT_ROOM_PHRASE", value_name = "PHRASE", hide_env_values = true, global = true)]
    pub room_phrase: Option<String>,
}

impl Door {
    /// Opens the door. Nobody is there where the usual address is taken and none was asked for.
    ///
    /// # Errors
    /// Where the pass phrase is missing or too short, or the address asked for can't be had.
    pub async fn listen(&self) -> io::Result<Option<TcpListener>> {
        let phrase = self.phrase();
        if phrase.is_some_and(|phrase| phrase.chars().count() < SHORTEST_PHRASE) {
            return Err(io::Error::other(format!("PIPWRIGHT_ROOM_PHRASE needs {SHORTEST_PHRASE} characters or more")));
        }
        let Some(address) = self.room else {
            return Ok(TcpListener::bind(USUAL).await.ok());
        };
        if phrase.is_none() && !address.ip().is_loopback() {
            let why = "others can reach that address: set PIPWRIGHT_ROOM_PHRASE to what people enter to join";
            return Err(io::Error::other(format!("the club room stays closed at {address}; {why}")));
        }
        let refused = |error| io::Error::other(format!("the club room can't listen at {address}: {error}"));
        TcpListener::bind(address).await.map(Some).map_err(refused)
    }

    /// The pass phrase, where there is one.
    pub fn phrase(&self) -> Option<&str> {
        self.room_phrase.as_deref().map(str::trim).filter(|phrase| !phrase.is_empty())
    }
}

/// How one room is set up.
#[derive(Clone, Debug, Default)]
pub struct Settings {
    /// What people enter to join.
    pub phrase: Option<String>,
    /// The pack at the start.
    pub pack: Option<String>,
    /// The address below which permanent links stand, where people can reach the service.
    pub links: Option<String>,
    /// How much one may take.
    pub limits: Limits,
}

/// How much one may take of a room.
#[derive(Clone, Debug)]
pub struct Limits {
    /// People at a time.
    pub people: usize,
    /// Messages of one person.
    pub person: Rate,
    /// Messages of all together.
    pub room: Rate,
    /// Completions of one person.
    pub completions: Rate,
    /// Refusals of one person, until the line is cut.
    pub refusals: Rate,
    /// Arrivals from one address; a hall may have one for all.
    pub arrivals: Rate,
    /// Wrong pass phrases from one address.
    pub guesses: Rate,
    /// Questions with the service at a time.
    pub asking: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            people: 250,
            person: Rate { burst: 8, each_second: 1.0 },
            room: Rate { burst: 120, each_second: 30.0 },
            completions: Rate { burst: 20, each_second: 10.0 },
            refusals: Rate { burst: 300, each_second: 5.0 },
            arrivals: Rate { burst: 400, each_second: 10.0 },
            guesses: Rate { burst: 5, each_second: 0.1 },
            asking: 8,
        }
    }
}
