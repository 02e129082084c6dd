//! The service inside a test, on a free port, with a calculation more than the contract has.
use crate::sum;
use pipwright_api::{App, Config, routes, serve};
use reqwest::{Client, Response};
use serde_json::Value;
use tokio::{net::TcpListener, sync::oneshot, task::JoinHandle};

/// A running service. It ends with the test's runtime, or in order with [`Service::stop`].
pub struct Service {
    /// Its state.
    pub app: App,
    /// Where it listens, as `http://…`.
    pub address: String,
    /// A client with connections of its own.
    pub client: Client,
    shutdown: oneshot::Sender<()>,
    running: JoinHandle<std::io::Result<()>>,
}

/// Defaults for tests: no rate, no pause at the end.
pub fn config() -> Config {
    Config { per_second: 0, drain_ms: 0, ..Config::default() }
}

impl Service {
    /// Starts it.
    pub async fn start(config: Config) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.expect("a free port");
        let address = format!("http://{}", listener.local_addr().expect("bound"));
        let app = App::new(config).expect("a good configuration");
        let router = routes::with(app.clone(), sum::endpoints());
        let (shutdown, stopped) = oneshot::channel::<()>();
        let stop = async {
            // A dropped sender stops it, too.
            let _ = stopped.await;
        };
        let running = tokio::spawn(serve::run(listener, app.clone(), router, stop));
        Self { app, address, client: Client::new(), shutdown, running }
    }

    /// The defaults for tests.
    pub async fn plain() -> Self {
        Self::start(config()).await
    }

    /// The address of a path.
    pub fn url(&self, path: &str) -> String {
        format!("{}{path}", self.address)
    }

    /// `GET`.
    pub async fn get(&self, path: &str) -> Response {
        self.client.get(self.url(path)).send().await.expect("a response")
    }

    /// `POST` of a JSON text, good or bad.
    pub async fn post(&self, path: &str, body: &str) -> Response {
        let request = self.client.post(self.url(path)).header("content-type", "application/json");
        request.body(body.to_owned()).send().await.expect("a response")
    }

    /// `POST`, and the status and JSON of the response.
    pub async fn ask(&self, path: &str, body: &Value) -> (u16, Value) {
        let response = self.post(path, &body.to_string()).await;
        (response.status().as_u16(), response.json().await.expect("JSON"))
    }

    /// One of its metrics, all its series added up.
    pub async fn metric(&self, name: &str) -> f64 {
        let text = self.get("/metrics").await.text().await.expect("text");
        read_metric(&text, name)
    }

    /// Tells it to stop, and waits until it has.
    pub async fn stop(self) {
        drop(self.shutdown);
        self.running.await.expect("no panic").expect("a clean end");
    }
}

/// The sum of all series that begin with `name` (which may go on into the labels).
pub fn read_metric(text: &str, name: &str) -> f64 {
    let own =
        text.lines().filter(|line| line.strip_prefix(name).is_some_and(|rest| rest.starts_with(['{', ' ', ',', '}'])));
    own.filter_map(|line| line.rsplit(' ').next()?.parse::<f64>().ok()).sum()
}
