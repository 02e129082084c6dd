//! The names of packs as they were last heard: suggestions do not wait for a service that is slow just now.
use crate::client::index::PackIndex;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// More chats than these share the usual pack's names.
const MOST: usize = 2_000;

/// The last names of each chat.
#[derive(Debug, Default)]
pub struct Names(Mutex<HashMap<u64, Arc<PackIndex>>>);

impl Names {
    /// Keeps the names of a chat's pack.
    pub fn keep(&self, chat: u64, names: Arc<PackIndex>) -> Arc<PackIndex> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() < MOST || all.contains_key(&chat) {
            all.insert(chat, Arc::clone(&names));
        }
        names
    }

    /// The names that the chat had last; those of any other where it had none.
    pub fn last(&self, chat: u64) -> Option<Arc<PackIndex>> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.get(&chat).or_else(|| all.values().next()).cloned()
    }
}
