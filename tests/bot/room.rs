//! The club room over real sockets: who comes in, what is said, what is lost (nothing) and what is refused.
use super::fake::Fake;
use pipwright_bot::places::room::{Room, Settings, serve};
use std::net::SocketAddr;
use tokio::net::TcpListener;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

mod browser;
mod colours;
mod drawing;
mod entry;
mod guest;
mod history;
mod limits;
mod load;
mod page;
mod phone;
mod program;
mod same;
mod talk;

/// A room that is open, on a stand-in for the service.
struct Table {
    fake: Fake,
    address: SocketAddr,
    settings: Settings,
    open: Option<(oneshot::Sender<()>, JoinHandle<()>)>,
}

impl Table {
    async fn open(settings: Settings) -> Self {
        let (fake, address) = (Fake::start().await, SocketAddr::from(([127, 0, 0, 1], 0)));
        let mut table = Self { fake, address, settings, open: None };
        table.start().await;
        table
    }

    /// Opens the room where it was before, or anywhere the first time.
    async fn start(&mut self) {
        let listener = TcpListener::bind(self.address).await.expect("a free port");
        self.address = listener.local_addr().expect("an address");
        let room = Room::new(self.fake.api.clone(), self.settings.clone());
        let (stop, stopped) = oneshot::channel();
        let served = serve(listener, room, async move {
            let _ = stopped.await;
        });
        self.open = Some((stop, tokio::spawn(async move { served.await.expect("the room serves") })));
    }

    async fn close(&mut self) {
        let (stop, served) = self.open.take().expect("an open room");
        stop.send(()).expect("a room that listens");
        served.await.expect("no panic");
    }
}
