//! The client of the HTTP service. All the mathematics and all the rules are asked for here.
use pipwright_shared::wire::packs::PacksAnswer;
use reqwest::header::RETRY_AFTER;
use reqwest::{RequestBuilder, Response, StatusCode, Url};
use serde::de::DeserializeOwned;
use serde_json::Value as Json;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

mod events;
pub mod index;
pub mod trouble;

use crate::inline::Inline;
use events::Event;
use index::PackIndex;
pub use trouble::{Problem, Trouble};

/// How long a pack's names are believed before they are asked for again.
const FRESH: Duration = Duration::from_secs(30);

/// What is only looked up is there at once, or not at all.
const LOOKUP: Duration = Duration::from_secs(3);
/// What shows its progress may take so long.
const LONGEST: Duration = Duration::from_secs(300);

/// The service, as the bot knows it.
#[derive(Clone, Debug)]
pub struct Api {
    http: reqwest::Client,
    base: Url,
    indexes: Arc<Mutex<Indexes>>,
}

/// The names of packs, and since when they are known.
type Indexes = HashMap<String, (Instant, Arc<PackIndex>)>;

impl Api {
    /// A client of the service at `base`, which waits at most `timeout` for an answer.
    ///
    /// # Errors
    /// Where the address is none.
    pub fn new(base: &str, timeout: Duration) -> Result<Self, Trouble> {
        let base = Url::parse(base).map_err(|_| Trouble::Away)?;
        let http = reqwest::Client::builder().timeout(timeout).no_proxy().build().map_err(|_| Trouble::Away)?;
        Ok(Self { http, base, indexes: Arc::default() })
    }

    /// Asks a question.
    ///
    /// # Errors
    /// Whatever came instead of an answer.
    pub async fn ask<T: DeserializeOwned>(&self, path: &str, question: &Json) -> Result<T, Trouble> {
        self.send(self.http.post(self.url(path)?).json(question)).await
    }

    /// Reads what stands at a path.
    ///
    /// # Errors
    /// Whatever came instead of an answer.
    pub async fn read<T: DeserializeOwned>(&self, path: &[&str], query: &[(&str, &str)]) -> Result<T, Trouble> {
        let mut url = self.base.clone();
        url.path_segments_mut().map_err(|()| Trouble::Away)?.pop_if_empty().push("v1").extend(path);
        self.send(self.http.get(url).query(query).timeout(LOOKUP)).await
    }

    /// Asks a question whose answer takes long, and tells meanwhile how far it has come. Who drops this stops the work.
    ///
    /// # Errors
    /// Whatever came instead of an answer.
    pub async fn watch(
        &self,
        path: &str,
        query: &[(&str, &str)],
        mut told: impl FnMut(u64, u64),
    ) -> Result<Json, Trouble> {
        let request = self.http.get(self.url(path)?).query(query).timeout(LONGEST);
        let mut answer = request.send().await.map_err(|error| Trouble::of(&error))?;
        if !answer.status().is_success() {
            return Err(refusal(answer).await);
        }
        let mut reading = events::Reading::default();
        while let Some(bytes) = answer.chunk().await.map_err(|error| Trouble::of(&error))? {
            for event in reading.take(&bytes)? {
                match event {
                    Event::Progress(done, of) => told(done, of),
                    Event::Answer(answer) => return Ok(answer),
                }
            }
        }
        Err(Trouble::InvalidResponse)
    }

    /// The names of a pack; of the usual one where none is chosen.
    ///
    /// # Errors
    /// Where the service does not tell them.
    pub async fn index(&self, pack: Option<&str>) -> Result<Arc<PackIndex>, Trouble> {
        let key = pack.unwrap_or_default().to_owned();
        let known = self.indexes.lock().unwrap_or_else(PoisonError::into_inner).get(&key).cloned();
        if let Some((at, index)) = &known
            && at.elapsed() < FRESH
        {
            return Ok(Arc::clone(index));
        }
        match self.fresh_index(pack).await {
            Ok(index) => {
                let index = Arc::new(index);
                let entry = (Instant::now(), Arc::clone(&index));
                self.indexes.lock().unwrap_or_else(PoisonError::into_inner).insert(key, entry);
                Ok(index)
            }
            // Names from a minute ago are better than none.
            Err(trouble) => known.map(|(_, index)| index).ok_or(trouble),
        }
    }

