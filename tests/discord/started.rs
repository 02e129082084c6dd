//! The bot, started against the stand-in of the platform and a service.
use super::platform::Platform;
use axum::Router;
use axum::routing::{get, post};
use pipwright_bot::client::Api;
use pipwright_bot::places::discord::{Place, Settings, gateway};
use pipwright_tests::service::Service;
use serde_json::json;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

/// A running bot.
pub struct Started {
    pub platform: Platform,
    pub place: Arc<Place>,
    /// The client of the service, for asking the same beside the bot.
    pub api: Api,
    stop: Option<oneshot::Sender<()>>,
    running: Option<JoinHandle<Result<(), gateway::Closed>>>,
    _service: Option<Service>,
}

/// Starts it with the real service behind it.
pub async fn started() -> Started {
    with(Platform::start().await, |_| {}).await
}

/// The same, with other settings.
pub async fn with(platform: Platform, change: impl FnOnce(&mut Settings)) -> Started {
    let service = Service::plain().await;
    let address = service.address.clone();
    Started { _service: Some(service), ..at(platform, &address, change).await }
}

/// Starts it with the service at an address behind it.
pub async fn at(platform: Platform, service: &str, change: impl FnOnce(&mut Settings)) -> Started {
    let api = Api::new(service, Duration::from_secs(20)).expect("an address");
    let mut settings = Settings { proxy: Some(platform.base.clone()), ..Settings::new("token") };
    change(&mut settings);
    let place = Place::new(api.clone(), settings);
    let (stop, stopped) = oneshot::channel::<()>();
    let stopped = async {
        // A dropped sender stops it, too.
        let _ = stopped.await;
    };
    let running = tokio::spawn(gateway::run(Arc::clone(&place), stopped));
    Started { platform, place, api, stop: Some(stop), running: Some(running), _service: None }
}

impl Started {
    /// What the gateway ended with.
    pub async fn ended(&mut self) -> Result<(), gateway::Closed> {
        let running = self.running.take().expect("not yet awaited");
        tokio::time::timeout(Duration::from_secs(20), running).await.expect("it ends").expect("no panic")
    }

    /// Tells it to stop.
    pub fn stop(&mut self) {
        self.stop.take();
    }
}

/// A service that takes its time, and says nothing of packs.
pub async fn slow(wait: Duration) -> String {
    let answer = move || async move {
        tokio::time::sleep(wait).await;
        axum::Json(json!({
            "chance": 0.5, "fraction": "1/2", "passes": {"expected": 0.5, "deviation": 0.5, "distribution": [
                {"value": 0, "chance": 0.5, "at_least": 1.0}, {"value": 1, "chance": 0.5, "at_least": 0.5}]},
            "total": {"expected": 3.5, "deviation": 0.0, "distribution": [{"value": 3, "chance": 1.0, "at_least": 1.0}]},
            "all": {"chance": 0.5}, "none": {"chance": 0.5}, "any": {"chance": 0.5}, "first_pass": [],
        }))
    };
    serve(Router::new().route("/v1/check", post(answer))).await
}

/// A service whose answers all have this status and body.
pub async fn failing(status: u16, body: &'static str) -> String {
    let status = axum::http::StatusCode::from_u16(status).expect("a status");
    serve(Router::new().fallback(move || async move { (status, [("retry-after", "7")], body) })).await
}

/// A service whose names take too long.
pub async fn slow_names(wait: Duration) -> String {
    let names = move || async move {
        tokio::time::sleep(wait).await;
        axum::Json(json!({"packs": []}))
    };
    serve(Router::new().route("/v1/packs", get(names))).await
}

/// Serves a router on a free port.
pub async fn serve(router: Router) -> String {
    let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0)).await.expect("a free port");
    let base = format!("http://{}", listener.local_addr().expect("bound"));
    tokio::spawn(async move { axum::serve(listener, router).await });
    base
}
