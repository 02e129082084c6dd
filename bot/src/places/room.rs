//! The club room: a page and a socket, served by the bot itself to the phones of one club night.
//!
//! Nothing is stored: what was said lies in the [`ledger`] as long as the program runs. A person's message and the
//! answer to it go to all; what did not become an answer goes to the one who asked.
use crate::client::Api;
use axum::Router;
use axum::middleware::{from_fn_with_state, map_response};
use axum::routing::get;
use std::future::Future;
use std::io;
use std::net::SocketAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};
use tokio::net::TcpListener;
use tokio::sync::{Semaphore, watch};
use tokio::time::timeout;
use tower_http::compression::CompressionLayer;

pub mod answer;
pub mod door;
pub mod drawn;
pub mod entrance;
pub mod ledger;
mod line;
mod listen;
pub mod names;
pub mod page;
pub mod people;
pub mod seat;
pub mod wire;

pub use door::{Door, Limits, Settings};

use crate::places::pace::Pace;
use entrance::Entrance;
use ledger::Ledger;
use people::People;

/// How long a page may take to say who is there, and to take what it is sent.
const FRAME_TIMEOUT: Duration = Duration::from_secs(20);
/// How long a room that closes waits for people to be told so.
const LAST_ORDERS: Duration = Duration::from_secs(3);

/// Everything that those in the room share.
#[derive(Debug)]
pub struct Room {
    api: Api,
    settings: Settings,
    /// Tells this run of the program from others: after a restart the lines are counted anew.
    session: u64,
    ledger: Mutex<Ledger>,
    people: Mutex<People>,
    entrance: Mutex<Entrance>,
    pace: Mutex<Pace>,
    /// The pack that the room plays by.
    pack: Mutex<Option<String>>,
    /// How many questions are with the service at a time.
    asking: Semaphore,
    /// The number of the newest line: who sees it change fetches what is new from the ledger.
    newest: watch::Sender<u64>,
    /// How many are here.
    here: watch::Sender<usize>,
    closing: watch::Sender<bool>,
}

impl Room {
    /// A room in which nobody has spoken yet.
    pub fn new(api: Api, settings: Settings) -> Arc<Self> {
        let limits = &settings.limits;
        let now = Instant::now();
        Arc::new(Self {
            session: milliseconds(),
            ledger: Mutex::default(),
            people: Mutex::new(People::new(limits.clone())),
            entrance: Mutex::default(),
            pace: Mutex::new(Pace::new(limits.room, now)),
            pack: Mutex::new(settings.pack.clone()),
            asking: Semaphore::new(limits.asking),
            newest: watch::Sender::new(0),
            here: watch::Sender::new(0),
            closing: watch::Sender::new(false),
            api,
            settings,
        })
    }

    fn ledger(&self) -> MutexGuard<'_, Ledger> {
        held(&self.ledger)
    }

    fn people(&self) -> MutexGuard<'_, People> {
        held(&self.people)
    }

    fn entrance(&self) -> MutexGuard<'_, Entrance> {
        held(&self.entrance)
    }

    fn pack(&self) -> Option<String> {
        held(&self.pack).clone()
    }

    /// Tells all that the ledger has a new line.
    fn tell(&self, newest: u64) {
        self.newest.send_if_modified(|known| {
            let newer = newest > *known;
            *known = newest.max(*known);
            newer
        });
    }

    fn count(&self) {
        let here = self.people().here();
        self.here.send_if_modified(|known| std::mem::replace(known, here) != here);
    }
}

/// What a panic elsewhere left behind is still the room's state.
fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn milliseconds() -> u64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    u64::try_from(since.as_millis()).unwrap_or(u64::MAX)
}

/// Serves the room until `shutdown`; then everybody is told to come back later.
///
/// # Errors
/// Where the listener fails.
pub async fn serve(
    listener: TcpListener,
    room: Arc<Room>,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    let local = listener.local_addr()?.ip().is_loopback();
    let pages = page::router().route("/seat", get(seat::take)).with_state(Arc::clone(&room));
    let router: Router = pages
        .layer(from_fn_with_state(local, page::from_here))
        .layer(map_response(page::strict))
        .layer(CompressionLayer::new());
    let served = axum::serve(listener, router.into_make_service_with_connect_info::<SocketAddr>());
    let mut here = room.here.subscribe();
    let closed = async move {
        shutdown.await;
        room.closing.send_replace(true);
    };
    served.with_graceful_shutdown(closed).await?;
    // The sockets are no longer the server's to wait for. Who does not go now is cut off.
    let _ = timeout(LAST_ORDERS, here.wait_for(|people| *people == 0)).await;
    Ok(())
}
