//! Packs that were sent once and are named by their content: read and at hand in this process's memory, their files in
//! Redis for all copies. Content is its own proof: what comes from Redis has the hash that it is asked for by, or is nothing.
use crate::{
    ask::{pool::Lane, work::Failure},
    cache::Key,
    cache::flight::Flights,
    config::Config,
    state::App,
};
use moka::{policy::EvictionPolicy, sync::Cache};
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::{
        PackCatalog,
        address::{SHORTEST, WHOLE, of_content},
        model::Pack,
        pack_catalog::{ByContent, ContentStore, Noted},
        read::read_until,
    },
};
use redis::Cmd;
use std::{
    sync::{Arc, Mutex},
    time::Duration,
};

mod stored;

/// What a pack takes in memory, about, for each byte of its files: measured with packs of 20 to 2,000 units.
const BYTES_EACH: usize = 8;
/// What it takes besides.
const OVERHEAD: usize = 4 << 10;
/// The most packs of one beginning that are looked at.
const ALIKE: usize = 4;
/// The most beginnings that are known in memory.
const BEGINNINGS: u64 = 50_000;
/// A use is noted in Redis at most so many times while a pack is kept: once an hour of thirty days.
const NOTES: u32 = 720;

/// The packs that are kept.
pub struct Kept {
    memory: Arc<Memory>,
    /// Those whose last use was noted in Redis a short while ago.
    noted: Cache<String, ()>,
    fetching: Flights<Result<Option<Arc<Pack>>, Failure>>,
}

/// Packs at hand, by their hashes. Who was used last goes last: a pack that was just sent is never the one that has to go.
#[derive(Debug)]
struct Memory {
    packs: Cache<String, Arc<Pack>>,
    /// Whole hashes by their beginnings.
    beginnings: Cache<String, Arc<[String]>>,
}

impl Memory {
    fn insert(&self, pack: Arc<Pack>) {
        let beginning = pack.hash[..SHORTEST].to_owned();
        let known = self.beginnings.get(&beginning).unwrap_or_default();
        if !known.contains(&pack.hash) {
            let all = known.iter().chain([&pack.hash]).rev().take(ALIKE).cloned().collect();
            self.beginnings.insert(beginning, all);
        }
        self.packs.insert(pack.hash.clone(), pack);
    }
}

impl ContentStore for Memory {
    fn find(&self, beginning: &str) -> Vec<Arc<Pack>> {
        if beginning.len() == WHOLE {
            return self.packs.get(beginning).into_iter().collect();
        }
        let hashes = beginning.get(..SHORTEST).and_then(|first| self.beginnings.get(first)).unwrap_or_default();
        let fitting = hashes.iter().filter(|hash| hash.starts_with(beginning));
        fitting.filter_map(|hash| self.packs.get(hash)).collect()
    }
}

impl Kept {
    /// None yet.
    pub fn new(config: &Config) -> Self {
        let keep = Duration::from_secs(config.pack_keep_s.max(1));
        let weight = |_: &String, pack: &Arc<Pack>| {
            let text: usize = pack.files.iter().map(|file| file.text.len()).sum();
            u32::try_from(text.saturating_mul(BYTES_EACH).saturating_add(OVERHEAD)).unwrap_or(u32::MAX)
        };
        let packs = Cache::builder()
            .max_capacity(config.pack_memory_bytes)
            .weigher(weight)
            .eviction_policy(EvictionPolicy::lru())
            .time_to_idle(keep)
            .build();
        let noted = Cache::builder().max_capacity(BEGINNINGS).time_to_live(keep / NOTES).build();
        Self {
            memory: Arc::new(Memory { packs, beginnings: Cache::new(BEGINNINGS) }),
            noted,
            fetching: Flights::default(),
        }
    }

    /// This catalog and the packs at hand.
    pub fn beside(&self, catalog: &PackCatalog, noted: Arc<Mutex<Noted>>) -> PackCatalog {
        catalog.with(ByContent { store: Arc::clone(&self.memory) as Arc<dyn ContentStore>, noted })
    }

    /// Keeps a pack. Whether all copies have it.
    pub async fn keep(&self, app: &App, pack: &Arc<Pack>) -> bool {
        let own = app.pack_store.load().catalog.packs().iter().any(|other| other.hash == pack.hash);
        if !own {
            self.memory.insert(by_content(pack));
        }
        self.noted.insert(pack.hash.clone(), ());
        write(app, pack).await
    }

    /// Keeps a pack that the service itself had until now, without waiting.
    pub fn keep_on(&self, app: &App, pack: &Arc<Pack>) {
        self.memory.insert(by_content(pack));
        self.touch(app, &Arc::from([pack.hash.clone()]));
    }

