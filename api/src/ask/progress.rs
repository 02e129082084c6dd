//! How far long computations have come, for those who like to see it.
use crate::cache::Key;
use pipwright_shared::odds::cancellation::CancellationToken;
use std::{
    collections::HashMap,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

/// The long computations that are going on, by the keys of their answers.
#[derive(Default)]
pub struct Progress(Mutex<HashMap<Key, Arc<CancellationToken>>>);

impl Progress {
    /// Shows a computation for as long as the guard lives.
    pub(super) fn watch(&self, key: Key, token: &Arc<CancellationToken>) -> Watched<'_> {
        self.all().insert(key, Arc::clone(token));
        Watched { progress: self, key }
    }

    /// Parts done and of how many; nothing where it does not go on here, or is a short one.
    pub fn of(&self, key: &Key) -> Option<(u64, u64)> {
        let progress = self.all().get(key)?.progress();
        (progress.1 > 0).then_some(progress)
    }

    fn all(&self) -> MutexGuard<'_, HashMap<Key, Arc<CancellationToken>>> {
        // Whoever panicked with it in hand left a whole map behind.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A computation that is shown.
pub(super) struct Watched<'a> {
    progress: &'a Progress,
    key: Key,
}

impl Drop for Watched<'_> {
    fn drop(&mut self) {
        self.progress.all().remove(&self.key);
    }
}
