//! The signed endpoint: the platform brings what people do by HTTP, each with a signature over the raw bytes.
use super::action::PersonAction;
use super::answer::{First, late};
use super::{Place, send};
use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Json, Response};
use axum::routing::{get, post};
use serenity::http::Http;
use serenity::interactions_endpoint::Verifier;
use serenity::model::application::Interaction;
use std::io;
use std::sync::Arc;
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};
use tokio::net::TcpListener;
use tokio::sync::{mpsc, oneshot};

/// Signatures older than this, in seconds, may be replayed by somebody; newer clocks differ by less.
const OLDEST: u64 = 300;
/// The platform sends no larger ones.
const LARGEST: usize = 512 * 1024;

/// What checks signatures, and the way back to the platform.
#[derive(Clone)]
pub struct Endpoint {
    place: Arc<Place>,
    http: Arc<Http>,
    verifier: Verifier,
    /// Held by every answer that is still to be sent.
    open: mpsc::Sender<()>,
}

/// Makes a verifier of an application's public key, 64 hexadecimal digits.
pub fn verifier(key: &str) -> Option<Verifier> {
    let key = key.trim();
    let digits = key.len() == 64 && key.bytes().all(|digit| digit.is_ascii_hexdigit());
    let mut bytes = [0; 32];
    for (at, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(key.get(at * 2..at * 2 + 2).filter(|_| digits)?, 16).ok()?;
    }
    Verifier::try_new(bytes).ok()
}

/// How long the last answers may take once the bot is to stop.
const DRAIN_TIMEOUT: Duration = Duration::from_secs(12);

/// Serves the endpoint until it is to stop, and then until what it has begun is answered.
///
/// # Errors
/// Where the listener fails.
pub async fn run(
    listener: TcpListener,
    place: Arc<Place>,
    http: Arc<Http>,
    verifier: Verifier,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    let (open, mut answered) = mpsc::channel::<()>(1);
    let (said, mut ends) = oneshot::channel::<()>();
    let stop = async move {
        stop.await;
        // Whoever waits is gone only where the process ends anyway.
        let _ = said.send(());
    };
    let serving = axum::serve(listener, routes(place, http, verifier, open)).with_graceful_shutdown(stop);
    let mut serving = tokio::spawn(serving.into_future());
    tokio::select! {
        served = &mut serving => return served.unwrap_or_else(|error| Err(io::Error::other(error))),
        _ = &mut ends => {}
    }
    // Somebody may hold a connection open for ever; nobody waits for that.
    let drained = async {
        let served = serving.await;
        // Nothing is ever sent: it ends with the last one who could.
        while answered.recv().await.is_some() {}
        served.unwrap_or_else(|error| Err(io::Error::other(error)))
    };
    tokio::time::timeout(DRAIN_TIMEOUT, drained).await.unwrap_or(Ok(()))
}

/// The endpoint at `/interactions`.
pub fn router(place: Arc<Place>, http: Arc<Http>, verifier: Verifier) -> Router {
    routes(place, http, verifier, mpsc::channel(1).0)
}

fn routes(place: Arc<Place>, http: Arc<Http>, verifier: Verifier, open: mpsc::Sender<()>) -> Router {
    let endpoint = Endpoint { place, http, verifier, open };
    let interactions = post(interaction).layer(DefaultBodyLimit::max(LARGEST));
    Router::new().route("/interactions", interactions).route("/livez", get(|| async { "ok" })).with_state(endpoint)
}

/// Health of the gateway: whether the process lives, and whether the bot is there.
pub fn health(place: Arc<Place>) -> Router {
    let ready = |State(place): State<Arc<Place>>| async move {
        if place.health.is_well(Instant::now()) {
            (StatusCode::OK, "ok")
        } else {
            (StatusCode::SERVICE_UNAVAILABLE, "no heartbeat was answered of late")
        }
    };
    Router::new().route("/livez", get(|| async { "ok" })).route("/readyz", get(ready)).with_state(place)
}

async fn interaction(State(endpoint): State<Endpoint>, headers: HeaderMap, body: Bytes) -> Response {
    // Nothing is read of what may come from anybody.
    if !endpoint.is_signed(&headers, &body) {
        return (StatusCode::UNAUTHORIZED, "the signature is not the platform's").into_response();
    }
    let Ok(interaction) = serde_json::from_slice::<Interaction>(&body) else {
        return (StatusCode::BAD_REQUEST, "that is no interaction that this version knows").into_response();
    };
    let action = PersonAction::of(&interaction);
    let first = endpoint.place.first(action.clone()).await;
    let (body, rest) = match first {
        // A picture does not fit into this answer: it follows.
        First::Now(drawn) if drawn.picture.is_some() => {
            let later = tokio::spawn(async move { *drawn });
            let first = First::Later { private: is_private(&action), rest: later };
            (first.body(), Some(first))
        }
        first => (first.body(), Some(first)),
    };
    if let Some(First::Later { rest, .. }) = rest {
        let (http, open) = (Arc::clone(&endpoint.http), endpoint.open.clone());
        tokio::spawn(async move {
            send::edit(&http, &action.token, late(rest).await).await;
            drop(open);
        });
    }
    Json(body).into_response()
}

/// Whether the one who asked wants to be the only one who sees the answer.
fn is_private(action: &PersonAction) -> bool {
    use super::action::ActionKind;
    match &action.what {
        ActionKind::Command { private, .. } | ActionKind::Press { private, .. } | ActionKind::Form { private, .. } => {
            *private
        }
        _ => false,
    }
}

impl Endpoint {
    fn is_signed(&self, headers: &HeaderMap, body: &[u8]) -> bool {
        let header = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
        let (Some(signature), Some(stamp)) = (header("x-signature-ed25519"), header("x-signature-timestamp")) else {
            return false;
        };
        let is_hex = signature.bytes().all(|digit| digit.is_ascii_hexdigit());
        is_hex && is_fresh(stamp) && self.verifier.verify(signature, stamp, body).is_ok()
    }
}

/// Whether a time stamp is of now, give or take the difference of two clocks.
fn is_fresh(stamp: &str) -> bool {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |time| time.as_secs());
    stamp.parse::<u64>().is_ok_and(|stamp| now.abs_diff(stamp) <= OLDEST)
}