    /// Notes that these packs were used: they are kept as long again. Nobody waits for it.
    pub fn touch(&self, app: &App, hashes: &Arc<[String]>) {
        for hash in hashes.iter() {
            // Looking is a use for the memory.
            let pack = self.memory.packs.get(hash);
            if app.far.is_none() || self.noted.contains_key(hash) {
                continue;
            }
            self.noted.insert(hash.clone(), ());
            let (app, hash) = (app.clone(), hash.clone());
            tokio::spawn(async move {
                let keep = app.config.pack_keep_s.max(1);
                let Some(redis) = app.far.as_ref() else { return };
                let lasts = Cmd::expire(name(&hash), i64::try_from(keep).unwrap_or(i64::MAX));
                match redis.ask::<bool>("pack use", &lasts).await {
                    Some(true) => note_beginning(&app, &hash).await,
                    // It has been lost there, or is one of the service's own that was never sent.
                    Some(false) => {
                        let here = || {
                            let pack_store = app.pack_store.load();
                            pack_store.catalog.packs().iter().find(|other| other.hash == hash).cloned()
                        };
                        if let Some(pack) = pack.or_else(here) {
                            write(&app, &pack).await;
                        }
                    }
                    None => {}
                }
            });
        }
    }

    /// Fetches packs that are not at hand from Redis. Whether any was there.
    ///
    /// # Errors
    /// [`Failure`] where one was there and there was no time to read it.
    pub async fn fetch(&self, app: &App, beginnings: &[String]) -> Result<bool, Failure> {
        let mut found = false;
        for beginning in beginnings {
            for hash in whole(app, beginning).await {
                // Many may ask for a pack at once: it is fetched and read once.
                let key = Key::of_spelling("pack", 0, hash.as_bytes());
                let (own, wanted) = (app.clone(), hash.clone());
                let (pack, _) = self.fetching.join(key, || async move { fetch(&own, &wanted).await }).await;
                if let Some(pack) = pack? {
                    self.memory.insert(pack);
                    found = true;
                }
            }
        }
        Ok(found)
    }

    /// Bytes kept in memory, about.
    pub fn bytes(&self) -> u64 {
        self.memory.packs.weighted_size()
    }

    /// Forgets what is in memory.
    pub fn clear(&self) {
        self.memory.packs.invalidate_all();
        self.memory.beginnings.invalidate_all();
        self.noted.invalidate_all();
    }
}

/// The same pack, which requests name by its content.
fn by_content(pack: &Arc<Pack>) -> Arc<Pack> {
    Arc::new(Pack { reference: of_content(&pack.hash), ..Pack::clone(pack) })
}

fn name(hash: &str) -> String {
    format!("pipwright:pack:{hash}")
}

fn name_of_beginning(hash: &str) -> String {
    format!("pipwright:packs:{}", hash.get(..SHORTEST).unwrap_or_default())
}

/// The whole hashes that begin so.
async fn whole(app: &App, beginning: &str) -> Vec<String> {
    if beginning.len() == WHOLE {
        return vec![beginning.to_owned()];
    }
    let Some(redis) = app.far.as_ref() else { return Vec::new() };
    let known: Vec<String> =
        redis.ask("pack name", &Cmd::smembers(name_of_beginning(beginning))).await.unwrap_or_default();
    known.into_iter().filter(|hash| hash.starts_with(beginning)).take(ALIKE).collect()
}

/// The pack as it stands in Redis.
async fn fetch(app: &App, hash: &str) -> Result<Option<Arc<Pack>>, Failure> {
    let Some(redis) = app.far.as_ref() else { return Ok(None) };
    let bytes: Option<Option<Vec<u8>>> = redis.ask("pack get", &Cmd::get(name(hash))).await;
    let Some(bytes) = bytes.flatten() else { return Ok(None) };
    let (hash, end) = (hash.to_owned(), app.pool.deadline(1));
    let read = move |token: &CancellationToken| {
        let Some(files) = stored::files(&bytes, &hash) else {
            tracing::warn!(hash, "a pack in Redis is damaged");
            return Ok(None);
        };
        let read = read_until(&files, Some(token.clone()));
        token.check()?;
        // A newer program may refuse what an older one took: then it has to be sent again, which says why.
        Ok(read.ok().map(|pack| by_content(&Arc::new(pack))))
    };
    app.pool.beside(&app.metrics, (Lane::Reading, end), Arc::default(), read).await
}

/// Writes a pack to Redis. Whether it is there.
async fn write(app: &App, pack: &Arc<Pack>) -> bool {
    let Some(redis) = app.far.as_ref() else { return false };
    let Ok(bytes) = stored::bytes(&pack.files) else { return false };
    let written: Option<()> =
        redis.ask("pack set", &Cmd::set_ex(name(&pack.hash), bytes, app.config.pack_keep_s.max(1))).await;
    if written.is_some() {
        note_beginning(app, &pack.hash).await;
    }
    written.is_some()
}

/// Lets the hash be found by its beginning, as long as the pack is kept.
async fn note_beginning(app: &App, hash: &str) {
    let Some(redis) = app.far.as_ref() else { return };
    let (name, keep) = (name_of_beginning(hash), i64::try_from(app.config.pack_keep_s.max(1)).unwrap_or(i64::MAX));
    let _added: Option<i64> = redis.ask("pack name", &Cmd::sadd(&name, hash)).await;
    let _lasts: Option<bool> = redis.ask("pack name", &Cmd::expire(&name, keep)).await;
}
