//! Connections: accepting, serving, and letting go of them in order.
use crate::{
    limits::{held::Place, shared_rate},
    pack_store, routes,
    state::App,
};
use axum::{Router, body::Body, extract::Request};
use hyper::{body::Incoming, server::conn::http1, service::service_fn};
use hyper_util::{
    rt::{TokioIo, TokioTimer},
    server::graceful::{GracefulConnection, GracefulShutdown},
};
use std::{
    future::Future,
    io,
    net::SocketAddr,
    pin::pin,
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
    time::{Duration, Instant},
};
use tokio::{
    net::{TcpListener, TcpStream},
    sync::Semaphore,
    time::{interval, sleep, timeout},
};
use tower_service::Service as _;

mod guarded;
use guarded::{Arrived, Guarded, Noted, Silent};

/// Who is at the other end of the connection.
#[derive(Clone, Copy, Debug)]
pub struct Peer(pub SocketAddr);

/// How often what piles up is put in order.
const TIDYING: Duration = Duration::from_secs(5);

/// So long at most the last connections have to say what they want before those that say nothing are closed.
const LAST_WORD: Duration = Duration::from_secs(1);

/// The longest head of a request, its link included. A link may have 65,534 bytes, which is the library's own limit.
const LONGEST_HEAD: usize = 80 << 10;

/// Serves until `shutdown` is done. Then it says that it is not ready, takes connections a little longer, and
/// lets the requests in flight finish.
///
/// # Errors
/// Those of the listener that do not go away.
pub async fn run(
    listener: TcpListener,
    app: App,
    router: Router,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    let places = Arc::new(Semaphore::new(app.config.connections));
    let graceful = GracefulShutdown::new();
    let mut drained = pin!(drain(app.clone(), shutdown));
    let upkeep = [
        tokio::spawn(tidy(app.clone())),
        tokio::spawn(pack_store::watch(app.clone())),
        tokio::spawn(share(app.clone())),
    ];
    let silent = Arc::new(AtomicUsize::new(0));
    let take = |(stream, peer, place): Accepted| {
        let Ok(own) = place_of(&app, peer) else { return };
        let arrived = Arrived::new(app.limits.held.share(app.limits.holder(peer.ip())), Some(Silent::new(&silent)));
        let connection = connection(stream, Peer(peer), arrived, &app, router.clone());
        let connection = graceful.watch(connection);
        let open = app.metrics.connected();
        tokio::spawn(async move {
            let _held = (place, own, open);
            // A client that breaks off is its own affair.
            if let Err(error) = connection.await {
                tracing::debug!(%error, "a connection broke");
            }
        });
    };
    loop {
        let accepted = tokio::select! {
            biased;
            () = &mut drained => break,
            accepted = accept(&listener, &places) => accepted,
        };
        take(accepted?);
    }
    // Who is already in line is still served: closing the door would cut them off. The system itself is asked who is
    // there, and the door is closed as soon as nobody is: the runtime would only know it a while later.
    let line = listener.into_std()?;
    while let Ok(place) = Arc::clone(&places).try_acquire_owned()
        && let Ok((stream, peer)) = line.accept()
    {
        stream.set_nonblocking(true)?;
        take((TcpStream::from_std(stream)?, peer, place));
    }
    drop(line);
    let begun = Instant::now();
    while silent.load(Ordering::Relaxed) > 0 && begun.elapsed() < LAST_WORD {
        sleep(Duration::from_millis(5)).await;
    }
    let stop = Duration::from_millis(app.config.stop_ms);
    if timeout(stop, graceful.shutdown()).await.is_err() {
        tracing::warn!(?stop, "requests were still in flight at the end");
    }
    upkeep.iter().for_each(tokio::task::JoinHandle::abort);
    app.traces.stop().await;
    Ok(())
}

async fn drain(app: App, shutdown: impl Future<Output = ()>) {
    shutdown.await;
    app.drain();
    tracing::info!("stopping: not ready any more");
    sleep(Duration::from_millis(app.config.drain_ms)).await;
}

type Accepted = (TcpStream, SocketAddr, tokio::sync::OwnedSemaphorePermit);

/// The next connection, once there is a place for it.
async fn accept(listener: &TcpListener, places: &Arc<Semaphore>) -> io::Result<Accepted> {
    let place = Arc::clone(places).acquire_owned().await.map_err(io::Error::other)?;
    loop {
        match listener.accept().await {
            Ok((stream, peer)) => return Ok((stream, peer, place)),
            // The client went away before it was its turn.
            Err(error) if error.kind() == io::ErrorKind::ConnectionAborted => {}
            Err(error) if is_short_of_files(&error) => {
                tracing::warn!(%error, "no new connections for a moment");
                sleep(Duration::from_millis(100)).await;
            }
            Err(error) => return Err(error),
        }
    }
}

/// `ENFILE` and `EMFILE`: some connection will close.
fn is_short_of_files(error: &io::Error) -> bool {
    matches!(error.raw_os_error(), Some(23 | 24))
}

/// The place of a connection among those of its address. A trusted proxy has as many as it likes: it speaks for many.
fn place_of(app: &App, peer: SocketAddr) -> Result<Option<Place>, TooMany> {
    match app.limits.holder(peer.ip()) {
        None => Ok(None),
        Some(who) => app.limits.held.connect(who).map(Some).ok_or_else(|| {
            app.metrics.shed("connections of one address");
            TooMany
        }),
    }
}

/// One address has too many connections.
struct TooMany;

fn connection(
    stream: TcpStream,
    peer: Peer,
    arrived: Arc<Arrived>,
    app: &App,
    router: Router,
) -> impl GracefulConnection<Error = hyper::Error, Output = hyper::Result<()>> + Send + use<> {
    // Small answers should not wait for a fuller packet; where that cannot be set, they do.
    let _ = stream.set_nodelay(true);
    let stream = Guarded::new(stream, Arc::clone(&arrived), Duration::from_millis(app.config.write_wait_ms.max(1)));
    let service = service_fn(move |request: hyper::Request<Incoming>| {
        let mut request: Request = request.map(|body| Body::new(Noted::new(body, Arc::clone(&arrived))));
        request.extensions_mut().insert(peer);
        let (response, arrived) = (router.clone().call(request), Arc::clone(&arrived));
        async move {
            let response = response.await;
            arrived.answered();
            response
        }
    });
    http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(Duration::from_secs(app.config.idle_s.max(1)))
        .max_buf_size(LONGEST_HEAD)
        .serve_connection(TokioIo::new(stream), service)
}

/// Serves the metrics on a listener of their own, for as long as the service runs.
///
/// # Errors
/// Those of the listener.
pub async fn metrics(listener: TcpListener, app: App) -> io::Result<()> {
    axum::serve(listener, routes::metrics(app)).await
}

/// Rates are counted together with the other copies, where they can be.
async fn share(app: App) {
    if let Some(redis) = &app.far {
        shared_rate::share(&app.limits.rates, redis).await;
    }
}

async fn tidy(app: App) {
    let mut ticks = interval(TIDYING);
    loop {
        ticks.tick().await;
        app.metrics.tidy();
        app.limits.tidy(std::time::Instant::now());
    }
}