    async fn fresh_index(&self, pack: Option<&str>) -> Result<PackIndex, Trouble> {
        let pack = match pack {
            Some(pack) => pack.to_owned(),
            None => self.packs().await?.packs.into_iter().next().ok_or(Trouble::InvalidResponse)?.id,
        };
        let index: PackIndex = self.read(&["packs", &pack], &[]).await?;
        // What was asked for by its content goes on being asked for by it: its id names nothing that the service has.
        Ok(if is_address(&pack) { index.called_by(pack) } else { index })
    }

    /// The names of a club's own pack, or of a pack with its own unit book.
    ///
    /// # Errors
    /// What is wrong with the file, or that the service does not tell it.
    pub async fn index_of(&self, inline: &Inline, pack: Option<&str>) -> Result<PackIndex, Trouble> {
        let mut question = serde_json::json!({});
        if let Some(pack) = pack {
            crate::draft::set(&mut question, "/pack", Json::from(pack));
        }
        inline.put(&mut question);
        self.ask("/v1/packs/names", &question).await
    }

    /// The packs that there are.
    ///
    /// # Errors
    /// Where the service does not tell them.
    pub async fn packs(&self) -> Result<PacksAnswer, Trouble> {
        self.read(&["packs"], &[]).await
    }

    fn url(&self, path: &str) -> Result<Url, Trouble> {
        self.base.join(path.trim_start_matches('/')).map_err(|_| Trouble::Away)
    }

    async fn send<T: DeserializeOwned>(&self, request: RequestBuilder) -> Result<T, Trouble> {
        // W3C Trace Context: the service writes the same id into its log.
        let (trace, parent) = (fastrand::u128(1..), fastrand::u64(1..));
        let asked = Instant::now();
        let request = request.header("traceparent", format!("00-{trace:032x}-{parent:016x}-01"));
        let answer = request.send().await.map_err(|error| Trouble::of(&error))?;
        let status = answer.status();
        tracing::debug!(trace_id = %format_args!("{trace:032x}"), status = status.as_u16(), took = ?asked.elapsed(), "asked the service");
        if !status.is_success() {
            return Err(refusal(answer).await);
        }
        let body = answer.bytes().await.map_err(|error| Trouble::of(&error))?;
        serde_json::from_slice(&body).map_err(|_| Trouble::InvalidResponse)
    }
}

/// A question, or a part of one, as the service reads it.
///
/// # Errors
/// Where it is none.
pub fn typed<T: DeserializeOwned>(question: &Json) -> Result<T, Trouble> {
    T::deserialize(question).map_err(|_| Trouble::InvalidResponse)
}

/// Whether a pack is named by its content: `sha256:…`, or `name@` and the beginning of its hash.
pub fn is_address(pack: &str) -> bool {
    pack.starts_with("sha256:") || pack.contains('@')
}

/// What an answer that is none means.
async fn refusal(answer: Response) -> Trouble {
    let status = answer.status();
    let wait = answer.headers().get(RETRY_AFTER).and_then(|value| value.to_str().ok()?.parse().ok());
    match status {
        StatusCode::TOO_MANY_REQUESTS | StatusCode::SERVICE_UNAVAILABLE => Trouble::Busy { seconds: wait },
        status if status.is_client_error() => match answer.bytes().await {
            Ok(body) => serde_json::from_slice(&body)
                .map_or(Trouble::InvalidResponse, |problem| Trouble::Refused(Box::new(problem))),
            Err(error) => Trouble::of(&error),
        },
        _ => Trouble::Broken,
    }
}
