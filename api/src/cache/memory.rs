//! The nearest tier: this process's own memory, bounded by bytes.
use super::{Key, Tier};
use axum::body::Bytes;
use futures::future::{self, BoxFuture, FutureExt};
use moka::sync::Cache;
use std::sync::Arc;

/// What one entry takes beside its answer, about: key, links of the cache's lists, allocation.
const OVERHEAD: u32 = 256;

/// Answers by their keys, and keys by the spellings they were asked in.
#[derive(Clone)]
pub struct Memory {
    answers: Cache<Key, Bytes>,
    spellings: Cache<Key, (Key, Arc<[String]>)>,
}

impl Memory {
    /// About so many bytes in all.
    pub fn new(bytes: u64) -> Self {
        let spellings = bytes / 8;
        Self {
            answers: Cache::builder()
                .max_capacity(bytes - spellings)
                .weigher(|_, answer: &Bytes| u32::try_from(answer.len()).unwrap_or(u32::MAX).saturating_add(OVERHEAD))
                .build(),
            spellings: Cache::new(spellings / u64::from(OVERHEAD)),
        }
    }

    /// The key of a question that was asked before in the very same words, and the hashes of the packs that it names by
    /// their content.
    pub fn spelt(&self, spelling: &Key) -> Option<(Key, Arc<[String]>)> {
        self.spellings.get(spelling)
    }

    /// Remembers the words of a question.
    pub fn spell(&self, spelling: Key, key: Key, packs: Arc<[String]>) {
        self.spellings.insert(spelling, (key, packs));
    }

    /// The answer, at once.
    pub fn recall(&self, key: &Key) -> Option<Bytes> {
        self.answers.get(key)
    }

    /// Bytes kept, about.
    pub fn bytes(&self) -> u64 {
        self.answers.weighted_size() + self.spellings.entry_count() * u64::from(OVERHEAD)
    }

    /// Forgets everything.
    pub fn clear(&self) {
        self.answers.invalidate_all();
        self.spellings.invalidate_all();
    }
}

impl Tier for Memory {
    fn name(&self) -> &'static str {
        "memory"
    }

    fn takes(&self, _price: u64) -> bool {
        true
    }

    fn get<'a>(&'a self, key: &'a Key) -> BoxFuture<'a, Option<Bytes>> {
        future::ready(self.recall(key)).boxed()
    }

    fn put(&self, key: Key, answer: Bytes) {
        self.answers.insert(key, answer);
    }
}
