//! The way to the collector: HTTP from the thread that sends spans, with nothing of it in the log but whether it works.
use opentelemetry_http::{Bytes, HttpClient, HttpError, Request, Response};
use std::{
    fmt, io,
    sync::atomic::{AtomicBool, Ordering},
    time::Duration,
};
use tokio::runtime::{Builder, Runtime};
use tracing::dispatcher::{Dispatch, set_default};

/// A collector says "taken" in a few bytes.
const LONGEST: usize = 64 << 10;

/// A client of its own, which needs none of the threads that answer requests.
pub(super) struct Collector {
    client: reqwest::Client,
    /// Whoever sends drives it. It is there until the end, where it has to be let go without waiting.
    runtime: Option<Runtime>,
    failing: AtomicBool,
}

impl Collector {
    pub(super) fn new(timeout: Duration) -> io::Result<Self> {
        let client = reqwest::Client::builder().timeout(timeout).redirect(reqwest::redirect::Policy::none());
        Ok(Self {
            client: client.build().map_err(|error| io::Error::other(error.without_url()))?,
            runtime: Some(Builder::new_current_thread().enable_all().build()?),
            failing: AtomicBool::new(false),
        })
    }

    fn send(&self, request: Request<Bytes>) -> Result<Response<Bytes>, HttpError> {
        // The client's own log lines would name the address.
        let _quiet = set_default(&Dispatch::none());
        let runtime = self.runtime.as_ref().ok_or("it is being let go")?;
        runtime.block_on(async {
            let mut response = self.client.execute(request.try_into()?).await?;
            let mut body = Vec::new();
            while let Some(chunk) = response.chunk().await? {
                if body.len() + chunk.len() > LONGEST {
                    return Err("the collector's answer is too long".into());
                }
                body.extend_from_slice(&chunk);
            }
            let mut answer = Response::new(Bytes::from(body));
            *answer.status_mut() = response.status();
            *answer.headers_mut() = std::mem::take(response.headers_mut());
            Ok(answer)
        })
    }
}

#[async_trait::async_trait]
impl HttpClient for Collector {
    async fn send_bytes(&self, request: Request<Bytes>) -> Result<Response<Bytes>, HttpError> {
        let answer = self.send(request);
        let failed = !answer.as_ref().is_ok_and(|answer| answer.status().is_success());
        if self.failing.swap(failed, Ordering::Relaxed) != failed {
            let status = answer.as_ref().map_or(0, |answer| answer.status().as_u16());
            if failed {
                tracing::warn!(status, "the collector does not take spans; they are lost until it does");
            } else {
                tracing::info!("the collector takes spans");
            }
        }
        answer
    }
}

impl Drop for Collector {
    fn drop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_background();
        }
    }
}

impl fmt::Debug for Collector {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Collector")
    }
}
